#include "gis/validity.hpp"

#include "base/error.hpp"
#include "gis/messages.hpp"

#include <memory>
#include <ogr_geometry.h>

namespace trenchwright {

namespace {

OGRLinearRing ring_of(const Ring& points)
{
    OGRLinearRing ring;
    for (const auto& p : points) {
        ring.addPoint(p.x_m, p.y_m);
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

} // namespace

std::string area_fault(const Polygon& area)
{
    if (area.outer.size() < 3) {
        return "fewer than three corners";
    }
    const GdalMessages messages;
    return polygon_of(area).IsValid() != 0 ? std::string() : messages.reason("not a proper polygon");
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

} // namespace trenchwright
