#include "draw_yard.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/pump_joint.hpp"
#include "trenchwright/plan/shared.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <catch2/catch.hpp>
#include <numbers>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

const char* const two_downspouts = R"(
    . . . . . . . . . . . . . . . . .
    . S . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . O .
    . . . . . . . . . . . . . . . . .
    . S . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . . .
)";

const char* const about_the_house = R"(
    . . . . . . . . . . . . . . . . . . . . . .
    . . . S . . . . . S . . . . . . . . . . . .
    . . . H H H H H H H . . . . . . X X . . . .
    . . . H H H H H H H . . . . . . X X . . O .
    . . . H H H H H H H S . . . . . . . . . . .
    . . . H H H H H H H . . . . . . . . . . . .
    . . . S . . . . . . . . . . . . . . . . . .
    . . . . . . . . . . . . . . . . . . . . . .
)";

std::function<double(Point)> sloping(double per_m_east)
{
    return [per_m_east](const Point& p) { return 20 - per_m_east * p.x_m; };
}

struct DrainedYard {
    DrawnYard yard;
    Rules rules;
    std::vector<TrenchPlan> trenches; ///< empty: none found
    std::string why;
    std::vector<TrenchPlan> separate; ///< trenches of their own, where each source has one
};

DrainedYard drained(const char* drawing, const std::function<double(Point)>& ground, int pump)
{
    DrainedYard result{
        .yard = draw_yard(drawing, ground), .rules = default_rules(), .trenches = {}, .why = {}, .separate = {}};
    auto& site = result.yard.site;
    for (std::size_t i = 0; i < site.sources.size(); ++i) {
        site.sources[i].id = "S" + std::to_string(i);
    }
    result.rules.route = result.yard.rules;
    if (pump >= 0) {
        site.sources[static_cast<std::size_t>(pump)].kind = SourceKind::pump;
    }
    site.outlets[0].permission = {{Water::roof, Permission::yes}};
    const RoutePreps preps(site, result.yard.ground, result.rules);
    auto shared = plan_shared(preps, site, result.yard.ground, result.rules, 0, {});
    if (auto* why = std::get_if<std::string>(&shared)) {
        result.why = *why;
        return result;
    }
    result.trenches = std::get<std::vector<TrenchPlan>>(std::move(shared));
    for (std::size_t i = 0; i < site.sources.size(); ++i) {
        const auto alone = plan_trench(preps, site, result.yard.ground, result.rules, i, 0);
        const auto* trench = std::get_if<TrenchPlan>(&alone);
        if (trench != nullptr) {
            result.separate.push_back(*trench);
        }
    }
    return result;
}

/// By the settings' rates.
Estimate estimate_of(const DrainedYard& drain, const std::vector<TrenchPlan>& trenches)
{
    const auto book = settings_book(drain.rules);
    const std::optional<FootingWork> footing;
    std::vector<const TrenchPlan*> list;
    for (const auto& trench : trenches) {
        list.push_back(&trench);
    }
    return estimate(
        trench_work({.site = drain.yard.site, .rules = drain.rules, .book = book, .footing = footing}, list), book, 0);
}

