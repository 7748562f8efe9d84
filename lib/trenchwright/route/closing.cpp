#include "trenchwright/route/closing.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/orientation.hpp"

#include <algorithm>
#include <bitset>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <queue>
#include <tuple>

namespace trenchwright {

namespace {

constexpr std::size_t max_things = 256;
using Things = std::bitset<max_things>;

/// Ground of others is asked for only where that spares more than two things of our own.
constexpr int others_weight = 3;

/// More than any number of things that could give way: a way through those is always preferred.
constexpr int firm_weight = 1000;

int weight_of(ObstacleKind kind)
{
    const bool others =
        kind == ObstacleKind::neighbor_lot || kind == ObstacleKind::lot_line || kind == ObstacleKind::street_edge;
    return !may_give_way(kind) ? firm_weight : others ? others_weight : 1;
}

/// Of a step in a row or across, about as the root of two.
constexpr int straight_length = 5;
constexpr int diagonal_length = 7;

/// Beyond this a yard is not worth the wait; see least_closed.
constexpr long long state_limit = 3'000'000;

/// Ground shown around the lot, so that a way may swing out.
constexpr double margin_m = 1.5;

/// A cell reached, with the things entered on the way.
struct State {
    int cell = 0;
    int before = -1; ///< index of the state it came from
    Things things;
};

/// The states of one search, by cell.
class Closed {
  public:
    Closed(const ClosedYard& yard, long long max_states)
        : yard_(yard), max_states_(max_states), settled_(yard.closed_by.size())
    {
    }

    std::optional<LeastClosed> search()
    {
        std::vector<char> is_end(yard_.closed_by.size(), 0);
        for (const int end : yard_.ends) {
            is_end[static_cast<std::size_t>(end)] = 1;
        }
        for (const int start : yard_.starts) {
            reach(start, -1, {}, 0);
        }
        while (!open_.empty()) {
            const auto [weight, length, at] = open_.top();
            open_.pop();
            const int cell = states_[at].cell;
            if (entered_more(cell, states_[at].things)) {
                continue;
            }
            settled_[static_cast<std::size_t>(cell)].push_back(states_[at].things);
            if (is_end[static_cast<std::size_t>(cell)] != 0) {
                return way_to(at);
            }
            if (static_cast<long long>(states_.size()) > max_states_) {
                return std::nullopt;
            }
            spread(at, length);
        }
        return std::nullopt;
    }

  private:
    /// Whether a state settled at the cell has entered nothing that these have not.
    [[nodiscard]] bool entered_more(int cell, const Things& things) const
    {
        return std::ranges::any_of(settled_[static_cast<std::size_t>(cell)],
                                   [&](const Things& other) { return (other & ~things).none(); });
    }

    void reach(int cell, int before, Things things, int length)
    {
        for (const int thing : yard_.closed_by[static_cast<std::size_t>(cell)]) {
            things.set(static_cast<std::size_t>(thing));
        }
        if (entered_more(cell, things)) {
            return;
        }
        int weight = 0;
        for (std::size_t i = 0; i < yard_.weight.size(); ++i) {
            weight += things.test(i) ? yard_.weight[i] : 0;
        }
        open_.emplace(weight, length, states_.size());
        states_.push_back({.cell = cell, .before = before, .things = things});
    }

    void spread(std::size_t at, int so_far)
    {
        const int cell = states_[at].cell;
        const int col = cell % yard_.cols;
        const int row = cell / yard_.cols;
        for (int r = std::max(0, row - 1); r <= std::min(yard_.rows - 1, row + 1); ++r) {
            for (int c = std::max(0, col - 1); c <= std::min(yard_.cols - 1, col + 1); ++c) {
                if (r != row || c != col) {
                    const int length = r != row && c != col ? diagonal_length : straight_length;
                    reach(r * yard_.cols + c, static_cast<int>(at), states_[at].things, so_far + length);
                }
            }
        }
    }

    [[nodiscard]] LeastClosed way_to(std::size_t at) const
    {
        LeastClosed way;
        for (std::size_t i = 0; i < yard_.weight.size(); ++i) {
            if (states_[at].things.test(i)) {
                way.things.push_back(static_cast<int>(i));
            }
        }
        for (int i = static_cast<int>(at); i >= 0; i = states_[static_cast<std::size_t>(i)].before) {
            way.cells.push_back(states_[static_cast<std::size_t>(i)].cell);
        }
        std::reverse(way.cells.begin(), way.cells.end());
        return way;
    }

