#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

Point at(const ShapePoint& p)
{
    return {.x_m = p.x, .y_m = p.y};
}

std::string_view kind_of(const Shape& shape)
{
    static constexpr std::string_view names[] = {"nothing", "points", "lines", "polygons"};
    return names[shape.index()];
}

template <class Part> std::vector<Part> parts_of(const Row& row)
{
    const auto& shape = row.feature().shape;
    if (std::holds_alternative<std::monostate>(shape)) {
        return {};
    }
    const auto* const parts = std::get_if<std::vector<Part>>(&shape);
    if (parts == nullptr) {
        row.stop(fmt::format("geometry is {}; {} are given as {}", kind_of(shape), row.layer().part->name,
                             row.layer().part->geometry));
    }
    return *parts;
}

Ring ring_of(const ShapeLine& line)
{
    Ring ring;
    for (const auto& p : line) {
        if (ring.empty() || ring.back() != at(p)) {
            ring.push_back(at(p));
        }
    }
    if (ring.size() > 1 && ring.front() == ring.back()) {
        ring.pop_back();
    }
    return ring;
}

Polygon area_of(const ShapeArea& shape)
{
    Polygon area{.outer = ring_of(shape.outer), .holes = {}};
    for (const auto& hole : shape.holes) {
        area.holes.push_back(ring_of(hole));
    }
    return area;
}

std::string fault_text(const Row& row, const AreaFault& fault)
{
    return fault.at ? fmt::format("{} at {}", fault.what, place_in_file(row.layer().placed, *fault.at)) : fault.what;
}

std::vector<Polygon> mended_area(const Row& row, const Polygon& area, const AreaFault& fault)
{
    if (area.outer.size() < 3) {
        row.stop("polygon is not proper: " + fault_text(row, fault));
    }
    try {
        return made_valid(area);
    } catch (const Error& error) {
        row.stop(fmt::format("polygon is not proper: {}; {}", fault_text(row, fault), error.what()));
    }
}

ShapeWarning mended_warning(const Row& row, const Polygon& area, const AreaFault& fault, double after_m2)
{
    const auto origin = row.origin();
    const auto place = fmt::format("{}, layer {}", origin.file, origin.layer);
    const auto units = row.layer().job->print_units;
    return {.finding = {.severity = Severity::warning,
                        .rule = "site.geometry",
                        .text = fmt::format("{}, feature {}: polygon is not proper ({}); made proper, area {} before, "
                                            "{} after",
                                            place, origin.feature_id, fault_text(row, fault),
                                            area_text(area_m2(area), units), area_text(after_m2, units)),
                        .at = fault.at ? *fault.at : area.outer.front(),
                        .station_m = {}},
            .place = place,
            .summary = "polygons are not proper and were made proper",
            .feature_id = origin.feature_id,
            .outline = area.outer};
}

} // namespace

std::vector<Point> vertices_of(const Shape& shape)
{
    std::vector<Point> vertices;
    const auto add = [&](const ShapeLine& line) {
        std::transform(line.begin(), line.end(), std::back_inserter(vertices), at);
    };
    if (const auto* points = std::get_if<std::vector<ShapePoint>>(&shape)) {
        add(*points);
    } else if (const auto* lines = std::get_if<std::vector<ShapeLine>>(&shape)) {
        std::for_each(lines->begin(), lines->end(), add);
    } else if (const auto* areas = std::get_if<std::vector<ShapeArea>>(&shape)) {
        std::for_each(areas->begin(), areas->end(), [&](const ShapeArea& area) { add(area.outer); });
    }
    return vertices;
}

std::vector<ShapePoint> points_of(const Row& row)
{
    return parts_of<ShapePoint>(row);
}

std::vector<ShapeLine> raw_lines_of(const Row& row)
{
    return parts_of<ShapeLine>(row);
}

std::vector<Polyline> lines_of(const Row& row)
{
    std::vector<Polyline> lines;
    for (const auto& part : raw_lines_of(row)) {
        Polyline line;
        for (const auto& p : part) {
            if (line.empty() || line.back() != at(p)) {
                line.push_back(at(p));
            }
        }
        if (line.size() < 2) {
            row.stop("a line without length");
        }
        lines.push_back(std::move(line));
    }
    return lines;
}

std::vector<Polygon> areas_of(const Row& row)
{
    std::vector<Polygon> areas;
    for (const auto& part : parts_of<ShapeArea>(row)) {
        areas.push_back(area_of(part));
        if (const auto fault = area_fault(areas.back())) {
            row.stop("polygon is not proper: " + fault_text(row, *fault));
        }
    }
    return areas;
}

std::vector<Polygon> mended_areas_of(const Row& row, std::vector<ShapeWarning>& warnings)
{
    std::vector<Polygon> areas;
    for (const auto& part : parts_of<ShapeArea>(row)) {
        auto area = area_of(part);
        const auto fault = area_fault(area);
        if (!fault) {
            areas.push_back(std::move(area));
            continue;
        }
        auto mended = mended_area(row, area, *fault);
        double after_m2 = 0;
        for (const auto& piece : mended) {
            after_m2 += area_m2(piece);
        }
        warnings.push_back(mended_warning(row, area, *fault, after_m2));
        areas.insert(areas.end(), std::make_move_iterator(mended.begin()), std::make_move_iterator(mended.end()));
    }
    return areas;
}

std::string id_of(const Row& row, std::string_view noun, std::size_t number)
{
    return row.raw("id").value_or(fmt::format("{} {}", noun, number));
}

std::string part_id(const std::string& id, std::size_t index, std::size_t parts)
{
    return parts == 1 ? id : fmt::format("{}-{}", id, index + 1);
}

void require_new_id(const Row& row, const std::string& id, std::vector<std::string>& taken)
{
    if (std::find(taken.begin(), taken.end(), id) != taken.end()) {
        row.stop(fmt::format("id \"{}\" is taken by an earlier feature of {}", id, row.layer().part->name));
    }
    taken.push_back(id);
}

std::vector<std::variant<Point, Polyline, Polygon>> places_of(const Row& row)
{
    std::vector<std::variant<Point, Polyline, Polygon>> places;
    const auto& shape = row.feature().shape;
    if (std::holds_alternative<std::vector<ShapePoint>>(shape)) {
        for (const auto& p : points_of(row)) {
            places.emplace_back(Point{.x_m = p.x, .y_m = p.y});
        }
    } else if (std::holds_alternative<std::vector<ShapeLine>>(shape)) {
        for (auto& line : lines_of(row)) {
            places.emplace_back(std::move(line));
        }
    } else {
        for (auto& area : areas_of(row)) {
            places.emplace_back(std::move(area));
        }
    }
    return places;
}

} // namespace trenchwright
