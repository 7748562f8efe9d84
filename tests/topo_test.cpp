#include "plain_rules.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/ground/ground.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <limits>
#include <list>
#include <random>
#include <sstream>

using namespace trenchwright;

// Open data: MASS::topo, 52 surveyed heights in feet, exported by export_heights.R. Expected figures are
// those of docs/sources.md, X1, found with two independent programs (scipy / qhull and R deldir,
// R interp, gdal_grid). Feet stand in for meters: the ground does not know its unit.

namespace {

std::vector<Point3> read_heights()
{
    const std::string name = TRENCHWRIGHT_BINARY_DIR "/testdata/topo.csv";
    std::ifstream file(name);
    INFO(name << " is missing: run it through ctest, with the Debian packages r-base-core and r-cran-mass installed");
    REQUIRE(file);
    std::vector<Point3> spots;
    std::string line;
    std::getline(file, line);
    REQUIRE(line == "\"x\",\"y\",\"z\"");
    while (std::getline(file, line)) {
        std::replace(line.begin(), line.end(), ',', ' ');
        std::istringstream fields(line);
        Point3 p;
        REQUIRE(fields >> p.x_m >> p.y_m >> p.elev_m);
        spots.push_back(p);
    }
    return spots;
}

struct Corners {
    Point3 a, b, c;
};

std::vector<Corners> faces(const Ground& ground)
{
    std::vector<Corners> result;
    const auto at = [&](int i) { return ground.points()[static_cast<std::size_t>(i)]; };
    for (const auto& t : ground.triangles()) {
        result.push_back({at(t.a), at(t.b), at(t.c)});
    }
    return result;
}

double area(const Corners& t)
{
    return area_m2({.outer = {flat(t.a), flat(t.b), flat(t.c)}, .holes = {}});
}

double hull_area(const Ground& ground)
{
    double sum = 0;
    for (const auto& t : faces(ground)) {
        sum += area(t);
    }
    return sum;
}

/// Volume down to elevation 0: a prism with a slanting top has its base times the mean height of its edges.
double volume(const Ground& ground)
{
    double sum = 0;
    for (const auto& t : faces(ground)) {
        sum += area(t) * (t.a.elev_m + t.b.elev_m + t.c.elev_m) / 3;
    }
    return sum;
}

/// Brute force over all triangles.
std::optional<double> elev_by_search(const Ground& ground, const Point& p)
{
    for (const auto& t : faces(ground)) {
        const auto part = [&](const Point3& u, const Point3& v) {
            return (v.x_m - u.x_m) * (p.y_m - u.y_m) - (v.y_m - u.y_m) * (p.x_m - u.x_m);
        };
        const double c = part(t.a, t.b), a = part(t.b, t.c), b = part(t.c, t.a);
        if (a >= 0 && b >= 0 && c >= 0) {
            return (a * t.a.elev_m + b * t.b.elev_m + c * t.c.elev_m) / (a + b + c);
        }
    }
    return std::nullopt;
}

/// Strictly: three heights of this lot lie on the straight hull edge between their neighbors.
bool lies_inside(const Ground& ground, const Point& p)
{
    const double near = 1e-3;
    return ground.elev_m({p.x_m + near, p.y_m}) && ground.elev_m({p.x_m - near, p.y_m}) &&
           ground.elev_m({p.x_m, p.y_m + near}) && ground.elev_m({p.x_m, p.y_m - near});
}

} // namespace

TEST_CASE("the surveyed lot of R's MASS package has the triangles other programs find", "[topo]")
{
    const auto spots = read_heights();
    REQUIRE(spots.size() == 52);
    CHECK(spots.front() == Point3{15, 305, 870});
    const auto ground = Ground::from_spots(spots, {});
    CHECK(ground.points().size() == 52);
    CHECK(ground.findings().empty());
    CHECK(ground.triangles().size() == 87);
    CHECK(hull_area(ground) == Approx(89975).epsilon(1e-12));
    CHECK(volume(ground) == Approx(74820375).epsilon(1e-12));
    CHECK(volume(ground) / hull_area(ground) == Approx(831.5685).margin(5e-5));
    double sum = 0;
    for (const auto& p : ground.points()) {
        sum += p.elev_m;
    }
    CHECK(sum / 52 == Approx(827.0769).margin(5e-5));
}

