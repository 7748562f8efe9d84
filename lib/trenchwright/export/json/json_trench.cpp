#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/words.hpp"
#include "trenchwright/plan/hand_dig.hpp"

#include <string>
#include <utility>

namespace trenchwright {

namespace {

JsonList texts(const std::vector<std::string>& items)
{
    return json_list(items, [](const std::string& item) { return JsonValue(item); });
}

JsonList stretches(const std::vector<Interval>& spans)
{
    return json_list(spans, [](const Interval& span) -> JsonValue {
        return JsonObject{{"from_m", span.from_m}, {"to_m", span.to_m}};
    });
}

JsonObject end_json(const Site& site, const TrenchPlan& trench)
{
    const auto& end = trench.line.route.end;
    return {{"at_native", json_place(site.frame, end.at)},
            {"lowest_invert_elev_m", end.lowest_invert_elev_m},
            {"highest_invert_elev_m", end.highest_invert_elev_m}};
}

JsonValue junction_json(const Site& site, const TrenchPlan& trench)
{
    if (!trench.joins) {
        return {};
    }
    return JsonObject{{"source", site.sources.at(trench.joins->source).id},
                      {"station_m", trench.joins->station_m},
                      {"at_native", json_place(site.frame, trench.joins->at)},
                      {"angle_deg", angle_deg(trench.joins->angle_rad)},
                      {"trunk_invert_elev_m", trench.joins->trunk_invert_elev_m}};
}

JsonList profile_json(const TrenchPlan& trench)
{
    return json_list(trench.laid.profile.points, [&](const GradePoint& point) -> JsonValue {
        return JsonObject{{"station_m", point.station_m}, {"invert_elev_m", point.invert_elev_m}};
    });
}

JsonList ground_json(const TrenchPlan& trench)
{
    return json_list(trench.laid.problem.ground, [](const GroundPoint& point) -> JsonValue {
        return JsonObject{{"station_m", point.station_m}, {"elev_m", point.elev_m}};
    });
}

JsonObject section_json(const TrenchSection& section)
{
    return {{"width_m", section.width_m},
            {"outside_diameter_m", section.outside_diameter_m},
            {"wall_m", section.wall_m},
            {"bedding_m", section.bedding_m}};
}

JsonValue bend_json(const Site& site, const Bend& bend)
{
    return JsonObject{
        {"station_m", bend.station_m},
        {"at_native", json_place(site.frame, bend.at)},
        {"angle_deg", angle_deg(bend.angle_rad)},
        {"fittings_deg", json_list(bend.fitting_angles_rad, [](double angle) { return JsonValue(angle_deg(angle)); })},
        {"deflection_deg", angle_deg(bend.deflection_rad)},
        {"price_money", bend.price}};
}

JsonValue vertical_bend_json(const Site& site, const VerticalBend& vertical)
{
    return JsonObject{{"bend", bend_json(site, vertical.bend)},
                      {"steeper_upstream", vertical.steeper_upstream},
                      {"buildable", vertical.buildable}};
}

JsonValue reduced_json(const TrenchPlan& trench)
{
    const auto& reduced = trench.laid.reduced;
    return reduced ? JsonValue(JsonObject{{"length_m", reduced->length_m},
                                          {"pipe", reduced->pipe},
                                          {"outside_diameter_m", reduced->outside_diameter_m},
                                          {"wall_m", reduced->wall_m}})
                   : JsonValue();
}

JsonValue drop_json(const Site& /*site*/, const PipeDrop& drop)
{
    return JsonObject{{"from_m", drop.span.from_m}, {"to_m", drop.span.to_m}, {"height_m", drop.height_m}};
}

JsonValue anchored_json(const Site& /*site*/, const AnchoredStretch& stretch)
{
    return JsonObject{{"from_m", stretch.span.from_m},
                      {"to_m", stretch.span.to_m},
                      {"fall_ratio", stretch.fall_ratio},
                      {"spacing_m", stretch.spacing_m},
                      {"anchors", stretch.anchors}};
}

JsonValue shallow_json(const Site& /*site*/, const ShallowStretch& stretch)
{
    return JsonObject{{"from_m", stretch.span.from_m},
                      {"to_m", stretch.span.to_m},
                      {"kind", stretch.kind},
                      {"wanted_m", stretch.wanted_m},
                      {"min_cover_m", stretch.min_cover_m},
                      {"min_station_m", stretch.min_station_m}};
}

JsonValue zone_json(const Site& site, const TrenchPlan& trench, const HandDigZone& zone)
{
    const auto areas = trench_area(trench.line.route.line, zone.span, trench.laid.problem.section.width_m);
    return JsonObject{{"areas_native", json_areas(site.frame, areas)},
                      {"from_m", zone.span.from_m},
                      {"to_m", zone.span.to_m},
                      {"length_m", zone.span.to_m - zone.span.from_m},
                      {"facilities", texts(facility_words(site, zone.marks))},
                      {"marks", texts(mark_ids(site, zone.marks))},
                      {"trees", texts(tree_ids(site, zone.trees))},
                      {"volume_m3", zone.volume_m3}};
}

JsonObject crossing_json(const Site& site, const Crossing& crossing)
{
    const auto& mark = site.marks.at(crossing.mark);
    const auto code = mark_code(mark.facility);
    return {{"station_m", crossing.station_m},
            {"at_native", json_place(site.frame, crossing.at)},
            {"angle_deg", angle_deg(crossing.angle_rad)},
            {"mark", mark.id},
            {"probable", mark.probable()},
            {"facility", facility_name(mark.facility)},
            {"color", mark.probable() ? JsonValue() : JsonValue(code.color)},
            {"letters", mark.probable() ? JsonValue() : JsonValue(code.letters)},
            {"quality", mark.quality ? JsonValue(quality_word(mark)) : JsonValue()},
            {"width_m", mark.width_m},
            {"position_accuracy_m", mark.position_accuracy_m},
            {"date_marked", mark.date_marked},
            {"depth", depth_word(crossing)},
            {"depth_m", known_depth_m(crossing)},
            {"ground_elev_m", crossing.ground_elev_m},
            {"facility_top_elev_m", crossing.facility_top_elev_m},
            {"pipe_top_elev_m", crossing.pipe_top_elev_m},
            {"trench_bottom_elev_m", crossing.trench_bottom_elev_m},
            {"hand_from_m", crossing.hand_span.from_m},
            {"hand_to_m", crossing.hand_span.to_m},
            {"formula_length_m", crossing.formula_length_m}};
}

/// Null with no mark of any kind: nobody knows what is crossed.
JsonValue crossings_json(const Site& site, const TrenchPlan& trench)
{
    if (site.marks.empty()) {
        return {};
    }
    JsonList list;
    for (std::size_t i = 0; i < trench.measured.crossings.size(); ++i) {
        auto crossing = crossing_json(site, trench.measured.crossings[i]);
        add_record(crossing, trench.measured.records.at(i));
        list.emplace_back(std::move(crossing));
    }
    return list;
}

JsonValue depth_json(const Site& site, const Depth& depth)
{
    return JsonObject{{"station_m", depth.station_m},
                      {"ground_elev_m", depth.ground_elev_m},
                      {"invert_elev_m", depth.invert_elev_m},
                      {"cut_m", depth.cut_m},
                      {"cover_m", depth.cover_m},
                      {"fall_ratio", depth.fall_ratio},
                      {"by_hand", known_by_hand(site, depth)}};
}

JsonObject quantities_json(const Site& site, const TrenchPlan& trench)
{
    const auto& q = trench.measured.quantities;
    const auto dig = hand_dig(site, trench);
    const auto if_known = [&](double figure) { return dig.known ? JsonValue(figure) : JsonValue(); };
    JsonObject restore;
    for (const auto& [kind, area] : q.restore_m2) {
        restore.emplace_back(kind, area);
    }
    return {{"length_m", q.length_m},
            {"pipe_length_m", q.pipe_length_m},
            {"machine_length_m", if_known(dig.machine_length_m)},
            {"hand_length_m", if_known(dig.length_m)},
            {"hand_length_at_least_m", dig.length_m},
            {"min_cut_m", q.min_cut_m},
            {"max_cut_m", q.max_cut_m},
            {"mean_cut_m", q.mean_cut_m},
            {"max_cut_station_m", q.max_cut_station_m},
            {"machine_cut_m3", if_known(dig.machine_volume_m3)},
            {"hand_cut_m3", if_known(dig.volume_m3)},
            {"hand_cut_at_least_m3", dig.volume_m3},
            {"bedding_m3", q.bedding_m3},
            {"pipe_m3", q.pipe_m3},
            {"backfill_m3", q.backfill_m3},
            {"haul_loose_m3", q.haul_loose_m3},
            {"restore_m2", std::move(restore)}};
}

JsonObject search_json(const Route& route)
{
    return {{"lattice_cost_money", route.lattice_cost},
            {"lattice_true_cost_money", route.lattice_true_cost},
            {"cost_money", route.cost},
            {"proven_gap_money", route.proven_gap},
            {"orientation_deg", angle_deg(route.orientation_rad)},
            {"labels", route.labels},
            {"cells", route.cells}};
}

JsonObject facts_json(const LineFacts& facts)
{
    auto surfaces = json_list(facts.surface, [](const auto& stretch) -> JsonValue {
        return JsonObject{{"from_m", stretch.first.from_m}, {"to_m", stretch.first.to_m}, {"kind", stretch.second}};
    });
    return {{"ground_cover", std::move(surfaces)},
            {"near_trees", stretches(facts.tree)},
            {"along_marks", stretches(facts.parallel)}};
}

template <class Item>
JsonList each(const Site& site, const std::vector<Item>& items, JsonValue (*make)(const Site&, const Item&))
{
    return json_list(items, [&](const Item& item) { return make(site, item); });
}

} // namespace

JsonObject json_trench(const Site& site, const TrenchPlan& trench)
{
    const auto& points = trench.laid.profile.points;
    return {
        {"permission", permission_name(trench.permission)},
        {"joins", junction_json(site, trench)},
        {"pressure", trench.pressure},
        {"line_native", json_line(site.frame, trench.line.route.line)},
        {"outlet_end", end_json(site, trench)},
        {"outlet_invert_elev_m", points.at(0).invert_elev_m},
        {"source_invert_elev_m", points.back().invert_elev_m},
        {"profile", profile_json(trench)},
        {"ground", ground_json(trench)},
        {"section", section_json(trench.laid.problem.section)},
        {"bends", each(site, trench.line.bends, bend_json)},
        {"vertical_bends", each(site, trench.laid.grades.bends, vertical_bend_json)},
        {"drops", each(site, trench.laid.grades.drops, drop_json)},
        {"anchored", each(site, trench.laid.grades.anchored, anchored_json)},
        {"reduced", reduced_json(trench)},
        {"shallow_cover", each(site, trench.laid.shallow, shallow_json)},
        {"stretches", facts_json(trench.line.facts)},
        {"zones", json_list(trench.measured.zones, [&](const auto& zone) { return zone_json(site, trench, zone); })},
        {"crossings", crossings_json(site, trench)},
        {"parallel_runs", site.marks.empty() ? JsonValue() : JsonValue(json_along(site, trench))},
        {"depths", each(site, trench.measured.depths, depth_json)},
        {"quantities", quantities_json(site, trench)},
        {"extra_fall_m", trench.laid.extra_fall_m},
        {"extra_fall_station_m", trench.laid.extra_fall_station_m},
        {"cleanouts", json_cleanouts(site, trench.laid.cleanouts)},
        {"wall_core", json_wall_core(site, trench.laid.wall_core)},
        {"safety", json_safety(site, trench.safety)},
        {"findings", json_findings(site.frame, trench.findings, trench.line.route.line)},
        {"search", search_json(trench.line.route)}};
}

} // namespace trenchwright
