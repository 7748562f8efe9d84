#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/connect.hpp"
#include "trenchwright/route/ends.hpp"
#include "trenchwright/route/orientation.hpp"
#include "trenchwright/route/polish.hpp"
#include "trenchwright/route/prep.hpp"
#include "trenchwright/route/reasons.hpp"
#include "trenchwright/route/straighten.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

/// Everything one source and outlet need, gathered once.
struct Task {
    const RoutePrep& prep;
    const Site& site;
    const Ground& ground;
    const Source& source;
    const Outlet& outlet;
    const RouteRules& rules;
    UnitSystem units;
    std::vector<EndPoint> ends;
    double reserve_m = 0;
};

/// What came of the lattices searched.
struct Searched {
    std::vector<PricedLine> lines; ///< breaking no rule on true geometry; some of them may not drain
    double lattice_cost = 0;       ///< of the cheapest lattice optimum
    double lattice_true_cost = 0;
    double proven_gap = 0;
    double orientation_rad = 0;
    std::optional<NoPath> reason; ///< of the lattice that came nearest, when none drains
    const Lattice* reason_lattice = nullptr;
    long long labels = 0;
    std::size_t cells = 0;
};

Polyline line_of(const Task& task, const Lattice& lattice, const FoundPath& path, const EndPoint& end)
{
    Polyline line{task.source.at};
    for (const int cell : path.cells) {
        line.push_back(lattice.at(cell));
    }
    line.push_back(end.at);
    return without_straight_vertices(line);
}

bool nearer(const NoPath& a, const NoPath& b)
{
    const auto rank = [](const NoPath& n) {
        return n.why == NoPath::Why::budget ? 0 : n.why == NoPath::Why::blocked ? 3 : 1;
    };
    return rank(a) < rank(b) || (rank(a) == rank(b) && a.short_um < b.short_um);
}

/// @param optimum  the path is a lattice optimum under the whole fall, whose figures are reported
/// @return the fall still missing on true geometry, 0 when the line was kept or fails otherwise
double keep_path(const Task& task, TrueLine& meter, const Lattice& lattice, const FoundPath& path,
                 const std::vector<Finish>& finishes, bool optimum, Searched& result)
{
    constexpr int candidate_rounds = 3; // the polish takes up what they leave
    const EndPoint& end = task.ends[static_cast<std::size_t>(finishes[path.finish].end)];
    Polyline line = line_of(task, lattice, path, end);
    const TrueCost cost = meter.cost(line, end);
    const double lattice_cost = static_cast<double>(path.cost_micro) * 1e-6;
    const auto near = [&](const Point& p) {
        return end_near(task.site, task.ground, task.outlet, task.rules, p, task.reserve_m, task.units);
    };
    PricedLine first{.downstream = std::move(line), .end = end, .cost = cost};
    if (auto chain = best_chain(meter, first, task.rules);
        chain && chain->cost.works() && (!cost.works() || chain->cost.price < cost.price)) {
        first = *std::move(chain);
    }
    const bool hopeless = first.cost.missing_m > far_off_m;
    auto straight = hopeless ? std::move(first) : straightened(meter, std::move(first), near, candidate_rounds);
    if (straight.cost.fault) {
        return 0;
    }
    result.lines.push_back(straight);
    if (!straight.cost.works()) {
        return straight.cost.missing_m;
    }
    if (optimum && (result.lattice_cost == 0 || lattice_cost < result.lattice_cost)) {
        result.lattice_cost = lattice_cost;
        result.lattice_true_cost = cost.works() ? cost.price : straight.cost.price;
        result.orientation_rad = lattice.angle_rad;
        result.proven_gap = static_cast<double>(path.gap_cost_micro) * 1e-6;
    }
    return 0;
}

void keep_reason(const NoPath& reason, const Lattice& lattice, Searched& result)
{
    if (!result.reason || nearer(reason, *result.reason)) {
        result.reason = reason;
        result.reason_lattice = &lattice;
    }
}

