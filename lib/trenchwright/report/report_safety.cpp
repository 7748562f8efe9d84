#include "trenchwright/geom/along.hpp"
#include "trenchwright/plan/yard.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

std::string line_of(const std::string& text)
{
    return wrapped(text, page_width, 4) + "\n";
}

std::string wedge_text(const JobPlan& plan, const TrenchSafety& safety)
{
    const UnitSystem u = plan.job.rules.units;
    if (!plan.footing_edge) {
        return line_of(
            "Footing: its depth is not known. Stay above its bottom, or outside the 45-degree line down from "
            "its edge.");
    }
    if (safety.wedge.empty()) {
        return line_of(
            fmt::format("Footing, bottom at {}: the trench bottom stays above the line from its bottom outside "
                        "edge. The figures of the footing are as supplied; look before digging below it.",
                        elev_text(plan.footing_edge->bottom_elev_m, u)));
    }
    return line_of(
        fmt::format("Footing, bottom at {}: STOP, see the findings.", elev_text(plan.footing_edge->bottom_elev_m, u)));
}

std::string side_text(const SpoilSide& side, const char* name, UnitSystem u)
{
    return fmt::format("{}: {}", name,
                       side.taken.empty() ? "room all along"
                                          : fmt::format("no room beside {}", length_text(side.taken_m, u)));
}

std::string spoil_text(const JobPlan& plan, const TrenchSafety& safety)
{
    const UnitSystem u = plan.job.rules.units;
    const auto& spoil = safety.spoil;
    return line_of(
        fmt::format("Spoil on the {} looking upstream: {} from the edge, spoil pile up to {} wide at {}. {}; "
                    "{}.",
                    spoil.on_left ? "left" : "right", small_text(plan.job.rules.safety.spoil_setback_m, u),
                    length_text(spoil.widest_m, u), station_text(spoil.widest_station_m, u),
                    side_text(spoil.left, "Left", u), side_text(spoil.right, "right", u)));
}

std::string trees_text(const JobPlan& plan, const TrenchSafety& safety)
{
    const UnitSystem u = plan.job.rules.units;
    const auto& rules = plan.job.rules.safety.trees;
    std::string text;
    for (const auto& check : safety.trees) {
        const auto& tree = plan.site.trees[check.tree];
        text += line_of(fmt::format(
            "Tree {}, trunk {}: {} from the trench's edge at {}, {} inside its circle of {}. {}. Roots over {} are "
            "not cut without an arborist.",
            tree.id, small_text(tree.trunk_diameter_m, u), length_text(check.nearest_m, u),
            station_text(check.station_m, u), length_text(check.inside_m, u), length_text(check.circle_m, u),
            check.inside_m == 0 ? "Outside the circle"
            : rules.bore        ? "Bored under the roots"
                                : "Dug by hand",
            small_text(rules.largest_root_m, u)));
    }
    return text;
}

std::string setbacks_text(const JobPlan& plan, const TrenchSafety& safety)
{
    if (safety.setbacks.empty()) {
        return "";
    }
    const UnitSystem u = plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{{"Distance to", "Nearest", "At", "Required", "", "Nearer along"}};
    for (const auto& check : safety.setbacks) {
        const bool asked = check.rule.distance_m > 0; // a distance of 0 asks nothing
        rows.push_back({check.kind + (check.id.empty() ? "" : " " + check.id), length_text(check.nearest_m, u),
                        station_text(check.nearest_station_m, u),
                        asked ? length_text(check.rule.distance_m, u) : "none",
                        !asked            ? "-"
                        : check.rule.hard ? "hard"
                                          : "warn",
                        !asked || check.too_near.empty() ? "-" : length_text(total_m(check.too_near), u)});
    }
    return text_table(rows, {1, 2, 3, 5});
}

std::string area_line(const AreaInside& area, const std::string& what, UnitSystem u)
{
    std::vector<std::string> spans;
    for (const auto& span : area.spans) {
        spans.push_back(fmt::format("{} to {}", station_text(span.from_m, u), station_text(span.to_m, u)));
    }
    return line_of(fmt::format("{}: {} long, {} opened, {}.", what, length_text(area.length_m, u),
                               area_text(area.opened_m2, u), fmt::join(spans, ", ")));
}

