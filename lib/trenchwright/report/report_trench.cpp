#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/report.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

std::string degrees(double angle_rad)
{
    return fmt::format("{:.1f} deg", angle_rad * 180 / std::numbers::pi);
}

std::string quantities_text(const TrenchPlan& trench, const Site& site, const Rules& rules)
{
    const auto dig = hand_dig(site, trench);
    const auto& q = trench.measured.quantities;
    const UnitSystem u = rules.units;
    std::string text =
        fmt::format("Length {} ({} of pipe along the slope): {} by machine, {} by hand.\n", length_text(q.length_m, u),
                    length_text(q.pipe_length_m, u), machine_length_text(dig, u), hand_length_text(dig, u));
    text += fmt::format("Cut: minimum {}, mean {}, maximum {} at {}.\n", depth_text(q.min_cut_m, u),
                        depth_text(q.mean_cut_m, u), depth_text(q.max_cut_m, u), station_text(q.max_cut_station_m, u));
    text += trench.needs_fall() ? fmt::format("Extra fall {} at {}.\n", small_text(trench.laid.extra_fall_m, u),
                                              station_text(trench.laid.extra_fall_station_m, u))
                                : "No fall is needed: the pump's discharge line is under pressure to the outlet.\n";
    text += fmt::format(
        "Excavation, bank measure: {} by machine, {} by hand. Bedding {}, pipe {}, backfill {}. Haul-off {} loose "
        "(swell {:.0f} %, shrink {:.0f} %).\n",
        machine_volume_text(dig, u), hand_volume_text(dig, u), volume_text(q.bedding_m3, u), volume_text(q.pipe_m3, u),
        volume_text(q.backfill_m3, u), volume_text(q.haul_loose_m3, u), rules.soil.swell_ratio * 100,
        rules.soil.shrink_ratio * 100);
    std::string surfaces;
    for (const auto& [kind, area] : q.restore_m2) {
        surfaces += fmt::format("{}{} {}", surfaces.empty() ? "" : ", ", display_name(kind), area_text(area, u));
    }
    return text + fmt::format("Surface restoration: {}.\n", surfaces);
}

std::string fittings_text(const Bend& bend)
{
    std::string fittings;
    for (const double angle : bend.fitting_angles_rad) {
        fittings += fmt::format("{}{:.2f}", fittings.empty() ? "" : " + ", angle * 180 / std::numbers::pi);
    }
    return fittings.empty() ? "no fitting" : "fitting " + fittings + " deg";
}

std::string vertical_text(const TrenchGrades& grades, UnitSystem units)
{
    std::string text;
    for (const auto& vertical : grades.bends) {
        text +=
            fmt::format("Vertical bend of {} at {}, {} upstream: {}.\n", degrees(vertical.bend.angle_rad),
                        station_text(vertical.bend.station_m, units), vertical.steeper_upstream ? "steeper" : "flatter",
                        vertical.buildable ? fmt::format("{}, joint deflection {}", fittings_text(vertical.bend),
                                                         degrees(vertical.bend.deflection_rad))
                                           : "no fittings make it");
    }
    return text;
}

std::string bends_text(const TrenchPlan& trench, UnitSystem units)
{
    std::string text;
    for (const auto& bend : trench.line.bends) {
        text += fmt::format("Bend of {} at {}: {}, joint deflection {}.\n", degrees(bend.angle_rad),
                            station_text(bend.station_m, units), fittings_text(bend), degrees(bend.deflection_rad));
    }
    if (const auto& reduced = trench.laid.reduced) {
        text += fmt::format("Reducer at {}: {} from there to the curb.\n", station_text(reduced->length_m, units),
                            reduced->pipe);
    }
    return text + vertical_text(trench.laid.grades, units);
}

std::string zones_text(const TrenchPlan& trench, const Site& site, UnitSystem units)
{
    if (trench.measured.zones.empty()) {
        return site.marks.empty() ? "Hand-dig zones: unknown, no marks supplied.\n"
                                  : "Hand-dig zones: none about the marks and trees supplied.\n";
    }
    std::vector<std::vector<std::string>> rows{{"Hand-dig zone", "From", "To", "Length", "Excavation", "About"}};
    for (std::size_t i = 0; i < trench.measured.zones.size(); ++i) {
        const auto& zone = trench.measured.zones[i];
        std::string about;
        for (const auto mark : zone.marks) {
            const auto& near = site.marks[mark];
            about += fmt::format("{}{} ({})", about.empty() ? "" : ", ", mark_name(near),
                                 near.probable() ? "no paint" : mark_code(near.facility).color);
        }
        for (const auto tree : zone.trees) {
            about += fmt::format("{}tree {}", about.empty() ? "" : ", ", site.trees[tree].id);
        }
        rows.push_back({std::to_string(i + 1), station_text(zone.span.from_m, units),
                        station_text(zone.span.to_m, units), length_text(zone.span.to_m - zone.span.from_m, units),
                        volume_text(zone.volume_m3, units), about});
    }
    return text_table(rows, {1, 2, 3, 4});
}