/// By the rules as they are written, on the finished trenches.
void check_drain(const DrainedYard& drain)
{
    const auto& junction = drain.rules.water.junction;
    std::size_t to_outlet = 0;
    for (const auto& trench : drain.trenches) {
        const auto& points = trench.laid.profile.points;
        for (std::size_t i = 1; i < points.size() && !trench.pressure; ++i) {
            const double run = points[i].station_m - points[i - 1].station_m;
            const double rise = points[i].invert_elev_m - points[i - 1].invert_elev_m;
            CHECK(rise >= drain.rules.route.min_fall_ratio * run - 1e-9);
        }
        for (const auto& depth : trench.measured.depths) {
            CHECK(depth.cover_m >= drain.rules.route.surfaces.at("lawn").min_cover_m - 0.0011);
            CHECK(depth.cut_m <= drain.rules.route.deepest_cut_m + 1e-9);
        }
        for (const auto& house : drain.yard.site.foundations) {
            CHECK(total_m(spans_inside(trench.line.route.line, house)) < 1e-6);
        }
        CHECK(trench.line.route.line.back() == drain.yard.site.sources[trench.source].at);
        if (!trench.joins) {
            ++to_outlet;
            continue;
        }
        const auto& trunk = drain.trenches[trench.joins->source];
        CHECK_FALSE(trunk.pressure);
        CHECK(distance_m(point_at(trunk.line.route.line, trench.joins->station_m), trench.joins->at) < 1e-6);
        CHECK(distance_m(trench.line.route.line.front(), trench.joins->at) < 1e-9);
        const double above =
            points.front().invert_elev_m - invert_at_m(trunk.laid.profile.points, trench.joins->station_m);
        CHECK(above >= (trench.pressure ? junction.pressure_rise_m : junction.rise_m) - 1e-9);
        CHECK(std::abs(trench.joins->angle_rad - junction.angle_rad) <= drain.rules.route.max_deflection_rad + 1e-6);
    }
    CHECK(to_outlet == 1);
}

} // namespace

TEST_CASE("two downspouts share a trunk, which costs less than two trenches", "[drain]")
{
    const auto drain = drained(two_downspouts, sloping(0.03), -1);
    INFO(drain.why);
    REQUIRE(drain.trenches.size() == 2);
    check_drain(drain);
    CHECK(total_cents(estimate_of(drain, drain.trenches)).likely <
          total_cents(estimate_of(drain, drain.separate)).likely);
}

TEST_CASE("the drain about a house falls everywhere, joins from above and keeps out of the house", "[drain]")
{
    for (const double slope : {0.05, 0.02, 0.012}) {
        for (const int pump : {-1, 1, 3}) {
            const auto drain = drained(about_the_house, sloping(slope), pump);
            CAPTURE(slope, pump, drain.why);
            REQUIRE(drain.trenches.size() == 4);
            check_drain(drain);
        }
    }
}

TEST_CASE("what a branch has to spare is counted from the outlet, not from the trunk as laid", "[drain]")
{
    const auto drain = drained(two_downspouts, sloping(0.05), -1);
    REQUIRE(drain.trenches.size() == 2);
    const auto branch = std::ranges::find_if(drain.trenches, [](const TrenchPlan& trench) { return !!trench.joins; });
    REQUIRE(branch != drain.trenches.end());
    const auto& trunk = drain.trenches[branch->joins->source];
    const auto& route = drain.rules.route;
    // The least-fall line under the branch starts where the trunk's comes up, one junction's rise higher. On ground
    // that falls 5 % the room above it grows from there on, so it is least at the junction.
    const double base_m = trunk.laid.problem.lowest_outlet_invert_elev_m +
                          route.min_fall_ratio * branch->joins->station_m + drain.rules.water.junction.rise_m;
    const double highest_m = branch->laid.problem.ground.front().elev_m - route.surfaces.at("lawn").min_cover_m -
                             route.section.outside_diameter_m + route.section.wall_m;
    CHECK(branch->laid.extra_fall_station_m == 0);
    CHECK(branch->laid.extra_fall_m == Approx(highest_m - base_m).margin(1e-9));
    // 12 m from the outlet at 5 % less the least fall of 1.04 %: about half a meter more than at the outlet.
    CHECK(branch->laid.extra_fall_m > 12 * (0.05 - 0.0105));
}

TEST_CASE("a pump in a hollow climbs to the trunk, which gravity cannot", "[drain]")
{
    // The second source stands 1 m below the rest of the lot.
    const auto ground = [](const Point& p) {
        const double away = std::hypot(p.x_m - 1.5, p.y_m - 1.5);
        return 20 - 0.03 * p.x_m - std::max(0.0, 1 - away / 3);
    };
    const auto by_gravity = drained(two_downspouts, ground, -1);
    CHECK(by_gravity.trenches.empty());
    const auto pumped = drained(two_downspouts, ground, 1);
    INFO(pumped.why);
    REQUIRE(pumped.trenches.size() == 2);
    check_drain(pumped);
    const auto& points = pumped.trenches[1].laid.profile.points;
    CHECK(points.front().invert_elev_m > points.back().invert_elev_m + 0.3);
}