/// A search of one lattice between the task's ends.
SearchProblem problem_on(const Task& task, const Lattice& lattice, const std::vector<std::int32_t>& highest,
                         const std::vector<Start>& starts, const std::vector<Finish>& finishes, Explain explain)
{
    return {.lattice = lattice,
            .fall_um = lattice.fall_um,
            .highest_um = highest,
            .starts = starts,
            .finishes = finishes,
            .label_budget = task.rules.label_budget,
            .explain = explain};
}

/// Fall beyond the end's lowest invert that a path arrives with.
double slack_m(const FoundPath& path, const std::vector<Finish>& finishes)
{
    return (path.invert_um - finishes[path.finish].lowest_um) * 1e-6;
}

/// Where a lattice route drains on its cells but not on true geometry, the search is asked for a little more fall.
/// @return the last path found, the optimum or nearly so; nothing when none drains
std::optional<FoundPath> search_exactly(const Task& task, TrueLine& meter, const SearchProblem& asked,
                                        std::vector<Start> starts, const std::vector<Finish>& finishes,
                                        Searched& result)
{
    constexpr int max_tries = 5;
    constexpr double reserve_m = 0.0005;
    std::optional<FoundPath> last;
    for (int attempt = 0; attempt < max_tries; ++attempt) {
        SearchProblem problem = asked;
        problem.starts = starts;
        auto outcome = cheapest_draining_path(problem);
        if (const auto* reason = std::get_if<NoPath>(&outcome)) {
            result.labels += reason->labels;
            if (problem.explain != Explain::nothing) {
                keep_reason(*reason, problem.lattice, result);
            }
            return last;
        }
        last = std::get<FoundPath>(std::move(outcome));
        result.labels += last->labels;
        const double missing = keep_path(task, meter, problem.lattice, *last, finishes, true, result);
        if (!(missing > 0)) {
            return last;
        }
        for (auto& start : starts) {
            start.invert_um -= to_um(missing + reserve_m, 0);
        }
    }
    return last;
}

/// The least a straight line's length can be of the lattice route that stands for it.
double min_true_share(const Lattice& lattice)
{
    const double widest_rad = lattice.headings == 8 ? std::numbers::pi / 8 : std::atan(0.5) / 2;
    return std::cos(widest_rad);
}

/// Steps over headings make a slanting route longer than it will be, by up to 1 / cos of half the angle between two
/// headings, and so ask for more fall than it needs. Where fall is short, the search is run again with that much less
/// asked, and what it finds is kept if it drains on true geometry.
void search_hopefully(const Task& task, TrueLine& meter, SearchProblem problem, const std::vector<Finish>& finishes,
                      Searched& result)
{
    const double min_share = min_true_share(problem.lattice);
    for (auto& fall : problem.fall_um) {
        fall = static_cast<std::int32_t>(fall * min_share);
    }
    problem.explain = Explain::nothing;
    const auto outcome = cheapest_draining_path(problem);
    if (const auto* path = std::get_if<FoundPath>(&outcome)) {
        result.labels += path->labels;
        keep_path(task, meter, problem.lattice, *path, finishes, false, result);
    }
}

void search_lattice(const Task& task, TrueLine& meter, const Lattice& lattice, Explain explain, Searched& result)
{
    const auto highest = eased_highest(lattice, task.outlet, task.rules);
    const auto starts = starts_at(lattice, highest, meter, task.source, task.rules);
    const auto finishes = finishes_at(lattice, meter, task.ends, task.rules);
    result.cells += static_cast<std::size_t>(lattice.cells());
    const SearchProblem problem = problem_on(task, lattice, highest, starts, finishes, explain);
    const auto path = search_exactly(task, meter, problem, starts, finishes, result);
    const double steps = path ? static_cast<double>(path->cells.size()) : 0;
    const double stretch = 1 - min_true_share(lattice);
    const bool plenty = path && slack_m(*path, finishes) > steps * lattice.fall_um[1] * 1e-6 * stretch;
    if (!plenty && !starts.empty() && !finishes.empty()) {
        search_hopefully(task, meter, problem, finishes, result);
    }
}

