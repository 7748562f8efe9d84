#include "trenchwright/geom/over.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

/// Stations are found to this: far below what a tape can tell.
constexpr double station_found_m = 1e-9;

/// Station of the greatest value of a concave function.
double top_of(double from_m, double to_m, const std::function<double(double)>& over_m)
{
    const double part = std::numbers::phi - 1;
    double low = from_m;
    double high = to_m;
    double a = high - part * (high - low);
    double b = low + part * (high - low);
    double at_a = over_m(a);
    double at_b = over_m(b);
    while (high - low > station_found_m) {
        if (at_a >= at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - part * (high - low);
            at_a = over_m(a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + part * (high - low);
            at_b = over_m(b);
        }
    }
    return (low + high) / 2;
}

/// Between a station that is not over the limit and one that is.
double edge_between(double under_m, double over_at_m, const std::function<double(double)>& over_m)
{
    while (std::abs(over_at_m - under_m) > station_found_m) {
        const double middle = (under_m + over_at_m) / 2;
        (over_m(middle) > over_rounding_m ? over_at_m : under_m) = middle;
    }
    return over_at_m;
}

bool inside_convex(const Point& p, const Ring& convex)
{
    return convex.size() > 2 && contains({.outer = convex, .holes = {}}, p);
}

} // namespace

std::optional<ExceedingSpan> exceeding_spans(double from_m, double to_m, const std::function<double(double)>& over_m)
{
    double best = top_of(from_m, to_m, over_m);
    for (const double end : {from_m, to_m}) {
        best = over_m(end) > over_m(best) ? end : best;
    }
    const double most = over_m(best);
    if (!(most > over_rounding_m)) {
        return std::nullopt;
    }
    const double low = over_m(from_m) > over_rounding_m ? from_m : edge_between(from_m, best, over_m);
    const double high = over_m(to_m) > over_rounding_m ? to_m : edge_between(to_m, best, over_m);
    return ExceedingSpan{.span = {low, high}, .max_m = most, .max_station_m = best};
}

std::vector<ExceedingSpan> joined(std::vector<ExceedingSpan> spans)
{
    std::ranges::sort(spans,
                      [](const ExceedingSpan& a, const ExceedingSpan& b) { return a.span.from_m < b.span.from_m; });
    std::vector<ExceedingSpan> result;
    for (const auto& next : spans) {
        constexpr double touching_m = 1e-6;
        if (result.empty() || next.span.from_m > result.back().span.to_m + touching_m) {
            result.push_back(next);
            continue;
        }
        auto& last = result.back();
        last.span.to_m = std::max(last.span.to_m, next.span.to_m);
        if (next.max_m > last.max_m) {
            last.max_m = next.max_m;
            last.max_station_m = next.max_station_m;
        }
    }
    return result;
}

double distance_m(const Point& a, const Point& b, const Ring& convex)
{
    if (inside_convex(a, convex) || inside_convex(b, convex)) {
        return 0;
    }
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < convex.size(); ++i) {
        const Point& p = convex[i];
        const Point& q = convex[(i + 1) % convex.size()];
        least = std::min(least, distance_m(Polyline{a, b}, Polyline{p, q}));
    }
    return least;
}

} // namespace trenchwright
