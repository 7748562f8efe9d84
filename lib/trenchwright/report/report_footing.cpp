#include "trenchwright/report/report.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

std::string bag_text(double volume_m3, UnitSystem units)
{
    return units == UnitSystem::us ? fmt::format("{:.3g} ft3", volume_m3 / (cubic_yd_in_m3 / 27))
                                   : fmt::format("{:.3g} L", volume_m3 * 1000);
}

std::string pit_text(const JobPlan& plan, const FootingPit& pit)
{
    const UnitSystem u = plan.job.rules.units;
    const std::string place =
        pit.source ? fmt::format("Pit: no layer has it; taken at the line end nearest to pump {}, {} from where its "
                                 "pipe leaves the house.",
                                 plan.site.sources[*pit.source].id, length_text(pit.to_source_m, u))
                   : std::string("Pit: no pump is near; taken at the last point of the line.");
    const auto& rules = plan.job.rules.footing;
    return wrapped(place, page_width, 4) + "\n" +
           wrapped(fmt::format("    Longest way to it {} of {}. At {} the far end must start at least {} above the "
                               "inlet: the inlet's invert lies {} under a level floor, the far end's {}.",
                               length_text(pit.longest_run_m, u), length_text(pit.length_m, u),
                               fall_text(rules.min_fall_ratio, u), small_text(pit.fall_m, u),
                               depth_text(pit.inlet_depth_m, u), depth_text(pit.inlet_depth_m - pit.fall_m, u)),
                   page_width, 4) +
           "\n" +
           wrapped(fmt::format("    Trench {} wide, {} deep at the far end, {} at the pit.",
                               small_text(rules.trench_width_m, u), depth_text(rules.trench_depth_m, u),
                               depth_text(pit.trench_depth_m, u)),
                   page_width, 4) +
           "\n";
}

std::string inside_volumes_text(const FootingWork& work, const Rules& rules)
{
    const UnitSystem u = rules.units;
    const auto& footing = rules.footing;
    std::string text = fmt::format(
        "Excavation, bank measure: {} dug, {} back over the stone, {} surplus ({} loose): {}.\n",
        volume_text(work.cut_m3, u), volume_text(work.refill_m3, u), volume_text(work.spoil_m3, u),
        volume_text(work.spoil_loose_m3, u), work.spoil_stays ? "stays inside, spread on the floor" : "carried out");
    text += fmt::format("Stone: {} under, {} over, to both sides of the trench; {} less the pipe: {} bags of {}, or "
                        "{}.\n",
                        small_text(footing.stone_under_m, u), small_text(footing.stone_over_m, u),
                        volume_text(work.stone_m3, u), work.bags, bag_text(footing.bag_yield_m3, u),
                        load_text(work.stone_kg, u));
    return text + "Each estimate has the job inside among its lines, or names it as not priced.\n";
}

/// Dirt of the trenches of one outlet.
struct Outside {
    double cut_m3 = 0;
    double haul_loose_m3 = 0;
};
Outside outside_of(const OutletOutcome& outcome)
{
    Outside sum;
    for (const auto& by : outcome.by_source) {
        if (const auto* trench = std::get_if<TrenchPlan>(&by)) {
            sum.cut_m3 += trench->measured.quantities.machine_cut_m3 + trench->measured.quantities.hand_cut_m3;
            sum.haul_loose_m3 += trench->measured.quantities.haul_loose_m3;
        }
    }
    return sum;
}

std::string both_jobs_text(const JobPlan& plan, const FootingWork& work)
{
    const UnitSystem u = plan.job.rules.units;
    const double carried_m3 = work.spoil_stays ? 0 : work.spoil_loose_m3;
    std::vector<std::vector<std::string>> rows{{"Both jobs, to", "Dug outside", "Dug inside", "Together",
                                                "Haul-off outside, loose", "From inside, loose", "Together"}};
    for (const auto& outcome : plan.outcomes) {
        if (!outcome.works) {
            continue;
        }
        const auto outside = outside_of(outcome);
        rows.push_back({plan.site.outlets[outcome.outlet].name, volume_text(outside.cut_m3, u),
                        volume_text(work.cut_m3, u), volume_text(outside.cut_m3 + work.cut_m3, u),
                        volume_text(outside.haul_loose_m3, u), volume_text(carried_m3, u),
                        volume_text(outside.haul_loose_m3 + carried_m3, u)});
    }
    return rows.size() > 1 ? text_table(rows, {1, 2, 3, 4, 5, 6}) : "";
}

std::string over_text(double height_m, UnitSystem units)
{
    return height_m < 0 ? depth_text(-height_m, units) + " below" : depth_text(height_m, units) + " above";
}

std::string drop_text(double drop_m, UnitSystem units)
{
    constexpr double straight_m = 0.003; // an eighth of an inch: no elbow is cut for less
    return std::abs(drop_m) < straight_m ? std::string("straight out") : over_text(-drop_m, units);
}

