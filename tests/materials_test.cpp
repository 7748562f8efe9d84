#include "trenchwright/base/error.hpp"
#include "trenchwright/estimate/materials.hpp"
#include "trenchwright/plan/inside.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <numbers>

using namespace trenchwright;

namespace {

constexpr double degree = std::numbers::pi / 180;
constexpr double ft = 0.3048;

MaterialRules plain_rules()
{
    return {.stick_length_m = 10 * ft, .waste_ratio = 0.05, .stone_kg_per_m3 = 1600};
}

MaterialTrench trench_of(double pipe_ft, const std::vector<std::vector<double>>& bends_deg)
{
    MaterialTrench trench{.pipe = "4 in pipe",
                          .outside_diameter_m = 0.107,
                          .pipe_length_m = pipe_ft * ft,
                          .bends = {},
                          .junction_angle_rad = {},
                          .cleanouts = 1,
                          .bedding_m3 = 0.5};
    for (const auto& fittings : bends_deg) {
        Bend bend;
        for (const double angle : fittings) {
            bend.fitting_angles_rad.push_back(angle * degree);
        }
        trench.bends.push_back(bend);
    }
    return trench;
}

const MaterialItem* find(const std::vector<MaterialItem>& items, const std::string& name, double angle_deg = 0)
{
    for (const auto& item : items) {
        if (item.name == name && std::abs(item.angle_rad.value_or(0) - angle_deg * degree) < 1e-6) {
            return &item;
        }
    }
    return nullptr;
}

std::vector<MaterialItem> list_of(const std::vector<MaterialTrench>& trenches)
{
    return materials(trenches, {}, "", 0, plain_rules());
}

} // namespace

TEST_CASE("pipe is bought in whole sticks with the waste added first", "[materials]")
{
    auto rules = plain_rules();
    // 100 ft x 1.05 = 105 ft: 11 sticks of 10 ft. Without waste exactly 10.
    CHECK(sticks(100 * ft, rules) == 11);
    rules.waste_ratio = 0;
    CHECK(sticks(100 * ft, rules) == 10);
    CHECK(sticks(100.1 * ft, rules) == 11);
    CHECK(sticks(0, rules) == 0);
    CHECK(sticks(0.01, rules) == 1);
    // 3 m sticks: 12.72 m x 1.05 = 13.356 m: 5.
    rules = {.stick_length_m = 3, .waste_ratio = 0.05, .stone_kg_per_m3 = 1600};
    CHECK(sticks(12.72, rules) == 5);
}

TEST_CASE("trenches of one outlet are summed before they are rounded up", "[materials]")
{
    // Three of 12 ft: 36 x 1.05 = 37.8 ft, 4 sticks; each by itself would take 2, together 6.
    const auto items = list_of({trench_of(12, {}), trench_of(12, {}), trench_of(12, {})});
    const auto* pipe = find(items, "4 in pipe");
    REQUIRE(pipe != nullptr);
    CHECK(pipe->count == 4);
    CHECK(pipe->unit == "stick");
    CHECK(pipe->length_m == Approx(36 * ft));
    const auto* cleanout = find(items, "Cleanout with riser and cap");
    REQUIRE(cleanout != nullptr);
    CHECK(cleanout->count == 3);
    const auto* bedding = find(items, "Bedding stone");
    REQUIRE(bedding != nullptr);
    CHECK(bedding->volume_m3 == Approx(1.5));
    CHECK(bedding->mass_kg == Approx(2400)); // 1.5 m3 x 1600
    CHECK(items.size() == 3);
}

TEST_CASE("fittings are counted by angle, junctions by theirs", "[materials]")
{
    auto branch = trench_of(10, {{45}, {22.5, 22.5}});
    branch.junction_angle_rad = 45 * degree;
    branch.outside_diameter_m = 0.048;
    branch.trunk_outside_diameter_m = 0.107;
    const auto items = list_of({trench_of(30, {{11.25}, {45}}), branch});
    REQUIRE(find(items, "Bend", 45) != nullptr);
    CHECK(find(items, "Bend", 45)->count == 1); // of the trunk's pipe; the branch's is another line
    CHECK(find(items, "Bend", 22.5)->count == 2);
    CHECK(find(items, "Bend", 11.25)->count == 1);
    REQUIRE(find(items, "Wye", 45) != nullptr);
    CHECK(find(items, "Wye", 45)->count == 1);
    CHECK(find(items, "Wye", 45)->size_m == 0.107);
    CHECK(find(items, "Wye", 45)->branch_size_m == 0.048);
    // By rising angle.
    CHECK(find(items, "Bend", 11.25) < find(items, "Bend", 22.5));
    CHECK(find(items, "Bend", 22.5) < find(items, "Bend", 45));
}

