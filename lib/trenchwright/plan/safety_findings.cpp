#include "trenchwright/plan/safety_findings.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/dig/wall_strip.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/route/party_wall.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

/// Collects the findings of one trench.
class Notes {
  public:
    Notes(const PlanBasis& basis, const TrenchPlan& trench)
        : site(basis.site), rules(basis.job.rules), units(basis.job.rules.units), safety(trench.safety), trench_(trench)
    {
    }
    /// With words for the crew's station rows on a stretch; empty: none.
    void add(Severity severity, const char* rule, std::string text, double station_m, const Interval& span,
             std::string row_words)
    {
        add(severity, rule, std::move(text), station_m);
        findings_.back().row_words = std::move(row_words);
        findings_.back().from_station_m = span.from_m;
        findings_.back().to_station_m = span.to_m;
    }
    void add(Severity severity, const char* rule, std::string text, std::optional<double> station_m = {})
    {
        std::optional<Point> at;
        if (station_m) {
            at = point_at(trench_.line.route.line, *station_m);
        }
        findings_.push_back(
            {.severity = severity, .rule = rule, .text = std::move(text), .at = at, .station_m = station_m});
    }
    [[nodiscard]] std::string stretch(const Interval& span) const
    {
        return fmt::format("from {} to {}", station_text(span.from_m, units), station_text(span.to_m, units));
    }
    std::vector<Finding> take() { return std::move(findings_); }

    const Site& site;
    const Rules& rules;
    UnitSystem units;
    const TrenchSafety& safety;

  private:
    const TrenchPlan& trench_;
    std::vector<Finding> findings_;
};

void exit_notes(Notes& notes)
{
    const auto& protection = notes.rules.safety.protection;
    for (const auto& exit : notes.safety.exits) {
        const double length = exit.span.to_m - exit.span.from_m;
        const auto ways = std::max(1.0, std::ceil(length / (2 * protection.egress_reach_m) - 1e-9));
        notes.add(
            Severity::warning, "dig.egress_and_air_test_cut",
            fmt::format("Cut of {} or more {}: a ladder or other means of egress within {} of everyone ({} or more, "
                        "from the bottom to above the edge), and atmospheric testing where bad air may be expected.",
                        depth_text(notes.rules.egress_and_air_test_cut_m, notes.units), notes.stretch(exit.span),
                        length_text(protection.egress_reach_m, notes.units), static_cast<int>(ways)),
            exit.span.from_m, exit.span, "ladder");
        if (exit.max_m >= printed_from_m(protection.guard_cut_m)) {
            notes.add(Severity::warning, "protection.guard_cut",
                      fmt::format("Cut of {} at {}: guard the edge, and rails on anything people walk over it.",
                                  depth_text(exit.max_m, notes.units), station_text(exit.max_station_m, notes.units)),
                      exit.max_station_m);
        }
    }
}

/// A kind of surface as people write it; ids stay as they are.
std::string said(const Encroachment& reached)
{
    return reached.kind == SiteObjectKind::surface ? display_name(reached.name) : reached.name;
}

/// What has to be done where side slopes reach something, or would.
std::string remedy(SiteObjectKind kind)
{
    switch (kind) {
    case SiteObjectKind::hand_dig_zone: return "dig them by hand there.";
    case SiteObjectKind::surface: return "more of it is opened than is priced; shore it where that will not do.";
    default: break;
    }
    return "there is no room to slope, so this stretch is counted as shored. Not to be dug before a competent person "
           "has decided how it is shored, or the trench is moved.";
}

void reached_notes(Notes& notes, const ProtectedStretch& stretch)
{
    for (const auto& reached : stretch.reached) {
        const bool barred = bars_slopes(reached.kind);
        const auto text =
            fmt::format("The side slopes {} the {} {}, by {} at {}: {}", barred ? "would reach" : "reach",
                        said(reached), notes.stretch(reached.over.span), length_text(reached.over.max_m, notes.units),
                        station_text(reached.over.max_station_m, notes.units), remedy(reached.kind));
        const auto words = "STOP no room: " + display_name(std::string(site_object_kind_word(reached.kind)));
        notes.add(barred ? Severity::stop : Severity::warning, "dig.protective_system_cut", text,
                  reached.over.max_station_m, reached.over.span, barred ? words : "");
    }
}

