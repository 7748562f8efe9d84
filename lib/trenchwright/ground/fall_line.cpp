#include "trenchwright/ground/fall_line.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

namespace trenchwright {

namespace {

/// A place this near to an edge or a corner lies on it.
constexpr double on_it_m = 1e-7;
/// Ground flatter than this is level: a nanometre in a meter, far below any survey.
constexpr double level_ratio = 1e-9;

std::size_t at(int index)
{
    return static_cast<std::size_t>(index);
}

Point3 between(const Point3& a, const Point3& b, double share)
{
    return {.x_m = a.x_m + share * (b.x_m - a.x_m),
            .y_m = a.y_m + share * (b.y_m - a.y_m),
            .elev_m = a.elev_m + share * (b.elev_m - a.elev_m)};
}

double cross(const Point& a, const Point& b)
{
    return a.x_m * b.y_m - a.y_m * b.x_m;
}

Point from_to(const Point3& a, const Point3& b)
{
    return {.x_m = b.x_m - a.x_m, .y_m = b.y_m - a.y_m};
}

/// Where the water stands: in a triangle, on an edge (two corners) or at a corner.
struct Place {
    Point3 at;
    int face = -1;
    std::array<int, 2> edge{-1, -1};
    int corner = -1;
};

class Walker {
  public:
    explicit Walker(const Facets& facets) : points_(facets.points)
    {
        faces_at_.resize(points_.size());
        for (const auto& t : facets.triangles) {
            const std::array<int, 3> ring{t.a, t.b, t.c};
            const int face = static_cast<int>(faces_.size());
            faces_.push_back(ring);
            downs_.push_back(down_of(ring));
            for (std::size_t i = 0; i < 3; ++i) {
                beside_[key(ring[i], ring[(i + 1) % 3])].push_back(face);
                faces_at_[at(ring[i])].push_back(face);
            }
        }
    }

    [[nodiscard]] std::optional<Place> start_at(const Point& p) const
    {
        double best = -on_it_m;
        int face = -1;
        for (std::size_t i = 0; i < faces_.size(); ++i) {
            const double inside = inside_by_m(faces_[i], p);
            if (inside >= best && (face < 0 || inside > best)) {
                best = inside;
                face = static_cast<int>(i);
            }
        }
        if (face < 0) {
            return std::nullopt;
        }
        return settled(face, p);
    }

    [[nodiscard]] FallLine follow(Place place) const
    {
        FallLine line{.points = {place.at}, .end = FallEnd::not_followed};
        for (std::size_t step = 0; step < 4 * faces_.size() + 4; ++step) {
            std::optional<FallEnd> end;
            Place next = place.corner >= 0    ? from_corner(place, end)
                         : place.edge[0] >= 0 ? from_edge(place, end)
                                              : down_face(place);
            if (place.face >= 0 && level(place.face)) {
                end = FallEnd::level;
            }
            if (end) {
                line.end = *end;
                return line;
            }
            if (distance_m(flat(next.at), flat(line.points.back())) > 0) {
                line.points.push_back(next.at);
            }
            place = next;
        }
        return line;
    }

  private:
    static std::pair<int, int> key(int a, int b) { return {std::min(a, b), std::max(a, b)}; }

    /// The gradient turned downhill, fall per meter.
    [[nodiscard]] Point down_of(const std::array<int, 3>& ring) const
    {
        const auto& a = points_[at(ring[0])];
        const Point ab = from_to(a, points_[at(ring[1])]);
        const Point ac = from_to(a, points_[at(ring[2])]);
        const double rise_b = points_[at(ring[1])].elev_m - a.elev_m;
        const double rise_c = points_[at(ring[2])].elev_m - a.elev_m;
        const double area = cross(ab, ac);
        return {.x_m = -(rise_b * ac.y_m - rise_c * ab.y_m) / area, .y_m = -(rise_c * ab.x_m - rise_b * ac.x_m) / area};
    }

    [[nodiscard]] bool level(int face) const
    {
        return std::hypot(downs_[at(face)].x_m, downs_[at(face)].y_m) < level_ratio;
    }

    /// Distance to the nearest edge; negative outside.
    [[nodiscard]] double inside_by_m(const std::array<int, 3>& ring, const Point& p) const
    {
        double least = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < 3; ++i) {
            const auto& a = points_[at(ring[i])];
            const Point ab = from_to(a, points_[at(ring[(i + 1) % 3])]);
            const Point ap{.x_m = p.x_m - a.x_m, .y_m = p.y_m - a.y_m};
            least = std::min(least, cross(ab, ap) / std::hypot(ab.x_m, ab.y_m));
        }
        return least;
    }

    /// The place with the corner or edge it lies on, if any.
    [[nodiscard]] Place settled(int face, const Point& p) const
    {
        const auto& ring = faces_[at(face)];
        const Point& down = downs_[at(face)];
        const auto& a = points_[at(ring[0])];
        Place place{.at = {.x_m = p.x_m, .y_m = p.y_m, .elev_m = 0}};
        place.at.elev_m = a.elev_m - down.x_m * (p.x_m - a.x_m) - down.y_m * (p.y_m - a.y_m);
        for (std::size_t i = 0; i < 3; ++i) {
            const auto& corner = points_[at(ring[i])];
            if (distance_m(p, flat(corner)) < on_it_m) {
                return {.at = corner, .corner = ring[i]};
            }
        }
        for (std::size_t i = 0; i < 3; ++i) {
            const std::array<int, 2> edge{ring[i], ring[(i + 1) % 3]};
            if (distance_m(p, flat(points_[at(edge[0])]), flat(points_[at(edge[1])])) < on_it_m) {
                place.edge = edge;
                return place;
            }
        }
        place.face = face;
        return place;
    }

