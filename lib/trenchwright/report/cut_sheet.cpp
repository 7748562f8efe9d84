#include "trenchwright/report/cut_sheet.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double same_place_m = 0.01; // closer stations are one row: they are printed alike

/// A trench with what joins it.
struct Branch {
    const TrenchPlan* trench = nullptr;
    std::size_t number = 0;
};

struct Fitting {
    double station_m = 0;
    std::string text;
};

std::string angle_words(const Bend& bend)
{
    std::vector<std::string> parts;
    for (const double angle_rad : bend.fitting_angles_rad) {
        parts.push_back(fmt::format("{:g}", angle_rad * 180 / std::numbers::pi));
    }
    return fmt::format("{} deg", fmt::join(parts, " + "));
}

std::string bend_words(const Bend& bend)
{
    return bend.fitting_angles_rad.empty() ? "bend in the joints" : "bend " + angle_words(bend);
}

std::string vertical_words(const VerticalBend& vertical)
{
    return fmt::format("vertical bend {}, {} upstream",
                       vertical.buildable ? angle_words(vertical.bend) : "that no fittings make",
                       vertical.steeper_upstream ? "steeper" : "flatter");
}

void add_grades(std::vector<Fitting>& fittings, const TrenchPlan& trench, UnitSystem units)
{
    for (const auto& vertical : trench.laid.grades.bends) {
        fittings.push_back({vertical.bend.station_m, vertical_words(vertical)});
    }
    for (const auto& drop : trench.laid.grades.drops) {
        fittings.push_back(
            {drop.span.from_m, fmt::format("riser of {} from here", depth_text(std::abs(drop.height_m), units))});
    }
    for (const auto& stretch : trench.laid.grades.anchored) {
        fittings.push_back(
            {stretch.span.from_m, fmt::format("{} anchor{} from here to {}, {} apart at most", stretch.anchors,
                                              stretch.anchors == 1 ? "" : "s", station_text(stretch.span.to_m, units),
                                              length_text(stretch.spacing_m, units))});
    }
}

void add_classes(std::vector<Fitting>& fittings, const TrenchPlan& trench, const Rules& rules)
{
    for (const auto& stretch : classed_stretches(trench.line.facts.surface, rules.route)) {
        fittings.push_back(
            {stretch.span.from_m, fmt::format("{} pipe under {} to {}", stretch.pipe_class, display_name(stretch.kind),
                                              station_text(stretch.span.to_m, rules.units))});
    }
}

std::vector<Fitting> fittings_of(const JobPlan& plan, const TrenchPlan& trench, const std::vector<Branch>& all)
{
    std::vector<Fitting> fittings;
    for (const auto& bend : trench.line.bends) {
        fittings.push_back({bend.station_m, bend_words(bend)});
    }
    add_grades(fittings, trench, plan.job.rules.units);
    if (const auto& reduced = trench.laid.reduced) {
        fittings.push_back({reduced->length_m, fmt::format("reducer, {} from here to the curb", reduced->pipe)});
    }
    add_classes(fittings, trench, plan.job.rules);
    for (const auto& cleanout : trench.laid.cleanouts) {
        fittings.push_back({cleanout.station_m, "cleanout"});
    }
    if (trench.joins) {
        fittings.push_back({0, "joins " + plan.site.sources[trench.joins->source].id});
    }
    for (const auto& other : all) {
        if (other.trench->joins && other.trench->joins->source == trench.source) {
            fittings.push_back({other.trench->joins->station_m, fmt::format("wye of trench {}", other.number)});
        }
    }
    return fittings;
}

std::vector<const Hub*> hubs_of(const JobPlan& plan, const TrenchPlan& trench)
{
    std::vector<const Hub*> hubs;
    for (const auto& hub : plan.job.cut_sheet.hubs) {
        if (hub.source == plan.site.sources[trench.source].id) {
            hubs.push_back(&hub);
        }
    }
    return hubs;
}

