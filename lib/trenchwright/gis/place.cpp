#include "trenchwright/gis/place.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/system.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <type_traits>

namespace trenchwright {

namespace {

/// Calls each(point) for every vertex of a shape; works on const and mutable shapes.
template <class ShapeRef, class Each> void for_each_vertex(ShapeRef& shape, Each each)
{
    const auto run = [&](auto& line) {
        for (auto& p : line) {
            each(p);
        }
    };
    if (auto* points = std::get_if<std::vector<ShapePoint>>(&shape)) {
        run(*points);
    } else if (auto* lines = std::get_if<std::vector<ShapeLine>>(&shape)) {
        std::for_each(lines->begin(), lines->end(), run);
    } else if (auto* areas = std::get_if<std::vector<ShapeArea>>(&shape)) {
        for (auto& area : *areas) {
            run(area.outer);
            std::for_each(area.holes.begin(), area.holes.end(), run);
        }
    }
}

/// Center of the vertices' box; nothing for no shape.
std::optional<NativePoint> box_center(const Shape& shape)
{
    std::optional<ShapePoint> low;
    std::optional<ShapePoint> high;
    for_each_vertex(shape, [&](const ShapePoint& p) {
        low = low ? ShapePoint{.x = std::min(low->x, p.x), .y = std::min(low->y, p.y), .file_z = {}} : p;
        high = high ? ShapePoint{.x = std::max(high->x, p.x), .y = std::max(high->y, p.y), .file_z = {}} : p;
    });
    if (!low) {
        return std::nullopt;
    }
    return NativePoint{.x = (low->x + high->x) / 2, .y = (low->y + high->y) / 2};
}

double median(std::vector<double> values)
{
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

template <class Move> void move_all(LayerData& layer, Move move)
{
    for (auto& feature : layer.features) {
        try {
            for_each_vertex(feature.shape, [&](ShapePoint& p) {
                const Point to = move(NativePoint{.x = p.x, .y = p.y});
                p.x = to.x_m;
                p.y = to.y_m;
            });
        } catch (const Error& fault) {
            throw Error(fault.kind(), fmt::format("{}: {}", where(layer, feature.id), fault.what()));
        }
    }
}

std::string system_of(const LayerData& layer, const std::string& fallback_wkt)
{
    if (!layer.wkt.empty()) {
        return layer.wkt;
    }
    if (layer.driver == "CSV" && !fallback_wkt.empty()) {
        return fallback_wkt;
    }
    throw Error(ErrorKind::input, fmt::format("{}: layer {} states no coordinate system; state it with `crs`",
                                              layer.file.string(), layer.layer));
}

/// How a layer says its system, before the system's name.
std::string stated_by(const LayerData& layer)
{
    return layer.driver == "GeoJSON" ? "names no other system than" : "states";
}

/// How far apart the outermost vertices of a layer lie.
struct Reach {
    std::size_t vertices = 0;
    double size = 0; ///< longer side of the box around them
    NativePoint first;
};
Reach reach_of(const LayerData& layer)
{
    Reach reach;
    NativePoint low;
    NativePoint high;
    for (const auto& feature : layer.features) {
        for_each_vertex(feature.shape, [&](const ShapePoint& p) {
            reach.first = reach.vertices == 0 ? NativePoint{.x = p.x, .y = p.y} : reach.first;
            low = reach.vertices == 0 ? reach.first : NativePoint{.x = std::min(low.x, p.x), .y = std::min(low.y, p.y)};
            high =
                reach.vertices == 0 ? reach.first : NativePoint{.x = std::max(high.x, p.x), .y = std::max(high.y, p.y)};
            ++reach.vertices;
        });
    }
    reach.size = std::max(high.x - low.x, high.y - low.y);
    return reach;
}

} // namespace

std::optional<NativePoint> middle(const LayerData& layer)
{
    std::vector<double> xs;
    std::vector<double> ys;
    for (const auto& feature : layer.features) {
        if (const auto center = box_center(feature.shape)) {
            xs.push_back(center->x);
            ys.push_back(center->y);
        }
    }
    if (xs.empty()) {
        return std::nullopt;
    }
    return NativePoint{.x = median(std::move(xs)), .y = median(std::move(ys))};
}

namespace {

/// @param claim  for people: how the layer came to its system, with `{}` for the system's name
void require_degrees_as(const LayerData& layer, const std::string& wkt, const std::string& claim)
{
    const auto facts = wkt.empty() ? SystemFacts{} : system_facts(wkt);
    if (facts.kind != SystemKind::geographic) {
        return;
    }
    for (const auto& feature : layer.features) {
        for_each_vertex(feature.shape, [&](const ShapePoint& p) {
            const bool degrees = std::abs(p.x) <= 180 && std::abs(p.y) <= 90;
            if (!degrees) {
                throw Error(ErrorKind::input,
                            fmt::format("{}: ({}, {}) is no longitude and latitude, yet the file {} {}; state its true "
                                        "system with `crs`",
                                        where(layer, feature.id), p.x, p.y, claim, facts.name));
            }
        });
    }
}

Transform transform_for(const LayerData& layer, const std::string& system, const Frame& frame, NativePoint at)
{
    try {
        return {system, frame.wkt, at};
    } catch (const Error& fault) {
        throw Error(fault.kind(), fmt::format("{}: layer {}: {}", layer.file.string(), layer.layer, fault.what()));
    }
}

/// Degrees taken for offsets make everything thousandths of a foot small, and it vanishes from the plan.
void require_offsets(const LayerData& layer, const Frame& frame)
{
    const auto place = fmt::format("{}: layer {}", layer.file.string(), layer.layer);
    const auto unit = unit_word(frame.native_unit);
    const auto facts = layer.wkt.empty() ? SystemFacts{} : system_facts(layer.wkt);
    if (facts.kind == SystemKind::geographic && !layer.features.empty()) { // without any it is empty, and said to be
        throw Error(ErrorKind::input,
                    fmt::format("{} {} {}, which counts in degrees, and a tape lot has no coordinate system. If its "
                                "numbers are offsets from the house corner in {}, write crs = \"tape\" in its table; "
                                "if they are degrees, give the lot in a surveyed frame",
                                place, stated_by(layer), facts.name, unit));
    }
    const auto reach = reach_of(layer);
    const bool tiny = reach.size > 0 && reach.size * frame.meters_per_native < inch_in_m;
    if (tiny) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: all its shapes lie within {:.3g} {} of each other, at ({}, {}): these look like "
                                "degrees, and a tape lot takes offsets from the house corner in {}",
                                place, reach.size, unit, reach.first.x, reach.first.y, unit));
    }
}

} // namespace

