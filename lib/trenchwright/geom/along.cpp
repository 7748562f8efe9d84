#include "trenchwright/geom/along.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace trenchwright {

namespace {

/// A line this near to another lies on it: rounding must neither lose a touch nor make a crossing of parallel running.
constexpr double on_line_m = 1e-9;
/// Two crossings nearer than this along both lines are one, met through a shared vertex.
constexpr double same_crossing_m = 1e-6;

/// A straight run of the line with its own axes: s along it from its start, u to its left.
struct Run {
    Point start;
    double start_m = 0; ///< of the run's start along the whole line
    double length = 0;
    double dx = 0; ///< unit direction
    double dy = 0;
    bool is_first = false;
    bool is_last = false;

    [[nodiscard]] Point local(const Point& p) const
    {
        const double x = p.x_m - start.x_m;
        const double y = p.y_m - start.y_m;
        return {.x_m = x * dx + y * dy, .y_m = y * dx - x * dy};
    }
};

template <class EachRun> void for_each_run(const Polyline& line, EachRun each)
{
    const double whole = length_m(line);
    double start = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_m(line[i - 1], line[i]);
        if (run > 0) {
            each(Run{.start = line[i - 1],
                     .start_m = start,
                     .length = run,
                     .dx = (line[i].x_m - line[i - 1].x_m) / run,
                     .dy = (line[i].y_m - line[i - 1].y_m) / run,
                     .is_first = start == 0,
                     .is_last = start + run >= whole});
        }
        start += run;
    }
}

void widen(std::optional<Interval>& span, double from, double to)
{
    span = span ? Interval{std::min(span->from_m, from), std::max(span->to_m, to)} : Interval{from, to};
}

/// The part of the line "across = u" (in a run's axes) inside the circle.
void add_circle_chord(std::optional<Interval>& span, const Point& center, double radius, double u)
{
    const double off = u - center.y_m;
    const double squared = radius * radius - off * off;
    if (squared >= 0) {
        const double half = std::sqrt(squared);
        widen(span, center.x_m - half, center.x_m + half);
    }
}

/// The part of the line "across = u" inside the straight middle of the zone about a-b.
void add_band_chord(std::optional<Interval>& span, const Point& a, const Point& b, double radius, double u)
{
    const double run = distance_m(a, b);
    if (!(run > 0)) {
        return;
    }
    const double ex = (b.x_m - a.x_m) / run;
    const double ey = (b.y_m - a.y_m) / run;
    double low = -1e300;
    double high = 1e300;
    const auto clip = [&](double slope, double offset, double least, double most) {
        // least <= slope * s + offset <= most
        if (std::abs(slope) < 1e-15) {
            if (!(least <= offset && offset <= most)) {
                high = low - 1;
            }
            return;
        }
        const double at_least = (least - offset) / slope;
        const double at_most = (most - offset) / slope;
        low = std::max(low, std::min(at_least, at_most));
        high = std::min(high, std::max(at_least, at_most));
    };
    clip(ex, (u - a.y_m) * ey - a.x_m * ex, 0, run);
    clip(-ey, (u - a.y_m) * ex + a.x_m * ey, -radius, radius);
    if (low <= high) {
        widen(span, low, high);
    }
}

/// The zone about a-b is convex, so its overlap with the strip |u| <= half projects on the axis as
/// the hull of the chords at both edges and of the zone's own extremes where they lie in the strip.
std::optional<Interval> zone_projection(const Point& a, const Point& b, double radius, double half)
{
    std::optional<Interval> span;
    for (const double u : {-half, half}) {
        add_circle_chord(span, a, radius, u);
        add_circle_chord(span, b, radius, u);
        add_band_chord(span, a, b, radius, u);
    }
    for (const auto& end : {a, b}) {
        if (std::abs(end.y_m) <= half) {
            widen(span, end.x_m - radius, end.x_m + radius);
        }
    }
    return span;
}

