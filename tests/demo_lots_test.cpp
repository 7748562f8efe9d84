#include "trenchwright/base/units.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/site/layers.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

using namespace trenchwright;

namespace {

// The lots were laid out in whole feet and meters and then turned, so every expected figure below is a dimension of the
// layout; coordinates are kept to 0.01 ft or 1 mm.
const std::filesystem::path lots = std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata";
constexpr double us_ft = us_survey_ft_in_m;

Site site_of(const std::filesystem::path& job_file)
{
    return read_site(read_job(job_file).layers);
}

std::set<std::string> parts_in(const Site& site)
{
    std::set<std::string> parts;
    for (const auto& layer : site.layers) {
        CHECK(layer.features > 0);
        parts.insert(layer.part);
    }
    return parts;
}

std::set<std::string> parts_named(const std::filesystem::path& job_file)
{
    std::set<std::string> parts;
    for (const auto& [part, uses] : read_job(job_file).layers.parts) {
        parts.insert(part);
    }
    return parts;
}

const Outlet& outlet_named(const Site& site, const std::string& id)
{
    const auto found =
        std::find_if(site.outlets.begin(), site.outlets.end(), [&](const auto& o) { return o.id == id; });
    REQUIRE(found != site.outlets.end());
    return *found;
}

const Mark& mark_named(const Site& site, const std::string& id)
{
    const auto found = std::find_if(site.marks.begin(), site.marks.end(), [&](const auto& m) { return m.id == id; });
    REQUIRE(found != site.marks.end());
    return *found;
}

std::string file_text(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

void shell(const std::string& command)
{
    INFO(command);
    REQUIRE(std::system(command.c_str()) == 0);
}

void replace_all(std::string& text, const std::string& from, const std::string& to)
{
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
        text.replace(at, from.size(), to);
    }
}

/// Quillet Lane with every layer in longitude and latitude, made by GDAL's own program.
std::filesystem::path quillet_lane_in_degrees()
{
    const auto from = lots / "quillet-lane";
    const auto to = std::filesystem::path(TRENCHWRIGHT_BINARY_DIR) / "quillet-lane-degrees";
    std::filesystem::remove_all(to);
    std::filesystem::create_directories(to);
    auto job = file_text(from / "job.toml");
    for (const auto* const file :
         {"lots.gpkg", "survey.gpkg", "utilities.shp", "surfaces.geojson", "trees.geojson", "keep_outs.geojson",
          "footing_drain.geojson", "easement.geojson", "spread.geojson"}) {
        shell("ogr2ogr -f GPKG -t_srs EPSG:4326 '" + (to / file).replace_extension(".gpkg").string() + "' '" +
              (from / file).string() + "'");
        replace_all(job, file, std::filesystem::path(file).replace_extension(".gpkg").string());
    }
    shell("ogr2ogr -f GeoJSON -t_srs EPSG:4326 -lco COORDINATE_PRECISION=11 '" + (to / "outlets.geojson").string() +
          "' '" + (from / "outlets.geojson").string() + "'");
    shell("ogr2ogr -f CSV -s_srs EPSG:3435 -t_srs EPSG:4326 -lco GEOMETRY=AS_XY -oo X_POSSIBLE_NAMES=east "
          "-oo Y_POSSIBLE_NAMES=north '" +
          (to / "spots.csv").string() + "' '" + (from / "spots.csv").string() + "'");
    replace_all(job, "x = \"east\"", "x = \"X\"");
    replace_all(job, "y = \"north\"", "y = \"Y\"");
    std::ofstream(to / "job.toml") << job;
    return to / "job.toml";
}

} // namespace

TEST_CASE("Quillet Lane is read whole", "[demo]")
{
    const auto job = lots / "quillet-lane/job.toml";
    const Site site = site_of(job);
    CHECK(parts_in(site) == parts_named(job));
    CHECK(site.neighbors.size() == 3);
    CHECK(site.marks.size() == 6);
    CHECK(site.surfaces.size() == 8);
    CHECK(site.trees.size() == 2);
    CHECK(site.keep_outs.size() == 2);
    CHECK(site.easements.size() == 1);
    CHECK(site.spread_areas.size() == 1);
    CHECK(site.spots.size() == 102);
    CHECK(site.breaklines.size() == 2);
    CHECK(site.sources.size() == 3);
    CHECK(site.outlets.size() == 4);
    CHECK(site.frame.native_unit == LengthUnit::us_survey_foot);
}

