#include "trenchwright/site/probable_runs.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/nearby.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

/// Where a mark stops, and which way it was going.
struct MarkEnd {
    const Mark* mark = nullptr;
    Point at;
    double ahead_x_ratio = 0; ///< of a step of length 1
    double ahead_y_ratio = 0;
};

MarkEnd end_of(const Mark& mark, const Polyline& toward_end, double over_m)
{
    const auto& at = toward_end.back();
    const double whole_m = length_m(toward_end);
    const auto before = point_at(toward_end, whole_m - std::min(whole_m, over_m));
    const double run_m = distance_m(before, at);
    return {.mark = &mark,
            .at = at,
            .ahead_x_ratio = run_m > 0 ? (at.x_m - before.x_m) / run_m : 0,
            .ahead_y_ratio = run_m > 0 ? (at.y_m - before.y_m) / run_m : 0};
}

/// None of a line that closes, or whose ends somebody saw.
std::vector<MarkEnd> ends_of(const Mark& mark, double over_m)
{
    if (mark.line.size() < 2 || mark.ends_seen || mark.line.front() == mark.line.back()) {
        return {};
    }
    const Polyline backward(mark.line.rbegin(), mark.line.rend());
    return {end_of(mark, backward, over_m), end_of(mark, mark.line, over_m)};
}

bool is_sewer(Facility facility)
{
    return facility == Facility::sanitary_sewer || facility == Facility::storm_sewer ||
           facility == Facility::sewer_unstated;
}

/// Whether two marks may be of one line.
bool one_kind(Facility a, Facility b)
{
    const bool unstated_sewer = a == Facility::sewer_unstated || b == Facility::sewer_unstated;
    return a == b || a == Facility::unstated || b == Facility::unstated ||
           (unstated_sewer && is_sewer(a) && is_sewer(b));
}

bool any_within(const std::vector<Polygon>& areas, const Point& p, double reach_m)
{
    return std::ranges::any_of(areas, [&](const Polygon& area) { return distance_m(p, area) <= reach_m; });
}

bool any_edge_within(const std::vector<Polygon>& areas, const Point& p, double reach_m)
{
    return std::ranges::any_of(areas, [&](const Polygon& area) { return boundary_distance_m(p, area) <= reach_m; });
}

bool any_inside(const std::vector<Polygon>& areas, const Point& p)
{
    return std::ranges::any_of(areas, [&](const Polygon& area) { return contains(area, p); });
}

/// Another line past the end: ahead of it or to a side. One that only runs back beside it stops there as well.
bool leads_on(const Polyline& other, const MarkEnd& end, double reach_m)
{
    constexpr double back_ratio = -std::numbers::sqrt2 / 2;
    const double beside_m = station_of(other, end.at);
    const auto away = [&](double station_m) {
        const auto p = point_at(other, station_m);
        const double away_m = distance_m(p, end.at);
        const double ahead_m = (p.x_m - end.at.x_m) * end.ahead_x_ratio + (p.y_m - end.at.y_m) * end.ahead_y_ratio;
        return away_m > reach_m && ahead_m > back_ratio * away_m;
    };
    return distance_m(end.at, other) <= reach_m && (away(beside_m - 2 * reach_m) || away(beside_m + 2 * reach_m));
}

/// How far a straight run goes and what stops it.
struct Run {
    Polyline line;
    std::string to; ///< for people
};

class Finder {
  public:
    Finder(const Site& site, const MarkEndRules& rules, const Box& near) : site_(site), rules_(rules), near_(near) {}

    /// The run of an end that nothing explains; nothing for any other and for one that is nothing to our lot.
    [[nodiscard]] std::optional<Run> run_of(const MarkEnd& end) const
    {
        const bool ours = any_inside(site_.parcel, end.at);
        const bool looked_at =
            ours || (any_within(site_.parcel, end.at, rules_.off_lot_m) && !any_inside(site_.neighbors, end.at));
        if (!looked_at || explained(end)) {
            return std::nullopt;
        }
        auto run = straight_on(end);
        const bool comes_here = ours || on_lot_m(run ? run->line : ray(end)) > rules_.snap_m;
        if (!comes_here) {
            return std::nullopt;
        }
        return run ? run : where_nothing_stands(end);
    }

