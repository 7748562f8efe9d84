#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/words.hpp"

namespace trenchwright {

namespace {

JsonValue angle_json(const std::optional<double>& angle_rad)
{
    return angle_rad ? JsonValue(angle_deg(*angle_rad)) : JsonValue();
}

JsonObject pit_json(const Site& site, const FootingPit& pit)
{
    return {{"at_native", json_place(site.frame, pit.at)},
            {"source", pit.source ? JsonValue(site.sources.at(*pit.source).id) : JsonValue()},
            {"to_source_m", pit.source ? JsonValue(pit.to_source_m) : JsonValue()},
            {"length_m", pit.length_m},
            {"farthest_native", json_place(site.frame, pit.farthest)},
            {"longest_run_m", pit.longest_run_m},
            {"fall_m", pit.fall_m},
            {"trench_depth_m", pit.trench_depth_m},
            {"inlet_depth_m", pit.inlet_depth_m}};
}

JsonObject wall_json(const Site& site, const WallPlace& place)
{
    return {{"at_native", json_place(site.frame, place.at)},
            {"off_wall_m", place.off_wall_m},
            {"left_corner_native", json_place(site.frame, place.left_corner)},
            {"right_corner_native", json_place(site.frame, place.right_corner)},
            {"to_left_m", place.to_left_m},
            {"to_right_m", place.to_right_m}};
}

std::string_view reason_word(CleanoutReason reason)
{
    switch (reason) {
    case CleanoutReason::upper_end: return "upper_end";
    case CleanoutReason::spacing: return "spacing";
    case CleanoutReason::bends: return "bends";
    }
    return "";
}

} // namespace

JsonValue json_footing(const Site& site, const std::optional<FootingWork>& footing)
{
    if (!footing) {
        return {};
    }
    const auto& work = *footing;
    return JsonObject{
        {"drains", json_list(site.footing_drains,
                             [&](const FootingDrain& drain) -> JsonValue {
                                 return JsonObject{{"id", drain.id},
                                                   {"line_native", json_line(site.frame, drain.line)}};
                             })},
        {"pits", json_list(work.pits, [&](const FootingPit& pit) -> JsonValue { return pit_json(site, pit); })},
        {"length_m", work.length_m},
        {"cut_m3", work.cut_m3},
        {"stone_m3", work.stone_m3},
        {"stone_kg", work.stone_kg},
        {"bags", work.bags},
        {"pipe_m3", work.pipe_m3},
        {"refill_m3", work.refill_m3},
        {"spoil_m3", work.spoil_m3},
        {"spoil_loose_m3", work.spoil_loose_m3},
        {"spoil_stays", work.spoil_stays}};
}

JsonList json_cleanouts(const Site& site, const std::vector<Cleanout>& cleanouts)
{
    return json_list(cleanouts, [&](const Cleanout& cleanout) -> JsonValue {
        return JsonObject{{"station_m", cleanout.station_m},
                          {"at_native", json_place(site.frame, cleanout.at)},
                          {"reason", reason_word(cleanout.reason)}};
    });
}

JsonValue json_wall_core(const Site& site, const std::optional<WallCore>& core)
{
    if (!core) {
        return {};
    }
    return JsonObject{{"invert_elev_m", core->invert_elev_m},
                      {"center_elev_m", core->center_elev_m},
                      {"above_floor_m", core->above_floor_m},
                      {"above_ground_m", core->above_ground_m},
                      {"elbow_depth_m", core->elbow_depth_m},
                      {"drop_m", core->drop_m},
                      {"stated", core->stated},
                      {"wall", core->place ? JsonValue(wall_json(site, *core->place)) : JsonValue()}};
}

JsonList json_materials(const std::vector<MaterialItem>& materials)
{
    return json_list(materials, [](const MaterialItem& item) -> JsonValue {
        return JsonObject{{"name", item.name},
                          {"outside_diameter_m", item.size_m},
                          {"branch_outside_diameter_m", item.branch_size_m},
                          {"angle_deg", angle_json(item.angle_rad)},
                          {"count", item.count},
                          {"unit", item.unit},
                          {"length_m", item.length_m},
                          {"volume_m3", item.volume_m3},
                          {"mass_kg", item.mass_kg}};
    });
}

} // namespace trenchwright
