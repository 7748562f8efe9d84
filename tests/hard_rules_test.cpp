// The hard rules of the planned trench, on random yards, by distances of GEOS and plain arithmetic alone.
#include "random_site.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <array>
#include <catch2/catch.hpp>
#include <functional>
#include <limits>
#include <memory>
#include <numbers>

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

constexpr double rounding_m = 1e-5;
constexpr double sampled_m = 0.02;

GEOSContextHandle_t geos()
{
    static const auto context =
        std::unique_ptr<GEOSContextHandle_HS, void (*)(GEOSContextHandle_t)>(GEOS_init_r(), GEOS_finish_r);
    return context.get();
}

GEOSCoordSequence* sequence(const Polyline& points)
{
    std::vector<double> numbers;
    for (const auto& p : points) {
        numbers.insert(numbers.end(), {p.x_m, p.y_m});
    }
    return GEOSCoordSeq_copyFromBuffer_r(geos(), numbers.data(), static_cast<unsigned>(points.size()), 0, 0);
}

Polyline ring_closed(Ring ring)
{
    ring.push_back(ring.front());
    return ring;
}

/// A shape whose distances GEOS measures; areas are 0 away inside.
class Shape {
  public:
    explicit Shape(const Point& p) : made_(GEOSGeom_createPointFromXY_r(geos(), p.x_m, p.y_m)) {}
    explicit Shape(const Polyline& line) : made_(GEOSGeom_createLineString_r(geos(), sequence(line))) {}
    explicit Shape(const Polygon& area)
        : made_(GEOSGeom_createPolygon_r(geos(), GEOSGeom_createLinearRing_r(geos(), sequence(ring_closed(area.outer))),
                                         nullptr, 0))
    {
    }
    Shape(const Shape&) = delete;
    Shape& operator=(const Shape&) = delete;
    Shape(Shape&&) = delete;
    Shape& operator=(Shape&&) = delete;
    ~Shape() { GEOSGeom_destroy_r(geos(), made_); }
    [[nodiscard]] double away_m(const Point& p) const
    {
        const Shape point(p);
        return away_m(point);
    }
    [[nodiscard]] double away_m(const Shape& other) const
    {
        double away = -1;
        GEOSDistance_r(geos(), made_, other.made_, &away);
        return away;
    }

  private:
    GEOSGeometry* made_;
};

/// A random lot with more to keep away from, and rules that differ from yard to yard.
struct RuledYard {
    RandomLot lot;
    Job job;
    double footing_edge_m = 0;
    double footing_bottom_elev_m = 0;
};

void add_reserves(Site& site, Draws& draw)
{
    const auto place = [&] { return Point{.x_m = draw.between(2, 22), .y_m = draw.between(8, 17)}; };
    if (draw.below(2) == 0) {
        site.wells.push_back({.id = "W", .place = place(), .holder = "", .origin = {}});
    }
    if (draw.below(2) == 0) {
        const Point p = place();
        site.septic.push_back(
            {.id = "S", .place = Polygon{rectangle(p.x_m, p.y_m, 2, 1.5), {}}, .holder = "", .origin = {}});
    }
    if (draw.below(2) == 0) {
        const Point p = place();
        site.easements.push_back(
            {.id = "E", .place = Polyline{p, {.x_m = p.x_m + 3, .y_m = p.y_m + 2}}, .holder = "", .origin = {}});
    }
}

/// A keep-out that leaves narrow ways along the lot's sides, paving across it, a line nobody may cross.
void add_bars(Site& site, Draws& draw)
{
    if (draw.below(2) == 0) {
        const double left = draw.between(1.5, 4);
        const double wide = 24 - left - draw.between(1.5, 4);
        site.keep_outs.push_back(
            {.id = "B", .reason = "wall", .area = {rectangle(left, draw.between(9, 14), wide, 1), {}}, .origin = {}});
    }
    if (draw.below(2) == 0) {
        site.surfaces.push_back({.kind = draw.below(2) == 0 ? "driveway" : "sidewalk",
                                 .area = {rectangle(0, draw.between(9, 15), 24, draw.between(1, 3)), {}},
                                 .origin = {}});
    }
    if (draw.below(3) == 0) {
        const Point p{.x_m = draw.between(4, 16), .y_m = draw.between(9, 16)};
        Mark mark;
        mark.id = "N";
        mark.facility = Facility::communication;
        mark.line = {p, {.x_m = p.x_m + 4, .y_m = p.y_m + draw.between(-1, 1)}};
        mark.may_cross = false;
        mark.ends_seen = true;
        site.marks.push_back(mark);
    }
    for (auto& mark : site.marks) {
        if (mark.may_cross && draw.below(3) > 0) {
            mark.exposed_depth_m = draw.between(0.2, 0.7);
            mark.width_m = draw.between(0.03, 0.15);
            mark.quality = QualityLevel::a;
        }
    }
}