TEST_CASE("every trench of a drain is priced once and its junction with it", "[drain]")
{
    const auto drain = drained(about_the_house, sloping(0.03), 1);
    REQUIRE(drain.trenches.size() == 4);
    const auto made = estimate_of(drain, drain.trenches);
    Cents together = 0;
    for (const auto& trench : drain.trenches) {
        const auto& id = drain.yard.site.sources[trench.source].id;
        Cents sum = 0;
        Cents junctions = 0;
        for (const auto& line : made.lines) {
            sum += line.trench == id ? line.cents.likely : 0;
            junctions += line.trench == id && line.item == "wye" ? line.cents.likely : 0;
        }
        CHECK(sum == trench_cents(made, id).likely);
        CHECK(junctions == (trench.joins ? to_cents(drain.rules.water.junction.price) : 0));
        together += sum;
    }
    CHECK(together == total_cents(made).likely);
}

TEST_CASE("a pump below its outlet climbs to it under pressure, at the minimum cover all the way", "[drain]")
{
    const char* const uphill = R"(
        . . . . . . . . . . . . . . .
        . S . . . . . . . . . . . O .
        . . . . . . . . . . . . . . .
    )";
    auto yard = draw_yard(uphill, sloping(-0.05)); // 12 m, all of it uphill
    auto& site = yard.site;
    site.sources[0].kind = SourceKind::pump;
    site.outlets[0].permission = {{Water::roof, Permission::yes}};
    Rules rules = default_rules();
    rules.route = yard.rules;
    const RoutePreps preps(site, yard.ground, rules);
    REQUIRE(std::holds_alternative<Refusal>(plan_trench(preps, site, yard.ground, rules, 0, 0)));
    const auto planned = plan_pressure(preps, site, yard.ground, rules, 0, 0);
    REQUIRE(std::holds_alternative<TrenchPlan>(planned));
    const auto& trench = std::get<TrenchPlan>(planned);
    CHECK(trench.pressure);
    CHECK_FALSE(trench.joins);
    CHECK(length_m(trench.line.route.line) == Approx(12));
    const auto& pump_line = rules.water.pump_line;
    const double cover_m = rules.route.surfaces.at("lawn").min_cover_m;
    for (const auto& point : trench.laid.profile.points) { // closed form: cover, pipe and wall under a plane
        const double ground = 20 + 0.05 * point_at(trench.line.route.line, point.station_m).x_m;
        const double pipe = pump_line.outside_diameter_m - pump_line.wall_m;
        const bool end = point.station_m < 0.25; // the outlet asks for the cover of the gravity pipe there
        CHECK(point.invert_elev_m <= ground - cover_m - pipe + 1e-9);
        CHECK((end || point.invert_elev_m >= ground - cover_m - pipe - 0.0011));
    }
}

TEST_CASE("a pump's line says where it can spill, and that a closed one cannot", "[drain]")
{
    auto drain = drained(about_the_house, sloping(0.05), 1);
    REQUIRE(drain.trenches.size() == 4);
    const auto& site = drain.yard.site;
    const auto& pumped = drain.trenches[1];
    const auto loose = pump_joint_findings(pumped, site, drain.rules);
    REQUIRE(loose.size() == 1);
    CHECK(loose[0].severity == Severity::note);
    CHECK(loose[0].at == (pumped.joins ? pumped.joins->at : site.sources[1].at));
    drain.rules.water.pump_line.joint = "closed";
    const auto closed = pump_joint_findings(pumped, site, drain.rules);
    REQUIRE(closed.size() == 1);
    CHECK(closed[0].severity == Severity::warning);
    CHECK(pump_joint_findings(drain.trenches[0], site, drain.rules).empty());
}
