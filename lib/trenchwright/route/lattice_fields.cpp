#include "trenchwright/route/lattice_fields.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/route/wedge.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

/// Calls each(cell, center) for the cells whose centers lie in a box of the site frame, and some around it.
template <class Each> void for_cells_in(const Lattice& lattice, const Box& box, Each each)
{
    const double c = std::cos(lattice.angle_rad);
    const double s = std::sin(lattice.angle_rad);
    std::vector<Point> corners;
    for (const double x : {box.min_x_m, box.max_x_m}) {
        for (const double y : {box.min_y_m, box.max_y_m}) {
            const double dx = x - lattice.origin.x_m;
            const double dy = y - lattice.origin.y_m;
            corners.push_back({.x_m = (dx * c + dy * s) / lattice.cell_m, .y_m = (dy * c - dx * s) / lattice.cell_m});
        }
    }
    const Box range = bounds(corners);
    const auto clamped = [](double value, int count) {
        return static_cast<int>(std::clamp(value, 0.0, static_cast<double>(count - 1)));
    };
    if (range.max_x_m < 0 || range.max_y_m < 0 || range.min_x_m > lattice.cols - 1 ||
        range.min_y_m > lattice.rows - 1) {
        return;
    }
    const int last_col = clamped(std::ceil(range.max_x_m), lattice.cols);
    const int last_row = clamped(std::ceil(range.max_y_m), lattice.rows);
    for (int row = clamped(std::floor(range.min_y_m), lattice.rows); row <= last_row; ++row) {
        for (int col = clamped(std::floor(range.min_x_m), lattice.cols); col <= last_col; ++col) {
            const int cell = row * lattice.cols + col;
            each(static_cast<std::size_t>(cell), lattice.at(cell));
        }
    }
}

/// Calls each(cell) for the cells whose centers lie in an area. Row by row: a city's street may have thousands of
/// corners.
template <class Each> void for_cells_inside(const Lattice& lattice, const Polygon& area, Each each)
{
    constexpr double rounding_m = 1e-9;
    for (int row = 0; row < lattice.rows; ++row) {
        const int first = row * lattice.cols;
        const Polyline line{lattice.at(first), lattice.at(first + lattice.cols - 1)};
        for (const auto& span : spans_inside(line, area)) {
            const auto from = static_cast<int>(std::ceil((span.from_m - rounding_m) / lattice.cell_m));
            const auto to = static_cast<int>(std::floor((span.to_m + rounding_m) / lattice.cell_m));
            for (int col = from; col <= to; ++col) {
                each(static_cast<std::size_t>(first) + static_cast<std::size_t>(col));
            }
        }
    }
}

/// @throws Error (input) for rates no trench costs; sums of a whole trench stay far below what an integer holds
std::int64_t to_cost_micro(double amount)
{
    constexpr double limit = 1e6;
    const bool fits = amount >= 0 && amount < limit;
    if (!fits) {
        throw Error(ErrorKind::input,
                    fmt::format("by the rates one step of the search, a foot or so of trench, would cost {}; the limit "
                                "is {}. Look for a rate with a wrong unit, or set search.cell smaller",
                                amount, limit));
    }
    return std::llround(amount * 1e6);
}

/// Per meter of cut, which takes less room.
std::int32_t to_dig_cost_micro(double amount)
{
    constexpr std::int64_t limit_micro = 2'000'000'000;
    const std::int64_t micro = to_cost_micro(amount);
    if (micro > limit_micro) {
        throw Error(ErrorKind::input, fmt::format("by the rates one step of the search, a foot or so of trench, would "
                                                  "cost {} a meter of depth; the limit is {}",
                                                  amount, limit_micro / 1'000'000));
    }
    return static_cast<std::int32_t>(micro);
}

double longest_step_m(const Lattice& lattice)
{
    return lattice.step_m(1); // diagonal, or a knight's move
}