void draw_rules(Rules& rules, Draws& draw)
{
    auto& route = rules.route;
    rules.cures.look = false;
    route.cell_m = 0.35;
    route.setbacks.lot_line = {.distance_m = draw.between(0.3, 1.5), .hard = true};
    route.setbacks.well = {.distance_m = draw.between(0.5, 2.5), .hard = true};
    route.setbacks.septic = {.distance_m = draw.between(0.5, 2.5), .hard = true};
    route.setbacks.easement = {.distance_m = draw.between(0, 1), .hard = true};
    route.foundation_clearance_m = draw.between(0.3, 1.5);
    route.keep_out_clearance_m = draw.between(0.1, 0.6);
    route.tree_keep_out_factor = draw.between(3, 8);
    route.deepest_cut_m = 1.6;
    for (const char* kind : {"driveway", "sidewalk"}) {
        route.surfaces.at(kind).slab_m = draw.between(0.1, 0.3);
        route.surfaces.at(kind).min_cover_m = 0.1;
    }
    for (auto& [facility, asked] : rules.clearances.by_facility) {
        asked = {.crossing_m = draw.between(0.05, 0.2),
                 .crossing_hard = true,
                 .side_m = draw.between(0.6, 1.1),
                 .side_hard = true};
    }
    derive_dependent_rules(rules);
}

RuledYard ruled_yard(unsigned seed)
{
    RuledYard yard{.lot = random_lot(seed), .job = {}};
    Draws draw(seed + 5000);
    add_reserves(yard.lot.site, draw);
    add_bars(yard.lot.site, draw);
    yard.job.rules = default_rules();
    draw_rules(yard.job.rules, draw);
    const auto& house = yard.lot.site.foundations[0].outer;
    yard.footing_edge_m = 0.15;
    // Beside the front wall the ground is lowest: a footing not far below it, so that deep trenches must keep off.
    yard.footing_bottom_elev_m = yard.lot.ground.elev_m(house[0]) - draw.between(0.3, 0.6);
    yard.job.footing = FootingRecord{.bottom_elev_m = yard.footing_bottom_elev_m, .outer_edge_m = yard.footing_edge_m};
    return yard;
}

/// A place in the trench: on its axis, at its edges, or the outer corner of a bend.
struct Sample {
    Point at;
    Point axis;
    double station_m = 0;
    std::size_t run = 0;
    double invert_elev_m = 0;
};

Point moved(const Point& p, double x_m, double y_m)
{
    return {.x_m = p.x_m + x_m, .y_m = p.y_m + y_m};
}

double invert_of(const TrenchPlan& trench, double station_m)
{
    const auto& points = trench.laid.profile.points;
    for (std::size_t i = 1; i < points.size(); ++i) {
        if (station_m <= points[i].station_m) {
            const auto& a = points[i - 1];
            const auto& b = points[i];
            return a.invert_elev_m +
                   (b.invert_elev_m - a.invert_elev_m) * (station_m - a.station_m) / (b.station_m - a.station_m);
        }
    }
    return points.back().invert_elev_m;
}

double gone_m(const Point& a, const Point& b)
{
    return std::hypot(b.x_m - a.x_m, b.y_m - a.y_m);
}

/// The outer corner of a bend, where the edges of the two runs meet.
Point outer_corner(const Point& a, const Point& b, const Point& c, double half_m)
{
    const double in = gone_m(a, b);
    const double out = gone_m(b, c);
    const double ux = (b.x_m - a.x_m) / in - (c.x_m - b.x_m) / out; // against the way the line turns
    const double uy = (b.y_m - a.y_m) / in - (c.y_m - b.y_m) / out;
    const double long_u = std::hypot(ux, uy);
    const double dot = ((b.x_m - a.x_m) * (c.x_m - b.x_m) + (b.y_m - a.y_m) * (c.y_m - b.y_m)) / (in * out);
    const double away = half_m / std::sqrt((1 + dot) / 2);
    return long_u > 0 ? moved(b, ux / long_u * away, uy / long_u * away) : b;
}