TEST_CASE("another pipe is another line, and its fittings are too", "[materials]")
{
    auto pressure = trench_of(20, {{45}});
    pressure.pipe = "Pressure pipe of the pump";
    pressure.outside_diameter_m = 0.048;
    const auto items = list_of({trench_of(20, {{45}}), pressure});
    CHECK(find(items, "4 in pipe")->count == 3); // 21 ft
    CHECK(find(items, "Pressure pipe of the pump")->count == 3);
    std::size_t bends = 0;
    for (const auto& item : items) {
        bends += item.name == "Bend" ? 1 : 0;
    }
    CHECK(bends == 2);
}

TEST_CASE("the job inside adds its pipe and its bags once", "[materials]")
{
    FootingWork work;
    work.length_m = 118 * ft; // x 1.05 = 123.9 ft: 13 sticks
    work.stone_m3 = 1.11;
    work.stone_kg = 1776;
    work.bags = 79;
    const auto items = materials({trench_of(20, {}), trench_of(20, {})}, work, "perforated pipe", 0.107, plain_rules());
    REQUIRE(find(items, "perforated pipe") != nullptr);
    CHECK(find(items, "perforated pipe")->count == 13);
    REQUIRE(find(items, "Footing drain stone") != nullptr);
    CHECK(find(items, "Footing drain stone")->count == 79);
    CHECK(find(items, "Footing drain stone")->unit == "bag");
}

TEST_CASE("what is no number stops the list", "[materials]")
{
    const double no_number = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(list_of({trench_of(no_number, {})}), Error);
    CHECK_THROWS_AS(list_of({trench_of(-1, {})}), Error);
    auto rules = plain_rules();
    rules.stick_length_m = no_number;
    CHECK_THROWS_AS(materials({}, {}, "", 0, rules), Error);
    rules = plain_rules();
    rules.waste_ratio = -0.1;
    CHECK_THROWS_AS(sticks(1, rules), Error);
}

TEST_CASE("trenches that join and trenches alone go into the list as they are planned", "[materials]")
{
    // Two trenches by hand: the second joins the first under 50.7 deg, by a fitting of junction.angle, 45 deg; a third
    // source was refused.
    TrenchPlan trunk;
    trunk.measured.quantities.pipe_length_m = 12;
    trunk.laid.problem.section.outside_diameter_m = 0.107;
    trunk.laid.cleanouts.resize(2);
    TrenchPlan branch = trunk;
    branch.source = 1;
    branch.pressure = true;
    branch.laid.problem.section.outside_diameter_m = 0.048;
    branch.laid.cleanouts.clear();
    branch.joins = Junction{.source = 0, .station_m = 4, .angle_rad = 50.7 * degree, .at = {}};
    OutletOutcome outcome;
    outcome.by_source = {trunk, branch, Refusal{}};
    auto rules = default_rules();
    Site site;
    site.sources.resize(3);
    site.sources[1].kind = SourceKind::pump;
    const auto list = material_trenches(outcome, site, rules);
    REQUIRE(list.size() == 2);
    CHECK(list[0].pipe == rules.pipe_name);
    CHECK_FALSE(list[0].junction_angle_rad.has_value());
    CHECK(list[0].cleanouts == 2);
    CHECK(list[1].pipe == "Pressure pipe of the pump");
    CHECK(list[1].junction_angle_rad.value() == Approx(45 * degree));
    CHECK(list[1].outside_diameter_m == Approx(0.048));
    CHECK(list[1].trunk_outside_diameter_m == Approx(0.107));
    CHECK(list[0].trunk_outside_diameter_m == 0);
    CHECK(list[0].joint.empty());
    CHECK(list[1].joint == "Loose joint of the pump's discharge line");
    rules.water.pump_line.joint = "closed";
    CHECK(material_trenches(outcome, site, rules)[1].joint.empty());
}

TEST_CASE("joints of pump lines are counted apart", "[materials]")
{
    auto pumped = trench_of(3, {});
    pumped.joint = "Open joint of the pump's discharge line";
    pumped.joint_outside_diameter_m = 0.048;
    const auto list = list_of({pumped, pumped});
    const auto joint = std::ranges::find_if(list, [&](const auto& item) { return item.name == pumped.joint; });
    REQUIRE(joint != list.end());
    CHECK(joint->count == 2);
    CHECK(joint->size_m == Approx(0.048));
}
