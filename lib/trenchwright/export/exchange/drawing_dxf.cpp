#include "trenchwright/base/units.hpp"
#include "trenchwright/export/exchange/drawing.hpp"
#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/private_file.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/stretch.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <sstream>

namespace trenchwright {

namespace {

constexpr double label_height_m = 6.2 * drawing_m_per_pt;
constexpr double note_height_m = 8 * drawing_m_per_pt;
constexpr double note_step_ratio = 1.6;
constexpr double note_gap_m = 30 * note_height_m; ///< the longest label ends before
constexpr std::size_t note_letters = 74;          ///< on a line
constexpr int white = 7;
constexpr int red = 1;
constexpr int brown = 34;
constexpr int gray = 8;
constexpr int thin_pen = 13;

/// Layers of plan.gpkg that the drawing takes over, and what they are called there.
struct Taken {
    std::string from;
    std::string name;
    int color = white;
    int pen = 25;
    std::vector<double> dashes_m = {};
};

const std::vector<Taken>& taken_layers()
{
    static const std::vector<Taken> all{{"route", "discharge trench", white, 50},
                                        {"stations", "station", white},
                                        {"zone_areas", "hand-dig zone", brown, 35},
                                        {"crossings", "crossing", white},
                                        {"potholes", "pothole", white},
                                        {"cleanouts", "cleanout", white},
                                        {"footing_drain", "footing drain inside", white, 25, {0.1, 0.1}}};
    return all;
}

DrawingLayer taken(const Taken& wanted, const std::vector<OutLayer>& layers)
{
    DrawingLayer made{.name = wanted.name,
                      .color = wanted.color,
                      .dashes_m = wanted.dashes_m,
                      .pen_hundredths_mm = wanted.pen,
                      .text_height_m = label_height_m,
                      .shapes = {},
                      .texts = {}};
    const auto& from = *std::ranges::find(layers, wanted.from, &OutLayer::name);
    for (const auto& feature : from.features) {
        made.shapes.push_back(feature.shape);
    }
    return made;
}

DrawingLayer trench_edges(const std::vector<NumberedTrench>& trenches)
{
    DrawingLayer made{.name = "trench edge", .pen_hundredths_mm = thin_pen, .text_height_m = label_height_m};
    for (const auto& [trench, number] : trenches) {
        const Interval whole{.from_m = 0, .to_m = length_m(trench->line.route.line)};
        for (const auto& area : trench_area(trench->line.route.line, whole, trench->laid.problem.section.width_m)) {
            made.shapes.emplace_back(area);
        }
    }
    return made;
}

/// Where the plan holds a STOP: the stretch, or the place.
DrawingLayer stops(const std::vector<NumberedTrench>& trenches)
{
    DrawingLayer made{.name = "stop", .color = red, .pen_hundredths_mm = 70, .text_height_m = note_height_m};
    for (const auto& [trench, number] : trenches) {
        for (const auto& finding : trench->findings) {
            if (finding.severity != Severity::stop) {
                continue;
            }
            if (finding.from_station_m && finding.to_station_m > finding.from_station_m) {
                made.shapes.emplace_back(
                    stretch_of(trench->line.route.line, {*finding.from_station_m, *finding.to_station_m}));
            } else if (finding.at) {
                made.shapes.emplace_back(*finding.at);
            }
        }
    }
    return made;
}

DrawingLayer ends(const std::vector<NumberedTrench>& trenches)
{
    DrawingLayer made{.name = "outlet and source", .text_height_m = note_height_m};
    for (const auto& numbered : trenches) {
        made.shapes.emplace_back(numbered.trench->line.route.line.back());
        made.shapes.emplace_back(numbered.trench->line.route.line.front());
    }
    return made;
}

/// In the order of digging; without numbers where there is one alone.
std::vector<NumberedTrench> numbered_trenches(const JobPlan& plan)
{
    std::vector<NumberedTrench> trenches;
    const auto* outcome = drawn_outlet(plan);
    const auto sheets = outcome == nullptr ? std::vector<CutSheet>{} : cut_sheets(plan, *outcome);
    for (const auto& sheet : sheets) {
        trenches.push_back({.trench = sheet.trench, .number = sheets.size() > 1 ? sheet.number : 0});
    }
    return trenches;
}

std::string unit_words(const Frame& frame)
{
    switch (frame.native_unit) {
    case LengthUnit::meter: return "meters";
    case LengthUnit::foot: return "feet (0.3048 m)";
    case LengthUnit::us_survey_foot: return "US survey feet (1200/3937 m)";
    case LengthUnit::inch: return "inches";
    case LengthUnit::centimeter: return "centimeters";
    case LengthUnit::millimeter: return "millimeters";
    }
    return "";
}

std::vector<std::string> notes(const JobPlan& plan)
{
    const auto& datum = plan.job.sheet.datum;
    std::vector<std::string> texts{plan.job.name, drawn_text(plan),
                                   fmt::format("Unit of x, y and heights: {}. Grid: {}. Heights: {}.",
                                               unit_words(plan.site.frame), plan.site.frame.name,
                                               datum.empty() ? "the job's own datum" : datum),
                                   "Trench and stations lie at the pipe's invert; all else lies at height 0."};
    const auto more = exchange_cautions(plan);
    texts.insert(texts.end(), more.begin(), more.end());
    return texts;
}

/// The highest x and the highest y of all that is drawn.
struct UpperRight {
    Point at{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};

