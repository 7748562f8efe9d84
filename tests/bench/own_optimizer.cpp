#include "own_optimizer.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>

namespace trenchwright::own {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double sample_m = 0.08;

double away_m(const Point& a, const Point& b)
{
    return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

Point between(const Point& a, const Point& b, double share)
{
    return {.x_m = a.x_m + share * (b.x_m - a.x_m), .y_m = a.y_m + share * (b.y_m - a.y_m)};
}

double away_m(const Point& p, const Point& a, const Point& b)
{
    const double dx = b.x_m - a.x_m;
    const double dy = b.y_m - a.y_m;
    const double length2 = dx * dx + dy * dy;
    const double share = length2 > 0 ? ((p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy) / length2 : 0;
    return away_m(p, between(a, b, std::clamp(share, 0.0, 1.0)));
}

/// All areas are rectangles along the axes: 0 inside.
double away_m(const Point& p, const Ring& box)
{
    const double dx = std::max({box[0].x_m - p.x_m, 0.0, p.x_m - box[2].x_m});
    const double dy = std::max({box[0].y_m - p.y_m, 0.0, p.y_m - box[2].y_m});
    return std::hypot(dx, dy);
}

double turn_rad(const Point& a, const Point& b, const Point& c)
{
    const double turn = std::atan2(c.y_m - b.y_m, c.x_m - b.x_m) - std::atan2(b.y_m - a.y_m, b.x_m - a.x_m);
    return std::abs(std::remainder(turn, 2 * std::numbers::pi));
}

bool crosses(const Point& a, const Point& b, const Point& c, const Point& d)
{
    const auto side = [](const Point& o, const Point& p, const Point& q) {
        return (p.x_m - o.x_m) * (q.y_m - o.y_m) - (p.y_m - o.y_m) * (q.x_m - o.x_m);
    };
    return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

bool may_pass(const Problem& problem, const Point& p)
{
    const double in_m = std::min({p.x_m, p.y_m, problem.wide_m - p.x_m, problem.deep_m - p.y_m});
    const bool leaving = away_m(p, problem.source) < problem.exit_m;
    if (in_m < problem.edge_m || away_m(p, problem.house) < (leaving ? problem.exit_house_m : problem.house_m)) {
        return away_m(p, problem.source) < 0.12; // at the wall itself
    }
    return std::ranges::none_of(problem.keep_out,
                                [&](const Ring& box) { return away_m(p, box) < problem.keep_out_m; }) &&
           std::ranges::none_of(problem.closed, [&](const Circle& tree) { return away_m(p, tree.at) < tree.radius_m; });
}

/// Price of crossing marks on a run; infinity for a flat crossing or a run beside one.
double marks_price(const Problem& problem, const Point& a, const Point& b)
{
    constexpr double flattest_rad = 46 * std::numbers::pi / 180;
    double price = 0;
    for (const auto& mark : problem.marks) {
        const Point& c = mark.line[0];
        const Point& d = mark.line[1];
        double near_m = std::min({away_m(a, c, d), away_m(b, c, d), away_m(c, a, b), away_m(d, a, b)});
        const bool over = crosses(a, b, c, d);
        near_m = over ? 0 : near_m;
        if (near_m > mark.along_m) {
            continue;
        }
        double angle = std::abs(std::remainder(
            std::atan2(b.y_m - a.y_m, b.x_m - a.x_m) - std::atan2(d.y_m - c.y_m, d.x_m - c.x_m), std::numbers::pi));
        if (!over || angle < flattest_rad || std::min(away_m(a, c, d), away_m(b, c, d)) < mark.along_m) {
            return infinity;
        }
        price += problem.crossing_price;
    }
    return price;
}

bool by_hand(const Problem& problem, const Point& p)
{
    return std::ranges::any_of(problem.marks,
                               [&](const Line& m) { return away_m(p, m.line[0], m.line[1]) <= m.hand_m; }) ||
           std::ranges::any_of(problem.hand, [&](const Circle& t) { return away_m(p, t.at) <= t.radius_m; });
}

double run_price(const Problem& problem, const Point& a, const Point& b, double& invert)
{
    double price = marks_price(problem, a, b);
    const double length = away_m(a, b);
    const int steps = std::max(1, static_cast<int>(std::ceil(length / sample_m)));
    const double step = length / steps;
    for (int i = 0; i < steps && price < infinity; ++i) {
        const Point p = between(a, b, (i + 0.5) / steps);
        if (!may_pass(problem, p)) {
            return infinity;
        }
        double restore = problem.lawn_restore_per_m2;
        double cover = problem.lawn_cover_m;
        for (const auto& area : problem.areas) { // a later one lies on top
            if (away_m(p, area.ring) <= 0) {
                restore = area.restore_per_m2;
                cover = area.cover_m;
            }
        }
        const double ground = problem.ground_elev_m(p);
        invert = std::min(invert - problem.min_fall * step / 2, ground - cover - problem.cover_to_invert_m);
        const double cut = ground - invert + problem.invert_to_bottom_m;
        if (cut > problem.deepest_cut_m) {
            return infinity;
        }
        const bool hand = by_hand(problem, p);
        price += step * (problem.pipe_per_m + restore * problem.restore_width_m +
                         (hand ? problem.hand_per_m : problem.machine_per_m) +
                         problem.width_m * cut * (hand ? problem.hand_per_m3 : problem.machine_per_m3));
        invert -= problem.min_fall * step / 2;
    }
    return price;
}

double price_of(const Problem& problem, const Polyline& line)
{
    double price = 0;
    double invert = infinity;
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
        if (i > 1 && away_m(line[i - 1], line[i]) < problem.min_run_m) {
            return infinity;
        }
        price += problem.bend_price(turn_rad(line[i - 1], line[i], line[i + 1]));
    }
    for (std::size_t i = 1; i < line.size() && price < infinity; ++i) {
        price += run_price(problem, line[i - 1], line[i], invert);
    }
    return invert >= problem.ground_elev_m(line.back()) - problem.end_drop_m ? price : infinity;
}

class Optimizer {
  public:
    Optimizer(const Problem& problem, unsigned seed) : problem_(problem), random_(seed) {}

    void restart(int moves)
    {
        Polyline line = start();
        double price = price_of(problem_, line);
        for (int i = 0; i < moves; ++i) {
            Polyline moved = changed(line, 2.0 * std::pow(0.005, static_cast<double>(i) / moves));
            const double other = price_of(problem_, moved);
            const double warm = price < infinity ? price * 0.004 * std::pow(1 - static_cast<double>(i) / moves, 3) : 0;
            if (other < price || (other < infinity && other < price + warm * uniform())) {
                line = std::move(moved);
                price = other;
                keep(line, price);
            }
            if (!(price < infinity) && i % 40 == 39) {
                line = start();
                price = price_of(problem_, line);
            }
        }
        settle();
    }

    std::vector<Polyline> best(std::size_t count)
    {
        std::ranges::sort(found_, {}, [](const auto& one) { return one.first; });
        std::vector<Polyline> lines;
        for (std::size_t i = 0; i < std::min(count, found_.size()); ++i) {
            lines.push_back(found_[i].second);
        }
        return lines;
    }

  private:
    double uniform() { return static_cast<double>(random_()) / static_cast<double>(std::mt19937::max()); }
    double spread() { return uniform() + uniform() + uniform() - 1.5; }

    Point any_end()
    {
        const auto& e = problem_.ends;
        if (e.size() == 1) {
            return e[0];
        }
        if (e.size() == 2) {
            return between(e[0], e[1], uniform());
        }
        return {.x_m = e[0].x_m + uniform() * (e[2].x_m - e[0].x_m),
                .y_m = e[0].y_m + uniform() * (e[2].y_m - e[0].y_m)};
    }
    Point near_end(const Point& p)
    {
        const auto& e = problem_.ends;
        if (e.size() == 1) {
            return e[0];
        }
        if (e.size() == 2) {
            const double dx = e[1].x_m - e[0].x_m;
            const double dy = e[1].y_m - e[0].y_m;
            const double share = ((p.x_m - e[0].x_m) * dx + (p.y_m - e[0].y_m) * dy) / (dx * dx + dy * dy);
            return between(e[0], e[1], std::clamp(share, 0.0, 1.0));
        }
        return {.x_m = std::clamp(p.x_m, e[0].x_m, e[2].x_m), .y_m = std::clamp(p.y_m, e[0].y_m, e[2].y_m)};
    }
    Polyline start()
    {
        Polyline line{problem_.source};
        const int bends = static_cast<int>(uniform() * 4);
        const Point end = any_end();
        for (int i = 1; i <= bends; ++i) {
            const Point on = between(problem_.source, end, static_cast<double>(i) / (bends + 1));
            line.push_back({.x_m = on.x_m + 8 * spread(), .y_m = on.y_m + 4 * spread()});
        }
        line.push_back(end);
        return line;
    }
    Polyline changed(const Polyline& line, double size_m)
    {
        Polyline other = line;
        const double what = uniform();
        const auto inner = other.size() - 2;
        if (what < 0.12 && inner < 14) {
            const auto at = 1 + static_cast<std::size_t>(uniform() * static_cast<double>(other.size() - 1) * 0.9999);
            Point p = between(other[at - 1], other[at], uniform());
            p = {.x_m = p.x_m + size_m * spread(), .y_m = p.y_m + size_m * spread()};
            other.insert(other.begin() + static_cast<std::ptrdiff_t>(at), p);
        } else if (what < 0.2 && inner > 0) {
            other.erase(other.begin() + 1 +
                        static_cast<std::ptrdiff_t>(uniform() * static_cast<double>(inner) * 0.9999));
        } else if (what < 0.35) {
            other.back() = near_end(
                {.x_m = other.back().x_m + 2 * size_m * spread(), .y_m = other.back().y_m + 2 * size_m * spread()});
        } else if (inner > 0) {
            const auto at = 1 + static_cast<std::size_t>(uniform() * static_cast<double>(inner) * 0.9999);
            const Point by{.x_m = size_m * spread(), .y_m = size_m * spread()};
            const std::size_t last = uniform() < 0.3 ? std::min(at + 1, inner) : at;
            for (std::size_t k = at; k <= last; ++k) {
                other[k] = {.x_m = other[k].x_m + by.x_m, .y_m = other[k].y_m + by.y_m};
            }
        }
        return other;
    }
    void keep(const Polyline& line, double price)
    {
        if (price < best_price_ - 1e-9) {
            best_price_ = price;
            best_ = line;
        }
    }
    void settle()
    {
        if (best_price_ < infinity) {
            found_.emplace_back(best_price_, best_);
        }
        best_price_ = infinity;
    }

    const Problem& problem_;
    std::mt19937 random_;
    double best_price_ = infinity;
    Polyline best_;
    std::vector<std::pair<double, Polyline>> found_;
};

} // namespace

std::vector<Polyline> best_lines(const Problem& problem, unsigned seed, int restarts, int moves, std::size_t count)
{
    Optimizer optimizer(problem, seed);
    for (int i = 0; i < restarts; ++i) {
        optimizer.restart(moves);
    }
    return optimizer.best(count);
}

} // namespace trenchwright::own