std::vector<Sample> samples_of(const TrenchPlan& trench, double half_m, bool corners)
{
    std::vector<Sample> samples;
    const auto& line = trench.line.route.line;
    double from = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double run = gone_m(line[i - 1], line[i]);
        const double ux = (line[i].x_m - line[i - 1].x_m) / run;
        const double uy = (line[i].y_m - line[i - 1].y_m) / run;
        const int steps = static_cast<int>(std::ceil(run / sampled_m));
        for (int k = 0; k <= steps; ++k) {
            const double on = run * k / steps;
            const Point axis = moved(line[i - 1], ux * on, uy * on);
            for (const double side : {-half_m, 0.0, half_m}) {
                samples.push_back({.at = moved(axis, -uy * side, ux * side),
                                   .axis = axis,
                                   .station_m = from + on,
                                   .run = i,
                                   .invert_elev_m = invert_of(trench, from + on)});
            }
        }
        from += run;
        if (corners && i + 1 < line.size()) {
            samples.push_back({.at = outer_corner(line[i - 1], line[i], line[i + 1], half_m),
                               .axis = line[i],
                               .station_m = from,
                               .run = i,
                               .invert_elev_m = invert_of(trench, from)});
        }
    }
    return samples;
}

/// What one rule was asked of, and what came out.
struct Tally {
    long long asked = 0;
    long long close = 0; ///< within a foot of the limit
    long long breaches = 0;
    double worst_m = std::numeric_limits<double>::infinity();
    std::string where = {};

    void take(double spare_m, const Point& at, const char* what)
    {
        ++asked;
        close += spare_m < 0.3 ? 1 : 0;
        breaches += spare_m < -rounding_m ? 1 : 0;
        if (spare_m < worst_m) {
            worst_m = spare_m;
            where = std::string(what) + " at " + std::to_string(at.x_m) + ", " + std::to_string(at.y_m);
        }
    }
};

/// A planned trench, and the figures it is held against.
struct Asked {
    const RuledYard& yard; ///< its rules are the strict ones
    const TrenchPlan& trench;
    const std::vector<Mark>& marks;
    std::vector<Sample> wide;
    std::vector<Sample> pipe;

    Asked(const RuledYard& y, const TrenchPlan& t, const std::vector<Mark>& m)
        : yard(y), trench(t), marks(m), wide(samples_of(t, y.job.rules.route.section.width_m / 2, true)),
          pipe(samples_of(t, y.job.rules.route.section.outside_diameter_m / 2, false))
    {
    }
    [[nodiscard]] const Site& site() const { return yard.lot.site; }
    [[nodiscard]] const RouteRules& route() const { return yard.job.rules.route; }
};

void keep_off(const Asked& asked, const Shape& shape, double required_m, const char* what, Tally& tally)
{
    for (const auto& sample : asked.wide) {
        tally.take(shape.away_m(sample.at) - required_m, sample.at, what);
    }
}

void lot_line(const Asked& asked, Tally& tally)
{
    keep_off(asked, Shape(ring_closed(asked.site().parcel[0].outer)), asked.route().setbacks.lot_line.distance_m,
             "lot line", tally);
}

void foundation(const Asked& asked, Tally& tally)
{
    const Shape house(asked.site().foundations[0]);
    for (const auto& sample : asked.wide) {
        if (gone_m(sample.axis, asked.site().sources[0].at) > asked.route().wall_exit_length_m) {
            tally.take(house.away_m(sample.at) - asked.route().foundation_clearance_m, sample.at, "foundation");
        }
    }
}

void keep_outs(const Asked& asked, Tally& tally)
{
    for (const auto& keep_out : asked.site().keep_outs) {
        keep_off(asked, Shape(keep_out.area), asked.route().keep_out_clearance_m, "keep-out", tally);
    }
}

void trees(const Asked& asked, Tally& tally)
{
    for (const auto& tree : asked.site().trees) {
        keep_off(asked, Shape(tree.at), asked.route().tree_keep_out_factor * tree.trunk_diameter_m, "tree", tally);
    }
}

