#include "trenchwright/dig/setbacks.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/polygons.hpp"
#include "trenchwright/route/lot_edges.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trenchwright {

namespace {

using Place = std::variant<Point, Polyline, Polygon>;

/// What is nearest of a line to something, as a distance and the station where it is.
struct Nearest {
    double away_m = std::numeric_limits<double>::infinity();
    double station_m = 0;
};

void take_nearer(Nearest& nearest, double away_m, double station_m)
{
    if (away_m < nearest.away_m) {
        nearest = {.away_m = away_m, .station_m = station_m};
    }
}

/// A trench as far as setbacks go: its axis and the ground it opens, square at its ends.
struct Strip {
    Polyline axis;
    std::vector<Polygon> ground;
};

Strip strip_of(Polyline axis, double width_m)
{
    auto ground = strip_around(axis, width_m);
    return {.axis = std::move(axis), .ground = std::move(ground)};
}

/// Between what is made of straight lines the nearest places are a corner of one of them, or a crossing.
Nearest nearest_of(const Strip& strip, const Polyline& other)
{
    Nearest nearest;
    for (const auto& ground : strip.ground) {
        for (const auto& p : other) {
            take_nearer(nearest, distance_m(p, ground), station_of(strip.axis, p));
        }
        const auto take_ring = [&](const Ring& ring) {
            for (const auto& p : ring) {
                take_nearer(nearest, distance_m(p, other), station_of(strip.axis, p));
            }
            for (const auto& met : crossings(closed(ring), other)) {
                take_nearer(nearest, 0, station_of(strip.axis, met.at));
            }
        };
        take_ring(ground.outer);
        std::ranges::for_each(ground.holes, take_ring);
    }
    if (const auto meet = crossings(strip.axis, other); !meet.empty()) {
        nearest = {.away_m = 0, .station_m = meet.front().station_m};
    }
    return nearest;
}

Nearest nearest_of(const Strip& strip, const Place& place)
{
    if (const auto* p = std::get_if<Point>(&place)) {
        return nearest_of(strip, Polyline{*p});
    }
    if (const auto* other = std::get_if<Polyline>(&place)) {
        return nearest_of(strip, *other);
    }
    const auto& area = std::get<Polygon>(place);
    if (const auto inside = spans_inside(strip.axis, area); !inside.empty()) {
        return {.away_m = 0, .station_m = inside.front().from_m};
    }
    Nearest nearest = nearest_of(strip, closed(area.outer));
    for (const auto& hole : area.holes) {
        const auto at_hole = nearest_of(strip, closed(hole));
        take_nearer(nearest, at_hole.away_m, at_hole.station_m);
    }
    return nearest;
}

/// Stretches from which the trench comes nearer than asked; what it enters counts whatever is asked.
std::vector<Interval> spans_nearer(const Polyline& line, double width_m, const Place& place, double required_m)
{
    if (const auto* p = std::get_if<Point>(&place)) {
        return strip_spans_within(line, width_m, *p, required_m);
    }
    if (const auto* other = std::get_if<Polyline>(&place)) {
        return strip_spans_within(line, width_m, *other, required_m);
    }
    const auto& area = std::get<Polygon>(place);
    auto spans = spans_inside(line, area);
    const auto add = [&](const Ring& ring) {
        const auto near = strip_spans_within(line, width_m, closed(ring), required_m);
        spans.insert(spans.end(), near.begin(), near.end());
    };
    add(area.outer);
    std::ranges::for_each(area.holes, add);
    return merged(std::move(spans));
}

class Checker {
  public:
    Checker(const Polyline& line, const RouteRules& rules) : line_(line), rules_(rules) {}

    /// @param let_off  stretches that do not count
    void add(std::string kind, std::string id, const SetbackRule& rule, const std::vector<Place>& places,
             const std::vector<Interval>& let_off)
    {
        if (places.empty()) {
            return;
        }
        SetbackCheck check{.kind = std::move(kind), .id = std::move(id), .rule = rule, .nearest_m = 0};
        Nearest nearest;
        std::vector<Interval> near;
        for (const auto& strip : counted(let_off)) {
            for (const auto& place : places) {
                const auto here = nearest_of(strip.strip, place);
                take_nearer(nearest, here.away_m, strip.from_m + here.station_m);
            }
        }
        if (!std::isfinite(nearest.away_m)) {
            return;
        }
        for (const auto& place : places) {
            const auto spans = spans_nearer(line_, rules_.section.width_m, place, rule.distance_m);
            near.insert(near.end(), spans.begin(), spans.end());
        }
        check.nearest_m = nearest.away_m;
        check.nearest_station_m = nearest.station_m;
        // The stretches take in the square corners of every run at a bend; the trench itself is narrower there.
        constexpr double rounding_m = 1e-5;
        const bool kept = nearest.away_m > 0 && nearest.away_m >= rule.distance_m - rounding_m;
        if (!kept) {
            check.too_near = minus(merged(std::move(near)), merged(let_off));
            if (check.too_near.empty()) { // the mitred corner of a bend alone, which reaches farther than the runs do
                const double half = rules_.section.width_m / 2;
                check.too_near.push_back(
                    {std::max(0.0, nearest.station_m - half), std::min(length_m(line_), nearest.station_m + half)});
            }
        }
        checks_.push_back(std::move(check));
    }
    void add(const std::string& kind, const SetbackRule& rule, const std::vector<Reserve>& reserves)
    {
        for (const auto& reserve : reserves) {
            add(kind, reserve.id, rule, {reserve.place}, {});
        }
    }
    std::vector<SetbackCheck> take() { return std::move(checks_); }

