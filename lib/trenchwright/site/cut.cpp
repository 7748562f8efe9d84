#include "trenchwright/site/cut.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/site/far.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>

namespace trenchwright {

namespace {

/// Whether a part of a shape in site meters meets the box.
bool meets(const Box& box, const ShapePoint& p)
{
    return overlap(box, {.min_x_m = p.x, .min_y_m = p.y, .max_x_m = p.x, .max_y_m = p.y});
}

Polyline line_of(const ShapeLine& vertices)
{
    Polyline line;
    std::ranges::transform(vertices, std::back_inserter(line),
                           [](const ShapePoint& p) { return Point{.x_m = p.x, .y_m = p.y}; });
    return line;
}

Polygon area_of(const Box& box)
{
    return {.outer = {{.x_m = box.min_x_m, .y_m = box.min_y_m},
                      {.x_m = box.max_x_m, .y_m = box.min_y_m},
                      {.x_m = box.max_x_m, .y_m = box.max_y_m},
                      {.x_m = box.min_x_m, .y_m = box.max_y_m}},
            .holes = {}};
}

bool meets(const Box& box, const ShapeLine& vertices)
{
    const auto line = line_of(vertices);
    return overlap(box, bounds(line)) && distance_m(line, area_of(box)) <= 0;
}

bool meets(const Box& box, const ShapeArea& area)
{
    const Polygon outline{.outer = line_of(area.outer), .holes = {}};
    return overlap(box, bounds(outline.outer)) && (distance_m(closed(outline.outer), area_of(box)) <= 0 ||
                                                   contains(outline, {.x_m = box.min_x_m, .y_m = box.min_y_m}));
}

/// Leaves of a feature the parts that meet the box; false when none does. One without a place stays, to be refused.
bool cut_to(const Box& box, Feature& feature)
{
    const auto thin = [&]<class Part>(std::vector<Part>& parts) {
        std::erase_if(parts, [&](const Part& part) { return !meets(box, part); });
        return !parts.empty();
    };
    if (auto* points = std::get_if<std::vector<ShapePoint>>(&feature.shape)) {
        return thin(*points);
    }
    if (auto* lines = std::get_if<std::vector<ShapeLine>>(&feature.shape)) {
        return thin(*lines);
    }
    auto* areas = std::get_if<std::vector<ShapeArea>>(&feature.shape);
    return areas == nullptr || thin(*areas);
}

Box in_site(const NativeBox& native, const Frame& frame)
{
    const auto low = to_site(frame, native.low.x, native.low.y);
    const auto high = to_site(frame, native.high.x, native.high.y);
    return {.min_x_m = low.x_m, .min_y_m = low.y_m, .max_x_m = high.x_m, .max_y_m = high.y_m};
}

} // namespace

std::optional<Box> cut_to_surroundings(const Loaded& read, const Frame& frame, std::vector<PartLayer>& layers)
{
    if (!read.near) {
        return std::nullopt;
    }
    const Box box = in_site(box_in(*read.near, frame.wkt), frame);
    for (auto& layer : layers) {
        if (!of_the_lot(*layer.part)) {
            std::erase_if(layer.placed.data.features, [&](Feature& feature) { return !cut_to(box, feature); });
        }
    }
    return box;
}

std::vector<Finding> none_near(const PartLayer& layer, const std::optional<NativeBox>& all, const Box& near)
{
    const auto& data = layer.placed.data;
    if (of_the_lot(*layer.part) || !data.features.empty() || data.in_file == 0) {
        return {};
    }
    const auto& reading = layer.job->reading;
    const auto units = layer.job->print_units;
    if (all) {
        const auto box = in_site(box_in({.wkt = data.wkt, .box = *all}, layer.placed.frame.wkt), layer.placed.frame);
        if (!overlap(grown(near, reading.farthest_m), box)) {
            refuse_all(layer);
        }
    }
    return {{.severity = Severity::warning,
             .rule = "site.none_near",
             .text = fmt::format("{}, layer {}: none of its {} features lies within {} of the lot and of what was "
                                 "measured on it",
                                 layer.use->file.filename().string(), data.layer, data.in_file,
                                 length_text(reading.around_m, units)),
             .at = {},
             .station_m = {}}};
}

} // namespace trenchwright
