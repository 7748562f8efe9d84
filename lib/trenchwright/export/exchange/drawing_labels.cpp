#include "trenchwright/base/units.hpp"
#include "trenchwright/export/exchange/drawing.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/stretch.hpp"
#include "trenchwright/site/site.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <numbers>
#include <optional>

namespace trenchwright {

namespace {

constexpr double step_ratio = 1.3; ///< from one place that is tried to the next, in text heights
constexpr int max_steps = 12;      ///< along the trench, either way
constexpr int near_steps = 3;      ///< within these a text needs no leader
constexpr double left_rad = std::numbers::pi / 2;

struct Label {
    double station_m = 0;
    std::string text;
    bool must_stand = true; ///< else it is left out where there is no room near by
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

struct Beside {
    double station_m = 0;
    double side_rad = 0;
    double gap_m = 0; ///< from the axis
};

/// Square to the trench; turned so that nobody reads it upside down.
DrawingText set_beside(const Polyline& line, const std::string& text, const Beside& place)
{
    const double out_rad = run_direction_rad(line, place.station_m) + place.side_rad;
    const auto on = point_at(line, place.station_m);
    const bool leftward = std::cos(out_rad) < -1e-9;
    return {.at = {on.x_m + std::cos(out_rad) * place.gap_m, on.y_m + std::sin(out_rad) * place.gap_m},
            .text = text,
            .turn_rad = leftward ? out_rad + std::numbers::pi : out_rad,
            .anchor = leftward ? TextAnchor::middle_right : TextAnchor::middle_left};
}

struct Room {
    double near_m = 0; ///< from the axis
    double first_side_rad = 0;
    double height_m = 0;
};

/// The nearest free place: at the station on either side, then along the trench.
std::optional<DrawingText> free_place(const LabelField& field, const Polyline& line, const Label& label,
                                      const Room& room, int steps)
{
    const double last_m = length_m(line);
    for (int step = 0; step <= steps; ++step) {
        const double off_m = step * step_ratio * room.height_m;
        for (const double station_m : {label.station_m + off_m, label.station_m - off_m}) {
            for (const double side_rad : {room.first_side_rad, -room.first_side_rad}) {
                const Beside place{
                    .station_m = std::clamp(station_m, 0.0, last_m), .side_rad = side_rad, .gap_m = room.near_m};
                if (auto text = set_beside(line, label.text, place); field.is_free(text, room.height_m)) {
                    return text;
                }
            }
        }
    }
    return std::nullopt;
}

/// Farther and farther out; what finds no room at all lies on others.
std::optional<DrawingText> placed(const LabelField& field, const Polyline& line, const Label& label, Room room)
{
    if (!label.must_stand) {
        return free_place(field, line, label, room, near_steps);
    }
    const double near_m = room.near_m;
    for (const int far : {0, 16, 32}) {
        room.near_m = near_m + far * room.height_m;
        if (const auto text = free_place(field, line, label, room, max_steps)) {
            return text;
        }
    }
    return set_beside(line, label.text,
                      {.station_m = label.station_m, .side_rad = room.first_side_rad, .gap_m = near_m});
}

DrawingLabels all_placed(LabelField& field, const TrenchPlan& trench, const std::vector<Label>& labels,
                         double first_side_rad, double height_m)
{
    const auto& line = trench.line.route.line;
    const Room room{.near_m = trench.laid.problem.section.width_m / 2 + height_m,
                    .first_side_rad = first_side_rad,
                    .height_m = height_m};
    DrawingLabels made;
    for (const auto& label : labels) {
        const auto text = placed(field, line, label, room);
        if (!text) {
            continue;
        }
        field.block(*text, height_m);
        made.texts.push_back(*text);
        const auto on = point_at(line, label.station_m);
        if (distance_m(on, text->at) > room.near_m + (near_steps + 1) * step_ratio * height_m) {
            made.leaders.emplace_back(Polyline{on, text->at});
        }
    }
    return made;
}

/// "2: 0+41.30" where there are several trenches.
std::string said_station(const NumberedTrench& numbered, double station_m, UnitSystem units)
{
    const auto station = station_text(station_m, units);
    return numbered.number == 0 ? station : fmt::format("{}: {}", numbered.number, station);
}

/// On from the end of a run, as near as there is room; a source's name may stand in its building.
DrawingText beyond(const LabelField& field, const Point& before, const Point& end, const std::string& text,
                   double height_m)
{
    const double on_rad = direction_rad(before, end);
    DrawingText made{.at = {}, .text = text, .turn_rad = 0, .anchor = TextAnchor::middle};
    for (int step = 2; step <= max_steps; ++step) {
        made.at = {end.x_m + std::cos(on_rad) * step * height_m, end.y_m + std::sin(on_rad) * step * height_m};
        if (field.is_free_of_others(made, height_m)) {
            break;
        }
    }
    return made;
}

} // namespace

DrawingLabels station_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m)
{
    const auto& trench = *numbered.trench;
    const auto units = plan.job.rules.units;
    std::vector<Label> labels;
    for (const auto& depth : trench.measured.depths) {
        const bool end = &depth == &trench.measured.depths.front() || &depth == &trench.measured.depths.back();
        labels.push_back({depth.station_m,
                          fmt::format("{}  inv {}  cut {}", said_station(numbered, depth.station_m, units),
                                      elev_text(depth.invert_elev_m, units), depth_text(depth.cut_m, units)),
                          end});
    }
    std::ranges::stable_sort(labels, std::greater(), &Label::must_stand);
    return all_placed(field, trench, labels, left_rad, height_m);
}

DrawingLabels crossing_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m)
{
    const auto& trench = *numbered.trench;
    const auto units = plan.job.rules.units;
    std::vector<Label> labels;
    for (const auto& crossing : trench.measured.crossings) {
        const auto& mark = plan.site.marks.at(crossing.mark);
        const auto depth = crossing.facility_top_elev_m ? "top at " + elev_text(*crossing.facility_top_elev_m, units)
                                                        : std::string("depth unknown");
        labels.push_back({crossing.station_m,
                          fmt::format("{} ({}) crosses at {}, {}", mark_name_and_advice(mark), mark_letters(mark),
                                      said_station(numbered, crossing.station_m, units), depth)});
    }
    for (const auto& zone : trench.measured.zones) {
        labels.push_back(
            {zone.span.from_m, fmt::format("HAND DIG {} to {}", said_station(numbered, zone.span.from_m, units),
                                           station_text(zone.span.to_m, units))});
    }
    return all_placed(field, trench, labels, -left_rad, height_m);
}

