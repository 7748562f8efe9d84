#include "trenchwright/plan/pump_check.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/pit.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

/// Index of the table's source. @throws Error (input)
std::size_t source_of(const PumpRecord& pump, const Site& site)
{
    std::vector<std::size_t> fitting;
    std::string ids;
    for (std::size_t i = 0; i < site.sources.size(); ++i) {
        const auto& source = site.sources[i];
        if (source.kind == SourceKind::pump) {
            ids += fmt::format("{}\"{}\"", ids.empty() ? "" : ", ", source.id);
            if (pump.source.empty() || pump.source == source.id) {
                fitting.push_back(i);
            }
        }
    }
    if (fitting.size() != 1) {
        throw Error(ErrorKind::input,
                    fmt::format("{}pump.source: {}; the pumps among the sources are: {}", pump.where,
                                pump.source.empty() ? "must be given unless the job has one pump"
                                                    : fmt::format("\"{}\" is not one pump", pump.source),
                                ids.empty() ? "none" : ids));
    }
    return fitting.front();
}

/// Pipe along the slope from a station to the trench's upper end.
double pipe_above_m(const TrenchPlan& trench, double station_m)
{
    const auto& points = trench.laid.profile.points;
    double length = 0;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double run = points[i].station_m - points[i - 1].station_m;
        const double rise = points[i].invert_elev_m - points[i - 1].invert_elev_m;
        const double share = run > 0 ? std::clamp((points[i].station_m - station_m) / run, 0.0, 1.0) : 0;
        length += share * std::hypot(run, rise);
    }
    return length;
}

/// Fittings of the trench's bends by what they cost: those up to 45 deg and the sharper ones.
PumpFittings with_bends(PumpFittings fittings, const TrenchPlan& trench)
{
    constexpr double half_a_degree_rad = std::numbers::pi / 360; // an angle is what a fitting is called by
    const auto count = [&](const Bend& bend) {
        for (const double angle_rad : bend.fitting_angles_rad) {
            ++(angle_rad <= std::numbers::pi / 4 + half_a_degree_rad ? fittings.elbows_45 : fittings.elbows_90);
        }
    };
    for (const auto& bend : trench.line.bends) {
        count(bend);
    }
    for (const auto& vertical : trench.laid.grades.bends) {
        count(vertical.bend);
    }
    return fittings;
}

std::vector<PipeFitting> pipe_fittings(const PumpFittings& fittings, bool check_valve, const PumpLineRules& rules)
{
    const double bore_m = rules.outside_diameter_m - 2 * rules.wall_m;
    std::vector<PipeFitting> list;
    const auto add = [&](std::string name, std::size_t count, double bores_ratio) {
        if (count > 0) {
            list.push_back({.name = std::move(name),
                            .count = count,
                            .equivalent_length_m = equivalent_length_m(bores_ratio, bore_m)});
        }
    };
    add("elbow of 90 deg", fittings.elbows_90, rules.elbow_90_bores_ratio);
    add("elbow of 45 deg or less", fittings.elbows_45, rules.elbow_45_bores_ratio);
    add("tee, straight through", fittings.tees_through, rules.tee_through_bores_ratio);
    add("tee, round the corner", fittings.tees_branch, rules.tee_branch_bores_ratio);
    add("gate valve", fittings.gate_valves, rules.gate_valve_bores_ratio);
    add("check valve", check_valve ? 1 : 0, rules.check_valve_bores_ratio);
    return list;
}

PumpLine line_of(const TrenchPlan& trench, const PumpRecord& pump, const PumpCheck& check, const PumpLineRules& rules)
{
    PumpLine line;
    line.pipe = {.bore_m = rules.outside_diameter_m - 2 * rules.wall_m, .hazen_williams_c = rules.hazen_williams_c};
    line.length_m = pump.inside_length_m + pipe_above_m(trench, 0);
    line.rising_length_m = pump.inside_length_m + pipe_above_m(trench, check.highest_station_m);
    line.static_lift_m = check.highest_elev_m - check.off_level_elev_m;
    line.fittings = pipe_fittings(with_bends(pump.fittings, trench), pump.check_valve, rules);
    line.check_valve = pump.check_valve;
    return line;
}

/// At the inflow stated; without one at that which makes the pump start most often.
PumpDuty duty_of(const PumpCheck& check, const PumpRecord& pump, const PumpLimits& limits)
{
    if (pump.inflow_m3ps) {
        return pump_duty(pump.curve, check.line, check.between_levels_m3, *pump.inflow_m3ps, limits);
    }
    const auto point = operating_point(pump.curve, check.line);
    const PitStorage pit{.between_levels_m3 = check.between_levels_m3, .drains_back_m3 = drains_back_m3(check.line)};
    const double inflow = point.place == DutyPlace::on_curve ? worst_cycle(pit, point.flow_m3ps).inflow_m3ps : 0.0;
    return pump_duty(pump.curve, check.line, check.between_levels_m3, inflow, limits);
}

} // namespace

std::vector<std::optional<std::size_t>> pumps_by_source(const Job& job, const Site& site)
{
    std::vector<std::optional<std::size_t>> by_source(site.sources.size());
    for (std::size_t i = 0; i < job.pumps.size(); ++i) {
        const std::size_t source = source_of(job.pumps[i], site);
        if (by_source[source]) {
            throw Error(ErrorKind::input, fmt::format("{}pump.source: \"{}\" has two [pump] tables", job.pumps[i].where,
                                                      site.sources[source].id));
        }
        by_source[source] = i;
    }
    return by_source;
}

PumpCheck check_pump(const TrenchPlan& trench, const PumpRecord& pump, std::size_t index, const WaterRules& rules)
{
    const auto& points = trench.laid.profile.points;
    if (points.empty()) {
        throw Error(ErrorKind::internal, "a pump's line without a profile");
    }
    // From the pump down, so that of equal heights the nearest to it counts.
    const auto highest = std::max_element(
        points.rbegin(), points.rend(), [](const auto& a, const auto& b) { return a.invert_elev_m < b.invert_elev_m; });
    PumpCheck check;
    check.pump = index;
    check.off_level_elev_m = pump.rim_elev_m - pump.off_below_rim_m;
    check.highest_elev_m = highest->invert_elev_m;
    check.highest_station_m = highest->station_m;
    check.between_levels_m3 = round_pit_volume_m3(pump.pit_diameter_m, pump.off_below_rim_m - pump.on_below_rim_m);
    check.inflow_known = pump.inflow_m3ps.has_value();
    check.line = line_of(trench, pump, check, rules.pump_line);
    if (check.line.static_lift_m >= 0 && check.line.length_m > 0) {
        check.duty = duty_of(check, pump, rules.pump_line.limits);
    }
    check.uplift = pit_uplift(pump, rules.uplift);
    return check;
}

Uplift pit_uplift(const PumpRecord& pump, const UpliftRules& rules)
{
    const double wall_m = pump.pit_wall_m.value_or(0);
    BuriedPit pit;
    pit.outside_m3 = round_pit_volume_m3(pump.pit_diameter_m + 2 * wall_m, pump.pit_depth_m);
    pit.weight_kg = pump.pit_weight_kg;
    pit.perforated = pump.perforated;
    if (pump.pit_wall_m) {
        pit.wall_m3 = pit.outside_m3 - round_pit_volume_m3(pump.pit_diameter_m, pump.pit_depth_m);
    }
    return uplift(pit, pump.ballast, rules);
}

} // namespace trenchwright
