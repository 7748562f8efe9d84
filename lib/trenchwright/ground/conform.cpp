#include "trenchwright/ground/conform.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/box_index.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>

namespace trenchwright {

namespace {

/// The ground does not know in which units the job prints.
std::string both_units(double elev_m)
{
    return elev_text(elev_m, UnitSystem::us) + " (" + elev_text(elev_m, UnitSystem::metric) + ")";
}

using Piece = std::array<int, 2>;

std::size_t at(int i)
{
    return static_cast<std::size_t>(i);
}

double elev_between(const Point3& a, const Point3& b, double share)
{
    return a.elev_m + share * (b.elev_m - a.elev_m);
}

bool is_finite(const Point3& p)
{
    return std::isfinite(p.x_m) && std::isfinite(p.y_m) && std::isfinite(p.elev_m);
}

/// The distinct places met so far, found again by their neighbourhood.
class Places {
  public:
    std::vector<Point3> points;
    std::vector<Finding> findings;
    int repeated = 0;

    /// The place's index, an old one when it was met before.
    int measured(const Point3& p)
    {
        if (const int known = find(flat(p)); known >= 0) {
            ++repeated;
            compare(known, p.elev_m, "measured twice; the first elevation is used");
            return known;
        }
        return add(p);
    }

    [[nodiscard]] int find(const Point& p) const
    {
        const Cell middle = cell(p);
        for (std::int64_t dx = -1; dx <= 1; ++dx) {
            for (std::int64_t dy = -1; dy <= 1; ++dy) {
                const auto range = by_cell_.equal_range({middle.first + dx, middle.second + dy});
                for (auto it = range.first; it != range.second; ++it) {
                    if (distance_m(p, flat(points[at(it->second)])) < same_place_m) {
                        return it->second;
                    }
                }
            }
        }
        return -1;
    }

    int add(const Point3& p)
    {
        const int index = static_cast<int>(points.size());
        points.push_back(p);
        by_cell_.emplace(cell(flat(p)), index);
        return index;
    }

    void compare(int place, double elev_m, const std::string& what)
    {
        const double known = points[at(place)].elev_m;
        if (std::abs(known - elev_m) > same_elev_m) {
            disagree(flat(points[at(place)]), known, elev_m, what);
        }
    }

    void disagree(const Point& where, double one_elev_m, double other_elev_m, const std::string& what)
    {
        findings.push_back({.severity = Severity::warning,
                            .rule = "ground.same_elev",
                            .text = "Elevations " + both_units(one_elev_m) + " and " + both_units(other_elev_m) +
                                    " at one place: " + what + ".",
                            .at = where,
                            .station_m = {}});
    }