/// The straight line to the nearest ends, which no lattice holds exactly.
void try_direct(const Task& task, TrueLine& meter, Searched& result)
{
    for (const auto& end : task.ends) {
        const Polyline line{task.source.at, end.at};
        if (distance_m(line[0], line[1]) < 1e-6) {
            continue;
        }
        const TrueCost cost = meter.cost(line, end);
        if (!cost.fault) {
            result.lines.push_back({.downstream = line, .end = end, .cost = cost});
        }
    }
}

Point nearest_end(const std::vector<EndPoint>& ends, const Point& p)
{
    return std::min_element(
               ends.begin(), ends.end(),
               [&](const EndPoint& a, const EndPoint& b) { return distance_m(a.at, p) < distance_m(b.at, p); })
        ->at;
}

/// A coarse lattice along the straight line from the source to the outlet, unless the site has one like it.
class DirectLattice {
  public:
    explicit DirectLattice(const Task& task) : task_(task) {}

    /// Laid when first asked for; null where the site has one like it.
    const Lattice* get()
    {
        if (!asked_) {
            asked_ = true;
            const Point& from = task_.source.at;
            lattice_ = task_.prep.coarse_lattice_along(direction_rad(from, nearest_end(task_.ends, from)), from);
        }
        return lattice_ ? &*lattice_ : nullptr;
    }

  private:
    const Task& task_;
    bool asked_ = false;
    std::optional<Lattice> lattice_;
};

/// How far a line lies off another at most, by its vertices.
double apart_m(const Polyline& a, const Polyline& b)
{
    double apart = 0;
    for (const auto& p : a) {
        apart = std::max(apart, place_distance_m(p, b));
    }
    return apart;
}

/// The best lines, of those that lie close together one.
std::vector<PricedLine> best_apart(std::vector<PricedLine> lines, std::size_t count, double apart)
{
    std::ranges::stable_sort(lines, comes_first<PricedLine>);
    std::vector<PricedLine> kept;
    for (auto& line : lines) {
        const bool known = std::ranges::any_of(kept, [&](const PricedLine& other) {
            return std::max(apart_m(line.downstream, other.downstream), apart_m(other.downstream, line.downstream)) <=
                   apart;
        });
        if (!known && kept.size() < count) {
            kept.push_back(std::move(line));
        }
    }
    return kept;
}

/// The best lines found that lie apart from each other, annealed on true geometry, and the best of them straightened
/// once more.
void polish_best(const Task& task, TrueLine& meter, Searched& searched)
{
    constexpr double other_way_m = 0.5;
    constexpr std::array stages{PolishStage{.drains = 6, .tries = 250}, PolishStage{.drains = 3, .tries = 700},
                                PolishStage{.drains = 1, .tries = 3000}};
    if (!task.rules.polish) {
        return;
    }
    const auto near = [&](const Point& p) {
        return end_near(task.site, task.ground, task.outlet, task.rules, p, task.reserve_m, task.units);
    };
    const auto price = [&](const DrainLine& line, double max_price) {
        const TrueCost cost = meter.cost(line.trenches.front().downstream, line.end, max_price);
        return DrainCost{
            .price = cost.price, .missing_m = cost.missing_m, .faults = cost.fault ? 1 : 0, .ends_elev_m = {}};
    };
    std::vector<PricedDrain> drains;
    for (const auto& start : best_apart(searched.lines, stages.front().drains, other_way_m)) {
        if (start.cost.missing_m <= far_off_m) {
            drains.push_back(
                {.line = {.trenches = {{.downstream = start.downstream}}, .end = start.end},
                 .cost = {.price = start.cost.price, .missing_m = start.cost.missing_m, .ends_elev_m = {}}});
        }
    }
    bool first = true;
    for (auto& drain : polished_by_stages(price, std::move(drains), near, middle_of(task.site), stages)) {
        PricedLine line{.downstream = drain.line.trenches.front().downstream, .end = drain.line.end, .cost = {}};
        line.cost = meter.cost(line.downstream, line.end);
        searched.lines.push_back(first ? straightened(meter, std::move(line), near) : std::move(line));
        first = false;
    }
}

