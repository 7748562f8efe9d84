#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <string>

namespace trenchwright {

namespace {

constexpr double hand_strip_pt = 9; // wider than the trench, so that the hatch can be seen
constexpr double tick_pt = 3;

double station_step_m(const PlanView& view)
{
    return view.plan.job.rules.units == UnitSystem::us ? 10 * ft_in_m : 5;
}

std::vector<double> tick_stations_m(const PlanView& view, const TrenchPlan& trench)
{
    std::vector<double> stations;
    const double step = station_step_m(view);
    for (double i = 0; i * step <= trench.measured.quantities.length_m + 1e-9; ++i) {
        stations.push_back(i * step);
    }
    return stations;
}

/// Half way between ticks, every third time; a trench too short for that has one in its middle.
std::vector<double> flow_stations_m(const PlanView& view, const TrenchPlan& trench)
{
    std::vector<double> stations;
    const double step_m = station_step_m(view);
    const double length_m = trench.measured.quantities.length_m;
    const double first_m = 1.5 * step_m < length_m ? 1.5 * step_m : length_m / 2;
    for (double station_m = first_m; station_m < length_m; station_m += 3 * step_m) {
        stations.push_back(station_m);
    }
    return stations;
}

PageStep step_at(const PlanView& view, const TrenchPlan& trench, double station_m)
{
    return along(to_page(view, trench.line.route.line), view.transform.length_pt(station_m));
}

/// "0+30" for whole ticks, "0+32.5" style is left to the profile.
std::string tick_text(double station_m, UnitSystem units)
{
    const auto full = station_text(station_m, units);
    return full.substr(0, full.find('.'));
}

PageLine square_on(const PagePoint& from, const PagePoint& to, double width_pt)
{
    const double run = distance_pt(from, to);
    const PagePoint side{-(to.y_pt - from.y_pt) / run * width_pt / 2, (to.x_pt - from.x_pt) / run * width_pt / 2};
    return {{from.x_pt + side.x_pt, from.y_pt + side.y_pt},
            {to.x_pt + side.x_pt, to.y_pt + side.y_pt},
            {to.x_pt - side.x_pt, to.y_pt - side.y_pt},
            {from.x_pt - side.x_pt, from.y_pt - side.y_pt}};
}

/// The stretch of a page line between two distances, run by run.
std::vector<PageLine> runs_between(const PageLine& line, double from_pt, double to_pt)
{
    std::vector<PageLine> runs;
    double passed = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = distance_pt(line[i - 1], line[i]);
        const double low = std::max(from_pt, passed);
        const double high = std::min(to_pt, passed + run);
        if (high - low > 1e-6) {
            runs.push_back({along(line, low).at, along(line, high).at});
        }
        passed += run;
    }
    return runs;
}

void draw_hand_zones(PlanView& view, const TrenchPlan& trench)
{
    const auto line = to_page(view, trench.line.route.line);
    for (const auto& zone : trench.measured.zones) {
        const double from = view.transform.length_pt(zone.span.from_m);
        const double to = view.transform.length_pt(zone.span.to_m);
        for (const auto& run : runs_between(line, from, to)) {
            const auto ring = square_on(run[0], run[1], hand_strip_pt);
            view.canvas.fill(PageRings{ring}, {.rgb = palette::paper.rgb, .opacity_ratio = 0.7});
            view.canvas.hatch({ring}, hand_hatch());
            view.canvas.outline(ring, {.ink = palette::hand, .width_pt = 0.6});
            note_shown(view, SheetThing::hand_zone, 0, view.transform.to_site(run[0]));
        }
        view.legend.add({.kind = LegendKind::hand_zone, .text = "dig by hand or vacuum only"});
    }
}

void draw_line(PlanView& view, const TrenchPlan& trench)
{
    const auto line = to_page(view, trench.line.route.line);
    const double true_width_pt = view.transform.length_pt(trench.laid.problem.section.width_m);
    view.canvas.line(line, {.ink = palette::paper, .width_pt = std::max(true_width_pt, 3.4) + 1.2});
    view.canvas.line(line, {.ink = {.rgb = 0xB9BEC5}, .width_pt = true_width_pt});
    draw_hand_zones(view, trench);
    view.canvas.line(line, trench_stroke());
    draw_station_ticks(view, trench);
    for (const double station_m : flow_stations_m(view, trench)) { // pointing downstream: to station 0
        const auto step = step_at(view, trench, station_m);
        draw_flow(view.canvas, step.at, {-step.direction.x_pt, -step.direction.y_pt});
        note_shown(view, SheetThing::flow_arrow, 0, view.transform.to_site(step.at));
        view.labels.block(box_about(step.at, {6, 6}));
    }
}

std::string bend_text(const Bend& bend, UnitSystem units)
{
    return fmt::format("bend {:.1f}°\n{}", bend.angle_rad * 180 / std::numbers::pi,
                       station_text(bend.station_m, units));
}

} // namespace