  private:
    [[nodiscard]] bool in_box(const Point& p) const { return overlap({p.x_m, p.y_m, p.x_m, p.y_m}, near_); }
    [[nodiscard]] bool at_building(const Point& p) const
    {
        return any_within(site_.foundations, p, rules_.reach_m) ||
               any_within(site_.neighbor_buildings, p, rules_.reach_m);
    }
    [[nodiscard]] bool at_structure(const Point& p) const
    {
        const auto near = [&](const Reserve& reserve) { return place_distance_m(p, reserve.place) <= rules_.reach_m; };
        return std::ranges::any_of(site_.wells, near) || std::ranges::any_of(site_.septic, near) ||
               std::ranges::any_of(site_.outlets, [&](const Outlet& outlet) {
                   return outlet.kind == OutletKind::inlet && place_distance_m(p, outlet.place) <= rules_.reach_m;
               });
    }
    [[nodiscard]] bool at_mark(const MarkEnd& end) const
    {
        return std::ranges::any_of(site_.marks, [&](const Mark& other) {
            return &other != end.mark && one_kind(other.facility, end.mark->facility) &&
                   leads_on(other.line, end, rules_.reach_m);
        });
    }
    [[nodiscard]] bool explained(const MarkEnd& end) const
    {
        return at_building(end.at) || any_edge_within(site_.parcel, end.at, rules_.reach_m) ||
               any_edge_within(site_.right_of_way, end.at, rules_.reach_m) ||
               any_edge_within(site_.neighbors, end.at, rules_.reach_m) || at_structure(end.at) || at_mark(end);
    }
    [[nodiscard]] Polyline ray(const MarkEnd& end) const
    {
        const double far_m = std::hypot(near_.max_x_m - near_.min_x_m, near_.max_y_m - near_.min_y_m);
        return {end.at, {.x_m = end.at.x_m + far_m * end.ahead_x_ratio, .y_m = end.at.y_m + far_m * end.ahead_y_ratio}};
    }
    [[nodiscard]] double on_lot_m(const Polyline& line) const
    {
        double inside_m = 0;
        for (const auto& lot : site_.parcel) {
            inside_m += total_m(spans_inside(line, lot));
        }
        return inside_m;
    }
    /// To the first building or mark of its kind ahead, near the lot.
    [[nodiscard]] std::optional<Run> straight_on(const MarkEnd& end) const
    {
        const auto line = ray(end);
        double least_m = length_m(line);
        std::string to;
        const auto take = [&](double away_m, const std::string& what) {
            if (away_m < least_m && in_box(point_at(line, away_m))) {
                least_m = away_m;
                to = what;
            }
        };
        for (const auto* areas : {&site_.foundations, &site_.neighbor_buildings}) {
            for (const auto& area : *areas) {
                if (const auto spans = spans_inside(line, area); !spans.empty()) {
                    take(spans.front().from_m, "the building");
                }
            }
        }
        for (const auto& other : site_.marks) {
            if (&other == end.mark || !one_kind(other.facility, end.mark->facility)) {
                continue;
            }
            if (const auto met = crossings(line, other.line); !met.empty()) {
                take(met.front().station_m, "the mark " + mark_name(other));
            }
        }
        return to.empty() ? std::nullopt : std::optional(Run{.line = {end.at, point_at(line, least_m)}, .to = to});
    }
    [[nodiscard]] std::optional<Run> where_nothing_stands(const MarkEnd& end) const
    {
        const bool from_building = at_building(end.mark->line.front()) || at_building(end.mark->line.back());
        if (!from_building && !site_.foundations.empty()) {
            return Run{.line = {end.at, nearest_wall(end.at)}, .to = "the nearest wall"};
        }
        const auto line = ray(end);
        double leaves_m = 0;
        for (const auto& lot : site_.parcel) {
            for (const auto& span : spans_inside(line, lot)) {
                leaves_m = std::max(leaves_m, span.to_m);
            }
        }
        return leaves_m > 0 ? std::optional(Run{.line = {end.at, point_at(line, leaves_m)}, .to = "the lot line"})
                            : std::nullopt;
    }
    [[nodiscard]] Point nearest_wall(const Point& p) const
    {
        Point nearest = p;
        double least_m = std::numeric_limits<double>::infinity();
        for (const auto& house : site_.foundations) {
            const auto walls = closed(house.outer);
            const auto at = point_at(walls, station_of(walls, p));
            if (distance_m(at, p) < least_m) {
                least_m = distance_m(at, p);
                nearest = at;
            }
        }
        return nearest;
    }

