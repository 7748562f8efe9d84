#include "trenchwright/geom/triangulation.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace trenchwright {

namespace {

constexpr int none = -1;

/// True when d lies inside the circle through a, b, c (counter-clockwise) beyond any rounding doubt.
/// In doubt it says no, so flipping always ends.
bool surely_in_circle(const Point& a, const Point& b, const Point& c, const Point& d)
{
    const Point u{.x_m = a.x_m - d.x_m, .y_m = a.y_m - d.y_m};
    const Point v{.x_m = b.x_m - d.x_m, .y_m = b.y_m - d.y_m};
    const Point w{.x_m = c.x_m - d.x_m, .y_m = c.y_m - d.y_m};
    const auto lift = [](const Point& p) { return p.x_m * p.x_m + p.y_m * p.y_m; };
    const auto part = [&](const Point& p, const Point& q, const Point& r) {
        return lift(p) * (q.x_m * r.y_m - q.y_m * r.x_m);
    };
    const auto size = [&](const Point& p, const Point& q, const Point& r) {
        return lift(p) * (std::abs(q.x_m * r.y_m) + std::abs(q.y_m * r.x_m));
    };
    // Shewchuk's bound iccerrboundA, (10 + 96 eps) eps with eps = 2^-53, rounded up.
    const double doubt = 1.2e-15 * (size(u, v, w) + size(v, w, u) + size(w, u, v));
    return part(u, v, w) + part(v, w, u) + part(w, u, v) > doubt;
}

/// The triangulation of the places swept so far, as half-edges: edge e runs from corner_[e] to the
/// corner of the next edge of its triangle e / 3; twin_[e] is the same edge seen from the other side.
class Sweep {
  public:
    explicit Sweep(std::span<const Point> places)
        : places_(places), hull_next_(places.size()), hull_edge_(places.size())
    {
        hull_previous_.resize(places.size());
    }

    /// @param order  places by rising x, then y
    void run(std::span<const int> order)
    {
        const std::size_t first_aside = start(order);
        for (std::size_t i = first_aside; i < order.size(); ++i) {
            add(order[i], order[i - 1]);
        }
    }

    [[nodiscard]] const std::vector<int>& corners() const { return corner_; }

  private:
    [[nodiscard]] const Point& at(int place) const { return places_[index(place)]; }
    static std::size_t index(int i) { return static_cast<std::size_t>(i); }
    static int next(int edge) { return edge % 3 == 2 ? edge - 2 : edge + 1; }
    static int previous(int edge) { return edge % 3 == 0 ? edge + 2 : edge - 1; }

    /// A fan over the leading places that lie in one line; returns how many places it used.
    std::size_t start(std::span<const int> order)
    {
        std::size_t apex = 2;
        while (apex < order.size() && turn_sign(at(order[0]), at(order[1]), at(order[apex])) == 0) {
            ++apex;
        }
        if (apex >= order.size()) {
            return order.size();
        }
        // The line runs out and back as a flat hull; the apex sees one side of it.
        const bool left = turn_sign(at(order[0]), at(order[1]), at(order[apex])) > 0;
        for (std::size_t i = 1; i < apex; ++i) {
            const int from = left ? order[i - 1] : order[i];
            const int to = left ? order[i] : order[i - 1];
            const int edge = add_triangle(from, to, order[apex]);
            set_hull(from, to, edge);
            if (i > 1) {
                const int shared = left ? previous(edge) : next(edge);
                link(shared, left ? next(edge - 3) : previous(edge - 3));
            }
        }
        const int first = left ? order[0] : order[apex - 1];
        const int last = left ? order[apex - 1] : order[0];
        const int edges = static_cast<int>(corner_.size());
        set_hull(last, order[apex], left ? next(edges - 3) : next(0));
        set_hull(order[apex], first, left ? previous(0) : previous(edges - 3));
        return apex + 1;
    }

