#include "export_fixture.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/polygons.hpp"
#include "trenchwright/plan/site_checks.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/locate_request.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <random>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;
using nlohmann::json;

namespace {

constexpr double radians = std::numbers::pi / 180;

/// Ground distance of two near places by the radii of curvature of the WGS 84 ellipsoid (a = 6378137 m,
/// 1/f = 298.257223563); over a few meters the curve does not show.
double ground_m(const json& a, const json& b)
{
    constexpr double semi_major_m = 6378137;
    constexpr double flattening = 1 / 298.257223563;
    constexpr double e2 = flattening * (2 - flattening);
    const double lat = a[1].get<double>() * radians;
    const double w = 1 - e2 * std::sin(lat) * std::sin(lat);
    const double north_m = semi_major_m * (1 - e2) / std::pow(w, 1.5) * (b[1].get<double>() - a[1].get<double>());
    const double east_m = semi_major_m / std::sqrt(w) * std::cos(lat) * (b[0].get<double>() - a[0].get<double>());
    return std::hypot(north_m, east_m) * radians;
}

json request_of(const JobPlan& plan)
{
    return json::parse(locate_request_geojson(plan));
}

double signed_area(const json& ring)
{
    double sum = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        sum += ring[i][0].get<double>() * ring[i + 1][1].get<double>() -
               ring[i + 1][0].get<double>() * ring[i][1].get<double>();
    }
    return sum / 2;
}

} // namespace

TEST_CASE("white lines of a straight trench enclose length and width plus the room asked for", "[request]")
{
    TrenchPlan trench;
    trench.line.route.line = {{3, 4}, {3, 14}};
    trench.laid.problem.section.width_m = 0.3;
    auto rules = default_rules();
    rules.office.request_extra_width_m = 0.6;
    const auto areas = white_area(trench, rules);
    REQUIRE(areas.size() == 1);
    CHECK(area_m2(areas[0]) == Approx((10 + 0.6) * (0.3 + 2 * 0.6)));
    rules.office.request_extra_width_m = 0;
    CHECK(area_m2(white_area(trench, rules).at(0)) == Approx(10 * 0.3));
}

TEST_CASE("white lines hold every place of the trench, by plain distance", "[request]")
{
    std::mt19937_64 dice(11);
    std::uniform_real_distribution<double> turn(-std::numbers::pi / 2, std::numbers::pi / 2);
    std::uniform_real_distribution<double> run(1.5, 8);
    std::uniform_real_distribution<double> share(0, 1);
    int inside = 0;
    for (int lot = 0; lot < 100; ++lot) {
        TrenchPlan trench;
        trench.laid.problem.section.width_m = 0.3;
        double heading = turn(dice);
        trench.line.route.line = {{0, 0}};
        for (int i = 0; i < 4; ++i) {
            const auto& last = trench.line.route.line.back();
            const double length = run(dice);
            trench.line.route.line.push_back(
                {last.x_m + length * std::cos(heading), last.y_m + length * std::sin(heading)});
            heading += turn(dice) / 2;
        }
        const auto areas = white_area(trench, default_rules());
        for (int i = 0; i < 100; ++i) {
            const auto at = point_at(trench.line.route.line, share(dice) * length_m(trench.line.route.line));
            // Anywhere in the trench: up to half its width beside the axis; not past its flat upper end.
            const double beside = 0.15 * (2 * share(dice) - 1);
            const double angle = turn(dice) * 4;
            const Point place{at.x_m + beside * std::cos(angle), at.y_m + beside * std::sin(angle)};
            if (distance_m(place, trench.line.route.line.back()) > 0.3) {
                CHECK(std::ranges::any_of(areas, [&](const Polygon& area) { return contains(area, place); }));
                ++inside;
            }
        }
    }
    CHECK(inside > 9000);
}

TEST_CASE("the request has white lines and center lines in longitude and latitude", "[request]")
{
    const auto plan = sample_plan();
    const auto top = request_of(plan);
    CHECK(top["type"] == "FeatureCollection");
    CHECK(top["outlet_chosen"] == "the best that works");
    CHECK(top["cautions"].size() == cautions().size());
    CHECK(top["no_wgs84_because"] == "");
    REQUIRE(top["features"].size() == 4); // two trenches, each with its area and its line
    const auto& area = top["features"][0];
    CHECK(area["geometry"]["type"] == "Polygon");
    const auto& ring = area["geometry"]["coordinates"][0];
    CHECK(ring.front() == ring.back());
    CHECK(signed_area(ring) > 0); // RFC 7946: outer rings run anticlockwise
    const auto& line = top["features"][1];
    const auto& places = line["geometry"]["coordinates"];
    REQUIRE(places.size() == 3);
    // California zone 5 lies between 32 and 36 degrees north, 117 and 122 degrees west.
    CHECK(places[0][0].get<double>() > -122);
    CHECK(places[0][0].get<double>() < -117);
    CHECK(places[0][1].get<double>() > 32);
    CHECK(places[0][1].get<double>() < 36);
    // The runs are 8 m and 5 m of grid; degrees are rounded to 1e-8, a millimeter.
    const double ratio = plan.site.frame.grid_to_ground_ratio;
    CHECK(ground_m(places[0], places[1]) == Approx(8 * ratio).margin(0.003));
    CHECK(ground_m(places[1], places[2]) == Approx(5 * ratio).margin(0.003));
    const auto native = to_native(plan.site.frame, {3, 12});
    CHECK(line["properties"]["line_native"][2][0].get<double>() == Approx(native.x).epsilon(1e-12));
    CHECK(line["properties"]["max_depth_m"] == 0.92);
}