void add_clipped(std::vector<Interval>& spans, const Run& run, const std::optional<Interval>& span, double half)
{
    const double before = run.is_first ? 0 : half;
    const double past = run.is_last ? 0 : half;
    if (!span || span->to_m < -before || span->from_m > run.length + past) {
        return;
    }
    const double from = std::clamp(span->from_m, 0.0, run.length);
    const double to = std::clamp(span->to_m, 0.0, run.length);
    spans.push_back({run.start_m + from, run.start_m + to});
}

/// Shares of a run at which it meets the ring's edges.
void add_edge_meetings(std::vector<double>& meetings, const Run& run, const Ring& ring)
{
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point a = run.local(ring[i]);
        const Point b = run.local(ring[(i + 1) % ring.size()]);
        if ((a.y_m > 0) != (b.y_m > 0)) {
            meetings.push_back(a.x_m + (b.x_m - a.x_m) * (a.y_m / (a.y_m - b.y_m)));
        }
        if (a.y_m == 0) {
            meetings.push_back(a.x_m);
        }
    }
}

/// Crossing of one straight run with one segment, in the run's axes.
std::optional<double> meeting(const Run& run, const Point& a, const Point& b)
{
    const Point p = run.local(a);
    const Point q = run.local(b);
    const bool starts_on = std::abs(p.y_m) <= on_line_m;
    const bool ends_on = std::abs(q.y_m) <= on_line_m;
    const bool one_side = (p.y_m > 0) == (q.y_m > 0);
    if ((starts_on && ends_on) || (one_side && !starts_on && !ends_on)) {
        return std::nullopt; // along it, or beside it
    }
    const double between = p.x_m + (q.x_m - p.x_m) * (p.y_m / (p.y_m - q.y_m));
    const double s = starts_on ? p.x_m : ends_on ? q.x_m : between;
    const bool on_run = s >= -on_line_m && s <= run.length + on_line_m;
    return on_run ? std::optional(std::clamp(s, 0.0, run.length)) : std::nullopt;
}

LineCrossing crossing_at(const Run& run, const Run& across, double s)
{
    const Point at{.x_m = run.start.x_m + s * run.dx, .y_m = run.start.y_m + s * run.dy};
    return {.station_m = run.start_m + s,
            .other_station_m = across.start_m + std::clamp(across.local(at).x_m, 0.0, across.length),
            .angle_rad = std::atan2(std::abs(run.dx * across.dy - run.dy * across.dx),
                                    std::abs(run.dx * across.dx + run.dy * across.dy)),
            .at = at};
}

/// A crossing through a vertex is met by each run that ends there: it stays once, with the sharpest angle.
std::vector<LineCrossing> without_repeats(const std::vector<LineCrossing>& found)
{
    std::vector<LineCrossing> kept;
    for (const auto& crossing : found) {
        const auto same = std::find_if(kept.begin(), kept.end(), [&](const LineCrossing& k) {
            return std::abs(k.station_m - crossing.station_m) < same_crossing_m &&
                   std::abs(k.other_station_m - crossing.other_station_m) < same_crossing_m;
        });
        if (same == kept.end()) {
            kept.push_back(crossing);
        } else {
            same->angle_rad = std::min(same->angle_rad, crossing.angle_rad);
        }
    }
    return kept;
}

} // namespace

std::vector<Interval> spans_inside(const Polyline& line, const Polygon& area)
{
    if (!overlap(bounds(line), bounds(area.outer))) {
        return {};
    }
    std::vector<Interval> spans;
    for_each_run(line, [&](const Run& run) {
        std::vector<double> meetings{0, run.length};
        add_edge_meetings(meetings, run, area.outer);
        for (const auto& hole : area.holes) {
            add_edge_meetings(meetings, run, hole);
        }
        std::erase_if(meetings, [&](double s) { return !(s >= 0 && s <= run.length); });
        std::sort(meetings.begin(), meetings.end());
        meetings.erase(
            std::unique(meetings.begin(), meetings.end(), [](double a, double b) { return b - a < on_line_m; }),
            meetings.end());
        meetings.back() = run.length; // the last of near-equal ones is the run's end itself
        for (std::size_t i = 1; i < meetings.size(); ++i) {
            const double middle = (meetings[i - 1] + meetings[i]) / 2;
            const Point at{.x_m = run.start.x_m + middle * run.dx, .y_m = run.start.y_m + middle * run.dy};
            if (meetings[i] > meetings[i - 1] && contains(area, at)) {
                spans.push_back({run.start_m + meetings[i - 1], run.start_m + meetings[i]});
            }
        }
    });
    return merged(std::move(spans));
}