  private:
    using Cell = std::pair<std::int64_t, std::int64_t>;
    static Cell cell(const Point& p)
    {
        return {std::llround(std::floor(p.x_m / same_place_m)), std::llround(std::floor(p.y_m / same_place_m))};
    }
    std::multimap<Cell, int> by_cell_;
};

void check_spots(std::span<const Point3> spots)
{
    for (std::size_t i = 0; i < spots.size(); ++i) {
        if (!is_finite(spots[i])) {
            throw Error(ErrorKind::input,
                        "spot " + std::to_string(i + 1) + " has a coordinate or elevation that is not a number");
        }
    }
}

void check_breaklines(std::span<const std::vector<Point3>> breaklines)
{
    for (std::size_t i = 0; i < breaklines.size(); ++i) {
        for (std::size_t j = 0; j < breaklines[i].size(); ++j) {
            if (!is_finite(breaklines[i][j])) {
                throw Error(ErrorKind::input, "breakline " + std::to_string(i + 1) + ", point " +
                                                  std::to_string(j + 1) +
                                                  " has a coordinate or elevation that is not a number");
            }
        }
    }
}

/// Segments between breakline points, by index; those without length left out.
std::vector<Piece> segments_of(Places& places, std::span<const std::vector<Point3>> breaklines)
{
    std::vector<Piece> segments;
    for (const auto& line : breaklines) {
        int last = -1;
        for (const auto& p : line) {
            const int known = places.find(flat(p));
            if (known >= 0) {
                places.compare(known, p.elev_m, "spot and breakline differ; the first elevation is used");
            }
            const int place = known >= 0 ? known : places.add(p);
            if (last >= 0 && last != place) {
                segments.push_back({last, place});
            }
            last = place;
        }
    }
    return segments;
}

/// True when an end of one segment lies on the other: the line is then split there, not crossed.
bool touch(const std::array<Point, 4>& ends)
{
    return distance_m(ends[0], ends[2], ends[3]) < on_line_m || distance_m(ends[1], ends[2], ends[3]) < on_line_m ||
           distance_m(ends[2], ends[0], ends[1]) < on_line_m || distance_m(ends[3], ends[0], ends[1]) < on_line_m;
}

void add_crossing(Places& places, const Piece& one, const Piece& other)
{
    const std::array<Point3, 4> p{places.points[at(one[0])], places.points[at(one[1])], places.points[at(other[0])],
                                  places.points[at(other[1])]};
    const std::array<Point, 4> ends{flat(p[0]), flat(p[1]), flat(p[2]), flat(p[3])};
    if (!overlap(bounds(std::span(ends).first(2)), bounds(std::span(ends).last(2))) || touch(ends)) {
        return;
    }
    for (const auto& met : crossings({ends[0], ends[1]}, {ends[2], ends[3]})) {
        const double first = elev_between(p[0], p[1], met.station_m / distance_m(ends[0], ends[1]));
        const double second = elev_between(p[2], p[3], met.other_station_m / distance_m(ends[2], ends[3]));
        if (std::abs(first - second) > same_elev_m) {
            places.disagree(met.at, first, second, "breaklines cross; the mean is used");
        }
        if (places.find(met.at) < 0) {
            places.add({.x_m = met.at.x_m, .y_m = met.at.y_m, .elev_m = (first + second) / 2});
        }
    }
}

Box box_of(const Places& places, const Piece& piece)
{
    return bounds(std::array{flat(places.points[at(piece[0])]), flat(places.points[at(piece[1])])});
}

void add_crossings(Places& places, const std::vector<Piece>& segments)
{
    BoxIndex index;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        index.insert(static_cast<int>(i), box_of(places, segments[i]));
    }
    for (std::size_t i = 0; i < segments.size(); ++i) {
        for (const int other : index.near(box_of(places, segments[i]))) {
            if (at(other) > i) {
                add_crossing(places, segments[i], segments[at(other)]);
            }
        }
    }
}

BoxIndex index_of(const std::vector<Point3>& points)
{
    BoxIndex index;
    for (std::size_t i = 0; i < points.size(); ++i) {
        index.insert(static_cast<int>(i), bounds(std::array{flat(points[i])}));
    }
    return index;
}

/// The segment cut at every place that lies on it. Only given places are compared with it; a crossing's mean
/// differs by its nature, and was reported.
std::vector<Piece> cut_at_places(Places& places, const BoxIndex& index, const Piece& segment, int given)
{
    const Point3 a = places.points[at(segment[0])];
    const Point3 b = places.points[at(segment[1])];
    const double length = distance_m(flat(a), flat(b));
    std::vector<std::pair<double, int>> on_it;
    for (const int i : index.near(grown(box_of(places, segment), on_line_m))) {
        const Point p = flat(places.points[at(i)]);
        if (i == segment[0] || i == segment[1] || distance_m(p, flat(a), flat(b)) >= on_line_m) {
            continue;
        }
        const double share = station_of({flat(a), flat(b)}, p) / length;
        if (i < given) {
            places.compare(i, elev_between(a, b, share), "the spot is used on the breakline through it");
        }
        on_it.emplace_back(share, i);
    }
    std::sort(on_it.begin(), on_it.end());
    std::vector<Piece> pieces;
    int from = segment[0];
    for (const auto& [share, place] : on_it) {
        pieces.push_back({from, place});
        from = place;
    }
    pieces.push_back({from, segment[1]});
    return pieces;
}

void make_distinct(std::vector<Piece>& pieces)
{
    for (auto& piece : pieces) {
        std::sort(piece.begin(), piece.end());
    }
    std::sort(pieces.begin(), pieces.end());
    pieces.erase(std::unique(pieces.begin(), pieces.end()), pieces.end());
}

/// Splits pieces until no point lies in the circle on any of them.
class Splitter {
  public:
    Splitter(std::vector<Point3>& points, std::vector<Piece>& pieces)
        : points_(points), pieces_(pieces), corners_(static_cast<int>(points.size())), places_(index_of(points))
    {
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            circles_.insert(static_cast<int>(i), circle_box(pieces_[i]));
        }
    }

