#include "trenchwright/gis/validity.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/messages.hpp"

#include <algorithm>
#include <array>
#include <locale>
#include <memory>
#include <ogr_geometry.h>
#include <sstream>
#include <string_view>
#include <utility>

namespace trenchwright {

namespace {

OGRLinearRing ring_of(const Ring& points)
{
    OGRLinearRing ring;
    ring.setNumPoints(static_cast<int>(points.size()));
    for (std::size_t i = 0; i < points.size(); ++i) {
        ring.setPoint(static_cast<int>(i), points[i].x_m, points[i].y_m);
    }
    ring.closeRings();
    return ring;
}

OGRPolygon polygon_of(const Polygon& area)
{
    OGRPolygon polygon;
    auto outer = ring_of(area.outer);
    polygon.addRing(&outer);
    for (const auto& hole : area.holes) {
        auto inner = ring_of(hole);
        polygon.addRing(&inner);
    }
    return polygon;
}

Ring points_of(const OGRLinearRing& ring)
{
    Ring points;
    for (int i = 0; i + 1 < ring.getNumPoints(); ++i) {
        points.push_back({.x_m = ring.getX(i), .y_m = ring.getY(i)});
    }
    return points;
}

void collect(const OGRGeometry& geometry, std::vector<Polygon>& areas)
{
    const auto type = wkbFlatten(geometry.getGeometryType());
    if (type == wkbPolygon && !geometry.IsEmpty()) {
        const auto& polygon = *geometry.toPolygon();
        Polygon area{.outer = points_of(*polygon.getExteriorRing()), .holes = {}};
        for (int i = 0; i < polygon.getNumInteriorRings(); ++i) {
            area.holes.push_back(points_of(*polygon.getInteriorRing(i)));
        }
        areas.push_back(std::move(area));
    } else if (type == wkbMultiPolygon || type == wkbGeometryCollection) {
        for (const auto* part : *geometry.toGeometryCollection()) {
            collect(*part, areas);
        }
    }
}

/// The words of GEOS in those of the trade; a word without an entry is passed on.
std::string plain_words(std::string_view said)
{
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 7> words{{
        {"Self-intersection", "its outline crosses itself"},
        {"Ring Self-intersection", "its outline touches itself"},
        {"Hole lies outside shell", "a hole lies outside its outline"},
        {"Holes are nested", "a hole lies in another hole"},
        {"Interior is disconnected", "its holes cut it apart"},
        {"Duplicate Rings", "a ring is given twice"},
        {"Too few points in geometry component", "a ring has fewer than three corners"},
    }};
    const auto* const found =
        std::find_if(words.begin(), words.end(), [&](const auto& pair) { return pair.first == said; });
    return std::string(found == words.end() ? said : found->second);
}

/// "Self-intersection at or near point 3 4": GDAL passes on the cause and the place in one text.
AreaFault fault_in(const std::string& said)
{
    constexpr std::string_view before_place = " at or near point ";
    const auto split = said.find(before_place);
    AreaFault fault{.what = plain_words(std::string_view(said).substr(0, split)), .at = {}};
    if (split != std::string::npos) {
        Point at;
        std::istringstream place(said.substr(split + before_place.size()));
        place.imbue(std::locale::classic());
        if (place >> at.x_m >> at.y_m) {
            fault.at = at;
        }
    }
    return fault;
}

OGRMultiPolygon polygons_of(const std::vector<Polygon>& areas)
{
    OGRMultiPolygon many;
    for (const auto& area : areas) {
        const auto polygon = polygon_of(area);
        many.addGeometry(&polygon);
    }
    return many;
}

std::vector<Polygon> collected(const std::unique_ptr<OGRGeometry>& made, const GdalMessages& messages)
{
    if (!made) {
        throw Error(ErrorKind::internal, "areas cannot be laid over each other: " + messages.reason("no reason"));
    }
    std::vector<Polygon> areas;
    collect(*made, areas);
    return areas;
}

} // namespace

std::optional<AreaFault> area_fault(const Polygon& area)
{
    if (area.outer.size() < 3) {
        return AreaFault{.what = "it has fewer than three corners", .at = {}};
    }
    const GdalMessages messages;
    if (polygon_of(area).IsValid() != 0) {
        return std::nullopt;
    }
    return fault_in(messages.reason("its outline is not a simple one"));
}

std::vector<Polygon> made_valid(const Polygon& area)
{
    const GdalMessages messages;
    const char* const options[] = {"METHOD=STRUCTURE", "KEEP_COLLAPSED=NO", nullptr};
    const std::unique_ptr<OGRGeometry> repaired{polygon_of(area).MakeValid(const_cast<char**>(options))};
    std::vector<Polygon> areas;
    if (repaired) {
        collect(*repaired, areas);
    }
    if (areas.empty()) {
        throw Error(ErrorKind::input, "no proper polygon can be made of it: " + messages.reason("no area"));
    }
    return areas;
}

SharedArea shared_area(const Polygon& a, const Polygon& b)
{
    const GdalMessages messages;
    const auto one = polygon_of(a);
    const auto other = polygon_of(b);
    const std::unique_ptr<OGRGeometry> common{one.Intersection(&other)};
    if (!common) {
        throw Error(ErrorKind::internal, "two areas cannot be laid over each other: " + messages.reason("no reason"));
    }
    std::vector<Polygon> areas;
    collect(*common, areas);
    SharedArea shared;
    double largest_m2 = 0;
    for (const auto& area : areas) {
        const auto part = polygon_of(area);
        const double part_m2 = part.get_Area();
        shared.area_m2 += part_m2;
        OGRPoint inside;
        if (part_m2 > largest_m2 && part.PointOnSurface(&inside) == OGRERR_NONE) {
            largest_m2 = part_m2;
            shared.at = {.x_m = inside.getX(), .y_m = inside.getY()};
        }
    }
    OGREnvelope around;
    common->getEnvelope(&around);
    shared.box = {.min_x_m = around.MinX, .min_y_m = around.MinY, .max_x_m = around.MaxX, .max_y_m = around.MaxY};
    return shared;
}

std::vector<Polygon> joined(const std::vector<Polygon>& areas)
{
    const GdalMessages messages;
    const auto many = polygons_of(areas);
    const std::unique_ptr<OGRGeometry> whole{many.UnionCascaded()};
    return collected(whole, messages);
}

std::vector<Polygon> uncovered(const Polygon& area, const std::vector<Polygon>& covers, double min_width_m)
{
    const GdalMessages messages;
    const auto many = polygons_of(covers);
    const std::unique_ptr<OGRGeometry> cover{many.UnionCascaded()};
    const auto whole = polygon_of(area);
    const std::unique_ptr<OGRGeometry> rest{cover ? whole.Difference(cover.get()) : whole.clone()};
    auto pieces = collected(rest, messages);
    std::erase_if(pieces, [&](const Polygon& piece) {
        const std::unique_ptr<OGRGeometry> core{polygon_of(piece).Buffer(-min_width_m / 2)};
        return !core || core->IsEmpty() != 0;
    });
    return pieces;
}

std::vector<Polygon> strip_along(const Polyline& line, double half_width_m)
{
    const GdalMessages messages;
    OGRLineString axis;
    for (const auto& p : line) {
        axis.addPoint(p.x_m, p.y_m);
    }
    const std::unique_ptr<OGRGeometry> strip{axis.Buffer(half_width_m)};
    return collected(strip, messages);
}

} // namespace trenchwright