bool drains(const Searched& searched)
{
    return std::ranges::any_of(searched.lines, [](const PricedLine& line) { return line.cost.works(); });
}

/// The site's lattices, then the coarse ones, whose word against a line proves nothing. Where it is only asked whether
/// a line drains, the first that does will do.
Searched search_all(const Task& task, TrueLine& meter, DirectLattice& direct)
{
    Searched result;
    const auto enough = [&] { return !task.rules.polish && drains(result); };
    const Explain asked = task.reserve_m > 0   ? Explain::nothing
                          : task.rules.polish ? Explain::amount
                                              : Explain::why;
    for (std::size_t i = 0; i < task.prep.lattices() && !enough(); ++i) {
        search_lattice(task, meter, task.prep.lattice(i), asked, result);
    }
    for (std::size_t i = 0; i < task.prep.coarse_lattices() && !enough(); ++i) {
        search_lattice(task, meter, task.prep.coarse_lattice(i), Explain::nothing, result);
    }
    const Lattice* along = enough() ? nullptr : direct.get();
    if (along != nullptr) {
        search_lattice(task, meter, *along, Explain::nothing, result);
    }
    try_direct(task, meter, result);
    return result;
}

void keep_reserve(Task& task, double reserve_m)
{
    task.reserve_m = reserve_m;
    for (auto& end : task.ends) {
        end.reserve_m = reserve_m;
    }
}

/// With the whole reserve of fall, else with half or a quarter of it, else with none: what does not drain with none
/// drains with no part of it.
Searched search_with_reserve(Task& task, TrueLine& meter)
{
    DirectLattice direct(task);
    const auto with = [&](double share) {
        keep_reserve(task, share * task.rules.reserve_fall_m);
        return search_all(task, meter, direct);
    };
    std::optional<Searched> without;
    for (const double share : {1.0, 0.5, 0.25}) {
        if (!(task.rules.reserve_fall_m > 0) || (without && !drains(*without))) {
            break;
        }
        if (Searched searched = with(share); drains(searched)) {
            return searched;
        }
        without = without ? std::move(without) : with(0);
    }
    keep_reserve(task, 0);
    return without ? *std::move(without) : with(0);
}

Route route_of(const Searched& searched, const PricedLine& line)
{
    Polyline upstream = line.downstream;
    std::reverse(upstream.begin(), upstream.end());
    return {.line = std::move(upstream),
            .end = line.end,
            .lattice_cost = searched.lattice_cost,
            .lattice_true_cost = searched.lattice_cost > 0 ? searched.lattice_true_cost : line.cost.price,
            .cost = line.cost.price,
            .proven_gap = searched.proven_gap,
            .orientation_rad = searched.orientation_rad,
            .labels = searched.labels,
            .cells = searched.cells};
}

/// The lines that drain, cheapest first; of those that lie close together one.
std::vector<Route> routes_of(const Searched& searched)
{
    constexpr std::size_t max_routes = 5;
    constexpr double same_line_m = 0.03;
    std::vector<PricedLine> lines;
    std::ranges::copy_if(searched.lines, std::back_inserter(lines), [](const auto& line) { return line.cost.works(); });
    std::vector<Route> routes;
    for (const auto& line : best_apart(std::move(lines), max_routes, same_line_m)) {
        routes.push_back(route_of(searched, line));
    }
    return routes;
}