std::string protection_text(const ProtectedStretch& stretch, const std::string& soil, UnitSystem units)
{
    if (stretch.shored) {
        return fmt::format("{}, {} of face",
                           stretch.no_room ? "no room for side slopes, so counted as shored" : "planned shored",
                           area_text(stretch.face_m2, units));
    }
    return fmt::format("planned with side slopes for soil {}{}, {} wide at the top, {} more excavation", soil,
                       soil == "unknown" ? " (as type C)" : "", length_text(stretch.top_width_m, units),
                       volume_text(stretch.extra_machine_m3 + stretch.extra_hand_m3, units));
}

void protection_notes(Notes& notes)
{
    const auto& rules = notes.rules.safety.protection;
    for (const auto& stretch : notes.safety.protection) {
        const auto depth = depth_text(notes.rules.protective_system_cut_m, notes.units);
        const auto where = notes.stretch(stretch.cut.span);
        notes.add(Severity::warning, "dig.protective_system_cut",
                  fmt::format("Cut of {} or more {}: slope, shore or shield it: no vertical sides without a protective "
                              "system; {}. A competent "
                              "person looks at the soil and the trench before each day's work, after rain and after "
                              "any change, and decides. Local code goes before.",
                              depth, where, protection_text(stretch, rules.soil, notes.units)),
                  stretch.cut.span.from_m, stretch.cut.span, stretch.shored ? "protect: shore" : "protect: slope");
        if (stretch.cut.max_m >= printed_from_m(rules.engineer_cut_m)) {
            notes.add(Severity::stop, "protection.engineer_cut",
                      fmt::format("Cut of {} at {}: a registered engineer designs the protection.",
                                  depth_text(stretch.cut.max_m, notes.units),
                                  station_text(stretch.cut.max_station_m, notes.units)),
                      stretch.cut.max_station_m, stretch.cut.span, "STOP engineer");
        }
        reached_notes(notes, stretch);
    }
}

void spoil_notes(Notes& notes)
{
    const auto& spoil = notes.safety.spoil;
    const auto& side = spoil.on_left ? spoil.left : spoil.right;
    constexpr double min_told_m = 0.015; // shorter would be printed as 0
    if (side.taken_m < min_told_m) {
        return;
    }
    std::vector<std::string> names;
    for (const auto& taken : side.taken) {
        const auto name = said(taken);
        if (std::ranges::find(names, name) == names.end()) {
            names.push_back(name);
        }
    }
    notes.add(Severity::warning, "spoil.setback",
              fmt::format("No room for the spoil beside {} of the trench even on the {} ({}): carry it off there. It "
                          "needs {} from the edge and a spoil pile up to {} wide.",
                          length_text(side.taken_m, notes.units), spoil.on_left ? "left" : "right",
                          fmt::join(names, ", "), small_text(notes.rules.safety.spoil_setback_m, notes.units),
                          length_text(spoil.widest_m, notes.units)),
              side.taken.front().over.span.from_m);
}

void wedge_notes(Notes& notes)
{
    for (const auto& over : notes.safety.wedge) {
        notes.add(Severity::stop, "wedge.side_per_depth",
                  fmt::format("Lies below the 45-degree line from the bottom outside edge of the footing {}, by {} at "
                              "{}. No trench there "
                              "unless the footing is underpinned or an engineer decides.",
                              notes.stretch(over.span), depth_text(over.max_m, notes.units),
                              station_text(over.max_station_m, notes.units)),
                  over.max_station_m, over.span, "STOP footing");
    }
}

void tree_notes(Notes& notes, const TrenchPlan& trench)
{
    const auto& rules = notes.rules.safety.trees;
    for (const auto& check : notes.safety.trees) {
        const auto& tree = notes.site.trees[check.tree];
        if (check.near_hold) {
            notes.add(Severity::warning, "trees.hold_factor",
                      fmt::format("Passes tree {} at {}, nearer than {:.3g} trunk diameters: it may be "
                                  "destabilized. Ask an arborist.",
                                  tree.id, length_text(check.nearest_m, notes.units), rules.hold_factor),
                      check.station_m);
        }
        if (check.inside_m > 0 && rules.bore) {
            double least = std::numeric_limits<double>::infinity();
            for (const auto& depth : trench.measured.depths) {
                const bool inside = std::ranges::any_of(check.inside, [&](const Interval& span) {
                    return depth.station_m >= span.from_m && depth.station_m <= span.to_m;
                });
                least = inside ? std::min(least, depth.cover_m) : least;
            }
            if (least < rules.bore_cover_m) {
                notes.add(Severity::warning, "trees.bore_cover",
                          fmt::format("Bored under tree {} with {} over the pipe; {} is required.", tree.id,
                                      depth_text(least, notes.units), depth_text(rules.bore_cover_m, notes.units)),
                          check.station_m);
            }
        }
    }
}

