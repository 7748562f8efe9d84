#include "trenchwright/geom/polygons.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

namespace trenchwright {

namespace {

/// The mitre may reach this many half widths from the bend; sharper ones are cut off between the runs' corners.
constexpr double mitre_limit = 5;

void keep_message(const char* message, void* text)
{
    *static_cast<std::string*>(text) = message;
}

/// One GEOS context for one call, so calls on several threads share nothing. Everything is held about
/// a local origin, where areas keep their figures on a site with seven-digit coordinates.
class Geos {
  public:
    explicit Geos(const Point& origin) : handle_(GEOS_init_r()), origin_(origin)
    {
        GEOSContext_setErrorMessageHandler_r(handle_, keep_message, &message_);
        GEOSContext_setNoticeMessageHandler_r(handle_, nullptr, nullptr);
    }
    ~Geos() { GEOS_finish_r(handle_); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;

    struct Destroy {
        GEOSContextHandle_t handle;
        void operator()(GEOSGeometry* geometry) const { GEOSGeom_destroy_r(handle, geometry); }
    };
    using Geometry = std::unique_ptr<GEOSGeometry, Destroy>;

    [[nodiscard]] GEOSContextHandle_t handle() const { return handle_; }
    [[nodiscard]] const std::string& message() const { return message_; }

    Geometry own(GEOSGeometry* geometry) const
    {
        if (geometry == nullptr) {
            throw Error(ErrorKind::internal, "GEOS: " + message_);
        }
        return Geometry(geometry, Destroy{handle_});
    }

    [[nodiscard]] Geometry line(const Polyline& points) const
    {
        return own(GEOSGeom_createLineString_r(handle_, sequence(points)));
    }

    [[nodiscard]] Geometry polygon(const Polygon& area) const
    {
        std::vector<Geometry> holes;
        for (const auto& hole : area.holes) {
            holes.push_back(ring(hole));
        }
        Geometry shell = ring(area.outer);
        std::vector<GEOSGeometry*> given;
        for (auto& hole : holes) {
            given.push_back(hole.release());
        }
        return own(
            GEOSGeom_createPolygon_r(handle_, shell.release(), given.data(), static_cast<unsigned>(given.size())));
    }

    /// Of a polygon or several.
    [[nodiscard]] std::vector<Polygon> polygons_of(const GEOSGeometry* shape) const
    {
        std::vector<Polygon> areas;
        for (int i = 0; i < GEOSGetNumGeometries_r(handle_, shape); ++i) {
            const auto* part = GEOSGetGeometryN_r(handle_, shape, i);
            Polygon area{.outer = points_of(GEOSGetExteriorRing_r(handle_, part)), .holes = {}};
            for (int k = 0; k < GEOSGetNumInteriorRings_r(handle_, part); ++k) {
                area.holes.push_back(points_of(GEOSGetInteriorRingN_r(handle_, part, k)));
            }
            areas.push_back(std::move(area));
        }
        return areas;
    }

  private:
    /// GEOS repeats the first point at the end.
    [[nodiscard]] Ring points_of(const GEOSGeometry* ring) const
    {
        const auto* sequence = GEOSGeom_getCoordSeq_r(handle_, ring);
        unsigned size = 0;
        GEOSCoordSeq_getSize_r(handle_, sequence, &size);
        Ring points;
        for (unsigned i = 0; i + 1 < size; ++i) {
            Point p;
            GEOSCoordSeq_getXY_r(handle_, sequence, i, &p.x_m, &p.y_m);
            points.push_back({.x_m = p.x_m + origin_.x_m, .y_m = p.y_m + origin_.y_m});
        }
        return points;
    }

    [[nodiscard]] Geometry ring(const Ring& points) const
    {
        return own(GEOSGeom_createLinearRing_r(handle_, sequence(closed(points))));
    }

    [[nodiscard]] GEOSCoordSequence* sequence(const Polyline& points) const
    {
        std::vector<double> numbers;
        for (const auto& p : points) {
            numbers.insert(numbers.end(), {p.x_m - origin_.x_m, p.y_m - origin_.y_m});
        }
        return GEOSCoordSeq_copyFromBuffer_r(handle_, numbers.data(), static_cast<unsigned>(points.size()), 0, 0);
    }

    GEOSContextHandle_t handle_;
    Point origin_;
    std::string message_;
};

/// What one straight run covers: a rectangle.
Polygon rectangle(const Point& a, const Point& b, double half_m)
{
    const double run = distance_m(a, b);
    const double dx = -half_m * (b.y_m - a.y_m) / run;
    const double dy = half_m * (b.x_m - a.x_m) / run;
    return {.outer = {{a.x_m - dx, a.y_m - dy},
                      {b.x_m - dx, b.y_m - dy},
                      {b.x_m + dx, b.y_m + dy},
                      {a.x_m + dx, a.y_m + dy}},
            .holes = {}};
}

/// What the mitre adds at the outer side of a bend; nothing where the line runs straight on or turns back.
std::optional<Polygon> corner(const Point& a, const Point& b, const Point& c, double half_m)
{
    const double before = distance_m(a, b);
    const double after = distance_m(b, c);
    const Point u{(b.x_m - a.x_m) / before, (b.y_m - a.y_m) / before};
    const Point v{(c.x_m - b.x_m) / after, (c.y_m - b.y_m) / after};
    const double sine = u.x_m * v.y_m - u.y_m * v.x_m;
    if (std::abs(sine) < 1e-12) {
        return std::nullopt;
    }
    const double outward = sine > 0 ? half_m : -half_m; // right of the line where it turns left
    // Begins inside both runs: parts that only touch, to rounding, unite with a slit or not at all.
    const double back = outward * std::min({0.25, before / half_m, after / half_m});
    Polygon area{.outer = {{b.x_m - back * (u.y_m + v.y_m), b.y_m + back * (u.x_m + v.x_m)},
                           {b.x_m + outward * u.y_m, b.y_m - outward * u.x_m}},
                 .holes = {}};
    const double cosine = u.x_m * v.x_m + u.y_m * v.y_m;
    if (std::sqrt(2 / (1 + cosine)) <= mitre_limit) {
        const double tip = outward * (1 - cosine) / sine; // past the corner along the run: half x tan(turn / 2)
        area.outer.push_back(
            {b.x_m + outward * u.y_m + std::abs(tip) * u.x_m, b.y_m - outward * u.x_m + std::abs(tip) * u.y_m});
    }
    area.outer.push_back({b.x_m + outward * v.y_m, b.y_m - outward * v.x_m});
    return area;
}

/// The rectangles of the runs and the corners between them, united: nothing of any run is lost, as it is where a buffer
/// simplifies its line.
Geos::Geometry strip(const Geos& geos, const Polyline& line, double width_m)
{
    std::vector<Geos::Geometry> parts;
    for (std::size_t i = 1; i < line.size(); ++i) {
        parts.push_back(geos.polygon(rectangle(line[i - 1], line[i], width_m / 2)));
        const auto bend = i + 1 < line.size() ? corner(line[i - 1], line[i], line[i + 1], width_m / 2) : std::nullopt;
        if (bend) {
            parts.push_back(geos.polygon(*bend));
        }
    }
    std::vector<GEOSGeometry*> given;
    for (auto& part : parts) {
        given.push_back(part.release());
    }
    const auto all = geos.own(GEOSGeom_createCollection_r(geos.handle(), GEOS_MULTIPOLYGON, given.data(),
                                                          static_cast<unsigned>(given.size())));
    return geos.own(GEOSUnaryUnion_r(geos.handle(), all.get()));
}

bool all_finite(const Ring& ring)
{
    for (const auto& p : ring) {
        if (!std::isfinite(p.x_m) || !std::isfinite(p.y_m)) {
            return false;
        }
    }
    return true;
}

std::optional<std::string> broken_ring(const Ring& ring, const char* which)
{
    if (ring.size() < 3) {
        return std::string(which) + " has fewer than three places";
    }
    if (!all_finite(ring)) {
        return std::string(which) + " has a coordinate that is not a number";
    }
    return std::nullopt;
}

} // namespace

std::optional<std::string> invalid_because(const Polygon& area)
{
    if (auto reason = broken_ring(area.outer, "outer ring")) {
        return reason;
    }
    for (const auto& hole : area.holes) {
        if (auto reason = broken_ring(hole, "hole")) {
            return reason;
        }
    }
    const Geos geos(Point{}); // the reason names the place in site coordinates
    const auto shape = geos.polygon(area);
    const char valid = GEOSisValid_r(geos.handle(), shape.get());
    if (valid == 1) {
        return std::nullopt;
    }
    char* text = GEOSisValidReason_r(geos.handle(), shape.get());
    std::string reason = text != nullptr ? text : geos.message();
    GEOSFree_r(geos.handle(), text);
    return reason;
}

bool is_valid(const Polygon& area)
{
    return !invalid_because(area);
}

double strip_area_inside_m2(const Polyline& line, double width_m, const Polygon& area)
{
    if (!(width_m >= 0) || !std::isfinite(width_m)) {
        throw Error(ErrorKind::internal, "strip width " + std::to_string(width_m) + " m is not a width");
    }
    if (const auto reason = invalid_because(area)) {
        throw Error(ErrorKind::input, "polygon is not valid: " + *reason);
    }
    if (!(length_m(line) > 0) || width_m == 0) {
        return 0;
    }
    const Geos geos(line.front());
    const auto trench = strip(geos, line, width_m);
    const auto shape = geos.polygon(area);
    const auto shared = geos.own(GEOSIntersection_r(geos.handle(), trench.get(), shape.get()));
    double area_m2 = 0;
    GEOSArea_r(geos.handle(), shared.get(), &area_m2);
    return area_m2;
}

std::vector<Polygon> strip_around(const Polyline& line, double width_m)
{
    if (!(width_m > 0) || !std::isfinite(width_m)) {
        throw Error(ErrorKind::internal, "strip width " + std::to_string(width_m) + " m is not a width");
    }
    if (!(length_m(line) > 0)) {
        return {};
    }
    const Geos geos(line.front());
    return geos.polygons_of(strip(geos, line, width_m).get());
}

} // namespace trenchwright