/// Where the source lies nearer to the lot line than a hard setback asks of every trench.
std::optional<Refusal> inside_setback(const std::vector<Obstacle>& all, const Source& source, UnitSystem units)
{
    for (const auto& edge : all) {
        const double away_m = edge.edge_m > 0 ? distance_m(source.at, edge) : edge.edge_m;
        if (away_m < edge.edge_m) {
            return Refusal{.kind = RefusalKind::setback,
                           .text =
                               fmt::format("the source lies {} from the {}; {} is required of the trench's edge, and "
                                           "setbacks.lot_line is hard",
                                           depth_text(away_m, units), edge.name, depth_text(edge.edge_m, units)),
                           .at = source.at,
                           .station_m = std::nullopt,
                           .short_by_m = edge.edge_m - away_m};
        }
    }
    return std::nullopt;
}

Refusal blocked_at(const Point& p, std::string text, double short_by_m)
{
    return {.kind = RefusalKind::blocked,
            .text = std::move(text),
            .at = p,
            .station_m = std::nullopt,
            .short_by_m = short_by_m};
}

/// Where the source lies in something that no trench may enter, as a downspout drawn inside the house's outline does,
/// or nearer to it than any trench may come.
std::optional<Refusal> shut_in(const std::vector<Obstacle>& all, const Source& source, const RouteRules& rules,
                               UnitSystem units)
{
    for (const auto& obstacle : all) {
        const auto* area = std::get_if<Polygon>(&obstacle.shape);
        const double inside_m =
            area != nullptr && contains(*area, source.at) ? boundary_distance_m(source.at, *area) : 0;
        if (inside_m > rules.boundary_snap_m) {
            return blocked_at(source.at,
                              fmt::format("the source lies {} inside the {}, which no trench may enter; place it "
                                          "where the pipe comes out",
                                          length_text(inside_m, units), obstacle.name),
                              inside_m);
        }
        constexpr double rounding_m = 1e-6;
        const double away_m = distance_m(source.at, obstacle);
        if (obstacle.waiver == Waiver::none && away_m < obstacle.clearance_m - rounding_m) {
            const double half_m = rules.section.width_m / 2;
            return blocked_at(source.at,
                              fmt::format("a trench from the source comes within {} of the {}, from which {} is kept",
                                          length_text(std::max(0.0, away_m - half_m), units), obstacle.name,
                                          length_text(obstacle.clearance_m - half_m, units)),
                              obstacle.clearance_m - away_m);
        }
    }
    return inside_setback(all, source, units);
}

/// What stands nearest to a source or an end that no way leads from, for the reader to judge.
Refusal with_narrow_place(Refusal refusal, const Task& task)
{
    const double width_m = task.rules.section.width_m;
    const auto nearest_edge = [&](const Point& p) -> std::pair<double, const Obstacle*> {
        std::pair<double, const Obstacle*> nearest{std::numeric_limits<double>::infinity(), nullptr};
        for (const auto& edge : task.prep.obstacles()) {
            const double away_m = distance_m(p, edge);
            if (edge.waiver == Waiver::at_lot_end && edge.kind != ObstacleKind::street_edge &&
                away_m < edge.edge_m + width_m / 2 && away_m < nearest.first) {
                nearest = {away_m, &edge};
            }
        }
        return nearest;
    };
    const auto add = [&](std::string_view what, const Point& p) {
        const auto [away_m, edge] = nearest_edge(p);
        if (edge == nullptr) {
            return;
        }
        refusal.text += fmt::format(
            "; the {} lies {} from the {}, and along it half the trench of {}{} takes {}", what,
            depth_text(away_m, task.units), edge->name, depth_text(width_m, task.units),
            edge->edge_m > 0 ? fmt::format(" and the hard setback of {}", depth_text(edge->edge_m, task.units)) : "",
            depth_text(edge->edge_m + width_m / 2, task.units));
        refusal.at = p;
        refusal.short_by_m = edge->edge_m + width_m / 2 - away_m;
    };
    add("outlet", nearest_end(task.ends, task.source.at));
    add("source", task.source.at);
    return refusal;
}

