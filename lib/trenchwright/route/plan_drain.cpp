#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/connect.hpp"
#include "trenchwright/route/drain_meter.hpp"
#include "trenchwright/route/ends.hpp"
#include "trenchwright/route/polish.hpp"
#include "trenchwright/route/prep.hpp"
#include "trenchwright/route/tree_search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <numbers>

namespace trenchwright {

namespace {

constexpr std::size_t max_sources = 6;

struct Task {
    const Site& site;
    const Ground& ground;
    std::span<const Source> sources;
    const Outlet& outlet;
    const RouteRules& rules;
    const DrainRules& drain;
    UnitSystem units;
    std::vector<EndPoint> ends;
};

JunctionMoves junction_moves(const Lattice& lattice, const Task& task)
{
    JunctionMoves moves;
    moves.cost_micro.fill(-1);
    for (int turn = 1; turn <= lattice.headings / 2; ++turn) {
        const double angle =
            std::abs(std::remainder(lattice.heading_rad(turn) - lattice.heading_rad(0), 2 * std::numbers::pi));
        if (std::abs(angle - task.drain.junction_angle_rad) <= task.rules.max_deflection_rad) {
            moves.cost_micro[static_cast<std::size_t>(turn)] = std::llround(task.drain.junction_price * 1e6);
        }
    }
    moves.rise_um = to_um(task.drain.junction_rise_m, 0);
    moves.pressure_rise_um = to_um(task.drain.pressure_rise_m, 0);
    return moves;
}

/// The cover holds for the pump's thinner pipe as well, so its invert may lie higher.
std::vector<std::int32_t> pressure_highest(const std::vector<std::int32_t>& gravity, const Task& task)
{
    const auto below_top = [](const TrenchSection& section) { return section.outside_diameter_m - section.wall_m; };
    const auto higher = to_um(below_top(task.rules.section) - below_top(task.drain.pressure_section), 0);
    std::vector<std::int32_t> highest = gravity;
    for (auto& invert : highest) {
        invert += higher;
    }
    return highest;
}

/// Vertices without the straight ones; those in `kept` stay, and their new places are told.
Polyline thinned(const Polyline& line, std::vector<std::size_t>& kept)
{
    Polyline result;
    std::vector<std::size_t> places;
    for (std::size_t v = 0; v < line.size(); ++v) {
        const bool inner = v > 0 && v + 1 < line.size();
        const bool keep = std::find(kept.begin(), kept.end(), v) != kept.end();
        const bool same = !result.empty() && distance_m(result.back(), line[v]) < 1e-9;
        if (inner && !keep && (same || turn_rad(result.back(), line[v], line[v + 1]) < 1e-7)) {
            continue;
        }
        result.push_back(line[v]);
        if (keep) {
            places.push_back(result.size() - 1);
        }
    }
    kept = std::move(places);
    return result;
}

DrainLine line_of(const Task& task, const Lattice& lattice, const FoundTree& tree, const std::vector<Finish>& finishes)
{
    DrainLine line;
    line.end = task.ends[static_cast<std::size_t>(finishes[tree.finish].end)];
    for (std::size_t i = 0; i < tree.branches.size(); ++i) {
        const auto& branch = tree.branches[i];
        DrainTrench trench{.downstream = {task.sources[i].at}, .joins = branch.joins, .at_vertex = 0};
        for (const int cell : branch.cells) {
            trench.downstream.push_back(lattice.at(cell));
        }
        if (branch.joins < 0) {
            trench.downstream.push_back(line.end.at);
        } else {
            const auto& trunk = tree.branches[static_cast<std::size_t>(branch.joins)].cells;
            trench.at_vertex = 1 + static_cast<std::size_t>(std::find(trunk.begin(), trunk.end(), branch.cells.back()) -
                                                            trunk.begin());
        }
        line.trenches.push_back(std::move(trench));
    }
    for (std::size_t i = 0; i < line.trenches.size(); ++i) {
        std::vector<DrainTrench*> joining;
        for (auto& other : line.trenches) {
            if (other.joins == static_cast<int>(i)) {
                joining.push_back(&other);
            }
        }
        std::sort(joining.begin(), joining.end(), [](auto* a, auto* b) { return a->at_vertex < b->at_vertex; });
        std::vector<std::size_t> kept;
        for (const auto* other : joining) {
            kept.push_back(other->at_vertex);
        }
        line.trenches[i].downstream = thinned(line.trenches[i].downstream, kept);
        for (std::size_t k = 0; k < joining.size(); ++k) {
            joining[k]->at_vertex = kept[k];
        }
    }
    return line;
}

/// What came of the lattices.
struct Searched {
    std::vector<PricedDrain> drains; ///< breaking no rule on true geometry; some of them may not drain
    double lattice_cost = 0;
    double lattice_bound = 0;
    long long labels = 0;
    bool budget = false;
};

/// Keeps the drain of a lattice when it works on true geometry.
/// @return the fall still missing there, else 0
double keep_tree(const Task& task, DrainMeter& meter, const Lattice& lattice, const FoundTree& tree,
                 const std::vector<Finish>& finishes, Searched& result)
{
    const auto near = [&](const Point& p) {
        return end_near(task.site, task.ground, task.outlet, task.rules, p, task.ends.front().reserve_m, task.units);
    };
    PricedDrain drain{.line = line_of(task, lattice, tree, finishes), .cost = {}};
    drain.cost = meter.cost(drain.line);
    drain = straightened(meter, std::move(drain), near);
    if (drain.cost.faults > 0) {
        return 0;
    }
    result.drains.push_back(drain);
    if (!drain.cost.works()) {
        return drain.cost.missing_m;
    }
    const double cost = static_cast<double>(tree.cost_micro) * 1e-6;
    if (result.lattice_cost == 0 || cost < result.lattice_cost) {
        result.lattice_cost = cost;
        result.lattice_bound = static_cast<double>(tree.bound_cost_micro) * 1e-6;
    }
    return 0;
}

bool drains(const Searched& searched)
{
    return std::ranges::any_of(searched.drains, [](const PricedDrain& drain) { return drain.cost.works(); });
}

/// The best drains of the lattices, annealed on true geometry and straightened once more.
void polish_best(const Task& task, DrainMeter& meter, Searched& searched)
{
    constexpr std::array stages{PolishStage{.drains = 3, .tries = 500}, PolishStage{.drains = 2, .tries = 1500},
                                PolishStage{.drains = 1, .tries = 3000}};
    const auto near = [&](const Point& p) {
        return end_near(task.site, task.ground, task.outlet, task.rules, p, task.ends.front().reserve_m, task.units);
    };
    const auto price = [&](const DrainLine& line, double max_price) { return meter.cost(line, 0, max_price); };
    std::ranges::stable_sort(searched.drains, comes_first<PricedDrain>);
    std::vector<PricedDrain> starts;
    for (const auto& drain : searched.drains) {
        if (task.rules.polish && starts.size() < stages.front().drains && drain.cost.missing_m <= far_off_m) {
            starts.push_back(drain);
        }
    }
    auto drains = polished_by_stages(price, std::move(starts), near, middle_of(task.site), stages);
    for (auto& drain : drains) {
        drain.cost = meter.cost(drain.line);
    }
    if (!drains.empty()) {
        drains.front() = straightened(meter, std::move(drains.front()), near);
    }
    std::ranges::move(drains, std::back_inserter(searched.drains));
    std::ranges::stable_sort(searched.drains, comes_first<PricedDrain>);
}

void search_lattice(const Task& task, DrainMeter& meter, const Lattice& lattice, Searched& result)
{
    constexpr int max_tries = 3;
    constexpr double reserve_m = 0.0005;
    const auto highest = eased_highest(lattice, task.outlet, task.rules);
    const auto climbing = pressure_highest(highest, task);
    const auto finishes = finishes_at(lattice, meter.meter(0), task.ends, task.rules);
    const RouteRules pressure = pressure_rules(task.rules, task.drain);
    std::vector<std::vector<Start>> starts;
    std::vector<TreeSource> sources;
    for (std::size_t i = 0; i < task.sources.size(); ++i) {
        const bool pump = task.sources[i].kind == SourceKind::pump;
        starts.push_back(starts_at(lattice, pump ? climbing : highest, meter.meter(i), task.sources[i],
                                   pump ? pressure : task.rules));
    }
    for (std::size_t i = 0; i < starts.size(); ++i) {
        sources.push_back({.starts = starts[i], .pressure = task.sources[i].kind == SourceKind::pump});
    }
    for (int attempt = 0; attempt < max_tries; ++attempt) {
        const auto outcome = cheapest_draining_tree({.lattice = lattice,
                                                     .fall_um = lattice.fall_um,
                                                     .highest_um = highest,
                                                     .pressure_highest_um = climbing,
                                                     .sources = sources,
                                                     .finishes = finishes,
                                                     .junction = junction_moves(lattice, task),
                                                     .label_budget = task.rules.drain_label_budget});
        const auto* tree = std::get_if<FoundTree>(&outcome);
        result.labels += tree != nullptr ? tree->labels : std::get<NoTree>(outcome).labels;
        result.budget = result.budget || (tree == nullptr && std::get<NoTree>(outcome).budget);
        const double missing = tree != nullptr ? keep_tree(task, meter, lattice, *tree, finishes, result) : 0;
        if (!(missing > 0)) {
            return;
        }
        for (auto& from : starts) {
            for (auto& start : from) {
                start.invert_um -= to_um(missing + reserve_m, 0);
            }
        }
    }
}

} // namespace

std::variant<std::vector<PlannedDrain>, std::string> plan_drains(const RoutePrep& prep, const Site& site,
                                                                 const Ground& ground, std::span<const Source> sources,
                                                                 const Outlet& outlet, const RouteRules& rules,
                                                                 const DrainRules& drain, UnitSystem units)
{
    if (sources.size() > max_sources) {
        return fmt::format("more than {} sources", max_sources);
    }
    auto ends = ends_of(site, ground, outlet, rules, 2 * rules.cell_m, units);
    if (const auto* refusal = std::get_if<Refusal>(&ends)) {
        return refusal->text;
    }
    Task task{.site = site,
              .ground = ground,
              .sources = sources,
              .outlet = outlet,
              .rules = rules,
              .drain = drain,
              .units = units,
              .ends = std::get<std::vector<EndPoint>>(std::move(ends))};
    DrainMeter meter(site, ground, prep.obstacles(), sources, outlet, rules, drain);
    Searched searched;
    for (const double reserve : {rules.reserve_fall_m, 0.0}) {
        for (auto& end : task.ends) {
            end.reserve_m = reserve;
        }
        for (std::size_t i = 0; i < prep.lattices(); ++i) {
            search_lattice(task, meter, prep.lattice(i), searched);
        }
        if (drains(searched) || !(reserve > 0)) {
            break;
        }
    }
    polish_best(task, meter, searched);
    if (!drains(searched)) {
        return searched.budget ? std::string("the search for one gave up at its limit of labels")
                               : std::string("no way was found to join the trenches under these rules");
    }
    constexpr std::size_t max_drains = 4;
    std::vector<PlannedDrain> planned;
    for (auto& found : searched.drains) {
        const bool known = std::ranges::any_of(planned, [&](const auto& other) { return other.line == found.line; });
        if (found.cost.works() && !known && planned.size() < max_drains) {
            planned.push_back({.line = std::move(found.line),
                               .cost = found.cost.price,
                               .lattice_cost = searched.lattice_cost,
                               .lattice_bound = searched.lattice_bound,
                               .highest_ends_elev_m = std::move(found.cost.ends_elev_m),
                               .labels = searched.labels});
        }
    }
    return planned;
}

} // namespace trenchwright
