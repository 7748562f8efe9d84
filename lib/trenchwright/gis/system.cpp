#include "trenchwright/gis/system.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/proj_handles.hpp"
#include "trenchwright/gis/system_text.hpp"

#include <array>
#include <cmath>
#include <fmt/format.h>
#include <geodesic.h>
#include <proj.h>
#include <proj_experimental.h>
#include <vector>

namespace trenchwright {

namespace {

[[noreturn]] void stop(const std::string& text)
{
    throw Error(ErrorKind::input, text);
}

std::string wkt_of(PJ_CONTEXT* context, const PJ* crs)
{
    const char* const text = proj_as_wkt(context, crs, PJ_WKT2_2019, nullptr);
    return text == nullptr ? "" : text;
}

/// Metres (or radians) per unit of an axis; the direction too.
struct Axis {
    double unit_factor = 1;
    std::string unit;
    std::string direction;
};
std::vector<Axis> axes_of(PJ_CONTEXT* context, const PJ* crs)
{
    const PjPtr system{proj_crs_get_coordinate_system(context, crs)};
    std::vector<Axis> axes;
    const int count = system ? proj_cs_get_axis_count(context, system.get()) : 0;
    for (int i = 0; i < count; ++i) {
        Axis axis;
        const char* direction = nullptr;
        const char* unit = nullptr;
        proj_cs_get_axis_info(context, system.get(), i, nullptr, nullptr, &direction, &axis.unit_factor, &unit, nullptr,
                              nullptr);
        axis.direction = direction == nullptr ? "" : direction;
        axis.unit = unit == nullptr ? "" : unit;
        axes.push_back(axis);
    }
    return axes;
}

/// The horizontal part: without heights and without a bound datum shift.
PjPtr horizontal(PJ_CONTEXT* context, PjPtr crs, std::optional<double>& z_unit_in_m)
{
    if (proj_get_type(crs.get()) == PJ_TYPE_COMPOUND_CRS) {
        const PjPtr vertical{proj_crs_get_sub_crs(context, crs.get(), 1)};
        const auto axes = vertical ? axes_of(context, vertical.get()) : std::vector<Axis>{};
        z_unit_in_m = axes.empty() ? std::nullopt : std::optional(axes.front().unit_factor);
        crs.reset(proj_crs_get_sub_crs(context, crs.get(), 0));
    }
    if (crs && proj_get_type(crs.get()) == PJ_TYPE_BOUND_CRS) {
        crs.reset(proj_get_source_crs(context, crs.get()));
    }
    if (crs && axes_of(context, crs.get()).size() == 3) {
        z_unit_in_m = axes_of(context, crs.get())[2].unit_factor;
        crs.reset(proj_crs_demote_to_2D(context, nullptr, crs.get()));
    }
    return crs;
}

PjPtr crs_from(PJ_CONTEXT* context, const std::string& text, std::optional<double>& z_unit_in_m)
{
    refuse_files_of_system(text);
    PjPtr crs{proj_create(context, text.c_str())};
    if (!crs || proj_is_crs(crs.get()) == 0) {
        stop(fmt::format("\"{:.200}\" is not a coordinate system known here", text));
    }
    crs = horizontal(context, std::move(crs), z_unit_in_m);
    if (!crs) {
        stop(fmt::format("\"{:.200}\" has no horizontal part", text));
    }
    return crs;
}

LengthUnit unit_of(const Axis& axis, const std::string& name)
{
    for (const auto unit : {LengthUnit::meter, LengthUnit::foot, LengthUnit::us_survey_foot}) {
        if (std::abs(axis.unit_factor / meters_per(unit) - 1) < 1e-9) {
            return unit;
        }
    }
    stop(fmt::format("system {} counts in {} ({} m); only meter, foot and US survey foot are read", name, axis.unit,
                     axis.unit_factor));
}

void read_axes(PJ_CONTEXT* context, const PJ* crs, SystemFacts& facts)
{
    const auto axes = axes_of(context, crs);
    bool east = false;
    bool north = false;
    for (const auto& axis : axes) {
        east = east || axis.direction == "east";
        north = north || axis.direction == "north";
    }
    if (!(east && north && axes.size() == 2)) {
        stop(fmt::format("system {} does not count to the east and to the north", facts.name));
    }
    if (facts.kind == SystemKind::projected) {
        facts.native_unit = unit_of(axes.front(), facts.name);
        facts.meters_per_native = meters_per(facts.native_unit);
    } else if (!(std::abs(axes.front().unit_factor / (std::acos(-1.0) / 180) - 1) < 1e-9)) {
        stop(fmt::format("system {} counts in {}; only degrees are read", facts.name, axes.front().unit));
    }
}

SystemKind kind_of(const PJ* crs, const std::string& name)
{
    switch (proj_get_type(crs)) {
    case PJ_TYPE_GEOGRAPHIC_2D_CRS: return SystemKind::geographic;
    case PJ_TYPE_PROJECTED_CRS: return SystemKind::projected;
    case PJ_TYPE_ENGINEERING_CRS: return SystemKind::local;
    default: stop(fmt::format("system {} is neither projected nor geographic", name));
    }
}

geod_geodesic ellipsoid_of(PJ_CONTEXT* context, const PJ* crs)
{
    const PjPtr ellipsoid{proj_get_ellipsoid(context, crs)};
    double major_m = 0;
    double inverse_flattening = 0;
    proj_ellipsoid_get_parameters(context, ellipsoid.get(), &major_m, nullptr, nullptr, &inverse_flattening);
    geod_geodesic geodesic;
    geod_init(&geodesic, major_m, inverse_flattening > 0 ? 1 / inverse_flattening : 0);
    return geodesic;
}

/// True lengths of 100 m of grid to the east and to the north (the scale PROJ reports for foot-based systems is
/// nonsense, two geodesics are not: docs/sources.md, X7).
std::array<double, 2> ground_per_grid(const SystemFacts& facts, NativePoint near)
{
    const auto context = quiet_context();
    std::optional<double> ignored;
    const auto crs = crs_from(context.get(), facts.wkt, ignored);
    const PjPtr geographic{proj_crs_get_geodetic_crs(context.get(), crs.get())};
    const Transform to_degrees(facts.wkt, wkt_of(context.get(), geographic.get()), near);
    const auto ellipsoid = ellipsoid_of(context.get(), crs.get());
    const double half = 50 / facts.meters_per_native;
    const auto ratio = [&](double dx, double dy) {
        const auto a = to_degrees({.x = near.x - dx, .y = near.y - dy});
        const auto b = to_degrees({.x = near.x + dx, .y = near.y + dy});
        double ground_m = 0;
        geod_inverse(&ellipsoid, a.y, a.x, b.y, b.x, &ground_m, nullptr, nullptr);
        return ground_m / 100;
    };
    return {ratio(half, 0), ratio(0, half)};
}

Frame grid_frame(const SystemFacts& facts, NativePoint near)
{
    const auto [east, north] = ground_per_grid(facts, near);
    const bool true_to_scale =
        std::abs(east - 1) < grid_stretch_limit_ratio && std::abs(north - 1) < grid_stretch_limit_ratio;
    if (!true_to_scale) {
        stop(fmt::format("system {} cannot be measured in: 100 m in it are {:.2f} m (east) and {:.2f} m (north) on the "
                         "ground here; name a local system in frame.crs",
                         facts.name, east * 100, north * 100));
    }
    return {.name = facts.name,
            .wkt = facts.wkt,
            .native_unit = facts.native_unit,
            .meters_per_native = facts.meters_per_native,
            .elev_unit = LengthUnit::meter,
            .origin_native_x = std::floor(near.x),
            .origin_native_y = std::floor(near.y),
            .grid_to_ground_ratio = (east + north) / 2};
}

Frame local_frame(const SystemFacts& facts, NativePoint near)
{
    const double lon = std::round(near.x * 1e4) / 1e4;
    const double lat = std::round(near.y * 1e4) / 1e4;
    const auto context = quiet_context();
    std::optional<double> ignored;
    const auto geographic = crs_from(context.get(), facts.wkt, ignored);
    const auto name = fmt::format("transverse Mercator at {:.4f}, {:.4f} on {}", lat, lon, facts.name);
    const PjPtr conversion{proj_create_conversion_transverse_mercator(context.get(), lat, lon, 1, 0, 0, "degree",
                                                                      0.017453292519943295, "metre", 1)};
    const PjPtr axes{proj_create_cartesian_2D_cs(context.get(), PJ_CART2D_EASTING_NORTHING, "metre", 1)};
    const PjPtr projected{
        proj_create_projected_crs(context.get(), name.c_str(), geographic.get(), conversion.get(), axes.get())};
    Frame frame;
    frame.name = name;
    frame.wkt = projected ? wkt_of(context.get(), projected.get()) : "";
    if (frame.wkt.empty()) {
        stop(fmt::format("no local system can be made on {}", facts.name));
    }
    return frame;
}

} // namespace

void DropProj::operator()(pj_ctx* context) const
{
    proj_context_destroy(context);
}

void DropProj::operator()(PJconsts* object) const
{
    proj_destroy(object);
}

ContextPtr quiet_context()
{
    ContextPtr context{proj_context_create()};
    proj_context_set_enable_network(context.get(), 0);
    proj_log_level(context.get(), PJ_LOG_NONE);
    return context;
}

SystemFacts system_facts(const std::string& text)
{
    const auto context = quiet_context();
    SystemFacts facts;
    const auto crs = crs_from(context.get(), text, facts.z_unit_in_m);
    facts.name = proj_get_name(crs.get()) != nullptr ? proj_get_name(crs.get()) : "";
    facts.kind = kind_of(crs.get(), facts.name);
    if (facts.kind != SystemKind::local) {
        facts.wkt = wkt_of(context.get(), crs.get());
        read_axes(context.get(), crs.get(), facts);
    }
    return facts;
}

struct Transform::State {
    ContextPtr context;
    PjPtr operation;
    std::string name;
    double accuracy_m = 0;
};

Transform::Transform(const std::string& from_wkt, const std::string& to_wkt, NativePoint at)
    : state_(std::make_unique<State>())
{
    state_->context = quiet_context();
    auto* const context = state_->context.get();
    std::optional<double> ignored;
    const auto from = crs_from(context, from_wkt, ignored);
    const auto to = crs_from(context, to_wkt, ignored);
    const char* const options[] = {"ALLOW_BALLPARK=NO", nullptr};
    const PjPtr candidates{proj_create_crs_to_crs_from_pj(context, from.get(), to.get(), nullptr, options)};
    state_->name = fmt::format("{} to {}", proj_get_name(from.get()), proj_get_name(to.get()));
    if (!candidates) {
        stop(fmt::format("no exact way from {} is known here; give all layers on one datum", state_->name));
    }
    PjPtr ordered{proj_normalize_for_visualization(context, candidates.get())};
    proj_trans(ordered.get(), PJ_FWD, proj_coord(at.x, at.y, 0, HUGE_VAL));
    state_->operation.reset(proj_trans_get_last_used_operation(ordered.get()));
    if (!state_->operation) {
        state_->operation = std::move(ordered);
    }
    const double accuracy_m = proj_coordoperation_get_accuracy(context, state_->operation.get());
    state_->accuracy_m = accuracy_m > 0 ? accuracy_m : 0;
}

Transform::Transform(Transform&&) noexcept = default;
Transform& Transform::operator=(Transform&&) noexcept = default;
Transform::~Transform() = default;

NativePoint Transform::operator()(NativePoint p) const
{
    const auto moved = proj_trans(state_->operation.get(), PJ_FWD, proj_coord(p.x, p.y, 0, HUGE_VAL));
    const bool reached = std::isfinite(moved.xy.x) && std::isfinite(moved.xy.y);
    if (!reached) {
        stop(fmt::format("({}, {}) cannot be brought from {}", p.x, p.y, state_->name));
    }
    return {.x = moved.xy.x, .y = moved.xy.y};
}

double Transform::accuracy_m() const
{
    return state_->accuracy_m;
}

const std::string& Transform::name() const
{
    return state_->name;
}

Frame frame_in(const std::string& system, NativePoint near)
{
    const auto facts = system_facts(system);
    switch (facts.kind) {
    case SystemKind::geographic: return local_frame(facts, near);
    case SystemKind::projected: return grid_frame(facts, near);
    case SystemKind::local: break;
    }
    stop(fmt::format("system {} has no place on the earth; use a tape frame", facts.name));
}

Frame tape_frame(LengthUnit unit)
{
    Frame frame;
    frame.native_unit = unit;
    frame.meters_per_native = meters_per(unit);
    frame.name = fmt::format("tape offsets ({})", unit_word(unit));
    return frame;
}

} // namespace trenchwright
