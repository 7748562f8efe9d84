#include "trenchwright/ground/cut_fill.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace trenchwright {

namespace {

/// A plane as height at an origin and its gradient.
struct Plane {
    Point origin;
    double elev_m = 0;
    Point rise;
    [[nodiscard]] double at(const Point& p) const
    {
        return elev_m + rise.x_m * (p.x_m - origin.x_m) + rise.y_m * (p.y_m - origin.y_m);
    }
};

/// A triangle seen from above with its plane.
struct Facet {
    Ring ring;
    Box box;
    Plane plane;
};

Plane plane_of(const Point3& a, const Point3& b, const Point3& c)
{
    const double area = twice_area_m2(flat(a), flat(b), flat(c));
    const double rise_b = b.elev_m - a.elev_m;
    const double rise_c = c.elev_m - a.elev_m;
    return {.origin = flat(a),
            .elev_m = a.elev_m,
            .rise = {.x_m = (rise_b * (c.y_m - a.y_m) - rise_c * (b.y_m - a.y_m)) / area,
                     .y_m = (rise_c * (b.x_m - a.x_m) - rise_b * (c.x_m - a.x_m)) / area}};
}

std::vector<Facet> facet_list(const Facets& facets)
{
    std::vector<Facet> list;
    for (const auto& t : facets.triangles) {
        const auto& a = facets.points[static_cast<std::size_t>(t.a)];
        const auto& b = facets.points[static_cast<std::size_t>(t.b)];
        const auto& c = facets.points[static_cast<std::size_t>(t.c)];
        Facet facet{.ring = {flat(a), flat(b), flat(c)}, .box = {}, .plane = plane_of(a, b, c)};
        facet.box = bounds(facet.ring);
        list.push_back(std::move(facet));
    }
    std::ranges::sort(list, [](const Facet& a, const Facet& b) { return a.box.min_x_m < b.box.min_x_m; });
    return list;
}

/// The part of a convex ring where a linear value is not negative.
template <class Value> Ring kept(const Ring& ring, Value value)
{
    Ring result;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Point& a = ring[i];
        const Point& b = ring[(i + 1) % ring.size()];
        const double at_a = value(a);
        const double at_b = value(b);
        if (at_a >= 0) {
            result.push_back(a);
        }
        if ((at_a > 0 && at_b < 0) || (at_a < 0 && at_b > 0)) {
            const double share = at_a / (at_a - at_b);
            result.push_back({.x_m = a.x_m + share * (b.x_m - a.x_m), .y_m = a.y_m + share * (b.y_m - a.y_m)});
        }
    }
    return result;
}

/// Sutherland and Hodgman: what two convex rings share; both counter-clockwise.
Ring shared(Ring ring, const Ring& other)
{
    for (std::size_t i = 0; i < other.size() && ring.size() > 2; ++i) {
        const Point& a = other[i];
        const Point& b = other[(i + 1) % other.size()];
        ring = kept(ring, [&](const Point& p) { return twice_area_m2(a, b, p); });
    }
    return ring;
}

/// Whether a place counts for the greatest depth: not under an area left out, but on its outline.
bool counts(const Point& p, const std::vector<Polygon>& left_out)
{
    constexpr double on_outline_m = 1e-7;
    return std::ranges::none_of(left_out, [&](const Polygon& area) {
        return contains(area, p) && boundary_distance_m(p, area) > on_outline_m;
    });
}

/// Adds the prism between the planes over a convex piece, where the difference has one sign.
void add_prism(CutFill& sum, const Ring& ring, const Plane& from, const Plane& to, double sign,
               const std::vector<Polygon>& left_out)
{
    const auto higher = [&](const Point& p) { return to.at(p) - from.at(p); };
    for (const bool fill : {true, false}) {
        const Ring part = kept(ring, [&](const Point& p) { return fill ? higher(p) : -higher(p); });
        for (std::size_t i = 2; i < part.size(); ++i) {
            const double area = twice_area_m2(part[0], part[i - 1], part[i]) / 2;
            const double mean = std::abs(higher(part[0]) + higher(part[i - 1]) + higher(part[i])) / 3;
            (fill ? sum.fill_m3 : sum.cut_m3) += sign * area * mean;
            if (mean > 0) {
                (fill ? sum.fill_m2 : sum.cut_m2) += sign * area;
            }
        }
        for (const auto& p : part) {
            auto& most = fill ? sum.highest_fill_m : sum.deepest_cut_m;
            if (std::abs(higher(p)) > most && counts(p, left_out)) {
                most = std::abs(higher(p));
            }
        }
    }
}

/// The two surfaces and what is not to be counted.
struct Overlay {
    std::vector<Facet> existing;
    std::vector<Facet> proposed;
    const std::vector<Polygon>& left_out;
};

/// Over everything both surfaces cover, or over one convex window of it.
void add_overlay(CutFill& sum, const Overlay& overlay, const Ring* window, double sign)
{
    for (const auto& wanted : overlay.proposed) {
        const Ring ring = window == nullptr ? wanted.ring : shared(wanted.ring, *window);
        if (ring.size() < 3) {
            continue;
        }
        const Box box = bounds(ring);
        for (const auto& ground : overlay.existing) {
            if (ground.box.min_x_m > box.max_x_m) {
                break;
            }
            const bool apart = !overlap(ground.box, box);
            if (!apart) {
                add_prism(sum, shared(ring, ground.ring), ground.plane, wanted.plane, sign, overlay.left_out);
            }
        }
    }
}

/// Takes the inside of a ring off by its signed triangles about its first corner.
void take_off(CutFill& sum, const Overlay& overlay, const Ring& ring, bool hole)
{
    const double direction = (signed_area_m2(ring) > 0) == hole ? 1 : -1;
    for (std::size_t i = 2; i < ring.size(); ++i) {
        Ring window{ring[0], ring[i - 1], ring[i]};
        const bool turns_left = twice_area_m2(window[0], window[1], window[2]) > 0;
        if (!turns_left) {
            std::swap(window[1], window[2]);
        }
        add_overlay(sum, overlay, &window, turns_left ? direction : -direction);
    }
}

} // namespace

CutFill cut_and_fill(const Facets& existing, const Facets& proposed, const std::vector<Polygon>& left_out)
{
    const Overlay overlay{.existing = facet_list(existing), .proposed = facet_list(proposed), .left_out = left_out};
    CutFill sum;
    add_overlay(sum, overlay, nullptr, 1);
    for (const auto& area : left_out) {
        take_off(sum, overlay, area.outer, false);
        std::ranges::for_each(area.holes, [&](const Ring& hole) { take_off(sum, overlay, hole, true); });
    }
    // Rounding of what was taken off whole may leave less than nothing.
    for (double* const amount : {&sum.cut_m3, &sum.fill_m3, &sum.cut_m2, &sum.fill_m2}) {
        *amount = std::max(0.0, *amount);
    }
    return sum;
}

} // namespace trenchwright
