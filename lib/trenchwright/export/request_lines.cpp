#include "trenchwright/export/exchange/world.hpp"
#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/locate_request.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

using Places = std::vector<Point>;

/// RFC 7946: outer rings run anticlockwise, holes clockwise, and the first place is repeated.
Places wound(Ring ring, bool anticlockwise)
{
    if ((signed_area_m2(ring) > 0) != anticlockwise) {
        std::ranges::reverse(ring);
    }
    return closed(ring);
}

JsonList lon_lat(const World& world, const Places& places)
{
    return json_list(places, [&](const Point& at) -> JsonValue {
        const auto place = world(at);
        return JsonList{place->x, place->y};
    });
}

JsonList polygon_rings(const Polygon& area, const auto& places_json)
{
    JsonList rings{JsonValue(places_json(wound(area.outer, true)))};
    for (const auto& hole : area.holes) {
        rings.emplace_back(places_json(wound(hole, false)));
    }
    return rings;
}

JsonValue geometry(const char* type, const World& world, const auto& make)
{
    if (!world.why_not().empty()) {
        return {};
    }
    return JsonObject{{"type", type},
                      {"coordinates", make([&](const Places& places) { return lon_lat(world, places); })}};
}

JsonObject feature(JsonValue shape, JsonObject properties)
{
    return {{"type", "Feature"}, {"properties", std::move(properties)}, {"geometry", std::move(shape)}};
}

JsonObject properties(const JobPlan& plan, const TrenchPlan& trench, const char* what)
{
    return {{"what", what},
            {"source", plan.site.sources[trench.source].id},
            {"outlet", plan.site.outlets[trench.outlet].id},
            {"trench_width_m", trench.laid.problem.section.width_m},
            {"length_m", trench.measured.quantities.length_m},
            {"max_depth_m", trench.measured.quantities.max_cut_m}};
}

void add_trench(JsonList& features, const JobPlan& plan, const TrenchPlan& trench, const World& world)
{
    const auto native = [&](const Places& places) { return json_line(plan.site.frame, places); };
    for (const auto& area : white_area(trench, plan.job.rules)) {
        auto said = properties(plan, trench, "white lines");
        said.emplace_back("area_native", polygon_rings(area, native));
        features.emplace_back(
            feature(geometry("Polygon", world, [&](const auto& places) { return polygon_rings(area, places); }), said));
    }
    auto said = properties(plan, trench, "center line, from the lower end to the source");
    said.emplace_back("line_native", native(trench.line.route.line));
    features.emplace_back(feature(
        geometry("LineString", world, [&](const auto& places) { return places(trench.line.route.line); }), said));
}

} // namespace

std::string locate_request_geojson(const JobPlan& plan)
{
    const auto request = locate_request(plan);
    JsonList features;
    const auto world = site_world(plan);
    for (const auto* trench : trenches_of(request.outcome)) {
        add_trench(features, plan, *trench, world);
    }
    const auto text = [](const std::string& item) { return JsonValue(item); };
    return json_text(JsonObject{
        {"type", "FeatureCollection"},
        {"name", "Locate request: " + plan.job.name},
        {"outlet", request.outcome == nullptr ? JsonValue() : JsonValue(plan.site.outlets[request.outcome->outlet].id)},
        {"outlet_chosen", request.why},
        {"warning", request_warning(plan, request)},
        {"marks_supplied", supplied_marks(plan.site).size()},
        {"frame", plan.site.frame.name},
        {"native_unit", unit_word(plan.site.frame.native_unit)},
        {"no_wgs84_because", world.why_not()},
        {"datum_shift_accuracy_m", world.accuracy_m()},
        {"not_supplied", json_list(not_supplied_lines(plan), text)},
        {"cautions", json_list(cautions(), text)},
        {"features", std::move(features)}});
}

} // namespace trenchwright
