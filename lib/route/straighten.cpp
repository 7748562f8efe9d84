#include "route/straighten.hpp"

#include "geom/measure.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

/// Moves smaller than the last are below what a crew can set out; savings below the least are noise.
constexpr std::array<double, 6> moves_m{0.8, 0.4, 0.2, 0.1, 0.05, 0.02};
constexpr double least_saving = 1e-6;
constexpr int most_rounds = 60;
constexpr double straight_rad = 1e-7;

/// Works before fails, nearer to draining before further, then cheaper.
bool better(const TrueCost& a, const TrueCost& b)
{
    if (a.fault.has_value() != b.fault.has_value()) {
        return !a.fault;
    }
    if (a.works() != b.works()) {
        return a.works();
    }
    if (!a.works() && std::abs(a.missing_m - b.missing_m) > 1e-9) {
        return a.missing_m < b.missing_m;
    }
    return a.price < b.price - least_saving;
}

bool take_if_better(TrueLine& meter, PricedLine& best, Polyline line, const EndPoint& end)
{
    line = without_straight_vertices(line);
    const TrueCost cost = meter.cost(line, end);
    if (cost.fault || !better(cost, best.cost)) {
        return false;
    }
    best = {.downstream = std::move(line), .end = end, .cost = cost};
    return true;
}

bool cut_corners(TrueLine& meter, PricedLine& best)
{
    const Polyline line = best.downstream;
    bool any = false;
    for (std::size_t i = 0; i + 2 < line.size(); ++i) {
        for (std::size_t j = line.size() - 1; j > i + 1; --j) {
            Polyline shorter(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(i) + 1);
            shorter.insert(shorter.end(), line.begin() + static_cast<std::ptrdiff_t>(j), line.end());
            any = take_if_better(meter, best, std::move(shorter), best.end) || any;
        }
    }
    return any;
}

template <class Try> bool in_eight_directions(const Point& p, double move_m, Try attempt)
{
    bool any = false;
    for (int k = 0; k < 8 && !any; ++k) {
        const double angle = k * std::numbers::pi / 4;
        any = attempt(Point{.x_m = p.x_m + move_m * std::cos(angle), .y_m = p.y_m + move_m * std::sin(angle)});
    }
    return any;
}

bool move_vertices(TrueLine& meter, PricedLine& best, double move_m)
{
    bool any = false;
    for (std::size_t i = 1; i + 1 < best.downstream.size(); ++i) {
        any = in_eight_directions(best.downstream[i], move_m,
                                  [&](const Point& to) {
                                      Polyline moved = best.downstream;
                                      moved[i] = to;
                                      return take_if_better(meter, best, std::move(moved), best.end);
                                  }) ||
              any;
    }
    return any;
}

/// A run moved sideways keeps its direction, which single vertices cannot do where bends are rationed.
bool move_runs(TrueLine& meter, PricedLine& best, double move_m)
{
    bool any = false;
    for (std::size_t i = 1; i + 2 < best.downstream.size(); ++i) {
        const Point from = best.downstream[i];
        any = in_eight_directions(from, move_m,
                                  [&](const Point& to) {
                                      Polyline moved = best.downstream;
                                      moved[i] = to;
                                      moved[i + 1].x_m += to.x_m - from.x_m;
                                      moved[i + 1].y_m += to.y_m - from.y_m;
                                      return take_if_better(meter, best, std::move(moved), best.end);
                                  }) ||
              any;
    }
    return any;
}

bool slide_end(TrueLine& meter, PricedLine& best, const EndFinder& end_near, double move_m)
{
    return in_eight_directions(best.end.at, move_m, [&](const Point& to) {
        const auto end = end_near(to);
        if (!end || end->at == best.end.at) {
            return false;
        }
        Polyline moved = best.downstream;
        moved.back() = end->at;
        if (take_if_better(meter, best, moved, *end)) {
            return true;
        }
        if (moved.size() < 3) {
            return false;
        }
        // The whole last run with it, so that its direction stays.
        moved[moved.size() - 2].x_m += end->at.x_m - best.end.at.x_m;
        moved[moved.size() - 2].y_m += end->at.y_m - best.end.at.y_m;
        return take_if_better(meter, best, std::move(moved), *end);
    });
}

} // namespace

Polyline without_straight_vertices(const Polyline& line)
{
    Polyline result;
    for (const auto& p : line) {
        if (!result.empty() && distance_m(result.back(), p) < 1e-9) {
            continue;
        }
        if (result.size() >= 2 && turn_rad(result[result.size() - 2], result.back(), p) < straight_rad) {
            result.pop_back();
        }
        result.push_back(p);
    }
    return result;
}

PricedLine straightened(TrueLine& meter, PricedLine line, const EndFinder& end_near)
{
    PricedLine best = std::move(line);
    for (int round = 0; round < most_rounds; ++round) {
        bool any = cut_corners(meter, best);
        for (const double move_m : moves_m) {
            any = move_vertices(meter, best, move_m) || any;
            any = move_runs(meter, best, move_m) || any;
            any = slide_end(meter, best, end_near, move_m) || any;
        }
        if (!any) {
            break;
        }
    }
    return best;
}

} // namespace trenchwright