std::size_t kind_index(CellSurfaces& surfaces, std::vector<std::string>& names, const SurfacePatch& patch,
                       const RouteRules& rules)
{
    const auto known = std::find(names.begin(), names.end(), patch.kind);
    if (known != names.end()) {
        return static_cast<std::size_t>(known - names.begin());
    }
    const auto rule = rules.surfaces.find(patch.kind);
    if (rule == rules.surfaces.end() || names.size() > 250) {
        throw Error(ErrorKind::input,
                    fmt::format("{}: layer {}: feature {}: no rules for surface kind \"{}\"", patch.origin.file,
                                patch.origin.layer, patch.origin.feature_id, patch.kind));
    }
    names.push_back(patch.kind);
    surfaces.kinds.push_back(rule->second);
    return names.size() - 1;
}

void close_near(std::vector<std::uint8_t>& open, const Lattice& lattice, const Obstacle& obstacle)
{
    const double clearance = std::hypot(obstacle.clearance_m, longest_step_m(lattice) / 2);
    for_cells_in(lattice, grown(box_of(obstacle.shape), clearance), [&](std::size_t cell, const Point& p) {
        if (open[cell] != 0 && distance_m(p, obstacle) < clearance) {
            open[cell] = 0;
        }
    });
}

/// Cells so near to a closed surface that a step could cut its corner.
void close_near_surfaces(std::vector<std::uint8_t>& open, const Lattice& lattice, const Site& site,
                         const CellSurfaces& surfaces, const RouteRules& rules)
{
    for (const auto& patch : site.surfaces) {
        if (rules.surfaces.at(patch.kind).may_enter) {
            continue;
        }
        const double clearance = longest_step_m(lattice) / 2;
        for_cells_in(lattice, grown(bounds(patch.area.outer), clearance), [&](std::size_t cell, const Point& p) {
            const bool own_surface = surfaces.of_cell[cell] != 0 && surfaces.kinds[surfaces.of_cell[cell]].may_enter;
            if (!surfaces.kinds[surfaces.of_cell[cell]].may_enter ||
                (!own_surface && distance_m(p, patch.area) < clearance)) {
                open[cell] = 0;
            }
        });
    }
}

void keep_inside_lot(std::vector<std::uint8_t>& open, const Lattice& lattice, const Site& site, const RouteRules& rules)
{
    if (rules.outside_lot == OutsideLot::not_neighbors) {
        return;
    }
    std::vector<std::uint8_t> inside(open.size(), 0);
    for (const auto* areas : {&site.parcel, &site.right_of_way}) {
        for (const auto& area : *areas) {
            for_cells_inside(lattice, area, [&](std::size_t cell) { inside[cell] = 1; });
        }
    }
    for (std::size_t cell = 0; cell < open.size(); ++cell) {
        open[cell] = static_cast<std::uint8_t>(open[cell] != 0 && inside[cell] != 0);
    }
}

/// By the footing's wedge for the source that it lets off most: a lattice serves them all.
double lowest_for_any_source_m(const Site& site, const Point& p, const RouteRules& rules)
{
    double lowest = std::numeric_limits<double>::infinity();
    for (const auto& source : site.sources) {
        lowest = rules.wedge ? std::min(lowest, lowest_by_wedge_m(site, source.at, p, rules)) : lowest;
    }
    return std::isfinite(lowest) ? lowest : -std::numeric_limits<double>::infinity();
}

/// Bits by heading.
struct HeadingMasks {
    std::vector<std::uint16_t> hand;
    std::vector<std::uint16_t> parallel;
};

/// A step over a mark is by hand when any part of the trench's width comes within reach: the width reaches
/// toward the mark by half of it times the cosine of the angle between the two. Along a mark likewise, within its own
/// reach.
void add_mark(HeadingMasks& masks, const Lattice& lattice, const Mark& mark, const RouteRules& rules)
{
    const double hand_reach = hand_dig_reach_m(mark, rules);
    const double along_reach = parallel_reach_m(mark, rules);
    const double half = rules.section.width_m / 2;
    const double min_parallel = std::cos(rules.min_crossing_angle_rad);
    for (std::size_t i = 1; i < mark.line.size(); ++i) {
        const Point& a = mark.line[i - 1];
        const Point& b = mark.line[i];
        std::array<double, 16> along{};
        for (int h = 0; h < lattice.headings; ++h) {
            along[static_cast<std::size_t>(h)] = std::abs(std::cos(lattice.heading_rad(h) - direction_rad(a, b)));
        }
        for_cells_in(lattice, grown(bounds(Polyline{a, b}), along_reach + half), [&](std::size_t cell, const Point& p) {
            const double away = distance_m(p, a, b);
            for (int h = 0; away <= along_reach + half && h < lattice.headings; ++h) {
                const double share = along[static_cast<std::size_t>(h)];
                const auto bit = static_cast<std::uint16_t>(1U << static_cast<unsigned>(h));
                if (away <= hand_reach + half * share) {
                    masks.hand[cell] |= bit;
                }
                if (share > min_parallel && away <= along_reach + half * share) {
                    masks.parallel[cell] |= bit;
                }
            }
        });
    }
}