void require_degrees(const LayerData& layer)
{
    require_degrees_as(layer, layer.wkt, stated_by(layer));
}

PlacedLayer in_frame(LayerData layer, const Frame& frame, const TableSystem& tables)
{
    PlacedLayer placed;
    placed.frame = frame;
    if (frame.wkt.empty()) {
        require_offsets(layer, frame);
        placed.system_ignored = !layer.wkt.empty();
        move_all(layer, [&](NativePoint p) { return to_site(frame, p.x, p.y); });
        placed.data = std::move(layer);
        return placed;
    }
    const auto system = system_of(layer, tables.wkt);
    placed.system_assumed = layer.wkt.empty();
    require_degrees_as(layer, system,
                       placed.system_assumed ? "states no system and is taken in that of " + tables.from + ","
                                             : stated_by(layer));
    layer.wkt = system;
    const auto at = middle(layer);
    if (system == frame.wkt) {
        move_all(layer, [&](NativePoint p) { return to_site(frame, p.x, p.y); });
    } else if (at) {
        const auto transform = transform_for(layer, system, frame, *at);
        move_all(layer, [&](NativePoint p) {
            const auto native = transform(p);
            return to_site(frame, native.x, native.y);
        });
        if (transform.accuracy_m() > 0) {
            placed.shift_accuracy_m = transform.accuracy_m();
            placed.shift_name = transform.name();
        }
    }
    placed.data = std::move(layer);
    return placed;
}

std::string place_in_file(const PlacedLayer& layer, const Point& p)
{
    auto place = to_native(layer.frame, p);
    const bool moved = !layer.frame.wkt.empty() && layer.data.wkt != layer.frame.wkt;
    if (moved) {
        place = Transform(layer.frame.wkt, layer.data.wkt, place)(place);
    }
    const bool degrees = moved && system_facts(layer.data.wkt).kind == SystemKind::geographic;
    const bool plain = std::abs(place.x) < 1e12 && std::abs(place.y) < 1e12;
    return plain ? fmt::format("({:.{}f}, {:.{}f})", place.x, degrees ? 7 : 3, place.y, degrees ? 7 : 3)
                 : fmt::format("({:g}, {:g})", place.x, place.y);
}

} // namespace trenchwright