void reserves(const Asked& asked, Tally& tally)
{
    const auto each = [&](const std::vector<Reserve>& all, const SetbackRule& rule, const char* what) {
        for (const auto& one : all) {
            std::visit([&](const auto& place) { keep_off(asked, Shape(place), rule.distance_m, what, tally); },
                       one.place);
        }
    };
    const auto& rules = asked.route().setbacks;
    each(asked.site().wells, rules.well, "well");
    each(asked.site().septic, rules.septic, "septic");
    each(asked.site().easements, rules.easement, "easement");
}

void no_right(const Asked& asked, Tally& tally)
{
    for (const auto& mark : asked.site().marks) {
        if (!mark.may_cross) {
            keep_off(asked, Shape(mark.line), asked.route().tolerance_m + mark.width_m.value_or(0) / 2,
                     "mark without right", tally);
        }
    }
}

void wedge(const Asked& asked, Tally& tally)
{
    if (asked.yard.job.footing && asked.trench.wedge_kept.has_value() == false && !asked.trench.safety.wedge.empty()) {
        return; // no trench keeps it, and the plan says STOP
    }
    const auto& house = asked.site().foundations[0].outer;
    const double edge = asked.yard.footing_edge_m;
    const Shape footing(
        Polygon{rectangle(house[0].x_m - edge, house[0].y_m - edge, house[1].x_m - house[0].x_m + 2 * edge,
                          house[2].y_m - house[1].y_m + 2 * edge),
                {}});
    const double let_off = asked.trench.wedge_kept ? asked.trench.wedge_kept->let_off_m : 0;
    const auto& section = asked.route().section;
    for (const auto& sample : asked.wide) {
        if (let_off > 0 && gone_m(sample.axis, asked.site().sources[0].at) <= let_off + 0.1) {
            continue;
        }
        const double bottom = sample.invert_elev_m - section.wall_m - section.bedding_m;
        const double lowest =
            asked.yard.footing_bottom_elev_m - footing.away_m(sample.at) / asked.yard.job.rules.safety.wedge_ratio;
        tally.take(bottom - lowest, sample.at, "wedge");
    }
}

/// Cover over the pipe in the lawn and under paving, its slab and gap too, by the last patch that holds the place.
void cover(const Asked& asked, Tally& tally)
{
    const auto& route = asked.route();
    const bool lowest = !asked.trench.laid.problem.wanted_cover_m.empty();
    for (std::size_t k = 1; k < asked.pipe.size(); k += 3) { // the axis, where the pipe's top is
        const auto& sample = asked.pipe[k];
        std::string kind = route.default_surface;
        bool at_edge = false;
        for (const auto& patch : asked.site().surfaces) {
            const auto& ring = patch.area.outer;
            const double in = std::min({sample.at.x_m - ring[0].x_m, ring[2].x_m - sample.at.x_m,
                                        sample.at.y_m - ring[0].y_m, ring[2].y_m - sample.at.y_m});
            at_edge = at_edge || std::abs(in) < rounding_m;
            kind = in > 0 ? patch.kind : kind;
        }
        const auto& surface = route.surfaces.at(kind);
        const double own = lowest && surface.lowest_cover_m > 0 ? std::min(surface.min_cover_m, surface.lowest_cover_m)
                                                                : surface.min_cover_m;
        const double required = std::max(own, surface.slab_m > 0 ? surface.slab_m + route.slab_gap_m : 0);
        const double top = sample.invert_elev_m - route.section.wall_m + route.section.outside_diameter_m;
        if (!at_edge) {
            tally.take(asked.yard.lot.ground.elev_m(sample.at) - top - required, sample.at, kind.c_str());
        }
    }
}

/// Where axis and mark meet, both straight; by the signs of four areas.
std::optional<Point> meeting(const Point& a, const Point& b, const Point& c, const Point& d)
{
    const auto side = [](const Point& p, const Point& q, const Point& r) {
        return (q.x_m - p.x_m) * (r.y_m - p.y_m) - (q.y_m - p.y_m) * (r.x_m - p.x_m);
    };
    const double from = side(c, d, a);
    const double to = side(c, d, b);
    if ((from > 0) == (to > 0) || (side(a, b, c) > 0) == (side(a, b, d) > 0)) {
        return std::nullopt;
    }
    const double share = from / (from - to);
    return moved(a, share * (b.x_m - a.x_m), share * (b.y_m - a.y_m));
}