void add_tree(HeadingMasks& masks, const Lattice& lattice, const Tree& tree, const RouteRules& rules)
{
    const double radius = rules.tree_factor * tree.trunk_diameter_m + rules.section.width_m / 2;
    const Box box = grown(bounds(Polyline{tree.at}), radius);
    for_cells_in(lattice, box, [&](std::size_t cell, const Point& p) {
        if (distance_m(p, tree.at) <= radius) {
            masks.hand[cell] = 0xFFFF;
        }
    });
}

HeadingMasks heading_masks(const Lattice& lattice, const Site& site, const RouteRules& rules)
{
    const auto cells = static_cast<std::size_t>(lattice.cells());
    HeadingMasks masks{.hand = std::vector<std::uint16_t>(cells), .parallel = std::vector<std::uint16_t>(cells)};
    for (const auto& mark : site.marks) {
        add_mark(masks, lattice, mark, rules);
    }
    for (const auto& tree : site.trees) {
        add_tree(masks, lattice, tree, rules);
    }
    return masks;
}

/// Adds the price of exposing a utility to every step that crosses it.
void add_crossing_prices(Lattice& lattice, const Site& site, const RouteRules& rules)
{
    const auto price = to_cost_micro(rules.crossing_price);
    for (const auto& mark : site.marks) {
        for (std::size_t i = 1; i < mark.line.size(); ++i) {
            const Polyline piece{mark.line[i - 1], mark.line[i]};
            const double reach = longest_step_m(lattice);
            for_cells_in(lattice, grown(bounds(piece), reach), [&](std::size_t cell, const Point& p) {
                if (distance_m(p, piece[0], piece[1]) > reach) {
                    return;
                }
                for (int h = 0; h < lattice.headings; ++h) {
                    auto& step = lattice.step_cost_micro[lattice.edge(static_cast<int>(cell), h)];
                    const int next = step < 0 ? -1 : lattice.stepped(static_cast<int>(cell), h);
                    if (next >= 0 && !crossings({p, lattice.at(next)}, piece).empty()) {
                        step += price;
                    }
                }
            });
        }
    }
}

} // namespace

CellSurfaces top_surfaces(const Lattice& lattice, const Site& site, const RouteRules& rules)
{
    const auto fallback = rules.surfaces.find(rules.default_surface);
    if (fallback == rules.surfaces.end()) {
        throw Error(ErrorKind::input,
                    fmt::format("no rules for the default surface kind \"{}\"", rules.default_surface));
    }
    CellSurfaces surfaces{.kinds = {fallback->second},
                          .of_cell = std::vector<std::uint8_t>(static_cast<std::size_t>(lattice.cells()))};
    std::vector<std::string> names{rules.default_surface};
    for (const auto& patch : site.surfaces) {
        const auto index = static_cast<std::uint8_t>(kind_index(surfaces, names, patch, rules));
        for_cells_inside(lattice, patch.area, [&](std::size_t cell) { surfaces.of_cell[cell] = index; });
    }
    return surfaces;
}

std::vector<std::uint8_t> open_cells(const Lattice& lattice, const Site& site, const std::vector<Obstacle>& all,
                                     const CellSurfaces& surfaces, const RouteRules& rules)
{
    std::vector<std::uint8_t> open(static_cast<std::size_t>(lattice.cells()), 1);
    keep_inside_lot(open, lattice, site, rules);
    close_near_surfaces(open, lattice, site, surfaces, rules);
    for (const auto& obstacle : all) {
        close_near(open, lattice, obstacle);
    }
    return open;
}

