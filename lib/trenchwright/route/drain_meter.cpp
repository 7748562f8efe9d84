#include "trenchwright/route/drain_meter.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

bool is_pump(const Source& source)
{
    return source.kind == SourceKind::pump;
}

} // namespace

bool joined_at(const DrainLine& line, std::size_t source, std::size_t vertex)
{
    return std::any_of(line.trenches.begin(), line.trenches.end(), [&](const DrainTrench& other) {
        return other.joins == static_cast<int>(source) && other.at_vertex == vertex;
    });
}

RouteRules pressure_rules(const RouteRules& rules, const DrainRules& drain)
{
    RouteRules result = rules;
    result.section = drain.pressure_section;
    constexpr double climbs_ratio = -1; // steeper than any ground
    result.min_fall_ratio = climbs_ratio;
    return result;
}

DrainMeter::DrainMeter(const Site& site, const Ground& ground, const std::vector<Obstacle>& all,
                       std::span<const Source> sources, const Outlet& outlet, const RouteRules& rules,
                       const DrainRules& drain)
    : site_(site), sources_(sources), rules_(rules), drain_(drain), pressure_(pressure_rules(rules, drain)),
      least_per_m_(least_price_per_m(rules))
{
    for (const auto& source : sources) {
        meters_.emplace_back(site, ground, all, source, outlet, is_pump(source) ? pressure_ : rules);
    }
}

DrainCost DrainMeter::cost(const DrainLine& line, int max_faults, double max_price)
{
    DrainCost total;
    total.ends_elev_m.assign(line.trenches.size(), 0);
    double length = 0;
    for (std::size_t i = 0; i < line.trenches.size(); ++i) {
        check_bends(line, i, total);
        check_junction(line, i, total);
        length += length_m(line.trenches[i].downstream);
    }
    if (const double least = total.price + least_per_m_ * length; least > max_price) {
        total.price = least;
        return total;
    }
    for (std::size_t i = 0; i < line.trenches.size() && total.faults <= max_faults; ++i) {
        if (line.trenches[i].joins < 0) {
            const double invert = lay_elev_m(line, i, max_faults, total);
            const double missing = line.end.lowest_invert_elev_m + line.end.reserve_m - invert;
            total.missing_m = std::max(total.missing_m, missing > 1e-9 ? missing : 0);
        }
    }
    return total;
}

double DrainMeter::lay_elev_m(const DrainLine& line, std::size_t source, int max_faults, DrainCost& total)
{
    const auto& trench = line.trenches[source];
    const bool pump = is_pump(sources_[source]);
    const auto& rules = pump ? pressure_ : rules_;
    double invert = pump ? std::numeric_limits<double>::infinity()
                         : sources_[source].highest_invert_elev_m.value_or(std::numeric_limits<double>::infinity());
    BesideMarks beside;
    for (std::size_t v = 1; v < trench.downstream.size() && total.faults <= max_faults; ++v) {
        const bool last = trench.joins < 0 && v + 1 == trench.downstream.size();
        const TrueRun& run =
            meters_[source].run({.upper = trench.downstream[v - 1], .lower = trench.downstream[v], .to_end = last});
        total.faults += run.fault ? 1 : 0;
        beside.add(run, distance_m(trench.downstream[v - 1], trench.downstream[v]));
        const auto laid =
            descend(run, invert, rules, last ? std::optional(line.end.highest_invert_elev_m) : std::nullopt);
        invert = laid.invert_elev_m;
        total.price += run.fault ? std::numeric_limits<double>::infinity() : laid.price;
        total.missing_m = std::max(total.missing_m, laid.too_deep_m);
        for (std::size_t other = 0; other < line.trenches.size(); ++other) {
            if (line.trenches[other].joins == static_cast<int>(source) && line.trenches[other].at_vertex == v) {
                const double rise = is_pump(sources_[other]) ? drain_.pressure_rise_m : drain_.junction_rise_m;
                invert = std::min(invert, lay_elev_m(line, other, max_faults, total) - rise);
            }
        }
    }
    total.price += beside.price(site_, rules);
    total.ends_elev_m[source] = invert;
    return invert;
}

void DrainMeter::check_bends(const DrainLine& line, std::size_t source, DrainCost& total)
{
    const auto& p = line.trenches[source].downstream;
    for (std::size_t v = 1; v + 1 < p.size(); ++v) {
        const double turn = turn_rad(p[v - 1], p[v], p[v + 1]);
        const bool junction = joined_at(line, source, v);
        const auto price = bend_price(turn, rules_);
        if (!price || (junction && turn > rules_.max_deflection_rad)) {
            ++total.faults;
            continue;
        }
        if (v > 1 && distance_m(p[v - 1], p[v]) < rules_.min_run_m - 1e-9) {
            ++total.faults;
        }
        total.faults += meters_[source].corner(p[v - 1], p[v], p[v + 1]) ? 1 : 0;
        total.price += junction ? 0 : *price;
    }
}

void DrainMeter::check_junction(const DrainLine& line, std::size_t source, DrainCost& total) const
{
    const auto& trench = line.trenches[source];
    if (trench.joins < 0) {
        return;
    }
    const auto& p = trench.downstream;
    const auto& trunk = line.trenches[static_cast<std::size_t>(trench.joins)].downstream;
    if (trench.at_vertex == 0 || trench.at_vertex + 1 >= trunk.size() ||
        is_pump(sources_[static_cast<std::size_t>(trench.joins)])) {
        ++total.faults;
        return;
    }
    const double branch = direction_rad(p[p.size() - 2], p.back());
    const double down = direction_rad(trunk[trench.at_vertex], trunk[trench.at_vertex + 1]);
    const double angle = std::abs(std::remainder(branch - down, 2 * std::numbers::pi));
    if (std::abs(angle - drain_.junction_angle_rad) > rules_.max_deflection_rad + 1e-9) {
        ++total.faults;
    }
    if (p.size() > 2 && distance_m(p[p.size() - 2], p.back()) < rules_.min_run_m - 1e-9) {
        ++total.faults;
    }
    total.price += drain_.junction_price;
}

} // namespace trenchwright
