#include "trenchwright/route/straighten.hpp"

#include "trenchwright/geom/measure.hpp"

#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

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
    return a.price < b.price - min_saving;
}

/// The line with its straight vertices out and its price; nothing where it breaks a rule.
std::optional<PricedLine> priced(TrueLine& meter, const Polyline& line, const EndPoint& end)
{
    Polyline plain = without_straight_vertices(line);
    TrueCost cost = meter.cost(plain, end);
    if (cost.fault) {
        return std::nullopt;
    }
    return PricedLine{.downstream = std::move(plain), .end = end, .cost = std::move(cost)};
}

void keep_better(std::optional<PricedLine>& best, std::optional<PricedLine> other)
{
    if (other && (!best || better(other->cost, best->cost))) {
        best = std::move(other);
    }
}

bool take_if_better(PricedLine& line, std::optional<PricedLine> other)
{
    if (!other || !better(other->cost, line.cost)) {
        return false;
    }
    line = *std::move(other);
    return true;
}

bool cut_corners(TrueLine& meter, PricedLine& line)
{
    const Polyline from = line.downstream;
    std::optional<PricedLine> best;
    for (std::size_t i = 0; i + 2 < from.size(); ++i) {
        for (std::size_t j = i + 2; j < from.size(); ++j) {
            Polyline shorter(from.begin(), from.begin() + static_cast<std::ptrdiff_t>(i) + 1);
            shorter.insert(shorter.end(), from.begin() + static_cast<std::ptrdiff_t>(j), from.end());
            keep_better(best, priced(meter, shorter, line.end));
        }
    }
    return take_if_better(line, std::move(best));
}

std::array<Point, 8> places_around(const PricedLine& line, const Point& p, double move_m)
{
    auto places = steps_about(line.downstream, move_m);
    for (auto& place : places) {
        place = {.x_m = p.x_m + place.x_m, .y_m = p.y_m + place.y_m};
    }
    return places;
}

void shift(Point& p, const Point& from, const Point& to)
{
    p.x_m += to.x_m - from.x_m;
    p.y_m += to.y_m - from.y_m;
}

/// Vertex i alone, or with the run below it: a run moved sideways keeps its direction.
bool move_vertices(TrueLine& meter, PricedLine& line, double move_m)
{
    bool any = false;
    for (std::size_t i = 1; i + 1 < line.downstream.size(); ++i) {
        std::optional<PricedLine> best;
        const Point from = line.downstream[i];
        for (const auto& to : places_around(line, from, move_m)) {
            Polyline moved = line.downstream;
            moved[i] = to;
            keep_better(best, priced(meter, moved, line.end));
            if (i + 2 < moved.size()) {
                shift(moved[i + 1], from, to);
                keep_better(best, priced(meter, moved, line.end));
            }
        }
        any = take_if_better(line, std::move(best)) || any;
    }
    return any;
}

/// The end along its outlet, alone or with the last run, so that its direction stays.
bool slide_end(TrueLine& meter, PricedLine& line, const EndFinder& end_near, double move_m)
{
    std::optional<PricedLine> best;
    for (const auto& to : places_around(line, line.end.at, move_m)) {
        const auto end = end_near(to);
        if (!end || end->at == line.end.at) {
            continue;
        }
        Polyline moved = line.downstream;
        moved.back() = end->at;
        keep_better(best, priced(meter, moved, *end));
        if (moved.size() > 2) {
            shift(moved[moved.size() - 2], line.end.at, end->at);
            keep_better(best, priced(meter, moved, *end));
        }
    }
    return take_if_better(line, std::move(best));
}

} // namespace

std::array<Point, 8> steps_about(const Polyline& line, double move_m)
{
    const double along = direction_rad(line.front(), line.back());
    std::array<Point, 8> steps;
    for (std::size_t k = 0; k < steps.size(); ++k) {
        const double angle = along + static_cast<double>(k) * std::numbers::pi / 4;
        steps[k] = {.x_m = move_m * std::cos(angle), .y_m = move_m * std::sin(angle)};
    }
    return steps;
}

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

PricedLine straightened(TrueLine& meter, PricedLine line, const EndFinder& end_near, int max_rounds)
{
    for (int round = 0; round < max_rounds; ++round) {
        bool any = cut_corners(meter, line);
        for (const double move_m : moves_m) {
            any = move_vertices(meter, line, move_m) || any;
            any = slide_end(meter, line, end_near, move_m) || any;
        }
        if (!any) {
            break;
        }
    }
    return line;
}

} // namespace trenchwright
