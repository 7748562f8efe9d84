#include "trenchwright/gis/ogr_shape.hpp"

#include "trenchwright/base/error.hpp"

#include <cmath>
#include <fmt/format.h>
#include <ogr_geometry.h>

namespace trenchwright {

namespace {

struct Drawer {
    const ShapeTarget& target;

    [[nodiscard]] double finite(double value) const
    {
        if (!std::isfinite(value)) {
            throw Error(ErrorKind::internal, fmt::format("layer {}: {} cannot be written", target.layer, value));
        }
        return value;
    }
    [[nodiscard]] double height(const Point3& p) const
    {
        const auto& frame = target.frame;
        return p.elev_m /
               (target.heights == Heights::in_grid_unit ? frame.meters_per_native : meters_per(frame.elev_unit));
    }
    [[nodiscard]] OGRPoint at(const Point& p) const
    {
        const auto native = to_native(target.frame, p);
        return {finite(native.x), finite(native.y)};
    }
    [[nodiscard]] OGRPoint at(const Point3& p) const
    {
        const auto native = to_native(target.frame, flat(p));
        return {finite(native.x), finite(native.y), finite(height(p))};
    }
    template <class Points, class Curve> void add(const Points& points, Curve& curve) const
    {
        for (const auto& p : points) {
            const auto point = at(p);
            curve.addPoint(&point);
        }
    }
    [[nodiscard]] std::unique_ptr<OGRGeometry> operator()(std::monostate /*nothing*/) const { return nullptr; }
    template <class P> [[nodiscard]] std::unique_ptr<OGRGeometry> operator()(const std::vector<P>& points) const
    {
        auto line = std::make_unique<OGRLineString>();
        add(points, *line);
        return line;
    }
    [[nodiscard]] std::unique_ptr<OGRGeometry> operator()(const Polygon& area) const
    {
        auto polygon = std::make_unique<OGRPolygon>();
        const auto add_ring = [&](const Ring& points) {
            OGRLinearRing ring;
            add(points, ring);
            ring.closeRings();
            polygon->addRing(&ring);
        };
        add_ring(area.outer);
        for (const auto& hole : area.holes) {
            add_ring(hole);
        }
        return polygon;
    }
    template <class P> [[nodiscard]] std::unique_ptr<OGRGeometry> operator()(const P& p) const
    {
        return std::make_unique<OGRPoint>(at(p));
    }
};

} // namespace

std::unique_ptr<OGRGeometry> ogr_shape(const ShapeTarget& target, const OutShape& shape)
{
    return std::visit(Drawer{.target = target}, shape);
}

} // namespace trenchwright
