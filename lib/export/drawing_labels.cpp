#include "base/units.hpp"
#include "export/drawing.hpp"
#include "geom/measure.hpp"
#include "geom/stretch.hpp"
#include "site/site.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double line_step_ratio = 1.4; ///< from text to text, in text heights

struct Label {
    double station_m = 0;
    std::string text;
};

/// Direction of the run that holds a station, up the trench.
double run_direction_rad(const Polyline& line, double station_m)
{
    const auto stations = vertex_stations_m(line);
    const auto after = std::ranges::upper_bound(stations, station_m) - stations.begin();
    const auto end =
        static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(after, 1, static_cast<std::ptrdiff_t>(line.size()) - 1));
    return direction_rad(line[end - 1], line[end]);
}

/// Square to the trench, beginning `gap_m` from its axis; turned so that nobody reads it upside down.
DrawingText beside(const Polyline& line, const Label& label, double side_rad, double gap_m)
{
    const double out_rad = run_direction_rad(line, label.station_m) + side_rad;
    const auto on = point_at(line, label.station_m);
    const bool leftward = std::cos(out_rad) < -1e-9;
    return {.at = {on.x_m + std::cos(out_rad) * gap_m, on.y_m + std::sin(out_rad) * gap_m},
            .text = label.text,
            .turn_rad = leftward ? out_rad + std::numbers::pi : out_rad,
            .anchor = leftward ? TextAnchor::middle_right : TextAnchor::middle_left};
}

std::vector<DrawingText> placed(std::vector<Label> labels, const TrenchPlan& trench, double side_rad, double height_m)
{
    std::ranges::stable_sort(labels, {}, &Label::station_m);
    const double step_m = line_step_ratio * height_m;
    const double gap_m = trench.problem.section.width_m / 2 + height_m;
    std::vector<DrawingText> texts;
    double free_from_m = 0;
    for (auto& label : labels) {
        label.station_m = std::max(label.station_m, free_from_m);
        free_from_m = label.station_m + step_m;
        texts.push_back(beside(trench.route.line, label, side_rad, gap_m));
    }
    return texts;
}

} // namespace

std::vector<DrawingText> station_labels(const JobPlan& plan, const TrenchPlan& trench, double height_m)
{
    const auto units = plan.job.rules.units;
    std::vector<Label> labels;
    for (const auto& depth : trench.depths) {
        labels.push_back(
            {depth.station_m, fmt::format("{}  inv {}  cut {}", station_text(depth.station_m, units),
                                          elev_text(depth.invert_elev_m, units), depth_text(depth.cut_m, units))});
    }
    return placed(std::move(labels), trench, std::numbers::pi / 2, height_m);
}

std::vector<DrawingText> crossing_labels(const JobPlan& plan, const TrenchPlan& trench, double height_m)
{
    const auto units = plan.job.rules.units;
    std::vector<Label> labels;
    for (const auto& zone : trench.zones) {
        labels.push_back({zone.span.from_m, fmt::format("HAND DIG {} to {}", station_text(zone.span.from_m, units),
                                                        station_text(zone.span.to_m, units))});
    }
    for (const auto& crossing : trench.crossings) {
        const auto& mark = plan.site.marks.at(crossing.mark);
        const auto depth = crossing.facility_top_elev_m ? "top at " + elev_text(*crossing.facility_top_elev_m, units)
                                                        : std::string("depth unknown");
        labels.push_back({crossing.station_m, fmt::format("{} {} ({}) crosses at {}, {}", facility_name(mark.facility),
                                                          mark.id, mark_code(mark.facility).letters,
                                                          station_text(crossing.station_m, units), depth)});
    }
    return placed(std::move(labels), trench, -std::numbers::pi / 2, height_m);
}

} // namespace trenchwright