    [[nodiscard]] Place on_edge(int a, int b, double share) const
    {
        const double length = distance_m(flat(points_[at(a)]), flat(points_[at(b)]));
        if (share * length < on_it_m) {
            return {.at = points_[at(a)], .corner = a};
        }
        if ((1 - share) * length < on_it_m) {
            return {.at = points_[at(b)], .corner = b};
        }
        return {.at = between(points_[at(a)], points_[at(b)], share), .edge = {a, b}};
    }

    /// Straight down a triangle to the edge or corner where the water leaves it.
    [[nodiscard]] Place down_face(const Place& place) const
    {
        const auto& ring = faces_[at(place.face)];
        const Point& down = downs_[at(place.face)];
        double nearest = std::numeric_limits<double>::infinity();
        Place next = place;
        for (std::size_t i = 0; i < 3; ++i) {
            const int a = ring[i];
            const int b = ring[(i + 1) % 3];
            const Point ab = from_to(points_[at(a)], points_[at(b)]);
            const double toward = -cross(ab, down); // out over this edge
            if (!(toward > 0)) {
                continue;
            }
            const double run = std::max(0.0, cross(ab, from_to(points_[at(a)], place.at)) / toward);
            if (run < nearest) {
                nearest = run;
                const Point hit{.x_m = place.at.x_m + run * down.x_m, .y_m = place.at.y_m + run * down.y_m};
                const Point on{.x_m = hit.x_m - points_[at(a)].x_m, .y_m = hit.y_m - points_[at(a)].y_m};
                const double square = ab.x_m * ab.x_m + ab.y_m * ab.y_m;
                next = on_edge(a, b, std::clamp((on.x_m * ab.x_m + on.y_m * ab.y_m) / square, 0.0, 1.0));
            }
        }
        return next;
    }

    /// How steeply a triangle falls away from its edge into itself; negative when it falls toward the edge.
    [[nodiscard]] double away_from_edge(int face, int a, int b) const
    {
        const auto& ring = faces_[at(face)];
        const bool same_way =
            (ring[0] == a && ring[1] == b) || (ring[1] == a && ring[2] == b) || (ring[2] == a && ring[0] == b);
        const Point ab = same_way ? from_to(points_[at(a)], points_[at(b)]) : from_to(points_[at(b)], points_[at(a)]);
        return cross(ab, downs_[at(face)]) / std::hypot(ab.x_m, ab.y_m);
    }

    [[nodiscard]] Place from_edge(const Place& place, std::optional<FallEnd>& end) const
    {
        const auto [a, b] = place.edge;
        const auto& faces = beside_.at(key(a, b));
        int best = -1;
        double steepest = 0;
        bool leaves = false;
        for (const int face : faces) {
            const double away = away_from_edge(face, a, b);
            const double fall = std::hypot(downs_[at(face)].x_m, downs_[at(face)].y_m);
            if (away > level_ratio && fall > steepest) {
                best = face;
                steepest = fall;
            }
            leaves = leaves || (faces.size() == 1 && away < -level_ratio);
        }
        if (best >= 0) {
            Place next = place;
            next.edge = {-1, -1};
            next.face = best;
            return next;
        }
        const double fall = points_[at(a)].elev_m - points_[at(b)].elev_m;
        const double length = distance_m(flat(points_[at(a)]), flat(points_[at(b)]));
        if (leaves) {
            end = FallEnd::edge_of_ground;
        } else if (std::abs(fall) < level_ratio * length) {
            end = FallEnd::level;
        }
        const int low = fall > 0 ? b : a;
        return {.at = points_[at(low)], .corner = low};
    }

    [[nodiscard]] Place from_corner(const Place& place, std::optional<FallEnd>& end) const
    {
        const int corner = place.corner;
        const auto& here = points_[at(corner)];
        double steepest = level_ratio;
        Place next = place;
        bool rim = false;
        for (const int face : faces_at_[at(corner)]) {
            const auto& ring = faces_[at(face)];
            const auto i = static_cast<std::size_t>(std::ranges::find(ring, corner) - ring.begin());
            const Point to_next = from_to(here, points_[at(ring[(i + 1) % 3])]);
            const Point to_last = from_to(here, points_[at(ring[(i + 2) % 3])]);
            const Point& down = downs_[at(face)];
            const double fall = std::hypot(down.x_m, down.y_m);
            if (cross(to_next, down) > 0 && cross(down, to_last) > 0 && fall > steepest) {
                steepest = fall;
                next = {.at = here, .face = face};
            }
            for (const int other : {ring[(i + 1) % 3], ring[(i + 2) % 3]}) {
                rim = rim || beside_.at(key(corner, other)).size() == 1;
                const auto& far = points_[at(other)];
                const double slope = (here.elev_m - far.elev_m) / distance_m(flat(here), flat(far));
                if (slope > steepest) {
                    steepest = slope;
                    next = {.at = far, .corner = other};
                }
            }
        }
        if (steepest <= level_ratio) {
            end = rim ? FallEnd::edge_of_ground : FallEnd::low_spot;
        }
        return next;
    }

    const std::vector<Point3>& points_;
    std::vector<std::array<int, 3>> faces_;
    std::vector<Point> downs_;
    std::map<std::pair<int, int>, std::vector<int>> beside_;
    std::vector<std::vector<int>> faces_at_;
};

} // namespace

std::optional<FallLine> fall_line(const Facets& facets, const Point& start)
{
    const Walker walker(facets);
    const auto place = walker.start_at(start);
    if (!place) {
        return std::nullopt;
    }
    return walker.follow(*place);
}

} // namespace trenchwright