    const Site& site_;
    const MarkEndRules& rules_;
    Box near_;
};

Mark mark_of(const MarkEnd& end, const Run& run, std::size_t nth)
{
    Mark mark;
    mark.id = fmt::format("{} probable run{}", end.mark->id, nth == 0 ? "" : fmt::format(" {}", nth + 1));
    mark.facility = end.mark->facility;
    mark.line = run.line;
    mark.width_m = end.mark->width_m;
    mark.position_accuracy_m = end.mark->position_accuracy_m;
    mark.may_cross = end.mark->may_cross;
    mark.continues = end.mark->id;
    mark.origin = end.mark->origin;
    return mark;
}

Finding at_end(const MarkEnd& end, Severity severity, const char* rule, std::string text)
{
    Finding finding;
    finding.severity = severity;
    finding.rule = rule;
    finding.text = std::move(text);
    finding.at = end.at;
    return finding;
}

Finding stops(const MarkEnd& end, const Run& run, const MarkEndRules& rules, const Frame& frame, UnitSystem units)
{
    const auto native = to_native(frame, end.at);
    auto text = fmt::format(
        "The mark {} stops at {:.2f}, {:.2f}, more than {} from any building, lot line, structure or mark that goes "
        "on. A lost signal is no end: its straight run of {} to {} is planned as a probable run of {}, not marked: ask "
        "for a re-mark, or state ends_seen in its record if somebody saw what stands there.",
        mark_name(*end.mark), native.x, native.y, length_text(rules.reach_m, units),
        length_text(length_m(run.line), units), run.to, mark_name(*end.mark));
    return at_end(end, Severity::warning, "dig.mark_end_reach", std::move(text));
}

Finding irrigation_ends(const MarkEnd& end, const Frame& frame)
{
    const auto native = to_native(frame, end.at);
    return at_end(
        end, Severity::note, "dig.irrigation_runs_on",
        fmt::format("The mark {} ends in the open, at {:.2f}, {:.2f}. Irrigation ends at its heads, so no run "
                    "beyond is planned: ask the owner whether it goes on.",
                    mark_name(*end.mark), native.x, native.y));
}

} // namespace

Site with_probable_runs(Site site, const MarkEndRules& rules, UnitSystem units)
{
    const auto near = surroundings(site);
    if (!near) {
        return site;
    }
    const Finder finder(site, rules, *near);
    std::vector<Mark> runs;
    std::vector<Finding> findings;
    for (const auto& mark : supplied_marks(site)) {
        std::size_t nth = 0;
        for (const auto& end : ends_of(mark, rules.reach_m)) {
            const auto run = finder.run_of(end);
            if (run && mark.facility == Facility::reclaimed && !rules.irrigation_runs_on) {
                findings.push_back(irrigation_ends(end, site.frame));
            } else if (run) {
                runs.push_back(mark_of(end, *run, nth++));
                findings.push_back(stops(end, *run, rules, site.frame, units));
            }
        }
    }
    site.marks.insert(site.marks.end(), runs.begin(), runs.end());
    site.findings.insert(site.findings.end(), findings.begin(), findings.end());
    return site;
}

} // namespace trenchwright
