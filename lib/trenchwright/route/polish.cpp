#include "trenchwright/route/polish.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>

namespace trenchwright {

namespace {

constexpr std::size_t max_vertices = 14; ///< of one trench: a crew sets out no more
constexpr double first_step_m = 1.5;
constexpr double last_step_m = 0.01;
constexpr double first_share = 0.02; ///< of the price: how much dearer a line is taken at the beginning
constexpr int runs = 2;              ///< from the best so far

/// Draws that are the same with every standard library.
class Draws {
  public:
    /// From 0 to below 1.
    double share() { return static_cast<double>(engine_()) / (static_cast<double>(std::mt19937::max()) + 1); }
    std::size_t below(std::size_t count) { return static_cast<std::size_t>(share() * static_cast<double>(count)); }
    /// About 0, within 1.5; near to a normal one.
    double step() { return share() + share() + share() - 1.5; }

  private:
    std::mt19937 engine_{5489U};
};

/// Directions of the drain itself: along it, and toward the side where the yard lies.
struct Axes {
    Point along;
    Point across;
};

Axes axes_of(const DrainLine& line, const Point& beside)
{
    const auto trunk = std::ranges::find(line.trenches, -1, &DrainTrench::joins);
    const Point& from = trunk->downstream.front();
    const Point& to = trunk->downstream.back();
    const double length = std::max(distance_m(from, to), 1e-9);
    const Point along{.x_m = (to.x_m - from.x_m) / length, .y_m = (to.y_m - from.y_m) / length};
    const double side = along.x_m * (beside.y_m - from.y_m) - along.y_m * (beside.x_m - from.x_m);
    const double sign = side < 0 ? -1 : 1;
    return {.along = along, .across = {.x_m = -sign * along.y_m, .y_m = sign * along.x_m}};
}

void move(Point& p, const Point& by)
{
    p = {.x_m = p.x_m + by.x_m, .y_m = p.y_m + by.y_m};
}

/// A vertex and the trenches that end on it.
void move_vertex(DrainLine& line, std::size_t trench, std::size_t vertex, const Point& by)
{
    move(line.trenches[trench].downstream[vertex], by);
    for (auto& other : line.trenches) {
        if (other.joins == static_cast<int>(trench) && other.at_vertex == vertex) {
            move(other.downstream.back(), by);
        }
    }
}

class Polish {
  public:
    Polish(const DrainPricer& price, PricedDrain drain, const EndFinder& end_near, const Point& beside)
        : price_(price), end_near_(end_near), axes_(axes_of(drain.line, beside)), now_(drain), best_(std::move(drain))
    {
    }

    /// The best drain met in all runs.
    PricedDrain after(int tries)
    {
        for (int run = 0; run < runs; ++run) {
            now_ = best_;
            once(tries / runs);
        }
        return std::move(best_);
    }

  private:
    void once(int tries)
    {
        for (int i = 0; i < tries; ++i) {
            const double done = static_cast<double>(i) / tries;
            size_m_ = first_step_m * std::pow(last_step_m / first_step_m, done);
            auto moved = changed();
            if (!moved) {
                continue;
            }
            const double allowed = weighed_price(best_.cost) * first_share * std::pow(1 - done, 3) * draws_.share();
            const double max_price = weighed_price(now_.cost) + allowed;
            DrainCost cost = price_(*moved, max_price);
            if (cost.faults > 0 || !(weighed_price(cost) < max_price)) {
                continue;
            }
            now_ = {.line = *std::move(moved), .cost = std::move(cost)};
            if (now_.cost.works() >= best_.cost.works() &&
                (now_.cost.works() > best_.cost.works() ||
                 weighed_price(now_.cost) < weighed_price(best_.cost) - min_saving)) {
                best_ = now_;
            }
        }
    }

    Point step()
    {
        const double along = size_m_ * draws_.step();
        const double across = size_m_ * draws_.step();
        return {.x_m = along * axes_.along.x_m + across * axes_.across.x_m,
                .y_m = along * axes_.along.y_m + across * axes_.across.y_m};
    }

    /// Nothing where the draw asks for what the drain does not have.
    std::optional<DrainLine> changed()
    {
        const std::size_t trench = draws_.below(now_.line.trenches.size());
        const double kind = draws_.share();
        if (kind < 0.12) {
            return with_vertex(trench);
        }
        if (kind < 0.2) {
            return without_vertex(trench);
        }
        if (kind < 0.35 && now_.line.trenches[trench].joins < 0) {
            return with_end_moved(trench);
        }
        return with_vertices_moved(trench);
    }