void setback_notes(Notes& notes)
{
    for (const auto& check : notes.safety.setbacks) {
        if (check.too_near.empty() || !(check.rule.distance_m > 0)) {
            continue; // 0 asks for nothing; a street or easement entered has a finding of its own
        }
        const auto& first = check.too_near.front();
        const auto text =
            fmt::format("Comes within {} of the {}{} {}: {} is required.", length_text(check.nearest_m, notes.units),
                        check.kind, check.id.empty() ? "" : " " + check.id, notes.stretch(first),
                        length_text(check.rule.distance_m, notes.units));
        notes.add(check.rule.hard ? Severity::stop : Severity::warning, "setbacks", text, check.nearest_station_m,
                  {first.from_m, check.too_near.back().to_m}, check.rule.hard ? "STOP " + check.kind : "");
    }
}

/// The layers may disagree by the snap distance, so a corner no deeper than that tells nothing.
void wall_notes(Notes& notes, const TrenchPlan& trench)
{
    const double width_m = trench.laid.problem.section.width_m;
    const auto inside = inside_foundations(notes.site, trench.line.route.line, width_m);
    if (inside.deepest_m > notes.rules.route.boundary_snap_m) {
        notes.add(Severity::warning, "route.foundation_clearance",
                  fmt::format("At the wall the trench's full width of {} would reach {} into the foundation: dig it "
                              "there no wider than the wall leaves room.",
                              small_text(width_m, notes.units), small_text(inside.deepest_m, notes.units)),
                  inside.station_m);
    }
}

/// Where the clearance of a neighbor's building was waived, it is said, with both names.
void party_wall_notes(Notes& notes, const TrenchPlan& trench)
{
    const auto& rules = notes.rules.route;
    const auto name = [](const std::vector<std::string>& ids, std::size_t i) {
        return i < ids.size() && !ids[i].empty() ? " " + ids[i] : std::string();
    };
    for (const auto& wall : party_walls(notes.site, rules.boundary_snap_m)) {
        const double away_m = distance_m(trench.line.route.line, notes.site.neighbor_buildings[wall.neighbor]) -
                              trench.laid.problem.section.width_m / 2;
        if (away_m < rules.foundation_clearance_m) {
            notes.add(Severity::note, "route.boundary_snap",
                      fmt::format("The neighbor's building{} stands against our building{}: taken as a party wall, its "
                                  "clearance is waived within {} of the source as that of our own wall is. The trench "
                                  "comes within {} of it; no pipe lies in either.",
                                  name(notes.site.neighbor_building_ids, wall.neighbor),
                                  name(notes.site.foundation_ids, wall.ours),
                                  length_text(rules.wall_exit_length_m, notes.units),
                                  length_text(std::max(0.0, away_m), notes.units)),
                      length_m(trench.line.route.line));
        }
    }
}

void area_notes(Notes& notes, const std::string& permit)
{
    if (notes.safety.street) {
        const auto& zone = *notes.safety.street;
        notes.add(Severity::warning, "right_of_way",
                  fmt::format("{} of the trench ({} opened) lie in the right-of-way: permit required. {}",
                              length_text(zone.length_m, notes.units), area_text(zone.opened_m2, notes.units),
                              permit.empty() ? "The outlet's record names none."
                                             : "The outlet's record names: " + permit + "."),
                  zone.spans.front().from_m);
    }
    for (const auto& easement : notes.safety.easements) {
        const bool hard = notes.rules.route.setbacks.easement.hard;
        notes.add(
            hard ? Severity::stop : Severity::warning, "setbacks.easement",
            fmt::format(
                "{} of the trench ({} opened) lie in the easement {}{}: its holder's written consent is required.",
                length_text(easement.length_m, notes.units), area_text(easement.opened_m2, notes.units), easement.id,
                easement.holder.empty() ? "" : " of " + easement.holder),
            easement.spans.front().from_m, {easement.spans.front().from_m, easement.spans.back().to_m},
            hard ? "STOP easement" : "");
    }
}