TEST_CASE("a lot measured by tape has its places and no longitude", "[request]")
{
    auto plan = sample_plan();
    plan.site.frame = Frame{};
    const auto top = request_of(plan);
    CHECK_THAT(top["no_wgs84_because"].get<std::string>(), Contains("tape"));
    CHECK(top["features"][1]["geometry"].is_null());
    CHECK(top["features"][1]["properties"]["line_native"] == json({{0.0, 0.0}, {0.0, 8.0}, {3.0, 12.0}}));
    CHECK_THAT(locate_request_text(plan),
               Contains("No latitude and longitude") && Contains("3.00, 12.00\n") && !Contains("of the grid"));
}

TEST_CASE("white lines are drawn for the outlet the job names, and for none where that is refused", "[request]")
{
    auto plan = sample_plan();
    plan.job.request.outlet = "curb";
    CHECK(request_of(plan)["outlet_chosen"] == "named in the job");
    plan.job.request.outlet = "inlet"; // refused in the sample
    CHECK(request_of(plan)["features"].empty());
    CHECK_THAT(locate_request_text(plan), Contains("No white lines: the outlet the job names, inlet, is not workable"));
    plan.job.request.outlet = "";
    plan.outcomes[0].works = false;
    CHECK(request_of(plan)["features"].empty());
    CHECK_THAT(locate_request_text(plan), Contains("No white lines: no workable outlet"));
    plan.job.request.outlet = "drain";
    CHECK_THROWS_WITH(check_request(plan.site, plan.job),
                      Contains("no outlet has the id \"drain\"; choose from: inlet, "
                               "curb"));
}

TEST_CASE("white lines follow the outlet that all papers show", "[request]")
{
    auto plan = sample_plan();
    plan.outcomes.push_back(plan.outcomes[0]); // a second outlet that works, with a trench of its own
    auto& other = plan.outcomes.back();
    other.outlet = 0;
    for (auto& by : other.by_source) {
        auto& trench = std::get<TrenchPlan>(by);
        trench.outlet = 0;
        trench.line.route.line.front().y_m -= 6; // runs on for 6 m
    }
    std::erase_if(plan.outcomes, [](const auto& one) { return !one.works; });
    const auto lower_end = [](const json& top) { return top["features"][1]["properties"]["line_native"][0]; };
    const auto best = request_of(plan);
    CHECK(best["outlet"] == "curb");
    CHECK(best["warning"] == "");
    plan.job.sheet.outlet = "inlet";
    const auto drawn = request_of(plan);
    CHECK(drawn["outlet"] == "inlet");
    CHECK(drawn["warning"] == "");
    CHECK(lower_end(drawn)[1].get<double>() < lower_end(best)[1].get<double>());
    CHECK_THAT(locate_request_text(plan), Contains("Street inlet 7") && !Contains("WARNING"));
    // Named for itself, and other than the papers: the request's first lines say so.
    plan.job.request.outlet = "curb";
    const auto differs = request_of(plan);
    CHECK(differs["outlet"] == "curb");
    CHECK_THAT(differs["warning"].get<std::string>(), Contains("Curb, Tansy Row") && Contains("Street inlet 7"));
    const auto text = locate_request_text(plan);
    CHECK(text.find("WARNING") < 200);
    plan.job.request.outlet = "inlet"; // the same said twice is no doubt
    CHECK(request_of(plan)["warning"] == "");
}

TEST_CASE("the text has every field, filled or named as blank, and the request stage", "[request]")
{
    auto plan = sample_plan();
    plan.job.request.fields = {{"phone", "555 0100"}};
    const auto text = locate_request_text(plan);
    for (const auto& field : request_fields()) {
        INFO(field.key);
        CHECK_THAT(text, Contains(std::string(field.words)));
    }
    CHECK_THAT(text, Contains("555 0100") && Contains("(blank)") && Contains("Left blank") &&
                         Contains("2 marks were supplied") && Contains("No ticket number yet."));
    // From (0, 0) to (3, 12): the head of the first trench lies to the north, so its water runs south.
    CHECK_THAT(text, Contains("toward the south of the grid"));
    for (const auto& caution : cautions()) {
        CHECK_THAT(text, Contains(caution.substr(0, 40)));
    }
    plan.site.marks.clear();
    CHECK_THAT(locate_request_text(plan), Contains("this is the request stage"));
}

TEST_CASE("ties go to the nearest corners, by Pythagoras", "[request]")
{
    const Polygon house{.outer = {{0, 0}, {10, 0}, {10, 6}, {0, 6}}, .holes = {}};
    const auto ties = nearest_corners({13, 10}, {house}, 2);
    REQUIRE(ties.size() == 2);
    CHECK(ties[0].distance_m == Approx(5)); // 3-4-5 from (10, 6)
    CHECK(ties[1].distance_m == Approx(std::hypot(3, 10)));
    CHECK(nearest_corners({0, 0}, {}, 2).empty());
}