TEST_CASE("elevations of the surveyed lot are those of R interp, scipy and gdal_grid", "[topo]")
{
    const auto ground = Ground::from_spots(read_heights(), {});
    CHECK(ground.elev_m({100, 100}).value() == Approx(839.4444).margin(5e-5));
    CHECK(ground.elev_m({155, 155}).value() == Approx(820.6226).margin(5e-5));
    CHECK(ground.elev_m({250, 60}).value() == Approx(890.2500).margin(5e-5));
    CHECK(ground.elev_m({60, 250}).value() == Approx(809.9588).margin(5e-5));
    CHECK(ground.elev_m({157.5, 157.5}).value() == Approx(819.0825).margin(5e-5));
    for (const auto& p : ground.points()) {
        REQUIRE(ground.elev_m(flat(p)).value() == Approx(p.elev_m).epsilon(1e-12));
    }
}

TEST_CASE("elevations all over the surveyed lot are those of a search through every triangle", "[topo]")
{
    const auto ground = Ground::from_spots(read_heights(), {});
    std::mt19937 random(1);
    std::uniform_real_distribution<double> feet(-10, 330);
    int outside = 0;
    for (int i = 0; i < 20000; ++i) {
        const double x = feet(random);
        const Point p{.x_m = x, .y_m = feet(random)};
        const auto expected = elev_by_search(ground, p);
        const auto found = ground.elev_m(p);
        REQUIRE(found.has_value() == expected.has_value());
        outside += !found;
        if (found) {
            REQUIRE(*found == Approx(*expected).epsilon(1e-12));
        }
        REQUIRE((ground.outside_by_m(p) == 0) == found.has_value());
    }
    // The hull is 89975 of 340 x 340 ft2: 22 % lie outside.
    CHECK(outside / 20000.0 == Approx(1 - 89975.0 / (340 * 340)).margin(0.015));
}

TEST_CASE("the surveyed lot shifted to state-plane coordinates is the same ground", "[topo]")
{
    // docs/sources.md, A2's shift.
    auto spots = read_heights();
    const auto ground = Ground::from_spots(spots, {});
    for (auto& p : spots) {
        p.x_m += 2963503.91;
        p.y_m += 254759.80;
    }
    const auto shifted = Ground::from_spots(spots, {});
    CHECK(shifted.triangles().size() == 87);
    CHECK(hull_area(shifted) == Approx(89975).margin(1e-3));
    CHECK(shifted.elev_m({2963503.91 + 155, 254759.80 + 155}).value() ==
          Approx(ground.elev_m({155, 155}).value()).margin(1e-6));
}

TEST_CASE("a profile across the surveyed lot is the ground, without gap, and straight between its points", "[topo]")
{
    const auto ground = Ground::from_spots(read_heights(), {});
    const Polyline line{{40, 40}, {155, 155}, {200, 60}, {270, 250}};
    const double step = std::numeric_limits<double>::infinity();
    const auto profile = ground.along(line, step).value();
    CHECK(profile.front().station_m == 0);
    CHECK(profile.back().station_m == Approx(length_m(line)).epsilon(1e-15));
    CHECK(profile.size() > 20); // 87 triangles: each run meets several edges
    for (std::size_t i = 1; i < profile.size(); ++i) {
        const auto& from = profile[i - 1];
        const auto& to = profile[i];
        REQUIRE(from.station_m < to.station_m);
        for (const double share : {0.25, 0.5, 0.75}) {
            const double station = from.station_m + share * (to.station_m - from.station_m);
            const double elev = from.elev_m + share * (to.elev_m - from.elev_m);
            REQUIRE(elev == Approx(elev_by_search(ground, point_at(line, station)).value()).epsilon(1e-10));
        }
    }
    CHECK_FALSE(ground.along({{40, 40}, {155, 155}, {400, 155}}, step));
}

