#include "trenchwright/dig/crossing_record.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

Exposing exposing_of(const Mark& mark, const std::optional<Passing>& passing, double gap_required_m)
{
    if (!mark.exposed_depth_m) {
        return Exposing::depth_unknown;
    }
    if (!passing) {
        return Exposing::not_by_exposure;
    }
    return passing->gap_m < gap_required_m - gap_rounding_m ? Exposing::gap_too_small : Exposing::recorded;
}

Interval conflict_depth_m(const PipeBand& pipe, const KnownLine& facility, double ground_elev_m)
{
    const double height = facility.top_elev_m - facility.bottom_elev_m;
    return {std::max(0.0, ground_elev_m - (pipe.top_elev_m + facility.gap_m + height)),
            std::max(0.0, ground_elev_m - (pipe.bottom_elev_m - facility.gap_m))};
}

} // namespace

bool before_grade(Exposing why)
{
    return why != Exposing::recorded;
}

std::string_view exposing_text(Exposing why)
{
    switch (why) {
    case Exposing::depth_unknown: return "depth unknown";
    case Exposing::not_by_exposure: return "the depth stated was not measured on the exposed line";
    case Exposing::gap_too_small: return "by its recorded depth the gap is not kept";
    case Exposing::recorded: return "its depth was measured where it was exposed";
    }
    return "";
}

std::vector<CrossingRecord> crossing_records(const Site& site, const ProfileProblem& problem, const Profile& profile,
                                             const std::vector<Crossing>& crossings, const RecordRules& rules)
{
    const auto corners = tape_corners(site.foundations, rules.ties);
    std::vector<CrossingRecord> records;
    for (const auto& crossing : crossings) {
        const Mark& mark = site.marks[crossing.mark];
        const LineCrossing met{.station_m = crossing.station_m, .angle_rad = crossing.angle_rad, .at = crossing.at};
        const double top = crossing.ground_elev_m - mark.exposed_depth_m.value_or(0);
        const auto facility = facility_at(site, crossing.mark, met, top, problem.section, rules.clearances);
        CrossingRecord record;
        record.hand_length_m = crossing.hand_span.to_m - crossing.hand_span.from_m;
        record.hand_volume_m3 = trench_volume_m3(problem, profile, crossing.hand_span);
        record.gap_required_m = facility.gap_m;
        record.gap_hard = facility.hard;
        record.width_taken = !mark.width_m;
        if (depth_known(mark)) {
            record.passing = passing(problem.section, profile.points, facility);
        }
        record.exposing = exposing_of(mark, record.passing, facility.gap_m);
        record.conflict_depth_m = conflict_depth_m(pipe_band(problem.section, profile.points, facility.span), facility,
                                                   crossing.ground_elev_m);
        record.ties = tape_ties(crossing.at, corners, site.foundations, rules.ties);
        records.push_back(std::move(record));
    }
    return records;
}

} // namespace trenchwright