std::vector<Interval> strip_spans_within(const Polyline& line, double width_m, const Polyline& other, double reach_m)
{
    if (other.size() == 1) {
        return strip_spans_within(line, width_m, other.front(), reach_m);
    }
    const double reach = width_m + reach_m + on_line_m; // the strip goes half its width aside and past a bend
    if (!overlap(grown(bounds(line), reach), bounds(other))) {
        return {};
    }
    std::vector<Interval> spans;
    const double half = width_m / 2;
    for_each_run(line, [&](const Run& run) {
        for (std::size_t i = 1; i < other.size(); ++i) {
            add_clipped(spans, run, zone_projection(run.local(other[i - 1]), run.local(other[i]), reach_m, half), half);
        }
    });
    return merged(std::move(spans));
}

std::vector<Interval> strip_spans_within(const Polyline& line, double width_m, const Point& center, double reach_m)
{
    return strip_spans_within(line, width_m, Polyline{center, center}, reach_m);
}

std::vector<LineCrossing> crossings(const Polyline& line, const Polyline& other)
{
    if (!overlap(grown(bounds(line), same_crossing_m), bounds(other))) {
        return {};
    }
    std::vector<LineCrossing> found;
    for_each_run(line, [&](const Run& run) {
        for_each_run(other, [&](const Run& across) {
            const Point end{.x_m = across.start.x_m + across.length * across.dx,
                            .y_m = across.start.y_m + across.length * across.dy};
            if (const auto s = meeting(run, across.start, end)) {
                found.push_back(crossing_at(run, across, *s));
            }
        });
    });
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.station_m < b.station_m; });
    return without_repeats(found);
}

std::vector<Interval> merged(std::vector<Interval> spans)
{
    std::sort(spans.begin(), spans.end(), [](const auto& a, const auto& b) {
        return a.from_m < b.from_m || (a.from_m == b.from_m && a.to_m < b.to_m);
    });
    std::vector<Interval> result;
    for (const auto& span : spans) {
        if (!result.empty() && span.from_m <= result.back().to_m) {
            result.back().to_m = std::max(result.back().to_m, span.to_m);
        } else {
            result.push_back(span);
        }
    }
    return result;
}

std::vector<Interval> rounded_out(std::vector<Interval> spans, double min_m, double length_m)
{
    for (auto& span : spans) {
        const double missing = std::max(0.0, min_m - (span.to_m - span.from_m));
        span.from_m = std::max(0.0, span.from_m - missing / 2);
        span.to_m = std::min(std::max(length_m, span.to_m), span.to_m + missing / 2);
    }
    std::vector<Interval> result;
    for (const auto& span : merged(std::move(spans))) {
        if (!result.empty() && span.from_m - result.back().to_m < min_m) {
            result.back().to_m = span.to_m;
        } else {
            result.push_back(span);
        }
    }
    return result;
}

std::vector<Interval> minus(const std::vector<Interval>& a, const std::vector<Interval>& b)
{
    std::vector<Interval> result;
    for (const auto& span : a) {
        double from = span.from_m;
        for (const auto& hole : b) {
            if (hole.to_m <= from || hole.from_m >= span.to_m) {
                continue;
            }
            if (hole.from_m > from) {
                result.push_back({from, hole.from_m});
            }
            from = hole.to_m;
        }
        if (from < span.to_m) {
            result.push_back({from, span.to_m});
        }
    }
    return result;
}

double total_m(const std::vector<Interval>& spans)
{
    double sum = 0;
    for (const auto& span : spans) {
        sum += span.to_m - span.from_m;
    }
    return sum;
}

} // namespace trenchwright
