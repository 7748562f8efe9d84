#include "trenchwright/export/exchange/world.hpp"
#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/words.hpp"

namespace trenchwright {

namespace {

JsonValue depth_range(const Interval& depth)
{
    if (!(depth.to_m > 0)) {
        return {};
    }
    return JsonObject{{"from_m", depth.from_m}, {"to_m", depth.to_m}};
}

JsonValue passing_json(const CrossingRecord& record)
{
    if (!record.passing) {
        return {};
    }
    return JsonObject{{"way", record.passing->over ? "over" : "under"}, {"gap_m", record.passing->gap_m}};
}

} // namespace

JsonList json_areas(const Frame& frame, const std::vector<Polygon>& areas)
{
    return json_list(areas, [&](const Polygon& area) -> JsonValue {
        JsonList rings{JsonValue(json_line(frame, area.outer))};
        for (const auto& hole : area.holes) {
            rings.emplace_back(json_line(frame, hole));
        }
        return rings;
    });
}

JsonObject json_ties(const TapeTies& ties)
{
    auto tapes = json_list(ties.ties, [](const TapeTie& tie) -> JsonValue {
        return JsonObject{{"corner", tie.corner}, {"length_m", tie.length_m}};
    });
    return {{"tapes", std::move(tapes)},
            {"crossing_deg", ties.ties.empty() ? JsonValue() : JsonValue(angle_deg(ties.crossing_rad))},
            {"fault", tie_fault_word(ties.fault)}};
}

void add_record(JsonObject& crossing, const CrossingRecord& record)
{
    crossing.emplace_back("hand_length_m", record.hand_length_m);
    crossing.emplace_back("hand_volume_m3", record.hand_volume_m3);
    crossing.emplace_back("expose_before_grade", before_grade(record.exposing));
    crossing.emplace_back("expose_because", exposing_text(record.exposing));
    crossing.emplace_back("gap_required_m", record.gap_required_m);
    crossing.emplace_back("gap_is_hard", record.gap_hard);
    crossing.emplace_back("width_taken", record.width_taken);
    crossing.emplace_back("passing", passing_json(record));
    crossing.emplace_back("conflict_depth", depth_range(record.conflict_depth_m));
    crossing.emplace_back("ties", json_ties(record.ties));
}

JsonList json_along(const Site& site, const TrenchPlan& trench)
{
    return json_list(trench.measured.along, [&](const ParallelRun& run) -> JsonValue {
        const auto& mark = site.marks.at(run.mark);
        return JsonObject{
            {"mark", mark.id},           {"probable", mark.probable()}, {"facility", facility_name(mark.facility)},
            {"from_m", run.span.from_m}, {"to_m", run.span.to_m},       {"length_m", run.span.to_m - run.span.from_m},
            {"gap_m", run.gap_m},        {"in_zone", run.in_zone},      {"too_near", run.too_near}};
    });
}

JsonList json_corners(const JobPlan& plan)
{
    return json_list(
        tape_corners(plan.site.foundations, plan.job.rules.ties), [&](const TapeCorner& corner) -> JsonValue {
            return JsonObject{{"name", corner.name}, {"at_native", json_place(plan.site.frame, corner.at)}};
        });
}

JsonList json_potholes(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto holes = potholes(outcome);
    if (holes.empty()) {
        return {};
    }
    const auto world = site_world(plan);
    return json_list(holes, [&](const Pothole& hole) -> JsonValue {
        const auto& mark = plan.site.marks.at(hole.at().mark);
        const auto place = world(hole.at().at);
        return JsonObject{{"source", plan.site.sources.at(hole.trench->source).id},
                          {"station_m", hole.at().station_m},
                          {"mark", mark.id},
                          {"probable", mark.probable()},
                          {"facility", facility_name(mark.facility)},
                          {"at_native", json_place(plan.site.frame, hole.at().at)},
                          {"longitude_deg", place ? JsonValue(place->x) : JsonValue()},
                          {"latitude_deg", place ? JsonValue(place->y) : JsonValue()},
                          {"ties", json_ties(hole.record().ties)}};
    });
}

} // namespace trenchwright