TEST_CASE("leaving out each height of the surveyed lot in turn gives the same error as building 51-point grounds",
          "[topo]")
{
    const auto spots = read_heights();
    double squares = 0, count = 0;
    for (std::size_t i = 0; i < spots.size(); ++i) {
        auto others = spots;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
        const auto ground = Ground::from_spots(others, {});
        const auto without = ground.elev_m(flat(spots[i]));
        if (without && lies_inside(ground, flat(spots[i]))) {
            squares += (*without - spots[i].elev_m) * (*without - spots[i].elev_m);
            ++count;
        }
    }
    CHECK(count > 30);
    const auto rms = Ground::from_spots(spots, {}).leave_one_out_rms_m();
    CHECK(rms.value() == Approx(std::sqrt(squares / count)).epsilon(1e-9));
}

// --- a route across the hill --------------------------------------------------------------------

namespace {

/// The hill in meters with a lot over it, nothing else.
Site hill_site(const Point& from, const Point& to, double lowest_invert_elev_m)
{
    Site site;
    site.parcel.push_back(
        {.outer = {{.x_m = 3, .y_m = 0}, {.x_m = 96, .y_m = 0}, {.x_m = 96, .y_m = 95}, {.x_m = 3, .y_m = 95}},
         .holes = {}});
    site.sources.push_back({});
    site.sources[0].id = "S";
    site.sources[0].at = from;
    site.outlets.push_back({});
    site.outlets[0].name = "O";
    site.outlets[0].place = to;
    site.outlets[0].lowest_invert_elev_m = lowest_invert_elev_m;
    return site;
}

Ground hill_ground()
{
    auto spots = read_heights();
    for (auto& p : spots) {
        p = {.x_m = p.x_m * ft_in_m, .y_m = p.y_m * ft_in_m, .elev_m = p.elev_m * ft_in_m};
    }
    return Ground::from_spots(spots, {});
}

/// Labels without any bound: every state keeps all (cost, invert) pairs that no other beats, until nothing changes.
std::int64_t by_label_correcting(const test::Yard& yard)
{
    struct Work {
        int cell;
        int heading;
        test::Carried at;
    };
    const auto& l = yard.lattice;
    std::vector<std::vector<test::Carried>> kept(l.step_cost_micro.size());
    std::list<Work> open;
    std::int64_t best = std::numeric_limits<std::int64_t>::max();
    const auto offer = [&](int cell, int heading, test::Carried at) {
        auto& here = kept[static_cast<std::size_t>(cell * l.headings + heading)];
        for (const auto& other : here) {
            if (other.cost_micro <= at.cost_micro && other.invert_um >= at.invert_um) {
                return;
            }
        }
        std::erase_if(here, [&](const test::Carried& other) {
            return at.cost_micro <= other.cost_micro && at.invert_um >= other.invert_um;
        });
        here.push_back(at);
        open.push_back({cell, heading, at});
    };
    for (const auto& start : yard.starts) {
        offer(start.cell, start.heading, {.cost_micro = start.cost_micro, .invert_um = start.invert_um});
    }
    while (!open.empty()) {
        const Work work = open.front();
        open.pop_front();
        if (const auto cost = test::at_end(yard, work.cell, work.heading, work.at)) {
            best = std::min(best, *cost);
        }
        test::for_moves(yard, work.cell, work.heading, [&](const test::Move& move, int to) {
            if (const auto next = test::after_move(yard, move, work.at)) {
                offer(to, move.heading, *next);
            }
        });
    }
    return best;
}

} // namespace