void check_hubs(const JobPlan& plan, const std::vector<Branch>& all)
{
    for (const auto& hub : plan.job.cut_sheet.hubs) {
        const auto found = std::ranges::find_if(
            all, [&](const Branch& one) { return plan.site.sources[one.trench->source].id == hub.source; });
        if (found == all.end()) {
            throw Error(ErrorKind::input, fmt::format("cut_sheet.hubs: source \"{}\" has no trench here", hub.source));
        }
        const double length_m = found->trench->measured.quantities.length_m;
        if (hub.station_m > length_m + same_place_m) {
            throw Error(ErrorKind::input,
                        fmt::format("cut_sheet.hubs: station {:.3f} m lies beyond the trench of {}, which is {:.3f} m",
                                    hub.station_m, hub.source, length_m));
        }
    }
}

/// Those of more that no row is near to; a row near by says the same.
void add_far_from(std::vector<double>& stations, const std::vector<double>& more)
{
    for (const double station_m : more) {
        if (std::ranges::none_of(stations,
                                 [&](double other_m) { return std::abs(other_m - station_m) < alert_row_m; })) {
            stations.push_back(station_m);
        }
    }
}

std::vector<double> row_stations(const TrenchPlan& trench, const std::vector<Fitting>& fittings,
                                 const std::vector<const Hub*>& hubs)
{
    std::vector<double> stations;
    for (const auto& depth : trench.measured.depths) {
        stations.push_back(depth.station_m);
    }
    for (const auto& fitting : fittings) {
        stations.push_back(fitting.station_m);
    }
    for (const auto* hub : hubs) {
        stations.push_back(std::min(hub->station_m, trench.measured.quantities.length_m));
    }
    add_far_from(stations, alert_stations_m(trench));
    std::ranges::stable_sort(stations);
    const auto same = [](double a, double b) { return b - a < same_place_m; };
    stations.erase(std::unique(stations.begin(), stations.end(), same), stations.end());
    return stations;
}

/// What stands a little beside a row is told in the nearest.
double nearest_of(const std::vector<double>& stations, double station_m)
{
    return *std::ranges::min_element(stations, {}, [&](double other_m) { return std::abs(other_m - station_m); });
}

bool reaches(const Interval& span, double station_m)
{
    return station_m >= span.from_m - same_place_m && station_m <= span.to_m + same_place_m;
}

void expect(CutRow& row, const TrenchPlan& trench)
{
    for (const auto& zone : trench.measured.zones) {
        if (!reaches(zone.span, row.station_m)) {
            continue;
        }
        row.by_hand = true;
        row.trees.insert(row.trees.end(), zone.trees.begin(), zone.trees.end());
        for (const auto mark : zone.marks) {
            Expected one{.mark = mark, .crosses = false, .facility_top_elev_m = {}};
            for (const auto& crossing : trench.measured.crossings) {
                if (crossing.mark == mark && std::abs(crossing.station_m - row.station_m) < same_place_m) {
                    one.crosses = true;
                    one.facility_top_elev_m = crossing.facility_top_elev_m;
                }
            }
            row.expected.push_back(one);
        }
    }
}

CutRow row_at(const JobPlan& plan, const TrenchPlan& trench, double station_m, const std::vector<TapeCorner>& corners)
{
    const auto& section = trench.laid.problem.section;
    CutRow row;
    row.station_m = station_m;
    row.at = point_at(trench.line.route.line, station_m);
    row.ground_elev_m = ground_at_m(trench.laid.problem.ground, station_m);
    row.invert_elev_m = invert_at_m(trench.laid.profile.points, station_m);
    row.cut_m = section.cut_m(row.ground_elev_m, row.invert_elev_m);
    row.cover_m = section.cover_m(row.ground_elev_m, row.invert_elev_m) + reduced_cover_m(trench, station_m);
    row.bottom_elev_m = row.ground_elev_m - row.cut_m;
    expect(row, trench);
    row.alert = alert_words(trench, station_m);
    row.ties = tape_ties(row.at, corners, plan.site.foundations, plan.job.rules.ties);
    if (const auto& sight = plan.job.cut_sheet.instrument_elev_m) {
        row.rod_bottom_m = *sight - row.bottom_elev_m;
        row.rod_invert_m = *sight - row.invert_elev_m;
    }
    return row;
}

