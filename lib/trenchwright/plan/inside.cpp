#include "trenchwright/plan/inside.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/lid.hpp"
#include "trenchwright/plan/mark_findings.hpp"
#include "trenchwright/plan/pump_joint.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

void measure_and_price_trench(TrenchPlan& trench, const OutletOutcome& outcome, const Site& site, const Job& job)
{
    const auto lid = lid_elev_m(outcome, trench, site);
    for (const auto& more :
         {lid_findings(trench, site, job.rules, lid), pump_joint_findings(trench, site, job.rules, lid)}) {
        trench.findings.insert(trench.findings.end(), more.begin(), more.end());
    }
    const auto& source = site.sources[trench.source];
    if (passes_wall(source)) {
        trench.laid.wall_core =
            wall_core(site, source, trench.laid.problem.section, trench.laid.profile.points.back().invert_elev_m,
                      trench.laid.problem.ground.back().elev_m, job.floor_elev_m);
    }
}

std::vector<Finding> outside_findings(const Site& site, const Rules& rules)
{
    std::vector<Finding> findings;
    for (const auto& drain : site.footing_drains) {
        const double outside_m = outside_foundations_m(drain.line, site.foundations);
        if (outside_m <= rules.route.boundary_snap_m) {
            continue;
        }
        const bool all = outside_m >= length_m(drain.line) - rules.route.boundary_snap_m;
        findings.push_back(finding(
            Severity::warning, "layers.footing_drain",
            fmt::format("{}, layer {}, feature {}: footing drain {} lies outside every foundation{}. It is measured as "
                        "drawn; no mark, cover or depth is checked along it.",
                        drain.origin.file, drain.origin.layer, drain.origin.feature_id, drain.id,
                        all ? "" : fmt::format(" over {}", length_text(outside_m, rules.units))),
            drain.line.front()));
    }
    return findings;
}

/// A pit keeps the gap of a structure to marks.
void say_marks_near_pits(std::vector<Finding>& findings, const FootingWork& work, const Site& site, const Rules& rules)
{
    for (const auto& pit : work.pits) {
        if (const auto* mark = mark_in_reach(site, pit.at, rules.route)) {
            findings.push_back(
                finding(Severity::warning, "clearance.structure",
                        fmt::format("The pit of the footing drain stands {}.", gap_to_mark_words(*mark, pit.at, rules)),
                        pit.at));
        }
    }
}

/// @param footing_known  then its line is checked along the whole trench, see yard_findings
void add_pit_findings(std::vector<Finding>& findings, const FootingWork& work, const Rules& rules, bool footing_known)
{
    double deepest_m = 0;
    for (const auto& pit : work.pits) {
        deepest_m = std::max(deepest_m, pit.trench_depth_m);
        if (!pit.source) {
            findings.push_back(finding(Severity::warning, "layers.footing_drain",
                                       "No pump belongs to a footing drain: its pit is taken at the last point of the "
                                       "line.",
                                       pit.at));
        }
    }
    if (!footing_known) {
        findings.push_back(finding(
            Severity::warning, "footing.trench_depth",
            fmt::format("The trench along the footing goes down to {} under the floor. The depth of the footing is not "
                        "supplied: stay above its bottom, or outside the 45-degree line down from its edge.",
                        depth_text(deepest_m, rules.units)),
            {}));
    }
}

/// Outside diameter of the trench that this one runs into; 0 when it runs to the outlet.
double trunk_size_m(const OutletOutcome& outcome, const TrenchPlan& trench)
{
    const auto* trunk = trench.joins ? std::get_if<TrenchPlan>(&outcome.by_source.at(trench.joins->source)) : nullptr;
    return trunk != nullptr ? trunk->laid.problem.section.outside_diameter_m : 0;
}

std::string joint_piece(const Source& source, const PumpLineRules& rules)
{
    const bool has_one = source.kind == SourceKind::pump && rules.joint != "closed";
    return has_one ? fmt::format("{} joint of the pump's discharge line", rules.joint == "open" ? "Open" : "Loose")
                   : "";
}

std::vector<Bend> all_bends(const TrenchPlan& trench)
{
    auto bends = trench.line.bends;
    for (const auto& vertical : trench.laid.grades.bends) {
        bends.push_back(vertical.bend);
    }
    return bends;
}

std::size_t anchors_of(const TrenchPlan& trench)
{
    std::size_t count = 0;
    for (const auto& stretch : trench.laid.grades.anchored) {
        count += stretch.anchors;
    }
    return count;
}

} // namespace

std::vector<MaterialTrench> material_trenches(const OutletOutcome& outcome, const Site& site, const Rules& rules)
{
    std::vector<MaterialTrench> list;
    for (const auto& by : outcome.by_source) {
        const auto* trench = std::get_if<TrenchPlan>(&by);
        if (trench == nullptr) {
            continue;
        }
        list.push_back(
            {.pipe = trench->pressure ? "Pressure pipe of the pump" : rules.pipe_name,
             .outside_diameter_m = trench->laid.problem.section.outside_diameter_m,
             .pipe_length_m = trench->measured.quantities.pipe_length_m,
             .bends = all_bends(*trench),
             .junction_angle_rad = trench->joins ? std::optional(rules.water.junction.angle_rad) : std::nullopt,
             .trunk_outside_diameter_m = trunk_size_m(outcome, *trench),
             .joint = joint_piece(site.sources[trench->source], rules.water.pump_line),
             .joint_outside_diameter_m = rules.water.pump_line.outside_diameter_m,
             .cleanouts = trench->laid.cleanouts.size(),
             .anchors = anchors_of(*trench),
             .reduced_pipe = trench->laid.reduced ? trench->laid.reduced->pipe : "",
             .reduced_diameter_m = trench->laid.reduced ? trench->laid.reduced->outside_diameter_m : 0,
             .reduced_length_m = trench->laid.reduced ? trench->laid.reduced->length_m : 0,
             .bedding_m3 = trench->measured.quantities.bedding_m3});
    }
    return list;
}

std::vector<Finding> inside_findings(const PlanBasis& basis)
{
    const auto& rules = basis.job.rules;
    auto findings = outside_findings(basis.site, rules);
    if (basis.footing) {
        const bool footing_known = basis.job.footing && basis.job.footing->inner_edge_m && basis.job.floor_elev_m;
        add_pit_findings(findings, *basis.footing, rules, footing_known);
        say_marks_near_pits(findings, *basis.footing, basis.site, rules);
    }
    if (!basis.job.floor_elev_m && std::ranges::any_of(basis.site.sources, passes_wall)) {
        findings.push_back(finding(Severity::note, "inside.floor",
                                   "No floor elevation inside supplied ([inside] floor): the height of the wall core "
                                   "is given from the ground outside only.",
                                   {}));
    }
    return findings;
}

OutletOutcome with_inside_work(OutletOutcome outcome, const PlanBasis& basis)
{
    const auto& rules = basis.job.rules;
    for (auto& by : outcome.by_source) {
        if (auto* trench = std::get_if<TrenchPlan>(&by)) {
            measure_and_price_trench(*trench, outcome, basis.site, basis.job);
        }
    }
    if (outcome.works) {
        outcome.materials = materials(material_trenches(outcome, basis.site, rules), basis.footing,
                                      rules.footing_pipe_name, rules.footing.outside_diameter_m, rules.materials);
    }
    return outcome;
}

} // namespace trenchwright