    void run()
    {
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            waiting_.push_back(i);
        }
        while (!waiting_.empty()) {
            const std::size_t piece = waiting_.back();
            waiting_.pop_back();
            if (length(pieces_[piece]) >= 2 * min_piece_m && is_crowded(pieces_[piece])) {
                split(piece);
            }
        }
    }

  private:
    [[nodiscard]] Point place(int i) const { return flat(points_[at(i)]); }
    [[nodiscard]] double length(const Piece& piece) const { return distance_m(place(piece[0]), place(piece[1])); }

    /// True when the point sees the piece under a right angle or more, so lies in or on its circle.
    [[nodiscard]] bool crowds(int i, const Piece& piece) const
    {
        const Point a = place(piece[0]);
        const Point b = place(piece[1]);
        const Point p = place(i);
        const double dot = (a.x_m - p.x_m) * (b.x_m - p.x_m) + (a.y_m - p.y_m) * (b.y_m - p.y_m);
        const double squared = (b.x_m - a.x_m) * (b.x_m - a.x_m) + (b.y_m - a.y_m) * (b.y_m - a.y_m);
        // A point on the circle up to rounding leaves the edge open to choice, so it counts as inside.
        return i != piece[0] && i != piece[1] && dot <= 1e-9 * squared;
    }

    /// Holds the circle on the piece, with what `crowds` allows for rounding.
    [[nodiscard]] Box circle_box(const Piece& piece) const
    {
        const Point a = place(piece[0]);
        const Point b = place(piece[1]);
        const double reach = 0.5 * length(piece) * (1 + 1e-6);
        return grown(bounds(std::array{Point{.x_m = (a.x_m + b.x_m) / 2, .y_m = (a.y_m + b.y_m) / 2}}), reach);
    }

    [[nodiscard]] bool is_crowded(const Piece& piece) const
    {
        return std::ranges::any_of(places_.near(circle_box(piece)), [&](int i) { return crowds(i, piece); });
    }

    /// In the middle; but a piece with one end at a corner is cut at the power of two nearest its middle.
    [[nodiscard]] double share_to_split(const Piece& piece) const
    {
        const bool first = piece[0] < corners_;
        const bool second = piece[1] < corners_;
        if (first == second) {
            return 0.5;
        }
        const double whole = length(piece);
        const double share = std::exp2(std::round(std::log2(whole / 2))) / whole;
        return first ? share : 1 - share;
    }

    void split(std::size_t piece)
    {
        const Piece old = pieces_[piece];
        const double share = share_to_split(old);
        const Point3 a = points_[at(old[0])];
        const Point3 b = points_[at(old[1])];
        const int middle = static_cast<int>(points_.size());
        points_.push_back({.x_m = a.x_m + share * (b.x_m - a.x_m),
                           .y_m = a.y_m + share * (b.y_m - a.y_m),
                           .elev_m = elev_between(a, b, share)});
        places_.insert(middle, bounds(std::array{place(middle)}));
        replace(piece, {old[0], middle});
        pieces_.push_back({old[1], middle});
        const std::size_t rest = pieces_.size() - 1;
        circles_.insert(static_cast<int>(rest), circle_box(pieces_[rest]));
        for (const int i : circles_.near(bounds(std::array{place(middle)}))) {
            if (at(i) == piece || at(i) == rest || crowds(middle, pieces_[at(i)])) {
                waiting_.push_back(at(i));
            }
        }
    }

    void replace(std::size_t piece, const Piece& by)
    {
        circles_.erase(static_cast<int>(piece), circle_box(pieces_[piece]));
        pieces_[piece] = by;
        circles_.insert(static_cast<int>(piece), circle_box(by));
    }

    std::vector<Point3>& points_;
    std::vector<Piece>& pieces_;
    std::vector<std::size_t> waiting_;
    int corners_;
    BoxIndex places_;  ///< of points_, by index
    BoxIndex circles_; ///< boxes of the pieces' circles, by index
};

std::vector<bool> lone_spots(std::size_t measured, std::size_t count, const std::vector<Piece>& pieces)
{
    std::vector<bool> lone(count, false);
    std::fill_n(lone.begin(), measured, true);
    for (const auto& piece : pieces) {
        lone[at(piece[0])] = false;
        lone[at(piece[1])] = false;
    }
    return lone;
}

} // namespace

ConformedPoints conform(std::span<const Point3> spots, std::span<const std::vector<Point3>> breaklines)
{
    check_spots(spots);
    check_breaklines(breaklines);
    Places places;
    for (const auto& spot : spots) {
        places.measured(spot);
    }
    if (places.repeated > 0) {
        places.findings.push_back({.severity = Severity::note,
                                   .rule = "ground.same_place",
                                   .text = std::to_string(places.repeated) + " of " + std::to_string(spots.size()) +
                                           " spots repeat an earlier place.",
                                   .at = {},
                                   .station_m = {}});
    }
    const std::size_t measured = places.points.size();
    const auto segments = segments_of(places, breaklines);
    const int given = static_cast<int>(places.points.size());
    add_crossings(places, segments);
    ConformedPoints result;
    const BoxIndex index = index_of(places.points);
    for (const auto& segment : segments) {
        const auto pieces = cut_at_places(places, index, segment, given);
        result.pieces.insert(result.pieces.end(), pieces.begin(), pieces.end());
    }
    make_distinct(result.pieces);
    result.points = std::move(places.points);
    result.findings = std::move(places.findings);
    Splitter(result.points, result.pieces).run();
    make_distinct(result.pieces);
    result.lone_spot = lone_spots(measured, result.points.size(), result.pieces);
    return result;
}

} // namespace trenchwright