CutSheet sheet_of(const JobPlan& plan, const Branch& branch, const std::vector<Branch>& all,
                  const std::vector<TapeCorner>& corners)
{
    const auto& trench = *branch.trench;
    const auto fittings = fittings_of(plan, trench, all);
    const auto hubs = hubs_of(plan, trench);
    CutSheet sheet{.trench = &trench, .number = branch.number, .rows = {}};
    const auto stations = row_stations(trench, fittings, hubs);
    for (const double station_m : stations) {
        auto row = row_at(plan, trench, station_m, corners);
        const auto here = [&](double other_m) { return nearest_of(stations, other_m) == station_m; };
        for (const auto& fitting : fittings) {
            if (here(fitting.station_m)) {
                row.fitting += (row.fitting.empty() ? "" : ", ") + fitting.text;
            }
        }
        for (const auto* hub : hubs) {
            row.hub_top_elev_m = here(hub->station_m) ? std::optional(hub->top_elev_m) : row.hub_top_elev_m;
        }
        sheet.rows.push_back(std::move(row));
    }
    for (std::size_t i = 1; i < sheet.rows.size(); ++i) {
        auto& lower = sheet.rows[i - 1];
        const auto& upper = sheet.rows[i];
        lower.fall_to_next_ratio = (upper.invert_elev_m - lower.invert_elev_m) / (upper.station_m - lower.station_m);
    }
    return sheet;
}

/// Those that run to the outlet, then what joins them, and so on.
std::vector<Branch> in_digging_order(const std::vector<const TrenchPlan*>& trenches)
{
    std::vector<Branch> order;
    const auto laid = [&](std::size_t source) {
        return std::ranges::any_of(order, [&](const Branch& one) { return one.trench->source == source; });
    };
    while (order.size() < trenches.size()) {
        const auto before = order.size();
        for (std::size_t i = 0; i < trenches.size(); ++i) {
            const auto* trench = trenches[i];
            const bool ready = !trench->joins || laid(trench->joins->source);
            if (ready && !laid(trench->source)) {
                order.push_back({.trench = trench, .number = i + 1});
            }
        }
        if (order.size() == before) {
            throw Error(ErrorKind::internal, "cut sheet: trenches that join each other in a ring");
        }
    }
    return order;
}

} // namespace

std::vector<CutSheet> cut_sheets(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto order = in_digging_order(trenches_of(&outcome));
    check_hubs(plan, order);
    const auto corners = tape_corners(plan.site.foundations, plan.job.rules.ties);
    std::vector<CutSheet> sheets;
    for (const auto& branch : order) {
        sheets.push_back(sheet_of(plan, branch, order, corners));
    }
    return sheets;
}

std::string hub_text(double hub_top_elev_m, double elev_m, UnitSystem units)
{
    const double down = (hub_top_elev_m - elev_m) / (units == UnitSystem::us ? ft_in_m : 1);
    return fmt::format("{} {:.2f}", down < 0 ? 'F' : 'C', std::abs(down));
}

std::string expected_text(const Site& site, const CutRow& row, UnitSystem units)
{
    std::string text;
    for (const auto& one : row.expected) {
        const auto& mark = site.marks[one.mark];
        const auto depth = one.facility_top_elev_m ? "top " + elev_text(*one.facility_top_elev_m, units)
                                                   : std::string("depth unknown");
        const auto paint = mark.probable() ? std::string() : fmt::format(" ({})", paint_words(mark, " "));
        text += fmt::format("{}{}{} {}", text.empty() ? "" : "; ", mark_name_and_advice(mark), paint,
                            one.crosses ? "crosses, " + depth : "near");
    }
    for (const auto tree : row.trees) {
        text += fmt::format("{}roots of tree {}", text.empty() ? "" : "; ", site.trees[tree].id);
    }
    return text;
}

std::string percent_or_riser(double fall_ratio, const SteepRules& rules)
{
    return std::abs(fall_ratio) > rules.drop_fall_ratio ? "riser" : fmt::format("{:.2f} %", fall_ratio * 100);
}

std::string fall_to_next_text(const CutRow& row, const SteepRules& rules)
{
    return row.fall_to_next_ratio ? percent_or_riser(*row.fall_to_next_ratio, rules) : "";
}

std::string tape_text(const TapeTies& ties, std::size_t nth, UnitSystem units)
{
    return nth < ties.ties.size() ? tape_text(ties.ties[nth], units) : std::string();
}

} // namespace trenchwright
