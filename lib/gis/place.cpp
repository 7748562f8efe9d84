#include "gis/place.hpp"

#include "base/error.hpp"
#include "gis/system.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <type_traits>

namespace trenchwright {

namespace {

/// Calls each(point) for every vertex of a shape; works on const and mutable shapes.
template <class ShapeRef, class Each> void for_each_vertex(ShapeRef& shape, Each each)
{
    const auto run = [&](auto& line) {
        for (auto& p : line) {
            each(p);
        }
    };
    if (auto* points = std::get_if<std::vector<ShapePoint>>(&shape)) {
        run(*points);
    } else if (auto* lines = std::get_if<std::vector<ShapeLine>>(&shape)) {
        std::for_each(lines->begin(), lines->end(), run);
    } else if (auto* areas = std::get_if<std::vector<ShapeArea>>(&shape)) {
        for (auto& area : *areas) {
            run(area.outer);
            std::for_each(area.holes.begin(), area.holes.end(), run);
        }
    }
}

/// Centre of the vertices' box; nothing for no shape.
std::optional<NativePoint> box_centre(const Shape& shape)
{
    std::optional<ShapePoint> low;
    std::optional<ShapePoint> high;
    for_each_vertex(shape, [&](const ShapePoint& p) {
        low = low ? ShapePoint{.x = std::min(low->x, p.x), .y = std::min(low->y, p.y), .file_z = {}} : p;
        high = high ? ShapePoint{.x = std::max(high->x, p.x), .y = std::max(high->y, p.y), .file_z = {}} : p;
    });
    if (!low) {
        return std::nullopt;
    }
    return NativePoint{.x = (low->x + high->x) / 2, .y = (low->y + high->y) / 2};
}

double median(std::vector<double> values)
{
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

template <class Move> void move_all(LayerData& layer, Move move)
{
    for (auto& feature : layer.features) {
        for_each_vertex(feature.shape, [&](ShapePoint& p) {
            const Point to = move(NativePoint{.x = p.x, .y = p.y});
            p.x = to.x_m;
            p.y = to.y_m;
        });
    }
}

std::string system_of(const LayerData& layer, const std::string& fallback_wkt)
{
    if (!layer.wkt.empty()) {
        return layer.wkt;
    }
    if (layer.driver == "CSV" && !fallback_wkt.empty()) {
        return fallback_wkt;
    }
    throw Error(ErrorKind::input, fmt::format("{}: layer {} states no coordinate system; state it with `crs`",
                                              layer.file.string(), layer.layer));
}

} // namespace

std::optional<NativePoint> middle(const LayerData& layer)
{
    std::vector<double> xs;
    std::vector<double> ys;
    for (const auto& feature : layer.features) {
        if (const auto centre = box_centre(feature.shape)) {
            xs.push_back(centre->x);
            ys.push_back(centre->y);
        }
    }
    if (xs.empty()) {
        return std::nullopt;
    }
    return NativePoint{.x = median(std::move(xs)), .y = median(std::move(ys))};
}

void require_degrees(const LayerData& layer)
{
    if (layer.wkt.empty()) {
        return;
    }
    const auto facts = system_facts(layer.wkt);
    if (facts.kind != SystemKind::geographic) {
        return;
    }
    for (const auto& feature : layer.features) {
        for_each_vertex(feature.shape, [&](const ShapePoint& p) {
            const bool degrees = std::abs(p.x) <= 180 && std::abs(p.y) <= 90;
            if (!degrees) {
                throw Error(ErrorKind::input,
                            fmt::format("{}: ({}, {}) is no longitude and latitude, yet the file {} {}; state its true "
                                        "system with `crs`",
                                        where(layer, feature.id), p.x, p.y,
                                        layer.driver == "GeoJSON" ? "names no other system than" : "states",
                                        facts.name));
            }
        });
    }
}

PlacedLayer in_frame(LayerData layer, const Frame& frame, const std::string& fallback_wkt)
{
    PlacedLayer placed;
    placed.frame = frame;
    if (frame.wkt.empty()) {
        placed.system_ignored = !layer.wkt.empty() && layer.driver != "GeoJSON";
        move_all(layer, [&](NativePoint p) { return to_site(frame, p.x, p.y); });
        placed.data = std::move(layer);
        return placed;
    }
    const auto system = system_of(layer, fallback_wkt);
    placed.system_assumed = layer.wkt.empty();
    layer.wkt = system;
    require_degrees(layer);
    const auto at = middle(layer);
    if (system == frame.wkt) {
        move_all(layer, [&](NativePoint p) { return to_site(frame, p.x, p.y); });
    } else if (at) {
        try {
            const Transform transform(system, frame.wkt, *at);
            move_all(layer, [&](NativePoint p) {
                const auto native = transform(p);
                return to_site(frame, native.x, native.y);
            });
            if (transform.accuracy_m() > 0) {
                placed.shift_accuracy_m = transform.accuracy_m();
                placed.shift_name = transform.name();
            }
        } catch (const Error& fault) {
            throw Error(fault.kind(), fmt::format("{}: layer {}: {}", layer.file.string(), layer.layer, fault.what()));
        }
    }
    placed.data = std::move(layer);
    return placed;
}

std::string place_in_file(const PlacedLayer& layer, const Point& p)
{
    auto place = to_native(layer.frame, p);
    const bool moved = !layer.frame.wkt.empty() && layer.data.wkt != layer.frame.wkt;
    if (moved) {
        place = Transform(layer.frame.wkt, layer.data.wkt, place)(place);
    }
    const bool degrees = moved && system_facts(layer.data.wkt).kind == SystemKind::geographic;
    return fmt::format("({:.{}f}, {:.{}f})", place.x, degrees ? 7 : 3, place.y, degrees ? 7 : 3);
}

} // namespace trenchwright