TEST_CASE("Quillet Lane has the size it was laid out with", "[demo]")
{
    const Site site = site_of(lots / "quillet-lane/job.toml");
    REQUIRE(site.parcel.size() == 1);
    REQUIRE(site.foundations.size() == 1);
    CHECK(area_m2(site.parcel.front()) == Approx(78 * 130 * us_ft * us_ft).epsilon(2e-4));
    CHECK(area_m2(site.foundations.front()) == Approx((38 * 30 + 14 * 24) * us_ft * us_ft).epsilon(5e-4));
    CHECK(site.trees[0].trunk_diameter_m == Approx(14 * inch_in_m));
    CHECK(site.trees[1].trunk_diameter_m == Approx(22 * inch_in_m));
    CHECK(site.sources[0].roof_area_m2 == Approx(760 * ft_in_m * ft_in_m));
    CHECK(site.sources[2].pump_flow_m3ps == Approx(32 * 231 * std::pow(inch_in_m, 3) / 60));
    for (const auto& source : site.sources) {
        CHECK(distance_m(source.at, site.foundations.front()) == Approx(0.3 * us_ft).margin(0.02 * us_ft));
    }
}

TEST_CASE("Quillet Lane's marks keep what is known of them and no more", "[demo]")
{
    const Site site = site_of(lots / "quillet-lane/job.toml");
    const Mark& exposed = mark_named(site, "COMM-1");
    CHECK(exposed.facility == Facility::communication);
    CHECK(exposed.quality == QualityLevel::a);
    REQUIRE(exposed.exposed_depth_m);
    CHECK(*exposed.exposed_depth_m == Approx(2.1 * ft_in_m));
    CHECK(exposed.date_marked == "2026-05-13");
    CHECK(length_m(exposed.line) == Approx(158 * us_ft).epsilon(1e-4));
    CHECK(!mark_named(site, "COMM-2").width_m);
    CHECK(*mark_named(site, "SAN-1").width_m == Approx(0.35 * ft_in_m));
    CHECK(std::count_if(site.marks.begin(), site.marks.end(), [](const auto& m) { return m.exposed_depth_m; }) == 1);
    for (const auto facility : {Facility::gas, Facility::water, Facility::sanitary_sewer, Facility::electric}) {
        CHECK(std::any_of(site.marks.begin(), site.marks.end(), [&](const auto& m) { return m.facility == facility; }));
    }
}

TEST_CASE("Quillet Lane's curb takes the job's pipe and no 4 in pipe", "[demo]")
{
    const auto job = read_job(lots / "quillet-lane/job.toml");
    const Site site = read_site(job.layers);
    const Outlet& curb = outlet_named(site, "curb");
    REQUIRE(curb.gutter_elev_m);
    REQUIRE(curb.curb_top_elev_m);
    const double height_m = *curb.curb_top_elev_m - *curb.gutter_elev_m;
    CHECK(height_m == Approx(0.5 * us_ft));
    // docs/sources.md, J8: 6 in curb, 2 in left above: outside diameter at most 4.0 in; SDR 35 4 in pipe has 4.215 in.
    CHECK(job.rules.route.section.outside_diameter_m < height_m - job.rules.route.curb_clearance_m);
    CHECK(4.215 * inch_in_m > height_m - job.rules.route.curb_clearance_m);
    CHECK(curb.permission.at(Water::roof) == Permission::yes);
    CHECK(curb.permission.at(Water::sump) == Permission::ask);
    CHECK(!curb.permit.empty());
    CHECK(curb.fee_cents == 18500);
    CHECK(outlet_named(site, "inlet").permission.at(Water::roof) == Permission::ask);
}

