#include "geom/measure.hpp"
#include "ground/ground.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <limits>
#include <random>
#include <sstream>

using namespace trenchwright;

// Open data: MASS::topo, 52 surveyed heights in feet, exported by export_heights.R. Expected figures are
// those of gis-notes section 1, found there with two independent programs (scipy / qhull and R deldir,
// R interp, gdal_grid). Feet stand in for metres: the ground does not know its unit.

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

/// Strictly: three heights of this lot lie on the straight hull edge between their neighbours.
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
    // check-values A2's shift.
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