    /// Joins a place outside the hull to every hull edge it sees; `last`, swept just before, is among their ends.
    void add(int place, int last)
    {
        int from = last;
        while (sees(place, hull_previous_[index(from)])) {
            from = hull_previous_[index(from)];
        }
        const int before = from;
        int inner = none; // the newest triangle's edge next -> place
        while (sees(place, from)) {
            const int to = hull_next_[index(from)];
            const int base = hull_edge_[index(from)];
            const int edge = add_triangle(to, from, place);
            link(edge, base);
            // edges of the new triangle: to -> from, from -> place, place -> to
            if (inner == none) {
                set_hull(before, place, next(edge));
            } else {
                link(next(edge), inner);
            }
            inner = previous(edge);
            set_hull(place, to, inner);
            from = to;
            flips_.push_back(edge);
        }
        flip_all();
    }

    [[nodiscard]] bool sees(int place, int hull_from) const
    {
        return turn_sign(at(hull_from), at(hull_next_[index(hull_from)]), at(place)) < 0;
    }

    int add_triangle(int a, int b, int c)
    {
        corner_.insert(corner_.end(), {a, b, c});
        twin_.insert(twin_.end(), {none, none, none});
        return static_cast<int>(corner_.size()) - 3;
    }

    void set_hull(int from, int to, int edge)
    {
        hull_next_[index(from)] = to;
        hull_previous_[index(to)] = from;
        hull_edge_[index(from)] = edge;
    }

    void link(int edge, int twin)
    {
        twin_[index(edge)] = twin;
        if (twin == none) {
            hull_edge_[index(corner_[index(edge)])] = edge;
        } else {
            twin_[index(twin)] = edge;
        }
    }

    void flip_all()
    {
        while (!flips_.empty()) {
            const int edge = flips_.back();
            flips_.pop_back();
            if (twin_[index(edge)] != none) {
                flip_if_needed(edge, twin_[index(edge)]);
            }
        }
    }

    void flip_if_needed(int edge, int twin)
    {
        const int near = corner_[index(previous(edge))];
        const int far = corner_[index(previous(twin))];
        if (!surely_in_circle(at(corner_[index(edge)]), at(corner_[index(twin)]), at(near), at(far))) {
            return;
        }
        const int near_side = previous(edge);
        const int far_side = previous(twin);
        const int beyond_far = twin_[index(far_side)];
        const int beyond_near = twin_[index(near_side)];
        corner_[index(edge)] = far;
        corner_[index(twin)] = near;
        link(edge, beyond_far);
        link(twin, beyond_near);
        link(near_side, far_side);
        flips_.insert(flips_.end(), {edge, next(edge), twin, next(twin)});
    }

    std::span<const Point> places_;
    std::vector<int> corner_;
    std::vector<int> twin_;
    std::vector<int> hull_next_; ///< by place, counter-clockwise; only those on the hull mean anything
    std::vector<int> hull_previous_;
    std::vector<int> hull_edge_; ///< the edge that runs from the place to the next one on the hull
    std::vector<int> flips_;
};

/// Differences from a place amid the others are short numbers, so the circle test keeps its figures
/// on a site with seven-digit coordinates.
std::vector<Point> about_the_middle(std::span<const Point> places)
{
    const Point middle = places[places.size() / 2];
    std::vector<Point> local;
    local.reserve(places.size());
    for (const auto& p : places) {
        local.push_back({.x_m = p.x_m - middle.x_m, .y_m = p.y_m - middle.y_m});
    }
    return local;
}

} // namespace

std::vector<Triangle> delaunay(std::span<const Point> places)
{
    if (places.size() < 3) {
        return {};
    }
    const auto local = about_the_middle(places);
    std::vector<int> order(places.size());
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](int i, int j) {
        const Point& a = local[static_cast<std::size_t>(i)];
        const Point& b = local[static_cast<std::size_t>(j)];
        return a.x_m < b.x_m || (a.x_m == b.x_m && a.y_m < b.y_m);
    });
    Sweep sweep(local);
    sweep.run(order);
    std::vector<Triangle> triangles;
    const auto& corners = sweep.corners();
    for (std::size_t i = 0; i < corners.size(); i += 3) {
        Triangle t{corners[i], corners[i + 1], corners[i + 2]};
        std::rotate(t.begin(), std::min_element(t.begin(), t.end()), t.end());
        triangles.push_back(t);
    }
    std::sort(triangles.begin(), triangles.end());
    return triangles;
}

} // namespace trenchwright
