#include "trenchwright/site/nearby.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

double from_lot_m(const Ring& outline, const Site& site)
{
    double min_m = std::numeric_limits<double>::infinity();
    for (const auto& lot : site.parcel) {
        min_m = std::min(min_m, distance_m(closed(outline), lot));
    }
    return min_m;
}

/// Doubts that are alike and far from our lot.
struct Group {
    const ShapeWarning* nearest = nullptr;
    double nearest_m = 0;
    std::size_t count = 0;
};

Finding finding_of(const Group& group, UnitSystem units)
{
    if (group.count == 1) {
        return group.nearest->finding;
    }
    auto finding = group.nearest->finding;
    finding.text = fmt::format("{}: {} {}; all lie away from the lot, the nearest, feature {}, {} from it",
                               group.nearest->place, group.count, group.nearest->summary, group.nearest->feature_id,
                               length_text(group.nearest_m, units));
    return finding;
}

void add_to(std::vector<Group>& groups, const ShapeWarning& warning, double away_m)
{
    const auto alike = [&](const Group& group) {
        return group.nearest->place == warning.place && group.nearest->summary == warning.summary;
    };
    auto group = std::find_if(groups.begin(), groups.end(), alike);
    if (group == groups.end()) {
        group = groups.insert(groups.end(), {.nearest = &warning, .nearest_m = away_m, .count = 0});
    }
    ++group->count;
    if (away_m < group->nearest_m) {
        group->nearest = &warning;
        group->nearest_m = away_m;
    }
}

} // namespace

std::optional<Box> surroundings(const Site& site)
{
    std::vector<Point> points;
    const auto add = [&](const std::vector<Point>& more) { points.insert(points.end(), more.begin(), more.end()); };
    // Where the lot is known, houses beyond it (often those of a whole block) say nothing about ours.
    for (const auto& area : site.parcel.empty() ? site.foundations : site.parcel) {
        add(area.outer);
    }
    for (const auto& source : site.sources) {
        points.push_back(source.at);
    }
    for (const auto& outlet : site.outlets) {
        if (const auto* at = std::get_if<Point>(&outlet.place)) {
            points.push_back(*at);
        } else if (const auto* line = std::get_if<Polyline>(&outlet.place)) {
            add(*line);
        } else {
            add(std::get<Polygon>(outlet.place).outer);
        }
    }
    return points.empty() ? std::nullopt : std::optional(grown(bounds(points), surroundings_m));
}

std::vector<Finding> findings_of(const std::vector<ShapeWarning>& warnings, const Site& site, UnitSystem units)
{
    const auto ours = surroundings(site);
    std::vector<Finding> findings;
    std::vector<Group> groups;
    for (const auto& warning : warnings) {
        // Without a lot nothing is known to be far.
        const bool near = site.parcel.empty() || !ours || overlap(bounds(warning.outline), *ours);
        if (near) {
            findings.push_back(warning.finding);
        } else {
            add_to(groups, warning, from_lot_m(warning.outline, site));
        }
    }
    for (const auto& group : groups) {
        findings.push_back(finding_of(group, units));
    }
    return findings;
}

} // namespace trenchwright