    void operator()(std::monostate /*nothing*/) {}
    void operator()(const Point& p) { at = {std::max(at.x_m, p.x_m), std::max(at.y_m, p.y_m)}; }
    void operator()(const Point3& p) { (*this)(flat(p)); }
    void operator()(const Polygon& area) { (*this)(area.outer); }
    template <class P> void operator()(const std::vector<P>& points)
    {
        for (const auto& p : points) {
            (*this)(p);
        }
    }
};

/// Right of everything drawn, from the top down.
DrawingLayer note_block(const JobPlan& plan, const std::vector<DrawingLayer>& drawn)
{
    DrawingLayer made{.name = "notes and cautions", .text_height_m = note_height_m};
    UpperRight corner;
    for (const auto& layer : drawn) {
        for (const auto& shape : layer.shapes) {
            std::visit(corner, shape);
        }
    }
    const bool any = std::isfinite(corner.at.x_m);
    Point at{any ? corner.at.x_m + note_gap_m : 0, any ? corner.at.y_m : 0};
    for (const auto& text : notes(plan)) {
        std::istringstream lines(wrapped(text, note_letters, 0));
        for (std::string line; std::getline(lines, line);) {
            made.texts.push_back({.at = at, .text = line, .turn_rad = 0, .anchor = TextAnchor::top_left});
            at.y_m -= note_step_ratio * note_height_m;
        }
        at.y_m -= (note_step_ratio - 1) * note_height_m;
    }
    return made;
}

/// What labels must keep off: the trenches and the texts that stand already.
LabelField field_of(const JobPlan& plan, const std::vector<NumberedTrench>& trenches,
                    const std::vector<DrawingLayer>& drawn)
{
    LabelField field(plan.site.foundations);
    for (const auto& [trench, number] : trenches) {
        field.block(trench->line.route.line, trench->laid.problem.section.width_m / 2);
    }
    for (const auto& layer : drawn) {
        for (const auto& text : layer.texts) {
            field.block(text, layer.text_height_m);
        }
    }
    return field;
}

/// Ends and crossings first, for they matter most.
void add_labels(std::vector<DrawingLayer>& layers, const JobPlan& plan, const std::vector<NumberedTrench>& trenches)
{
    auto field = field_of(plan, trenches, layers);
    DrawingLayer leaders{
        .name = "leader", .color = gray, .pen_hundredths_mm = thin_pen, .text_height_m = label_height_m};
    const auto add = [&](const std::string& name, const auto& labels) {
        auto& of = *std::ranges::find(layers, name, &DrawingLayer::name);
        for (const auto& numbered : trenches) {
            const auto made = labels(field, plan, numbered, of.text_height_m);
            of.texts.insert(of.texts.end(), made.texts.begin(), made.texts.end());
            leaders.shapes.insert(leaders.shapes.end(), made.leaders.begin(), made.leaders.end());
        }
    };
    add("outlet and source", end_labels);
    add("stop", stop_labels);
    add("crossing", crossing_labels);
    add("station", station_labels);
    layers.push_back(leaders);
}

} // namespace

std::string trench_dxf(const JobPlan& plan)
{
    const auto trenches = numbered_trenches(plan);
    const auto planned = of_drawn_outlet(plan_layers(plan), plan);
    auto layers = lot_drawing(plan);
    layers.push_back(trench_edges(trenches));
    for (const auto& wanted : taken_layers()) {
        layers.push_back(taken(wanted, planned));
    }
    layers.push_back(stops(trenches));
    layers.push_back(ends(trenches));
    add_labels(layers, plan, trenches);
    layers.push_back(note_block(plan, layers));
    return bytes_of_file("trench.dxf", [&](const auto& file) { write_dxf(file, plan.site.frame, layers); });
}

} // namespace trenchwright