std::string areas_text(const JobPlan& plan, const TrenchSafety& safety)
{
    const UnitSystem u = plan.job.rules.units;
    std::string text;
    if (safety.street) {
        text += area_line(*safety.street, "In the right-of-way, permit required", u);
    }
    for (const auto& easement : safety.easements) {
        text += area_line(easement, "In easement " + easement.id, u);
    }
    return text;
}

std::string target_text(const OutletAim& aim)
{
    switch (aim.target) {
    case AimTarget::stays_inside: return "it ends in a low spot on the lot";
    case AimTarget::street: return "it leaves the lot onto the right-of-way";
    case AimTarget::neighbor:
        return "it leaves the lot onto the neighbor's lot" + (aim.neighbor.empty() ? "" : " " + aim.neighbor);
    case AimTarget::other_side: return "it leaves the lot onto unidentified land";
    case AimTarget::unknown: break;
    }
    return "it leaves the surveyed ground; where it goes is not known";
}

std::string aim_text(const JobPlan& plan, const TrenchSafety& safety)
{
    if (!safety.aim) {
        return "";
    }
    const UnitSystem u = plan.job.rules.units;
    const auto& aim = *safety.aim;
    std::string text =
        fmt::format("Water let out runs {} over the ground, as surveyed{}: {}", length_text(aim.length_m, u),
                    aim.length_m > 0 ? fmt::format(", falling {:.1f} %", aim.fall_ratio * 100) : "", target_text(aim));
    if (aim.neighbor_away_m) {
        text += fmt::format(". Nearest neighbor's lot {} from the outlet", length_text(*aim.neighbor_away_m, u));
    }
    return line_of(text + ".");
}

} // namespace

std::string safety_text(const JobPlan& plan, const TrenchPlan& trench)
{
    const auto& safety = trench.safety;
    return wedge_text(plan, safety) + spoil_text(plan, safety) + trees_text(plan, safety) + areas_text(plan, safety) +
           aim_text(plan, safety) + setbacks_text(plan, safety);
}

std::string yard_text(const JobPlan& plan)
{
    const UnitSystem u = plan.job.rules.units;
    const auto& yard = plan.yard;
    std::string text;
    if (yard.grading) {
        const auto& g = *yard.grading;
        text += line_of(fmt::format("Grading to the proposed spots, outside the foundation and where both surfaces are "
                                    "known: cut {} over {}, at most {} deep; fill {} over {}, at most {} high. In "
                                    "place; fill takes {} of soil, bank measure.",
                                    volume_text(g.cut_m3, u), area_text(g.cut_m2, u), depth_text(g.deepest_cut_m, u),
                                    volume_text(g.fill_m3, u), area_text(g.fill_m2, u), depth_text(g.highest_fill_m, u),
                                    volume_text(g.fill_m3 / (1 - plan.job.rules.soil.shrink_ratio), u)));
    }
    for (const auto& outcome : plan.outcomes) {
        if (outcome.works && yard.spread_m2 > 0) {
            const auto spread = spread_of(plan, outcome);
            text += line_of(fmt::format("{}: {} of loose surplus soil, spread on {}, lies {} thick and settles to "
                                        "{}; the maximum is {}.",
                                        plan.site.outlets[outcome.outlet].name, volume_text(spread.loose_m3, u),
                                        area_text(spread.area_m2, u), small_text(spread.loose_m, u),
                                        small_text(spread.settled_m, u),
                                        small_text(plan.job.rules.safety.max_spread_m, u)));
        }
    }
    if (yard.inside_checked && yard.inside_wedge.empty()) {
        text += line_of(
            "The trench along the footing inside stays above the line from the bottom inside edge of the footing, "
            "by the figures supplied.");
    }
    return text.empty() ? "" : "\nThe yard\n--------\n" + text;
}

} // namespace trenchwright