std::string crossings_text(const TrenchPlan& trench, const Site& site, UnitSystem units)
{
    if (trench.measured.crossings.empty()) {
        return site.marks.empty() ? "Crossings: unknown, no marks supplied.\n"
                                  : "Crossings of the marks supplied: none.\n";
    }
    std::vector<std::vector<std::string>> rows{{"Crossing", "Station", "Angle", "Facility", "Paint", "Quality",
                                                "Top of facility", "Trench bottom", "By hand", "Formula"}};
    for (std::size_t i = 0; i < trench.measured.crossings.size(); ++i) {
        const auto& c = trench.measured.crossings[i];
        const auto& mark = site.marks[c.mark];
        rows.push_back({std::to_string(i + 1), station_text(c.station_m, units), degrees(c.angle_rad), mark_name(mark),
                        paint_words(mark, " "), quality_word(mark),
                        c.facility_top_elev_m ? elev_text(*c.facility_top_elev_m, units) : "depth unknown",
                        elev_text(c.trench_bottom_elev_m, units),
                        length_text(c.hand_span.to_m - c.hand_span.from_m, units),
                        length_text(c.formula_length_m, units)});
    }
    return text_table(rows, {1, 2, 6, 7, 8, 9});
}

std::string depths_text(const TrenchPlan& trench, const Rules& rules)
{
    const UnitSystem units = rules.units;
    std::vector<std::vector<std::string>> rows{
        {"Station", "Ground", "Invert", "Cut to bottom", "Cover", "Slope downstream", "Dig"}};
    for (const auto& d : trench.measured.depths) {
        rows.push_back({station_text(d.station_m, units), elev_text(d.ground_elev_m, units),
                        elev_text(d.invert_elev_m, units), depth_text(d.cut_m, units), depth_text(d.cover_m, units),
                        percent_or_riser(d.fall_ratio, rules.steep), d.by_hand ? "hand" : "machine"});
    }
    return text_table(rows, {0, 1, 2, 3, 4, 5}) + fmt::format("Machine: {}.\n", machine_note);
}

std::string findings_text(const TrenchPlan& trench)
{
    std::string text;
    for (const auto& finding : trench.findings) {
        text += wrapped(fmt::format("{}: {}", display_name(finding.severity), finding.text), page_width, 4) + "\n";
    }
    return text;
}

/// Where the trench ends on another one, and what kind of pipe lies in it.
std::string junction_text(const JobPlan& plan, const TrenchPlan& trench)
{
    const UnitSystem u = plan.job.rules.units;
    std::string text =
        trench.pressure
            ? fmt::format(
                  "Discharge (force main) line from the pump{}: it may climb, and is laid at the minimum cover.\n",
                  trench.joins ? "" : " to the outlet")
            : "";
    if (trench.joins) {
        text += wrapped(fmt::format("Joins the trench of {} at its {}, at {}. Invert there {}, of the trench it joins "
                                    "{}. Stations below count from this wye.",
                                    plan.site.sources[trench.joins->source].id,
                                    station_text(trench.joins->station_m, u), degrees(trench.joins->angle_rad),
                                    elev_text(trench.laid.profile.points.front().invert_elev_m, u),
                                    elev_text(trench.joins->trunk_invert_elev_m, u)),
                        page_width, 0) +
                "\n";
    }
    return text;
}

} // namespace

std::string trench_text(const JobPlan& plan, const TrenchPlan& trench)
{
    const auto& rules = plan.job.rules;
    const auto& site = plan.site;
    const std::string title = fmt::format("{} to {}", site.sources[trench.source].id, site.outlets[trench.outlet].name);
    std::string text = fmt::format("{}\n{}\n", title, std::string(title.size(), '-'));
    text += junction_text(plan, trench);
    text += quantities_text(trench, site, rules) + bends_text(trench, rules.units);
    text += "\n" + findings_text(trench);
    text += "\n" + safety_text(plan, trench);
    text += "\n" + zones_text(trench, site, rules.units);
    text += "\n" + crossings_text(trench, site, rules.units);
    text += crossing_records_text(plan, trench);
    text += "\n" + depths_text(trench, rules);
    return text + "\n" + trench_price_text(plan, trench);
}

} // namespace trenchwright