    std::optional<DrainLine> with_vertex(std::size_t trench)
    {
        DrainLine line = now_.line;
        auto& places = line.trenches[trench].downstream;
        if (places.size() >= max_vertices) {
            return std::nullopt;
        }
        const std::size_t at = 1 + draws_.below(places.size() - 1);
        const double share = draws_.share();
        Point p{.x_m = places[at - 1].x_m + share * (places[at].x_m - places[at - 1].x_m),
                .y_m = places[at - 1].y_m + share * (places[at].y_m - places[at - 1].y_m)};
        move(p, step());
        places.insert(places.begin() + static_cast<std::ptrdiff_t>(at), p);
        for (auto& other : line.trenches) {
            other.at_vertex += other.joins == static_cast<int>(trench) && other.at_vertex >= at ? 1 : 0;
        }
        return line;
    }

    std::optional<DrainLine> without_vertex(std::size_t trench)
    {
        DrainLine line = now_.line;
        auto& places = line.trenches[trench].downstream;
        if (places.size() < 3) {
            return std::nullopt;
        }
        const std::size_t at = 1 + draws_.below(places.size() - 2);
        if (joined_at(line, trench, at)) {
            return std::nullopt;
        }
        places.erase(places.begin() + static_cast<std::ptrdiff_t>(at));
        for (auto& other : line.trenches) {
            other.at_vertex -= other.joins == static_cast<int>(trench) && other.at_vertex > at ? 1 : 0;
        }
        return line;
    }

    /// Alone, or with the vertex before it, so that the last run keeps its direction.
    std::optional<DrainLine> with_end_moved(std::size_t trench)
    {
        DrainLine line = now_.line;
        auto& places = line.trenches[trench].downstream;
        const Point from = places.back();
        const Point by = step();
        const bool whole_run = draws_.share() < 0.5 && places.size() > 2;
        const auto end = end_near_({.x_m = from.x_m + 2 * by.x_m, .y_m = from.y_m + 2 * by.y_m});
        if (!end || end->at == from) {
            return std::nullopt;
        }
        line.end = *end;
        places.back() = end->at;
        if (whole_run) {
            move_vertex(line, trench, places.size() - 2,
                        {.x_m = end->at.x_m - from.x_m, .y_m = end->at.y_m - from.y_m});
        }
        return line;
    }

    /// One vertex or several that follow each other, all by the same step.
    std::optional<DrainLine> with_vertices_moved(std::size_t trench)
    {
        DrainLine line = now_.line;
        const std::size_t inner = line.trenches[trench].downstream.size() - 2;
        if (inner == 0) {
            return std::nullopt;
        }
        const std::size_t first = 1 + draws_.below(inner);
        const std::size_t more = draws_.share() < 0.35 ? 1 + draws_.below(3) : 0;
        const Point by = step();
        for (std::size_t v = first; v <= std::min(first + more, inner); ++v) {
            move_vertex(line, trench, v, by);
        }
        return line;
    }

    const DrainPricer& price_;
    const EndFinder& end_near_;
    Axes axes_;
    PricedDrain now_;
    PricedDrain best_;
    Draws draws_;
    double size_m_ = first_step_m;
};

} // namespace

Point middle_of(const Site& site)
{
    const auto& areas = site.foundations.empty() ? site.parcel : site.foundations;
    std::vector<Point> corners;
    for (const auto& area : areas) {
        corners.insert(corners.end(), area.outer.begin(), area.outer.end());
    }
    const Box box = bounds(corners);
    return {.x_m = (box.min_x_m + box.max_x_m) / 2, .y_m = (box.min_y_m + box.max_y_m) / 2};
}

PricedDrain polished(const DrainPricer& price, PricedDrain drain, const EndFinder& end_near, const Point& beside,
                     int tries)
{
    return Polish(price, std::move(drain), end_near, beside).after(tries);
}

std::vector<PricedDrain> polished_by_stages(const DrainPricer& price, std::vector<PricedDrain> drains,
                                            const EndFinder& end_near, const Point& beside,
                                            std::span<const PolishStage> stages)
{
    for (const auto& stage : stages) {
        std::ranges::stable_sort(drains, comes_first<PricedDrain>);
        for (std::size_t i = 0; i < std::min(stage.drains, drains.size()); ++i) {
            drains[i] = polished(price, std::move(drains[i]), end_near, beside, stage.tries);
        }
    }
    std::ranges::stable_sort(drains, comes_first<PricedDrain>);
    return drains;
}

} // namespace trenchwright