std::vector<std::string> core_row(const TrenchPlan& trench, const JobPlan& plan)
{
    const UnitSystem u = plan.job.rules.units;
    const auto& core = *trench.laid.wall_core;
    const std::string none = "-";
    return {plan.site.sources[trench.source].id,
            plan.site.outlets[trench.outlet].name,
            elev_text(core.invert_elev_m, u),
            core.above_floor_m ? over_text(*core.above_floor_m, u) : "no floor given",
            over_text(core.above_ground_m, u),
            core.place ? depth_text(core.place->to_left_m, u) : none,
            core.place ? depth_text(core.place->to_right_m, u) : none,
            over_text(-core.elbow_depth_m, u),
            drop_text(core.drop_m, u)};
}

std::string degrees(double angle_rad)
{
    return fmt::format("{:.4g} deg", angle_rad * 180 / std::numbers::pi);
}

std::vector<std::string> material_row(const MaterialItem& item, const Rules& rules)
{
    const UnitSystem u = rules.units;
    std::string note;
    if (item.length_m > 0) {
        note = fmt::format("{} laid, {:.3g} % waste, sticks of {}", length_text(item.length_m, u),
                           rules.materials.waste_ratio * 100, length_text(rules.materials.stick_length_m, u));
    } else if (item.unit == "bag") {
        note = fmt::format("{} ({}), {} a bag", volume_text(item.volume_m3, u), load_text(item.mass_kg, u),
                           bag_text(rules.footing.bag_yield_m3, u));
    }
    std::string size = item.size_m > 0 ? "for pipe " + diameter_text(item.size_m, u) + " outside" : "";
    if (item.branch_size_m > 0) {
        size += (item.angle_rad ? ", branch " : " to ") + diameter_text(item.branch_size_m, u);
    }
    if (item.angle_rad) {
        size = degrees(*item.angle_rad) + ", " + size;
    }
    const bool bulk = item.unit == "bulk";
    return {item.name, size, bulk ? volume_text(item.volume_m3, u) : std::to_string(item.count),
            bulk ? "or " + load_text(item.mass_kg, u) : item.unit, note};
}

} // namespace

std::string inside_text(const JobPlan& plan)
{
    if (!plan.footing) {
        return "";
    }
    const auto& rules = plan.job.rules;
    const auto& work = *plan.footing;
    std::string text =
        "\n" + heading("Inside: footing drain") +
        fmt::format("{} of {}, dug by hand.\n", length_text(work.length_m, rules.units), rules.footing_pipe_name);
    for (const auto& pit : work.pits) {
        text += pit_text(plan, pit);
    }
    text += inside_volumes_text(work, rules);
    const auto both = both_jobs_text(plan, work);
    return text + (both.empty() ? "" : "\n" + both);
}

std::string through_wall_text(const JobPlan& plan)
{
    std::vector<std::vector<std::string>> rows{{"Core for", "To", "Invert of core", "Center to floor inside",
                                                "Center to ground", "To left corner", "To right corner",
                                                "Elbow outside", "Drop, core to elbow"}};
    for (const auto& outcome : plan.outcomes) {
        for (const auto& by : outcome.by_source) {
            const auto* trench = std::get_if<TrenchPlan>(&by);
            if (outcome.works && trench != nullptr && trench->laid.wall_core) {
                rows.push_back(core_row(*trench, plan));
            }
        }
    }
    if (rows.size() == 1) {
        return "";
    }
    return "\n" + heading("Wall penetration") + text_table(rows, {2, 3, 4, 5, 6, 7, 8}) +
           wrapped("Corners of the foundation's outline, left and right as seen from outside, along the wall to the "
                   "middle of the core. Measure both sides. Inside, take the wall's thickness off. The elbow is the "
                   "invert of the trench's pipe: below the ground, and below the core where it has to go down.",
                   page_width, 0) +
           "\n";
}

namespace {

/// Where the ground cover asks for a class of pipe; on the material list, for it decides what is bought.
std::string pipe_classes_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    std::string text;
    for (const auto* trench : trenches_of(&outcome)) {
        for (const auto& stretch : classed_stretches(trench->line.facts.surface, plan.job.rules.route)) {
            text += fmt::format("Pipe of {} from {} to {}, under {}: {}.\n", plan.site.sources[trench->source].id,
                                station_text(stretch.span.from_m, plan.job.rules.units),
                                station_text(stretch.span.to_m, plan.job.rules.units), display_name(stretch.kind),
                                stretch.pipe_class);
        }
    }
    return text;
}

} // namespace

std::string materials_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    if (outcome.materials.empty()) {
        return "";
    }
    std::vector<std::vector<std::string>> rows{{"Material", "Size", "Count", "Unit", ""}};
    for (const auto& item : outcome.materials) {
        rows.push_back(material_row(item, plan.job.rules));
    }
    const auto& name = plan.site.outlets[outcome.outlet].name;
    return "\n" + heading(fmt::format("Material list: all sources to {}", name)) + text_table(rows, {2}) +
           pipe_classes_text(plan, outcome) +
           wrapped(fmt::format(
                       "Not in this list: end pieces at the outlet such as pop-up emitters, downspout adapters, wall "
                       "sleeves{}. The estimate counts those it prices.",
                       plan.footing ? ", bends along the footing" : ""),
                   page_width, 0) +
           "\n";
}

} // namespace trenchwright