DrawingLabels stop_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m)
{
    const auto units = plan.job.rules.units;
    std::vector<Label> labels;
    for (const auto& finding : numbered.trench->findings) {
        if (finding.severity != Severity::stop || !finding.station_m) {
            continue;
        }
        const double from_m = finding.from_station_m.value_or(*finding.station_m);
        const double to_m = finding.to_station_m.value_or(from_m);
        const auto span = to_m > from_m ? fmt::format(" to {}", station_text(to_m, units)) : std::string();
        labels.push_back(
            {from_m, fmt::format("{} {}{}: see the notes", finding.row_words.empty() ? "STOP" : finding.row_words,
                                 said_station(numbered, from_m, units), span)});
    }
    return all_placed(field, *numbered.trench, labels, left_rad, height_m);
}

DrawingLabels end_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m)
{
    const auto& trench = *numbered.trench;
    const auto& line = trench.line.route.line;
    const auto number = numbered.number == 0 ? std::string() : fmt::format("{}: ", numbered.number);
    DrawingLabels made;
    const auto add = [&](const Point& before, const Point& end, const std::string& text) {
        made.texts.push_back(beyond(field, before, end, number + text, height_m));
        field.block(made.texts.back(), height_m);
    };
    add(line[line.size() - 2], line.back(), "source " + plan.site.sources[trench.source].id);
    if (!trench.joins) {
        add(line[1], line.front(), "outlet " + plan.site.outlets[trench.outlet].name);
    }
    return made;
}

} // namespace trenchwright