double between_rad(const Point& a, const Point& b, const Point& c, const Point& d)
{
    const double dot = (b.x_m - a.x_m) * (d.x_m - c.x_m) + (b.y_m - a.y_m) * (d.y_m - c.y_m);
    return std::acos(std::min(1.0, std::abs(dot) / (gone_m(a, b) * gone_m(c, d))));
}

std::vector<std::pair<std::size_t, Point>> meetings(const Asked& asked, const Mark& mark)
{
    std::vector<std::pair<std::size_t, Point>> met;
    const auto& line = asked.trench.line.route.line;
    for (std::size_t i = 1; i < line.size(); ++i) {
        for (std::size_t k = 1; k < mark.line.size(); ++k) {
            if (const auto at = meeting(line[i - 1], line[i], mark.line[k - 1], mark.line[k])) {
                met.emplace_back(i, *at);
            }
        }
    }
    return met;
}

/// Spare is given in radians, which stand for meters here.
void crossing_angle(const Asked& asked, Tally& tally)
{
    const auto& line = asked.trench.line.route.line;
    for (const auto& mark : asked.marks) {
        for (const auto& [run, at] : meetings(asked, mark)) {
            tally.take(between_rad(line[run - 1], line[run], mark.line[0], mark.line[1]) -
                           asked.route().min_crossing_angle_rad,
                       at, "crossing angle");
        }
    }
}

void vertical_gap(const Asked& asked, Tally& tally)
{
    const auto& section = asked.route().section;
    for (const auto& mark : asked.marks) {
        const auto met = meetings(asked, mark);
        if (met.size() != 1 || !mark.exposed_depth_m || mark.quality != QualityLevel::a) {
            continue;
        }
        const Shape line(mark.line);
        const double top = asked.yard.lot.ground.elev_m(met[0].second) - *mark.exposed_depth_m;
        for (const auto& sample : asked.pipe) {
            if (line.away_m(sample.at) < *mark.width_m / 2) {
                const double under = sample.invert_elev_m - section.wall_m;
                const double gap = std::max(under - top, top - *mark.width_m - under - section.outside_diameter_m);
                tally.take(gap - asked.yard.job.rules.clearances.by_facility.at(mark.facility).crossing_m, sample.at,
                           "vertical gap");
            }
        }
    }
}

/// A stretch of pipe nearer to a mark than its side gap is let be only where it passes once to the other side, or is
/// the corner of a bend, shorter than the least straight run.
void side_gap(const Asked& asked, Tally& tally)
{
    const auto& rules = asked.yard.job.rules;
    const auto& line = asked.trench.line.route.line;
    for (const auto& mark : asked.marks) {
        const double required = rules.clearances.by_facility.at(mark.facility).side_m +
                                mark.width_m.value_or(rules.clearances.unknown_width_m) / 2;
        const Shape shape(mark.line);
        const auto met = meetings(asked, mark);
        double from = -1;
        double least = 0;
        bool crosses = false;
        for (std::size_t k = 0; k + 2 < asked.pipe.size(); k += 3) {
            double spare = std::numeric_limits<double>::infinity();
            for (std::size_t s = k; s < k + 3; ++s) {
                spare = std::min(spare, shape.away_m(asked.pipe[s].at) - required);
            }
            const auto& here = asked.pipe[k + 1];
            if (spare >= 0) {
                from = -1;
                tally.take(spare, here.at, "beside a mark");
                continue;
            }
            if (from < 0) {
                from = here.station_m;
                crosses = false;
                least = 0;
            }
            least = std::min(least, spare);
            double passed = 0;
            for (std::size_t i = 1; i < line.size(); ++i) {
                passed += gone_m(line[i - 1], line[i]);
                for (const auto& [run, at] : met) {
                    const double station = passed - gone_m(at, line[i]);
                    crosses = crosses || (run == i && std::abs(station - here.station_m) <= 4 * required);
                }
            }
            const bool runs = here.station_m - from >= asked.route().min_run_m + 2 * sampled_m;
            tally.take(runs && !crosses ? least : 0, here.at, "along a mark");
        }
    }
}

