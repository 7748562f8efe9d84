#include "trenchwright/export/exchange/drawing.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double letters_height_m = 7 * drawing_m_per_pt;
constexpr int white = 7; // or black, on paper
constexpr int gray = 8;
constexpr int light_gray = 9;
constexpr int plant_green = 94; // darker than the marks' green

std::vector<double> in_meters(const std::vector<double>& dashes_pt)
{
    std::vector<double> dashes_m;
    for (const double dash_pt : dashes_pt) {
        dashes_m.push_back(dash_pt * drawing_m_per_pt);
    }
    return dashes_m;
}

DrawingLayer layer(std::string name, int color, const std::vector<double>& dashes_pt = {})
{
    return {.name = std::move(name),
            .color = color,
            .dashes_m = in_meters(dashes_pt),
            .pen_hundredths_mm = color == light_gray ? 13 : 25,
            .text_height_m = letters_height_m,
            .shapes = {},
            .texts = {}};
}

DrawingLayer areas(std::string name, int color, const std::vector<double>& dashes_pt, const std::vector<Polygon>& drawn)
{
    auto made = layer(std::move(name), color, dashes_pt);
    made.shapes.assign(drawn.begin(), drawn.end());
    return made;
}

/// The color code's word in the format's own table.
int mark_color(Facility facility)
{
    const auto word = mark_code(facility).color;
    return word == "red"      ? 1
           : word == "yellow" ? 2
           : word == "orange" ? 30
           : word == "blue"   ? 5
           : word == "green"  ? 3
           : word == "purple" ? 200
                              : 8; // dark gray
}

/// The middle of a line, and a text along it that nobody reads upside down.
DrawingText along_middle(const Polyline& line, std::string text)
{
    const double half_m = length_m(line) / 2;
    const auto before = point_at(line, half_m - half_m / 8);
    const auto after = point_at(line, half_m + half_m / 8);
    double turn_rad = direction_rad(before, after);
    turn_rad += std::cos(turn_rad) < -1e-9 ? std::numbers::pi : 0;
    const auto at = point_at(line, half_m);
    const double off_m = letters_height_m;
    return {.at = {at.x_m - std::sin(turn_rad) * off_m, at.y_m + std::cos(turn_rad) * off_m},
            .text = std::move(text),
            .turn_rad = turn_rad,
            .anchor = TextAnchor::middle};
}

DrawingLayer marks(const Site& site, Facility facility)
{
    auto made = layer(mark_layer_name(facility), mark_color(facility), mark_paint(facility).dashes_pt);
    for (const auto& mark : supplied_marks(site)) {
        if (mark.facility == facility) {
            made.shapes.emplace_back(mark.line);
            made.texts.push_back(
                along_middle(mark.line, fmt::format("{} {}", mark_code(mark.facility).letters, mark.id)));
        }
    }
    return made;
}

/// Apart from the marks, with a pattern that no mark has.
DrawingLayer probable_runs(const Site& site, Facility facility)
{
    auto made = layer(fmt::format("probable run not marked - {}", facility_name(facility)), mark_color(facility),
                      probable_dashes_pt());
    for (const auto& mark : site.marks) {
        if (mark.probable() && mark.facility == facility) {
            made.shapes.emplace_back(mark.line);
            made.texts.push_back(along_middle(mark.line, mark_name_and_advice(mark)));
        }
    }
    return made;
}

Polygon circle(const Point& center, double radius_m)
{
    constexpr int corners = 48;
    Polygon made;
    for (int i = 0; i < corners; ++i) {
        const double turn_rad = 2 * std::numbers::pi * i / corners;
        made.outer.push_back({center.x_m + radius_m * std::cos(turn_rad), center.y_m + radius_m * std::sin(turn_rad)});
    }
    return made;
}

DrawingLayer trees(const JobPlan& plan)
{
    auto made = layer("tree and its root circle", plant_green);
    for (const auto& tree : plan.site.trees) {
        made.shapes.emplace_back(circle(tree.at, tree.trunk_diameter_m / 2));
        made.shapes.emplace_back(circle(tree.at, tree.trunk_diameter_m * plan.job.rules.route.tree_factor));
        made.texts.push_back({.at = tree.at, .text = "tree " + tree.id, .turn_rad = 0, .anchor = TextAnchor::middle});
    }
    return made;
}

/// Names in the middle of their boxes.
DrawingText named(const Polygon& area, const std::string& text)
{
    const auto box = bounds(area.outer);
    return {.at = {(box.min_x_m + box.max_x_m) / 2, (box.min_y_m + box.max_y_m) / 2},
            .text = text,
            .turn_rad = 0,
            .anchor = TextAnchor::middle};
}

DrawingLayer surfaces(const Site& site)
{
    auto made = layer("surface edge", light_gray);
    for (const auto& patch : site.surfaces) {
        made.shapes.emplace_back(patch.area);
        made.texts.push_back(named(patch.area, patch.kind));
    }
    return made;
}

DrawingLayer keep_outs(const Site& site)
{
    auto made = layer("keep out", white, {3, 2});
    for (const auto& keep_out : site.keep_outs) {
        made.shapes.emplace_back(keep_out.area);
        made.texts.push_back(named(keep_out.area, "keep out: " + keep_out.reason));
    }
    return made;
}

DrawingLayer reserves(std::string name, const std::vector<Reserve>& of)
{
    auto made = layer(std::move(name), gray, {6, 3});
    for (const auto& reserve : of) {
        made.shapes.push_back(std::visit([](const auto& place) { return OutShape(place); }, reserve.place));
    }
    return made;
}

} // namespace

std::string mark_layer_name(Facility facility)
{
    return fmt::format("mark - {}", facility_name(facility));
}

std::vector<DrawingLayer> lot_drawing(const JobPlan& plan)
{
    const auto& site = plan.site;
    std::vector<DrawingLayer> layers{areas("neighboring lot", light_gray, {}, site.neighbors),
                                     areas("street right-of-way", gray, {8, 3}, site.right_of_way),
                                     areas("lot line", white, {14, 2.5, 3, 2.5, 3, 2.5}, site.parcel),
                                     areas("building", white, {}, site.foundations),
                                     areas("neighboring building", light_gray, {}, site.neighbor_buildings),
                                     surfaces(site),
                                     keep_outs(site),
                                     reserves("well", site.wells),
                                     reserves("septic part", site.septic),
                                     reserves("easement", site.easements),
                                     trees(plan)};
    for (const auto facility : all_facilities()) {
        layers.push_back(marks(site, facility));
        layers.push_back(probable_runs(site, facility));
    }
    std::erase_if(layers, [](const DrawingLayer& made) { return made.shapes.empty(); });
    return layers;
}

} // namespace trenchwright
