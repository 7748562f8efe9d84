#include "trenchwright/dig/pipe_grades.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>

namespace trenchwright {

namespace {

/// Dearer than any fittings, so that a profile takes such a turn only where it cannot do without.
constexpr double no_fittings_price = 1e6;

/// Laid to the millimeter over a foot a grade is off by this; a turn that misses the joints' limit by no more is
/// theirs.
constexpr double rounding_rad = 1e-6;

double fall_between(const GradePoint& low, const GradePoint& high)
{
    return (high.invert_elev_m - low.invert_elev_m) / (high.station_m - low.station_m);
}

VerticalBend vertical_bend(double turn_rad, const GradePoint& at, const Polyline& line, const RouteRules& rules)
{
    const double angle_rad = std::abs(turn_rad);
    const auto made = bend_for(angle_rad, rules);
    VerticalBend vertical{.bend = made.value_or(Bend{}), .steeper_upstream = turn_rad > 0, .buildable = !!made};
    vertical.bend.angle_rad = angle_rad;
    vertical.bend.station_m = at.station_m;
    vertical.bend.at = point_at(line, at.station_m);
    return vertical;
}

std::vector<VerticalBend> vertical_bends(std::span<const GradePoint> points, const Polyline& line,
                                         const RouteRules& rules)
{
    std::vector<VerticalBend> bends;
    for (std::size_t i = 1; i + 1 < points.size(); ++i) {
        const double turn_rad =
            std::atan(fall_between(points[i], points[i + 1])) - std::atan(fall_between(points[i - 1], points[i]));
        if (std::abs(turn_rad) > rules.max_deflection_rad + rounding_rad) {
            bends.push_back(vertical_bend(turn_rad, points[i], line, rules));
        }
    }
    return bends;
}

std::vector<PipeDrop> drops_of(std::span<const GradePoint> points, const SteepRules& steep)
{
    std::vector<PipeDrop> drops;
    for (std::size_t i = 1; i < points.size(); ++i) {
        if (std::abs(fall_between(points[i - 1], points[i])) > steep.drop_fall_ratio) {
            drops.push_back({.span = {points[i - 1].station_m, points[i].station_m},
                             .height_m = points[i].invert_elev_m - points[i - 1].invert_elev_m});
        }
    }
    return drops;
}

/// How far apart anchors may be at a fall; 0: none are needed, or the pipe is a drop.
double spacing_at(double fall_ratio, const SteepRules& steep)
{
    if (fall_ratio > steep.drop_fall_ratio || fall_ratio < steep.steep.fall_ratio) {
        return 0;
    }
    return fall_ratio >= steep.steepest.fall_ratio  ? steep.steepest.spacing_m
           : fall_ratio >= steep.steeper.fall_ratio ? steep.steeper.spacing_m
                                                    : steep.steep.spacing_m;
}

std::vector<AnchoredStretch> anchored_stretches(std::span<const GradePoint> points, double min_stretch_m,
                                                const SteepRules& steep)
{
    std::vector<AnchoredStretch> stretches;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double fall_ratio = fall_between(points[i - 1], points[i]);
        const double spacing_m = spacing_at(fall_ratio, steep);
        if (!(spacing_m > 0)) {
            continue;
        }
        const bool goes_on = !stretches.empty() && stretches.back().span.to_m == points[i - 1].station_m &&
                             stretches.back().spacing_m == spacing_m;
        if (!goes_on) {
            stretches.push_back({.span = {points[i - 1].station_m, 0}, .spacing_m = spacing_m});
        }
        stretches.back().span.to_m = points[i].station_m;
        stretches.back().fall_ratio = std::max(stretches.back().fall_ratio, fall_ratio);
    }
    for (auto& stretch : stretches) {
        const double run_m = stretch.span.to_m - stretch.span.from_m;
        const double along_m =
            std::hypot(run_m, invert_at_m(points, stretch.span.to_m) - invert_at_m(points, stretch.span.from_m));
        stretch.anchors = along_m < min_stretch_m
                              ? 0
                              : static_cast<std::size_t>(std::ceil(along_m / stretch.spacing_m - rounding_rad));
    }
    std::erase_if(stretches, [](const AnchoredStretch& stretch) { return stretch.anchors == 0; });
    return stretches;
}

} // namespace

std::function<double(double)> turn_price(const RouteRules& rules)
{
    RouteRules fittings;
    fittings.fittings = rules.fittings;
    fittings.max_turn_rad = rules.max_turn_rad;
    fittings.max_deflection_rad = rules.max_deflection_rad;
    return [fittings](double angle_rad) {
        return angle_rad <= fittings.max_deflection_rad ? 0
                                                        : bend_price(angle_rad, fittings).value_or(no_fittings_price);
    };
}

TrenchGrades grades_of(std::span<const GradePoint> points, const Polyline& line, bool pressure, double min_stretch_m,
                       const RouteRules& route, const SteepRules& steep)
{
    TrenchGrades grades{.bends = vertical_bends(points, line, route), .drops = drops_of(points, steep), .anchored = {}};
    if (!pressure) {
        grades.anchored = anchored_stretches(points, min_stretch_m, steep);
    }
    return grades;
}

} // namespace trenchwright