    const ClosedYard& yard_;
    long long max_states_;
    std::vector<State> states_;
    std::vector<std::vector<Things>> settled_;         ///< by cell
    using Reached = std::tuple<int, int, std::size_t>; ///< weight, length, index of the state
    std::priority_queue<Reached, std::vector<Reached>, std::greater<>> open_;
};

/// A yard being filled from a site, and what its things are.
struct Filled {
    ClosedYard yard;
    Point origin; ///< center of cell 0
    double cell_m = 0;
    std::vector<ClosingObject> things;
    std::vector<std::vector<Obstacle>> parts; ///< by thing
    [[nodiscard]] Point at(int cell) const
    {
        const int row = cell / yard.cols;
        return {.x_m = origin.x_m + cell % yard.cols * cell_m, .y_m = origin.y_m + row * cell_m};
    }
};

Filled blank_yard(const Site& site, double cell_m)
{
    const Box box = grown(bounds(search_extent(site)), margin_m);
    Filled filled{
        .yard = {}, .origin = {.x_m = box.min_x_m, .y_m = box.min_y_m}, .cell_m = cell_m, .things = {}, .parts = {}};
    filled.yard.cols = static_cast<int>(std::ceil((box.max_x_m - box.min_x_m) / cell_m)) + 1;
    filled.yard.rows = static_cast<int>(std::ceil((box.max_y_m - box.min_y_m) / cell_m)) + 1;
    filled.yard.closed_by.resize(static_cast<std::size_t>(filled.yard.cols) *
                                 static_cast<std::size_t>(filled.yard.rows));
    return filled;
}

int add_thing(Filled& filled, ObstacleKind kind, const std::string& name)
{
    filled.things.push_back({.kind = kind, .name = name, .shape = Point{}, .at = {}});
    filled.parts.emplace_back();
    filled.yard.weight.push_back(weight_of(kind));
    return static_cast<int>(filled.things.size()) - 1;
}

/// The pieces of one edge are one thing; of everything else each is one.
bool is_edge(ObstacleKind kind)
{
    return kind == ObstacleKind::lot_line || kind == ObstacleKind::street_edge;
}

void close(Filled& filled, int cell, int thing)
{
    auto& closed_by = filled.yard.closed_by[static_cast<std::size_t>(cell)];
    if (closed_by.empty() || closed_by.back() != thing) {
        closed_by.push_back(thing);
    }
}

/// Calls each(cell, center) for the cells whose centers lie in a box.
template <class Each> void for_cells_in(const Filled& filled, const Box& box, Each each)
{
    const auto first = [&](double from_m, double origin_m) {
        return std::max(0, static_cast<int>(std::ceil((from_m - origin_m) / filled.cell_m)));
    };
    const auto last = [&](double to_m, double origin_m, int count) {
        return std::min(count - 1, static_cast<int>(std::floor((to_m - origin_m) / filled.cell_m)));
    };
    for (int row = first(box.min_y_m, filled.origin.y_m); row <= last(box.max_y_m, filled.origin.y_m, filled.yard.rows);
         ++row) {
        for (int col = first(box.min_x_m, filled.origin.x_m);
             col <= last(box.max_x_m, filled.origin.x_m, filled.yard.cols); ++col) {
            const int cell = row * filled.yard.cols + col;
            each(cell, filled.at(cell));
        }
    }
}

/// How near the axis may come to an obstacle at a place; near source and outlet less, as their waivers say.
double clearance_at_m(const Obstacle& obstacle, const Point& p, const Point& source, std::span<const Point> ends,
                      const RouteRules& rules)
{
    const bool at_source = distance_m(p, source) <= rules.wall_exit_length_m;
    const bool at_end =
        std::ranges::any_of(ends, [&](const Point& end) { return distance_m(p, end) <= rules.wall_exit_length_m; });
    switch (obstacle.waiver) {
    case Waiver::none: break;
    case Waiver::at_wall:
    case Waiver::at_party_wall: return at_source ? 0 : obstacle.clearance_m;
    case Waiver::at_lot_end: return at_source || at_end ? obstacle.edge_m : obstacle.clearance_m;
    }
    return obstacle.clearance_m;
}

void close_by_obstacles(Filled& filled, const Site& site, const Point& source, std::span<const Point> ends,
                        const RouteRules& rules)
{
    std::map<ObstacleKind, int> edges;
    const double half_step_m = filled.cell_m * std::sqrt(0.5);
    for (const auto& obstacle : obstacles(site, rules)) {
        const auto known = is_edge(obstacle.kind) ? edges.find(obstacle.kind) : edges.end();
        const int thing = known != edges.end() ? known->second : add_thing(filled, obstacle.kind, obstacle.name);
        if (is_edge(obstacle.kind)) {
            edges.emplace(obstacle.kind, thing);
        }
        filled.parts[static_cast<std::size_t>(thing)].push_back(obstacle);
        for_cells_in(filled, grown(obstacle.reach, half_step_m), [&](int cell, const Point& p) {
            const double clearance = clearance_at_m(obstacle, p, source, ends, rules);
            if (distance_m(p, obstacle) < std::hypot(clearance, half_step_m)) {
                close(filled, cell, thing);
            }
        });
    }
}

/// Patches that may not be entered, topmost at a place; each kind of surface is one thing.
void close_by_surfaces(Filled& filled, const Site& site, std::span<const Point> ends, const RouteRules& rules)
{
    std::map<std::string, int> kinds;
    std::vector<int> top(filled.yard.closed_by.size(), -1);
    for (const auto& patch : site.surfaces) {
        int thing = -1;
        if (!rules.surfaces.at(patch.kind).may_enter) {
            const auto known = kinds.find(patch.kind);
            thing = known != kinds.end() ? known->second : add_thing(filled, ObstacleKind::closed_surface, patch.kind);
            kinds.emplace(patch.kind, thing);
            filled.things[static_cast<std::size_t>(thing)].shape = patch.area;
        }
        for_cells_in(filled, bounds(patch.area.outer), [&](int cell, const Point& p) {
            if (contains(patch.area, p)) {
                top[static_cast<std::size_t>(cell)] = thing;
            }
        });
    }
    for (std::size_t cell = 0; cell < top.size(); ++cell) {
        const Point p = filled.at(static_cast<int>(cell));
        const bool at_end =
            std::ranges::any_of(ends, [&](const Point& end) { return distance_m(p, end) <= rules.wall_exit_length_m; });
        if (top[cell] >= 0 && !at_end) {
            close(filled, static_cast<int>(cell), top[cell]);
        }
    }
}

/// Ground that nobody shot, and ground beyond lot and street.
void close_by_bounds(Filled& filled, const Site& site, const Ground& ground, const RouteRules& rules)
{
    const int unshot = add_thing(filled, ObstacleKind::missing_ground, "ground without a shot");
    const auto lot = std::ranges::find(filled.things, ObstacleKind::lot_line, &ClosingObject::kind);
    for (std::size_t i = 0; i < filled.yard.closed_by.size(); ++i) {
        const int cell = static_cast<int>(i);
        const Point p = filled.at(cell);
        if (lot != filled.things.end() && outside_lot_by_m(site, p, rules) > 0) {
            close(filled, cell, static_cast<int>(lot - filled.things.begin()));
        }
        if (!ground.elev_m(p)) {
            close(filled, cell, unshot);
        }
    }
    for (auto& closed_by : filled.yard.closed_by) {
        std::ranges::sort(closed_by);
        closed_by.erase(std::ranges::unique(closed_by).begin(), closed_by.end());
    }
}

/// The cells about a place: a trench's first run leads to any of them.
std::vector<int> cells_at(const Filled& filled, const Point& p)
{
    std::vector<int> cells;
    for_cells_in(filled, grown(bounds(Polyline{p}), 1.01 * filled.cell_m),
                 [&](int cell, const Point& /*at*/) { cells.push_back(cell); });
    return cells;
}

/// The things of a way, each with the place where the way enters it and its part there.
std::vector<ClosingObject> things_on(const Filled& filled, const LeastClosed& way)
{
    std::vector<ClosingObject> objects;
    for (const int thing : way.things) {
        auto object = filled.things[static_cast<std::size_t>(thing)];
        const auto enters = std::ranges::find_if(way.cells, [&](int cell) {
            return std::ranges::count(filled.yard.closed_by[static_cast<std::size_t>(cell)], thing) > 0;
        });
        object.at = filled.at(*enters);
        const auto& parts = filled.parts[static_cast<std::size_t>(thing)];
        const auto nearest =
            std::ranges::min_element(parts, {}, [&](const Obstacle& part) { return distance_m(object.at, part); });
        if (nearest != parts.end()) {
            object.shape = nearest->shape;
        } else if (object.kind == ObstacleKind::missing_ground) {
            object.shape = object.at;
        }
        objects.push_back(std::move(object));
    }
    return objects;
}

template <class Part, class Place> void erase_where(std::vector<Part>& parts, Place place, const ClosingObject& object)
{
    std::erase_if(parts, [&](const Part& part) {
        using Shape = std::decay_t<decltype(place(part))>;
        const auto* shape = std::get_if<Shape>(&object.shape);
        return shape != nullptr && *shape == place(part);
    });
}

} // namespace

bool may_give_way(ObstacleKind kind)
{
    switch (kind) {
    case ObstacleKind::foundation:
    case ObstacleKind::neighbor_building:
    case ObstacleKind::well:
    case ObstacleKind::septic: return false;
    case ObstacleKind::neighbor_lot:
    case ObstacleKind::keep_out:
    case ObstacleKind::mark:
    case ObstacleKind::tree:
    case ObstacleKind::lot_line:
    case ObstacleKind::street_edge:
    case ObstacleKind::easement:
    case ObstacleKind::closed_surface:
    case ObstacleKind::missing_ground: break;
    }
    return true;
}

std::optional<LeastClosed> least_closed(const ClosedYard& yard, long long max_states)
{
    return yard.weight.size() > max_things ? std::nullopt : Closed(yard, max_states).search();
}

std::vector<ClosingObject> closing_objects(const Site& site, const Ground& ground, const Point& source,
                                           std::span<const Point> ends, const RouteRules& rules)
{
    auto filled = blank_yard(site, rules.cell_m);
    close_by_obstacles(filled, site, source, ends, rules);
    close_by_surfaces(filled, site, ends, rules);
    close_by_bounds(filled, site, ground, rules);
    filled.yard.starts = cells_at(filled, source);
    for (const auto& end : ends) {
        std::ranges::copy(cells_at(filled, end), std::back_inserter(filled.yard.ends));
    }
    const auto way = least_closed(filled.yard, state_limit);
    return way ? things_on(filled, *way) : std::vector<ClosingObject>{};
}

void take_away(const ClosingObject& gone, Site& site)
{
    switch (gone.kind) {
    case ObstacleKind::keep_out: erase_where(site.keep_outs, [](const KeepOut& one) { return one.area; }, gone); break;
    case ObstacleKind::tree: erase_where(site.trees, [](const Tree& one) { return one.at; }, gone); break;
    case ObstacleKind::neighbor_lot:
        erase_where(site.neighbors, [](const Polygon& one) { return one; }, gone);
        site.neighbor_ids.resize(std::min(site.neighbor_ids.size(), site.neighbors.size()));
        break;
    case ObstacleKind::easement:
        std::erase_if(site.easements, [&](const Reserve& one) { return one.place == gone.shape; });
        break;
    case ObstacleKind::mark:
        for (auto& mark : site.marks) {
            const auto* line = std::get_if<Polyline>(&gone.shape);
            mark.may_cross = mark.may_cross || (line != nullptr && mark.line == *line);
        }
        break;
    case ObstacleKind::closed_surface:
    case ObstacleKind::lot_line:
    case ObstacleKind::street_edge:
    case ObstacleKind::foundation:
    case ObstacleKind::neighbor_building:
    case ObstacleKind::well:
    case ObstacleKind::septic:
    case ObstacleKind::missing_ground: break;
    }
}

void take_away(const ClosingObject& gone, RouteRules& rules)
{
    if (gone.kind == ObstacleKind::closed_surface) {
        rules.surfaces[gone.name].may_enter = true;
    } else if (is_edge(gone.kind)) {
        rules.outside_lot = OutsideLot::not_neighbors;
        rules.setbacks.lot_line.hard = false;
    }
}

} // namespace trenchwright