void draw_station_ticks(PlanView& view, const TrenchPlan& trench)
{
    for (const double station_m : tick_stations_m(view, trench)) {
        const auto step = step_at(view, trench, station_m);
        const PagePoint side{-step.direction.y_pt * tick_pt, step.direction.x_pt * tick_pt};
        view.canvas.line({{step.at.x_pt - side.x_pt, step.at.y_pt - side.y_pt},
                          {step.at.x_pt + side.x_pt, step.at.y_pt + side.y_pt}},
                         {.ink = palette::trench, .width_pt = 0.8});
    }
}

void draw_trenches(PlanView& view)
{
    for (const auto* trench : view.trenches) {
        draw_line(view, *trench);
        view.labels.block(to_page(view, trench->line.route.line));
        view.legend.add({.kind = LegendKind::flow, .text = "trench, flow arrow"});
    }
    draw_trench_symbols(view);
}

void draw_trench_symbols(PlanView& view)
{
    for (const auto* trench : view.trenches) {
        for (const auto& bend : trench->line.bends) {
            draw_bend(view.canvas, view.transform.to_page(bend.at));
            view.labels.block(box_about(view.transform.to_page(bend.at), {6, 6}));
            view.legend.add({.kind = LegendKind::bend, .text = "bend"});
        }
        for (const auto& crossing : trench->measured.crossings) {
            const auto at = view.transform.to_page(crossing.at);
            draw_crossing(view.canvas, at, view.plan.site.marks[crossing.mark].facility);
            view.labels.block(box_about(at, {6, 6}));
            view.legend.add({.kind = LegendKind::crossing, .text = "crossing, with its number"});
        }
    }
}

void label_trenches(PlanView& view)
{
    int number = 0;
    for (std::size_t i = 0; i < view.trenches.size(); ++i) {
        const auto* trench = view.trenches[i];
        label(view,
              {.at = step_at(view, *trench, trench->measured.quantities.length_m * 0.45).at,
               .size = {},
               .gap_pt = 6,
               .reach_pt = 60,
               .clearance_pt = 2},
              fmt::format("Trench {}", i + 1), {.size_pt = 7, .bold = true, .masked = true});
        for (const auto& crossing : trench->measured.crossings) {
            const auto& mark = view.plan.site.marks[crossing.mark];
            const TextStyle style{.size_pt = 6.4, .bold = true, .ink = mark_style(mark.facility).text, .masked = true};
            label(view, {.at = view.transform.to_page(crossing.at), .size = {}, .gap_pt = 4, .reach_pt = 60},
                  fmt::format("{} {}", ++number, mark_letters(mark)), style);
        }
        for (const auto& bend : trench->line.bends) {
            label(view, {.at = view.transform.to_page(bend.at), .size = {}, .gap_pt = 5, .reach_pt = 60},
                  bend_text(bend, view.plan.job.rules.units), {.size_pt = 5.8, .masked = true});
        }
    }
}

void label_stations(PlanView& view)
{
    const TextStyle style{.size_pt = 5.6, .ink = palette::ink, .masked = true};
    for (const auto* trench : view.trenches) {
        for (const double station_m : tick_stations_m(view, *trench)) {
            const auto at = step_at(view, *trench, station_m).at;
            label(view, {.at = at, .size = {}, .gap_pt = 4, .reach_pt = 9},
                  tick_text(station_m, view.plan.job.rules.units), style);
        }
    }
}

} // namespace trenchwright