/// Names what the straight way from the source to the nearest end runs into.
Refusal with_straight_way(Refusal refusal, const Task& task)
{
    const Run direct{.upper = task.source.at, .lower = nearest_end(task.ends, task.source.at), .to_end = true};
    std::vector<std::string> names;
    for (const auto& obstacle : task.prep.obstacles()) {
        const bool known = std::ranges::find(names, obstacle.name) != names.end();
        if (!known && obstacle_fault(direct, task.source.at, {obstacle}, task.rules)) {
            names.push_back(obstacle.name);
        }
    }
    if (!names.empty()) {
        refusal.text += fmt::format("; in the straight way: {}", fmt::join(names, ", "));
    }
    return refusal;
}

} // namespace

std::shared_ptr<const RoutePrep> prepare_routes(const Site& site, const Ground& ground, const RouteRules& rules)
{
    return std::make_shared<const RoutePrep>(site, ground, rules);
}

std::variant<std::vector<Route>, Refusal> plan_routes(const RoutePrep& prep, const Site& site, const Ground& ground,
                                                      const Source& source, const Outlet& outlet,
                                                      const RouteRules& rules, UnitSystem units)
{
    if (auto refusal = shut_in(prep.obstacles(), source, rules, units)) {
        return *std::move(refusal);
    }
    auto ends = ends_of(site, ground, outlet, rules, 2 * rules.cell_m, units);
    if (auto* refusal = std::get_if<Refusal>(&ends)) {
        return std::move(*refusal);
    }
    Task task{.prep = prep,
              .site = site,
              .ground = ground,
              .source = source,
              .outlet = outlet,
              .rules = rules,
              .units = units,
              .ends = std::get<std::vector<EndPoint>>(std::move(ends))};
    TrueLine meter(site, ground, prep.obstacles(), source, outlet, rules);
    Searched searched = search_with_reserve(task, meter);
    polish_best(task, meter, searched);
    if (auto routes = routes_of(searched); !routes.empty()) {
        return routes;
    }
    auto refusal = refusal_for(searched.reason, searched.reason_lattice, task.ends, site, outlet, ground, rules, units);
    return refusal.kind == RefusalKind::blocked ? with_narrow_place(with_straight_way(std::move(refusal), task), task)
                                                : refusal;
}

std::variant<Route, Refusal> plan_route(const RoutePrep& prep, const Site& site, const Ground& ground,
                                        const Source& source, const Outlet& outlet, const RouteRules& rules,
                                        UnitSystem units)
{
    auto routes = plan_routes(prep, site, ground, source, outlet, rules, units);
    if (auto* refusal = std::get_if<Refusal>(&routes)) {
        return std::move(*refusal);
    }
    return std::move(std::get<std::vector<Route>>(routes).front());
}

std::vector<RouteFault> route_faults(const Site& site, const Ground& ground, const Source& source, const Outlet& outlet,
                                     const Route& route, const RouteRules& rules)
{
    const auto all = obstacles(site, rules);
    TrueLine meter(site, ground, all, source, outlet, rules);
    Polyline downstream = route.line;
    std::reverse(downstream.begin(), downstream.end());
    const TrueCost cost = meter.cost(downstream, route.end);
    std::vector<RouteFault> faults;
    if (cost.fault) {
        faults.push_back(*cost.fault);
    }
    if (cost.missing_m > 0) {
        faults.push_back({.text = fmt::format("falls short by {} m", cost.missing_m), .at = route.end.at});
    }
    if (!(downstream.front() == source.at)) {
        faults.push_back({.text = "does not start at the source", .at = downstream.front()});
    }
    return faults;
}

} // namespace trenchwright