/// "84.4 ft is required for 101.2 gpm on ground falling 25.0 %"
std::string required_text(const OutletAim& aim, const NeighborWater& water, UnitSystem units)
{
    const auto flow = water.flow_m3ps ? flow_text(*water.flow_m3ps, units)
                                      : fmt::format("a flow that is not known ({} of {} sources state none, counted "
                                                    "as aim.neighbor_flow each)",
                                                    water.unknown_sources, water.sources);
    return fmt::format("{} is required for {} on ground falling {:.1f} %", length_text(water.required_m, units), flow,
                       aim.fall_ratio * 100);
}

void neighbor_notes(Notes& notes, const OutletAim& aim)
{
    if (!aim.to_neighbor) {
        return;
    }
    const auto& water = *aim.to_neighbor;
    const bool near = aim.length_m < water.required_m;
    notes.add(near ? Severity::warning : Severity::note, "aim.neighbor_distance",
              fmt::format("The water runs {} over the ground and then onto the neighbor's lot{}: {}.{}",
                          length_text(aim.length_m, notes.units), aim.neighbor.empty() ? "" : " " + aim.neighbor,
                          required_text(aim, water, notes.units),
                          near ? " Lead it elsewhere, or spread it level over stone." : ""),
              0);
}

void aim_notes(Notes& notes)
{
    if (!notes.safety.aim) {
        return;
    }
    const auto& aim = *notes.safety.aim;
    if (!aim.walks.empty()) {
        notes.add(
            Severity::warning, "aim.sidewalks",
            fmt::format("Discharge crosses: {}. Ice and algae there are a slip hazard.", fmt::join(aim.walks, ", ")),
            0);
    }
    for (const auto& reserve : aim.reserves) {
        notes.add(
            reserve.barred ? Severity::stop : Severity::warning, "aim.septic_and_wells",
            reserve.enters
                ? fmt::format("The water runs from the outlet over the ground across the {} {}. Let it out where "
                              "it runs clear of it.",
                              reserve.kind, reserve.id)
                : fmt::format("The water runs from the outlet past the {} {}, {} away; a trench keeps {} from it.",
                              reserve.kind, reserve.id, length_text(reserve.away_m, notes.units),
                              length_text(reserve.required_m, notes.units)),
            0);
    }
    for (const auto& building : aim.buildings) {
        notes.add(Severity::warning, "aim.building_distance",
                  fmt::format("The water runs from the outlet {} {} building{}: {} is required. Let it out where the "
                              "ground leads it clear.",
                              building.away_m > 0 ? length_text(building.away_m, notes.units) + " past" : "against",
                              building.ours ? "our" : "a neighbor's", building.id.empty() ? "" : " " + building.id,
                              length_text(notes.rules.safety.building_aim_m, notes.units)),
                  0);
    }
    neighbor_notes(notes, aim);
    if (aim.target == AimTarget::unknown || aim.target == AimTarget::other_side) {
        notes.add(Severity::warning, "aim.neighbor_distance",
                  aim.target == AimTarget::unknown
                      ? "Where the water runs from the outlet is not known: its way leaves the surveyed ground."
                      : "The water leaves the lot onto unidentified land.",
                  0);
    }
    if (aim.target == AimTarget::stays_inside) {
        notes.add(Severity::note, "aim.neighbor_distance",
                  fmt::format("The water comes to a stand on the lot, {} from the outlet: look for ponding.",
                              length_text(aim.length_m, notes.units)),
                  0);
    }
}

} // namespace

std::vector<Finding> safety_findings(const PlanBasis& basis, const TrenchPlan& trench)
{
    Notes notes(basis, trench);
    wedge_notes(notes);
    exit_notes(notes);
    protection_notes(notes);
    spoil_notes(notes);
    tree_notes(notes, trench);
    setback_notes(notes);
    wall_notes(notes, trench);
    party_wall_notes(notes, trench);
    area_notes(notes, basis.site.outlets[trench.outlet].permit);
    aim_notes(notes);
    return notes.take();
}

} // namespace trenchwright