TEST_CASE("a route over the surveyed hill costs what an exhaustive label method finds", "[topo]")
{
    const Ground ground = hill_ground();
    const Point from{.x_m = 15, .y_m = 15};
    const Site site = hill_site(from, {.x_m = 75, .y_m = 75}, 0);
    RouteRules rules = default_rules().route;
    rules.cell_m = 6;
    rules.min_run_m = 6;
    rules.deepest_cut_m = 4;
    int compared = 0;
    for (const double min_fall : {0.001, 0.02, 0.05, 0.1}) {
        rules.min_fall_ratio = min_fall;
        const std::vector<Point> extent{from, site.parcel[0].outer[0], site.parcel[0].outer[2]};
        test::Yard yard;
        yard.lattice = lay_lattice(site, ground, {}, rules, extent, 0);
        const auto& l = yard.lattice;
        const auto cell_at = [&](double x, double y) {
            int best = 0;
            for (int cell = 0; cell < l.cells(); ++cell) {
                const bool nearer =
                    distance_m(l.at(cell), {.x_m = x, .y_m = y}) < distance_m(l.at(best), {.x_m = x, .y_m = y});
                best = l.open[static_cast<std::size_t>(cell)] != 0 && nearer ? cell : best;
            }
            return best;
        };
        for (const auto& [x, y] : {std::pair{75.0, 75.0}, std::pair{30.0, 80.0}, std::pair{80.0, 20.0}}) {
            // From the higher place to the lower one.
            int start = cell_at(from.x_m, from.y_m);
            int end = cell_at(x, y);
            const auto elev = [&](int cell) { return l.highest_um[static_cast<std::size_t>(cell)]; };
            if (elev(start) < elev(end)) {
                std::swap(start, end);
            }
            yard.starts.clear();
            yard.finishes.clear();
            for (int h = 0; h < 8; ++h) {
                yard.starts.push_back({.cell = start, .heading = h, .cost_micro = 0, .invert_um = elev(start)});
                yard.finishes.push_back(
                    {.cell = end, .heading = h, .lowest_um = elev(end) - 2'000'000, .highest_um = elev(end)});
                yard.finishes.back().cut_zero_um = l.cut_zero_um[static_cast<std::size_t>(end)];
            }
            const auto outcome = cheapest_draining_path(yard.problem());
            const auto* path = std::get_if<FoundPath>(&outcome);
            const auto none = std::numeric_limits<std::int64_t>::max();
            INFO("fall " << min_fall << " to " << x << ", " << y);
            CHECK((path != nullptr ? path->cost_micro : none) == by_label_correcting(yard));
            compared += path != nullptr ? 1 : 0;
        }
    }
    CHECK(compared >= 6);
}

TEST_CASE("the price of a trench over the surveyed hill is confirmed by slicing it every centimetre", "[topo]")
{
    const Ground ground = hill_ground();
    RouteRules rules = default_rules().route;
    rules.deepest_cut_m = 6;
    rules.outside_lot = OutsideLot::not_neighbors;
    const Point from{.x_m = 30, .y_m = 20};
    const Point to{.x_m = 62, .y_m = 60};
    const bool down = *ground.elev_m(from) > *ground.elev_m(to);
    const Site site = hill_site(down ? from : to, down ? to : from, 0);
    const auto prep = prepare_routes(site, ground, rules);
    const auto outcome = plan_route(*prep, site, ground, site.sources[0], site.outlets[0], rules, UnitSystem::metric);
    REQUIRE(std::holds_alternative<Route>(outcome));
    const auto& route = std::get<Route>(outcome);
    const double length = length_m(route.line);
    const auto& lawn = rules.surfaces.at("lawn");
    double price = (rules.pipe_per_m + rules.machine_per_m + rules.restore_width_m * lawn.restore_per_m2) * length;
    for (const auto& bend : bends(route.line, rules)) {
        price += bend.price;
    }
    double invert = 1e9;
    const int slices = static_cast<int>(length * 100);
    for (int i = 0; i < slices; ++i) {
        const double station = length * (1 - (i + 0.5) / slices); // downstream
        const double elev = *ground.elev_m(point_at(route.line, station));
        invert = std::min(invert - rules.min_fall_ratio * length / slices,
                          elev - lawn.min_cover_m - rules.section.outside_diameter_m + rules.section.wall_m);
        const double cut = elev - invert + rules.section.wall_m + rules.section.bedding_m;
        price += length / slices * rules.section.width_m * cut * rules.machine_per_m3;
    }
    CHECK(route.cost == Approx(price).epsilon(2e-3));
}