TEST_CASE("Quillet Lane's rear swale lies above every place where water leaves the house", "[demo]")
{
    const Site site = site_of(lots / "quillet-lane/job.toml");
    const Outlet& swale = outlet_named(site, "swale");
    REQUIRE(swale.lowest_invert_elev_m);
    for (const auto& source : site.sources) {
        // Ground at the wall: the nearest shot to the source, within 3 ft of it.
        const auto nearest = std::min_element(site.spots.begin(), site.spots.end(), [&](const auto& a, const auto& b) {
            return distance_m(a.at, source.at) < distance_m(b.at, source.at);
        });
        REQUIRE(distance_m(nearest->at, source.at) < 4 * us_ft);
        CHECK(nearest->elev_m < *swale.lowest_invert_elev_m);
    }
}

TEST_CASE("Quillet Lane in longitude and latitude is the same lot", "[demo]")
{
    const Site projected = site_of(lots / "quillet-lane/job.toml");
    const Site degrees = site_of(quillet_lane_in_degrees());
    // The grid is longer than the ground by 74 parts in a million here: scale 0.999975 on the central meridian
    // 88 deg 20 min W, times 1 + (1.08 deg x cos 42.05 deg)^2 / 2 at the lot.
    CHECK(area_m2(degrees.parcel.front()) == Approx(area_m2(projected.parcel.front())).epsilon(2e-4));
    REQUIRE(degrees.sources.size() == 3);
    REQUIRE(degrees.spots.size() == projected.spots.size());
    CHECK(degrees.frame.native_unit != LengthUnit::us_survey_foot);
    for (std::size_t i = 0; i < projected.spots.size(); ++i) {
        CHECK(distance_m(degrees.spots[i].at, degrees.sources[0].at) ==
              Approx(distance_m(projected.spots[i].at, projected.sources[0].at)).epsilon(1e-4).margin(1e-3));
        CHECK(degrees.spots[i].elev_m == Approx(projected.spots[i].elev_m));
    }
}

TEST_CASE("Brinkholt is read whole, in meters", "[demo]")
{
    const auto job = lots / "brinkholt/job.toml";
    const Site site = site_of(job);
    CHECK(parts_in(site) == parts_named(job));
    REQUIRE(site.parcel.size() == 1);
    CHECK(area_m2(site.parcel.front()) == Approx(22 * 42).epsilon(1e-4));
    CHECK(area_m2(site.foundations.front()) == Approx(100).epsilon(2e-4));
    CHECK(site.neighbors.size() == 2);
    CHECK(site.right_of_way.size() == 2);
    CHECK(site.marks.size() == 6);
    CHECK(std::count_if(site.marks.begin(), site.marks.end(), [](const auto& m) { return m.exposed_depth_m; }) == 3);
    CHECK(site.trees[1].trunk_diameter_m == Approx(0.52));
    CHECK(site.sources[2].pump_flow_m3ps == Approx(0.0015));
    CHECK(outlet_named(site, "gully").permission.at(Water::sump) == Permission::no);
    REQUIRE(site.dem);
    CHECK(site.dem->cols == 46);
    CHECK(site.dem->rows == 68);
    CHECK(site.frame.native_unit == LengthUnit::meter);
}

TEST_CASE("the tape lot is read from rod readings and offsets", "[demo]")
{
    const auto job = lots / "tape/job.toml";
    const Site site = site_of(job);
    CHECK(parts_in(site) == parts_named(job));
    CHECK(site.frame.wkt.empty());
    CHECK(area_m2(site.foundations.front()) == Approx(36 * 26 * ft_in_m * ft_in_m));
    CHECK(site.trees.front().trunk_diameter_m == Approx(10 * inch_in_m));
    REQUIRE(site.spots.size() == 47);
    // Rod 3.43 ft under a line of sight at 104.62 ft.
    CHECK(site.spots.front().elev_m == Approx((104.62 - 3.43) * ft_in_m));
    CHECK(site.marks[0].facility == Facility::gas);
    CHECK(site.marks[1].facility == Facility::communication);
    CHECK(outlet_named(site, "yard").setback_foundation_m == 10 * ft_in_m);
    CHECK(!outlet_named(site, "yard").lowest_invert_elev_m);
}