struct HardRule {
    const char* name;
    void (*ask)(const Asked&, Tally&);
    void (*weaken)(RuledYard&);
};

void let_gaps_go(RuledYard& yard)
{
    for (auto& [facility, asked] : yard.job.rules.clearances.by_facility) {
        asked = {};
    }
    yard.job.rules.route.parallel_per_m = 0;
    derive_dependent_rules(yard.job.rules);
}

const std::array<HardRule, 11> hard_rules{{
    {"lot line", lot_line, [](RuledYard& y) { y.job.rules.route.setbacks.lot_line.hard = false; }},
    {"foundation", foundation, [](RuledYard& y) { y.job.rules.route.foundation_clearance_m = 0; }},
    {"keep-outs", keep_outs, [](RuledYard& y) { y.job.rules.route.keep_out_clearance_m = 0; }},
    {"trees", trees, [](RuledYard& y) { y.job.rules.route.tree_keep_out_factor = 0; }},
    {"wells, septic parts, easements", reserves,
     [](RuledYard& y) {
         auto& asked = y.job.rules.route.setbacks;
         asked.well.hard = asked.septic.hard = asked.easement.hard = false;
     }},
    {"marks without crossing right", no_right,
     [](RuledYard& y) {
         for (auto& mark : y.lot.site.marks) {
             mark.may_cross = true;
         }
     }},
    {"footing wedge", wedge, [](RuledYard& y) { y.job.footing.reset(); }},
    {"slab and cover", cover,
     [](RuledYard& y) {
         for (auto& [kind, surface] : y.job.rules.route.surfaces) {
             surface.slab_m = 0;
         }
     }},
    {"crossing angle", crossing_angle,
     [](RuledYard& y) {
         let_gaps_go(y);
         y.job.rules.route.min_crossing_angle_rad = 0;
     }},
    {"vertical gap", vertical_gap, let_gaps_go},
    {"side gap", side_gap, let_gaps_go},
}};

/// Plans a yard by its rules and asks it by those of another.
template <class Ask> bool asked_of(const RuledYard& planned, const RuledYard& strict, const Ask& ask)
{
    const JobPlan plan = plan_site(planned.lot.site, planned.job);
    const auto* trench = std::get_if<TrenchPlan>(&plan.outcomes[0].by_source[0]);
    if (trench != nullptr) {
        ask(Asked(strict, *trench, plan.site.marks));
    }
    return trench != nullptr;
}

} // namespace

TEST_CASE("no place of a planned trench breaks a hard rule by exact distance, on random yards", "[hard]")
{
    std::array<Tally, hard_rules.size()> tallies;
    long long places = 0;
    int planned = 0;
    for (unsigned seed = 0; seed < 90; ++seed) {
        const RuledYard yard = ruled_yard(seed);
        planned += asked_of(yard, yard,
                            [&](const Asked& asked) {
                                places += static_cast<long long>(asked.wide.size());
                                for (std::size_t i = 0; i < hard_rules.size(); ++i) {
                                    const auto before = tallies[i].breaches;
                                    hard_rules[i].ask(asked, tallies[i]);
                                    INFO("yard " << seed << ", " << hard_rules[i].name << ": " << tallies[i].worst_m
                                                 << " " << tallies[i].where);
                                    CHECK(tallies[i].breaches == before);
                                }
                            })
                       ? 1
                       : 0;
    }
    INFO(planned << " yards planned");
    CHECK(places >= 100'000);
    for (std::size_t i = 0; i < hard_rules.size(); ++i) {
        INFO(hard_rules[i].name << ": asked " << tallies[i].asked << ", close " << tallies[i].close);
        CHECK(tallies[i].close > 0); // the yards do come near to every rule
    }
}

TEST_CASE("each hard rule is broken on some yard once it is weakened", "[hard]")
{
    for (const auto& rule : hard_rules) {
        Tally tally;
        for (unsigned seed = 0; seed < 90 && tally.breaches == 0; ++seed) {
            const RuledYard strict = ruled_yard(seed);
            RuledYard weak = strict;
            rule.weaken(weak);
            asked_of(weak, strict, [&](const Asked& asked) { rule.ask(asked, tally); });
        }
        INFO(rule.name);
        CHECK(tally.breaches > 0);
    }
}