  private:
    struct Counted {
        double from_m = 0;
        Strip strip;
    };
    [[nodiscard]] std::vector<Counted> counted(const std::vector<Interval>& let_off) const
    {
        constexpr double no_length_m = 1e-6; // what rounding leaves between two stretches
        std::vector<Counted> parts;
        for (const auto& span : minus({{0, length_m(line_)}}, merged(let_off))) {
            if (span.to_m - span.from_m >= no_length_m) {
                parts.push_back({.from_m = span.from_m, .strip = strip_of(part(span), rules_.section.width_m)});
            }
        }
        return parts;
    }
    [[nodiscard]] Polyline part(const Interval& span) const
    {
        Polyline result{point_at(line_, span.from_m)};
        double station = 0;
        for (std::size_t i = 1; i < line_.size(); ++i) {
            station += distance_m(line_[i - 1], line_[i]);
            if (station > span.from_m && station < span.to_m) {
                result.push_back(line_[i]);
            }
        }
        result.push_back(point_at(line_, span.to_m));
        return result;
    }

    const Polyline& line_;
    const RouteRules& rules_;
    std::vector<SetbackCheck> checks_;
};

template <class Shape> std::vector<Place> as_places(const std::vector<Shape>& shapes)
{
    return {shapes.begin(), shapes.end()};
}

AreaInside inside_area(const Polyline& line, const Polygon& area, double opened_width_m)
{
    AreaInside inside;
    inside.spans = spans_inside(line, area);
    inside.length_m = total_m(inside.spans);
    inside.opened_m2 = inside.length_m > 0 ? strip_area_inside_m2(line, opened_width_m, area) : 0;
    return inside;
}

} // namespace

std::vector<SetbackCheck> setback_checks(const Site& site, const Polyline& line, const RouteRules& rules)
{
    const auto at_source = strip_spans_within(line, 0, line.back(), rules.wall_exit_length_m);
    Checker checker(line, rules);
    const auto& asked = rules.setbacks;
    checker.add("foundation", "", asked.foundation, as_places(site.foundations), at_source);
    checker.add("lot line", "", asked.lot_line, as_places(lot_line(site, rules.boundary_snap_m)), {});
    checker.add("street line", "", asked.street_line, as_places(street_line(site, rules.boundary_snap_m)), {});
    checker.add("well", asked.well, site.wells);
    checker.add("septic", asked.septic, site.septic);
    checker.add("easement", asked.easement, site.easements);
    return checker.take();
}

std::optional<AreaInside> inside_right_of_way(const Site& site, const Polyline& line, double opened_width_m)
{
    AreaInside zone{.id = "right-of-way", .holder = {}, .spans = {}};
    for (const auto& strip : site.right_of_way) {
        const auto inside = inside_area(line, strip, opened_width_m);
        zone.spans.insert(zone.spans.end(), inside.spans.begin(), inside.spans.end());
        zone.opened_m2 += inside.opened_m2;
    }
    zone.spans = merged(std::move(zone.spans));
    zone.length_m = total_m(zone.spans);
    return zone.length_m > 0 ? std::optional(zone) : std::nullopt;
}

std::vector<AreaInside> inside_easements(const Site& site, const Polyline& line, double opened_width_m)
{
    std::vector<AreaInside> entered;
    for (const auto& easement : site.easements) {
        if (const auto* area = std::get_if<Polygon>(&easement.place)) {
            auto inside = inside_area(line, *area, opened_width_m);
            inside.id = easement.id;
            inside.holder = easement.holder;
            if (inside.length_m > 0) {
                entered.push_back(std::move(inside));
            }
        }
    }
    return entered;
}

std::vector<TreeCheck> tree_checks(const Site& site, const Polyline& line, const RouteRules& rules, double hold_factor)
{
    std::vector<TreeCheck> checks;
    for (std::size_t i = 0; i < site.trees.size(); ++i) {
        const auto& tree = site.trees[i];
        TreeCheck check{.tree = i, .circle_m = rules.tree_factor * tree.trunk_diameter_m};
        check.inside = strip_spans_within(line, rules.section.width_m, tree.at, check.circle_m);
        check.inside_m = total_m(check.inside);
        check.nearest_m = std::max(0.0, distance_m(tree.at, line) - rules.section.width_m / 2);
        check.station_m = station_of(line, tree.at);
        check.near_hold = check.nearest_m < hold_factor * tree.trunk_diameter_m;
        if (check.inside_m > 0 || check.near_hold) {
            checks.push_back(std::move(check));
        }
    }
    std::ranges::stable_sort(checks, {}, &TreeCheck::station_m);
    return checks;
}

} // namespace trenchwright
