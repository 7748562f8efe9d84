#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/words.hpp"

namespace trenchwright {

namespace {

JsonList spans_json(const std::vector<Interval>& spans)
{
    return json_list(spans, [](const Interval& span) -> JsonValue {
        return JsonObject{{"from_m", span.from_m}, {"to_m", span.to_m}};
    });
}

JsonObject over_json(const ExceedingSpan& over)
{
    return {{"from_m", over.span.from_m},
            {"to_m", over.span.to_m},
            {"max_m", over.max_m},
            {"max_station_m", over.max_station_m}};
}

JsonList overs_json(const std::vector<ExceedingSpan>& overs)
{
    return json_list(overs, [](const ExceedingSpan& over) -> JsonValue { return over_json(over); });
}

JsonList reached_json(const std::vector<Encroachment>& reached)
{
    return json_list(reached, [](const Encroachment& one) -> JsonValue {
        auto made = over_json(one.over);
        made.emplace_back("kind", site_object_kind_word(one.kind));
        made.emplace_back("name", one.name);
        return made;
    });
}

JsonValue protection_json(const ProtectedStretch& stretch)
{
    return JsonObject{{"from_m", stretch.cut.span.from_m},
                      {"to_m", stretch.cut.span.to_m},
                      {"max_cut_m", stretch.cut.max_m},
                      {"shored", stretch.shored},
                      {"no_room", stretch.no_room},
                      {"top_width_m", stretch.top_width_m},
                      {"extra_machine_m3", stretch.extra_machine_m3},
                      {"extra_hand_m3", stretch.extra_hand_m3},
                      {"face_m2", stretch.face_m2},
                      {"reached", reached_json(stretch.reached)}};
}

JsonObject spoil_json(const SpoilRoom& spoil)
{
    return {{"side", spoil.on_left ? "left" : "right"},      {"widest_m", spoil.widest_m},
            {"widest_station_m", spoil.widest_station_m},    {"left_taken_m", spoil.left.taken_m},
            {"right_taken_m", spoil.right.taken_m},          {"left_taken", reached_json(spoil.left.taken)},
            {"right_taken", reached_json(spoil.right.taken)}};
}

JsonObject area_json(const AreaInside& area)
{
    return {{"id", area.id},
            {"holder", area.holder},
            {"length_m", area.length_m},
            {"opened_m2", area.opened_m2},
            {"spans", spans_json(area.spans)}};
}

JsonValue setback_json(const SetbackCheck& check)
{
    return JsonObject{{"kind", check.kind},
                      {"id", check.id},
                      {"required_m", check.rule.distance_m},
                      {"hard", check.rule.hard},
                      {"nearest_m", check.nearest_m},
                      {"nearest_station_m", check.nearest_station_m},
                      {"too_near", spans_json(check.too_near)}};
}

std::string_view target_word(AimTarget target)
{
    switch (target) {
    case AimTarget::stays_inside: return "stays_inside";
    case AimTarget::street: return "street";
    case AimTarget::neighbor: return "neighbor";
    case AimTarget::other_side: return "other_side";
    case AimTarget::unknown: return "unknown";
    }
    return "";
}

JsonValue aim_reserve_json(const AimReserve& reserve)
{
    return JsonObject{{"kind", reserve.kind},
                      {"id", reserve.id},
                      {"away_m", reserve.away_m},
                      {"enters", reserve.enters},
                      {"stop", reserve.barred}};
}

JsonValue aim_building_json(const AimBuilding& building)
{
    return JsonObject{{"ours", building.ours}, {"id", building.id}, {"away_m", building.away_m}};
}

JsonValue neighbor_water_json(const std::optional<NeighborWater>& water)
{
    if (!water) {
        return {};
    }
    return JsonObject{{"sources", water->sources},
                      {"flow_m3ps", water->flow_m3ps},
                      {"required_m", water->required_m}};
}

JsonValue aim_json(const Site& site, const std::optional<OutletAim>& aim)
{
    if (!aim) {
        return {};
    }
    return JsonObject{
        {"target", target_word(aim->target)},
        {"neighbor", aim->neighbor},
        {"length_m", aim->length_m},
        {"fall_ratio", aim->fall_ratio},
        {"to_neighbor", neighbor_water_json(aim->to_neighbor)},
        {"buildings", json_list(aim->buildings, aim_building_json)},
        {"leaves_at_native", json_place(site.frame, aim->leaves_at)},
        {"neighbor_away_m", aim->neighbor_away_m},
        {"sidewalks", json_list(aim->walks, [](const std::string& walk) { return JsonValue(walk); })},
        {"septic_and_wells", json_list(aim->reserves, aim_reserve_json)},
        {"way_native", json_list(aim->way.points, [&](const Point3& p) { return json_place(site.frame, flat(p)); })}};
}

JsonValue tree_json(const Site& site, const TreeCheck& check)
{
    return JsonObject{{"tree", site.trees.at(check.tree).id}, {"nearest_m", check.nearest_m},
                      {"station_m", check.station_m},         {"circle_m", check.circle_m},
                      {"inside_m", check.inside_m},           {"near_hold", check.near_hold},
                      {"inside", spans_json(check.inside)}};
}

JsonValue grading_json(const std::optional<CutFill>& grading)
{
    if (!grading) {
        return {};
    }
    return JsonObject{{"cut_m3", grading->cut_m3},
                      {"fill_m3", grading->fill_m3},
                      {"cut_m2", grading->cut_m2},
                      {"fill_m2", grading->fill_m2},
                      {"deepest_cut_m", grading->deepest_cut_m},
                      {"highest_fill_m", grading->highest_fill_m}};
}

} // namespace

JsonObject json_safety(const Site& site, const TrenchSafety& safety)
{
    return {{"exits", overs_json(safety.exits)},
            {"protection", json_list(safety.protection, protection_json)},
            {"spoil", spoil_json(safety.spoil)},
            {"wedge", overs_json(safety.wedge)},
            {"trees", json_list(safety.trees, [&](const TreeCheck& check) { return tree_json(site, check); })},
            {"bored_m", safety.bored_m},
            {"setbacks", json_list(safety.setbacks, setback_json)},
            {"right_of_way", safety.street ? JsonValue(area_json(*safety.street)) : JsonValue()},
            {"easements", json_list(safety.easements, [](const AreaInside& a) -> JsonValue { return area_json(a); })},
            {"aim", aim_json(site, safety.aim)}};
}

JsonObject json_yard(const JobPlan& plan)
{
    const auto& yard = plan.yard;
    const auto& edge = plan.footing_edge;
    return {{"footing_bottom_elev_m", edge ? JsonValue(edge->bottom_elev_m) : JsonValue()},
            {"footing_outer_edge_m", edge ? JsonValue(edge->outer_edge_m) : JsonValue()},
            {"footing_inner_edge_m", edge ? JsonValue(edge->inner_edge_m) : JsonValue()},
            {"inside_checked", yard.inside_checked},
            {"inside_wedge", json_list(yard.inside_wedge,
                                       [&](const PlaceOver& over) -> JsonValue {
                                           return JsonObject{{"at_native", json_place(plan.site.frame, over.at)},
                                                             {"over_m", over.over_m}};
                                       })},
            {"grading", grading_json(yard.grading)},
            {"walls_proposed", yard.walls_proposed},
            {"walls", json_list(yard.walls,
                                [&](const WallGrade& wall) -> JsonValue {
                                    return JsonObject{{"from_native", json_place(plan.site.frame, wall.from)},
                                                      {"to_native", json_place(plan.site.frame, wall.to)},
                                                      {"min_fall_m", wall.min_fall_m},
                                                      {"min_at_native", json_place(plan.site.frame, wall.min_at)}};
                                })},
            {"spread_m2", yard.spread_m2}};
}

} // namespace trenchwright