void set_elevations(Lattice& lattice, const Site& site, const Ground& ground, const CellSurfaces& surfaces,
                    const RouteRules& rules)
{
    const auto cells = static_cast<std::size_t>(lattice.cells());
    for (auto* highest : {&lattice.highest_um, &lattice.eased_um, &lattice.daylight_um}) {
        highest->assign(cells, 0);
    }
    lattice.lowest_um.assign(cells, 0);
    lattice.cut_zero_um.assign(cells, 0);
    bool have_datum = false;
    for (std::size_t cell = 0; cell < cells; ++cell) {
        const auto elev = lattice.open[cell] != 0 ? ground.elev_m(lattice.at(static_cast<int>(cell))) : std::nullopt;
        if (!elev) {
            lattice.open[cell] = 0;
            continue;
        }
        if (!have_datum) {
            lattice.datum_elev_m = std::floor(*elev);
            have_datum = true;
        }
        const auto& surface = surfaces.kinds[surfaces.of_cell[cell]];
        const double datum = lattice.datum_elev_m;
        const auto highest = [&](CoverZone zone) {
            return to_um(rules.section.invert_for_cover_m(*elev, min_cover_m(surface, zone, rules)), datum);
        };
        lattice.highest_um[cell] = highest(CoverZone::away);
        lattice.eased_um[cell] = highest(CoverZone::near_outlet);
        lattice.daylight_um[cell] = highest(CoverZone::daylight);
        const double lowest = std::max(rules.section.invert_for_cut_m(*elev, rules.deepest_cut_m),
                                       lowest_for_any_source_m(site, lattice.at(static_cast<int>(cell)), rules));
        lattice.lowest_um[cell] = to_um(lowest, datum);
        lattice.cut_zero_um[cell] = to_um(rules.section.invert_for_cut_m(*elev, 0), datum);
    }
}

void set_step_costs(Lattice& lattice, const Site& site, const CellSurfaces& surfaces, const RouteRules& rules)
{
    const auto masks = heading_masks(lattice, site, rules);
    const auto headings = static_cast<std::size_t>(lattice.headings);
    std::array<double, 16> step_m{};
    for (int h = 0; h < lattice.headings; ++h) {
        step_m[static_cast<std::size_t>(h)] = lattice.step_m(h);
    }
    lattice.step_cost_micro.assign(static_cast<std::size_t>(lattice.cells()) * headings, -1);
    lattice.step_dig_cost_micro_per_m.assign(lattice.step_cost_micro.size(), 0);
    for (int cell = 0; cell < lattice.cells(); ++cell) {
        const auto u = static_cast<std::size_t>(cell);
        for (int h = 0; lattice.open[u] != 0 && h < lattice.headings; ++h) {
            const int next = lattice.stepped(cell, h);
            if (next < 0 || lattice.open[static_cast<std::size_t>(next)] == 0) {
                continue;
            }
            const auto v = static_cast<std::size_t>(next);
            const auto shift = static_cast<unsigned>(h);
            const auto share = [&](const std::vector<std::uint16_t>& mask) {
                return (((mask[u] >> shift) & 1U) + ((mask[v] >> shift) & 1U)) / 2.0;
            };
            const double hand = share(masks.hand);
            const double restore = (surfaces.kinds[surfaces.of_cell[u]].restore_per_m2 +
                                    surfaces.kinds[surfaces.of_cell[v]].restore_per_m2) /
                                   2 * rules.restore_width_m;
            const double per_m = rules.pipe_per_m + restore + rules.machine_per_m * (1 - hand) +
                                 rules.hand_per_m * hand + rules.parallel_per_m * share(masks.parallel);
            const double per_m3 = rules.machine_per_m3 * (1 - hand) + rules.hand_per_m3 * hand;
            const std::size_t step = lattice.edge(cell, h);
            const double length = step_m[static_cast<std::size_t>(h)];
            lattice.step_cost_micro[step] = to_cost_micro(length * per_m);
            lattice.step_dig_cost_micro_per_m[step] = to_dig_cost_micro(length * rules.section.width_m * per_m3);
        }
    }
    add_crossing_prices(lattice, site, rules);
}

} // namespace trenchwright
