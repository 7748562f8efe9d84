#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string percent(double share)
{
    return fmt::format("{:.0f} %", share * 100);
}

std::string unknown_or(const std::optional<double>& flow_m3ps, UnitSystem units)
{
    return flow_m3ps ? flow_text(*flow_m3ps, units) : "not known";
}

/// One line for a reach: the planned pipe first, then the smallest of the list.
std::vector<std::string> reach_row(const TrenchPlan& trench, const Reach& reach, const JobPlan& plan)
{
    const UnitSystem u = plan.job.rules.units;
    std::vector<std::string> row{plan.site.sources[trench.source].id, station_text(reach.span.from_m, u),
                                 station_text(reach.span.to_m, u), unknown_or(reach.flow_m3ps, u)};
    if (!reach.as_planned) {
        row.insert(row.end(), {"", "", "", "", "discharge line"});
        return row;
    }
    const auto& planned = *reach.as_planned;
    const bool known = reach.flow_m3ps.has_value();
    row.push_back(fmt::format("{:.2f} %", reach.min_fall_ratio * 100));
    row.push_back(flow_text(planned.capacity_m3ps, u));
    row.push_back(!known ? "" : planned.spare_m3ps < 0 ? "too full" : percent(planned.depth_ratio));
    row.push_back(known ? velocity_text(planned.velocity_mps, u) : "");
    row.push_back(!known              ? ""
                  : reach.sized->pipe ? plan.job.rules.water.pipes[*reach.sized->pipe].name
                                      : "none of the list");
    return row;
}

std::string cycle_text(const PumpCheck& check, UnitSystem u)
{
    const auto& duty = *check.duty;
    if (duty.worst.cycle.state != PitState::cycles) {
        return "";
    }
    const double starts = 3600 / duty.worst.cycle.cycle_s();
    return fmt::format(" Between its levels the pit holds {}: at most {:.0f} starts an hour, at an inflow of {}{}.",
                       water_text(check.between_levels_m3, u), starts, flow_text(duty.worst.inflow_m3ps, u),
                       check.inflow_known ? "" : " (the maximum inflow is not supplied)");
}

std::string uplift_text(const Uplift& uplift, UnitSystem u)
{
    return fmt::format(" Uplift of the empty pit: lifted by {}, held by {}{}.", weight_text(uplift.displaced_kg, u),
                       weight_text(uplift.holding_kg, u), uplift.holds ? "" : ": too little");
}

std::string pump_text(const TrenchPlan& trench, const JobPlan& plan)
{
    const UnitSystem u = plan.job.rules.units;
    const auto& check = *trench.water.pump;
    const auto& line = check.line;
    std::string text =
        fmt::format("Pump of {}: lift {} from off level {} to the line's highest point at {}; {} of pipe "
                    "and fittings worth {} more.",
                    plan.site.sources[trench.source].id, length_text(line.static_lift_m, u),
                    elev_text(check.off_level_elev_m, u), station_text(check.highest_station_m, u),
                    length_text(line.length_m, u), length_text(fittings_length_m(line.fittings), u));
    if (check.duty && check.duty->point.place == DutyPlace::on_curve) {
        const auto& duty = *check.duty;
        text += fmt::format(" It moves {} against a head of {}, at {} in the line.{} {} run back after each stop{}.",
                            flow_text(duty.point.flow_m3ps, u), length_text(duty.point.head_m, u),
                            velocity_text(duty.velocity_mps, u), cycle_text(check, u),
                            water_text(duty.drains_back_m3, u), line.check_valve ? " (check valve)" : "");
    } else {
        text += " Its duty is not known.";
    }
    return text + uplift_text(check.uplift, u);
}

std::string basis_text(const Rules& rules)
{
    const auto& water = rules.water;
    const std::string rain =
        water.design_rain_mps > 0
            ? fmt::format("Design rain {}, {} of it off the roof.", rain_text(water.design_rain_mps, rules.units),
                          percent(water.roof_runoff_share))
            : "Design rain not supplied: roof water is not known and not sized.";
    return fmt::format("{} Manning n {:.3g} in the planned pipe. Depth of water at most {} of the bore. Nothing here "
                       "reckons with a blocked or backed-up pipe.",
                       rain, water.planned_smooth_inside ? water.smooth_manning_n : water.corrugated_manning_n,
                       percent(water.limits.max_depth_ratio));
}

} // namespace

std::string drain_water_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    std::vector<std::vector<std::string>> rows{
        {"Trench of", "From", "To", "Flow", "Fall", "Pipe carries", "Depth", "Velocity", "Smallest pipe"}};
    std::string pumps;
    for (const auto& by : outcome.by_source) {
        const auto* trench = std::get_if<TrenchPlan>(&by);
        if (trench == nullptr) {
            continue;
        }
        for (auto reach = trench->water.reaches.rbegin(); reach != trench->water.reaches.rend(); ++reach) {
            rows.push_back(reach_row(*trench, *reach, plan));
        }
        if (trench->water.pump) {
            pumps += "\n" + wrapped(pump_text(*trench, plan), page_width, 4) + "\n";
        }
    }
    const std::string title = fmt::format("Water in the drain to {}", plan.site.outlets[outcome.outlet].name);
    return fmt::format("{}\n{}\n{}\n{}{}", title, std::string(title.size(), '-'),
                       wrapped(basis_text(plan.job.rules), page_width, 0), text_table(rows, {1, 2, 3, 4, 5, 6, 7}),
                       pumps);
}

} // namespace trenchwright
