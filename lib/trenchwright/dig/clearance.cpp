#include "trenchwright/dig/clearance.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/stretch.hpp"
#include "trenchwright/route/along_marks.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

double width_m(const Mark& mark, const ClearanceRules& rules)
{
    return mark.width_m.value_or(rules.unknown_width_m);
}

/// From the edge of a strip as wide as the pipe to the mark's line, where the side gap is just kept.
double side_reach_m(const Mark& mark, const ClearanceRules& rules)
{
    return width_m(mark, rules) / 2 + separation_from(mark.facility, rules).side_m +
           mark.position_accuracy_m.value_or(0);
}

bool meets(const std::vector<Interval>& spans, const Interval& span)
{
    return std::any_of(spans.begin(), spans.end(),
                       [&](const auto& s) { return s.from_m <= span.to_m && span.from_m <= s.to_m; });
}

} // namespace

Facility leading_facility(Facility facility)
{
    return facility == Facility::sewer_unstated ? Facility::sanitary_sewer : facility;
}

const Separation& separation_from(Facility facility, const ClearanceRules& rules)
{
    const auto row = rules.by_facility.find(leading_facility(facility));
    if (row == rules.by_facility.end()) {
        throw Error(ErrorKind::internal, fmt::format("clearance: no row for {}", facility_name(facility)));
    }
    return row->second;
}

bool depth_known(const Mark& mark)
{
    return mark.exposed_depth_m.has_value() && mark.quality == QualityLevel::a;
}

KnownLine facility_at(const Site& site, std::size_t mark, const LineCrossing& met, double top_elev_m,
                      const TrenchSection& section, const ClearanceRules& rules)
{
    const Mark& crossed = site.marks[mark];
    const auto& asked = separation_from(crossed.facility, rules);
    const double width = width_m(crossed, rules);
    const double half = hand_dig_length_m(width, 0, section.outside_diameter_m, met.angle_rad) / 2;
    return {.mark = mark,
            .station_m = met.station_m,
            .span = {met.station_m - half, met.station_m + half},
            .top_elev_m = top_elev_m,
            .bottom_elev_m = top_elev_m - width,
            .gap_m = asked.crossing_m,
            .hard = asked.crossing_hard};
}

std::vector<KnownLine> known_lines(const Site& site, const Polyline& line, const std::vector<GroundPoint>& ground,
                                   const TrenchSection& section, const ClearanceRules& rules)
{
    std::vector<KnownLine> known;
    for (std::size_t i = 0; i < site.marks.size(); ++i) {
        if (!depth_known(site.marks[i])) {
            continue;
        }
        for (const auto& met : crossings(line, site.marks[i].line)) {
            const double top = ground_at_m(ground, met.station_m) - *site.marks[i].exposed_depth_m;
            known.push_back(facility_at(site, i, met, top, section, rules));
        }
    }
    std::stable_sort(known.begin(), known.end(),
                     [](const auto& a, const auto& b) { return a.station_m < b.station_m; });
    return known;
}

std::vector<ParallelRun> parallel_runs(const Site& site, const Polyline& line, const RouteRules& route,
                                       const ClearanceRules& rules)
{
    std::vector<ParallelRun> runs;
    const double pipe = route.section.outside_diameter_m;
    const double least = route.min_crossing_angle_rad;
    for (std::size_t i = 0; i < site.marks.size(); ++i) {
        const Mark& mark = site.marks[i];
        const auto zone = stretches_along(
            line, mark.line, {.strip_m = route.section.width_m, .reach_m = hand_dig_reach_m(mark, route)}, least);
        const auto beside =
            stretches_along(line, mark.line, {.strip_m = pipe, .reach_m = side_reach_m(mark, rules)}, least);
        auto both = zone;
        both.insert(both.end(), beside.begin(), beside.end());
        for (const auto& span : merged(std::move(both))) {
            if (!(span.to_m > span.from_m)) {
                continue; // touched at a corner only
            }
            const double axis = distance_m(stretch_of(line, span), mark.line);
            runs.push_back({.mark = i,
                            .span = span,
                            .gap_m = axis - pipe / 2 - width_m(mark, rules) / 2,
                            .in_zone = meets(zone, span),
                            .too_near = meets(beside, span)});
        }
    }
    return runs;
}

} // namespace trenchwright
