#include "export_fixture.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/report/cautions.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;
using nlohmann::json;

namespace {

const std::set<std::string> keyed_by_data{"rules", "outlets[].by_source[].plan.quantities.restore_m2"};

using KeysByObject = std::map<std::string, std::set<std::string>>;

void collect(const json& value, const std::string& path, KeysByObject& keys)
{
    if (value.is_array()) {
        for (const auto& item : value) {
            collect(item, path + "[]", keys);
        }
    }
    if (!value.is_object() || keyed_by_data.contains(path)) {
        return;
    }
    for (const auto& [key, member] : value.items()) {
        keys[path].insert(key);
        collect(member, path.empty() ? key : path + "." + key, keys);
    }
}

std::set<std::string> between_ticks(const std::string& text)
{
    std::set<std::string> words;
    for (auto open = text.find('`'); open != std::string::npos;) {
        const auto close = text.find('`', open + 1);
        words.insert(text.substr(open + 1, close - open - 1));
        open = text.find('`', close + 1);
    }
    return words;
}

/// Keys of each table of the page, by the object its heading names.
KeysByObject documented()
{
    std::istringstream page(bytes_of(std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "docs" / "plan-json.md"));
    KeysByObject keys;
    std::string object;
    for (std::string line; std::getline(page, line);) {
        if (line.starts_with("## ")) {
            const auto named = between_ticks(line);
            object = named.empty() ? "" : *named.begin();
        } else if (line.starts_with("| `")) {
            const auto row = between_ticks(line.substr(0, line.find('|', 1)));
            keys[object].insert(row.begin(), row.end());
        }
    }
    return keys;
}

json parsed(const JobPlan& plan)
{
    return json::parse(plan_json(plan));
}

/// x and y of a place against native = origin + meters / meters_per_native (gis/frame.hpp), in native units.
void check_place(const json& at, const Frame& frame, const Point& p)
{
    REQUIRE(at.size() == 2);
    CHECK(at[0].get<double>() == Approx(frame.origin_native_x + p.x_m / frame.meters_per_native).margin(1e-6));
    CHECK(at[1].get<double>() == Approx(frame.origin_native_y + p.y_m / frame.meters_per_native).margin(1e-6));
}

} // namespace

TEST_CASE("every key of plan.json is documented under its object, and every documented key is written", "[export]")
{
    KeysByObject written;
    auto plan = sample_plan();
    auto& estimate = plan.outcomes.at(0).estimate.value();
    estimate.trade_hours["laborer"] = {.low = 3, .likely = 4, .high = 6}; // else hours are null
    estimate.lines.at(0).trade_hours = estimate.trade_hours;
    auto& laid = first_trench(plan).laid;
    laid.grades = {
        .bends = {{.bend = first_trench(plan).line.bends.at(0), .steeper_upstream = true, .buildable = true}},
        .drops = {{.span = {9, 10}, .height_m = 0.8}},
        .anchored = {{.span = {4, 9}, .fall_ratio = 0.3, .spacing_m = 11, .anchors = 1}}};
    laid.reduced = ReducedEnd{.length_m = 2, .pipe = "3 in", .outside_diameter_m = 0.083, .wall_m = 0.002};
    laid.shallow = {{.span = {4, 5}, .kind = "lawn", .wanted_m = 0.15, .min_cover_m = 0.12, .min_station_m = 4.5}};
    collect(parsed(plan), "", written);
    for (const auto& [object, keys] : documented()) {
        INFO(object);
        CHECK(keys == written[object]);
    }
    CHECK(written.size() == documented().size());
    CHECK(written.size() > 25);
}

TEST_CASE("plan.json says what it is, by which rules it was made, and carries the cautions", "[export]")
{
    const auto plan = sample_plan();
    const auto top = parsed(plan);
    CHECK(top["schema"] == "trenchwright-plan");
    CHECK(top["version"] == 3);
    CHECK(top["cautions"] == json(cautions()));
    CHECK(top["no_marks_for"] == json({"electric", "storm sewer"}));
    CHECK(top["job"]["name"] == "3 Tansy Row, Fennick Hollow");
    CHECK(top["job"]["date"] == "2026-03-14");
    CHECK(top["job"]["file"] == "tansy.toml");
    CHECK(top["rules"].size() == settings().size());
    for (const auto& setting : settings()) {
        CHECK(top["rules"].at(setting.key) == rule_text(plan.job.rules, setting.key));
    }
    CHECK(top["layers"] ==
          json::parse(R"([{"part": "parcel", "file": "lots.geojson", "layer": "lots", "features": 3}])"));
}

TEST_CASE("without any mark hand digging and crossings are null in plan.json, never 0", "[export]")
{
    auto plan = sample_plan();
    plan.site.marks.clear();
    for (auto& choice : plan.choices) {
        choice.hand_m.reset();
    }
    for (auto& one : plan.outcomes[0].by_source) {
        auto& trench = std::get<TrenchPlan>(one);
        trench.measured.crossings.clear();
        trench.measured.records.clear();
        trench.measured.zones.clear();
        trench.measured.along.clear();
    }
    const auto top = parsed(plan);
    CHECK_THAT(top["not_supplied"][0].get<std::string>(), Catch::Matchers::Contains("unknown, no marks supplied"));
    CHECK(top["choices"][0]["hand_m"].is_null());
    CHECK(top["outlets"][0]["potholes"].is_null());
    const auto trench = top["outlets"][0]["by_source"][0]["plan"];
    CHECK(trench["crossings"].is_null());
    CHECK(trench["parallel_runs"].is_null());
    for (const auto* const key : {"hand_length_m", "hand_cut_m3", "machine_length_m", "machine_cut_m3"}) {
        INFO(key);
        CHECK(trench["quantities"][key].is_null());
    }
    // What the trees ask for is known, and is the least: 3.3 m in the fixture.
    CHECK(trench["quantities"]["hand_length_at_least_m"].get<double>() == Approx(3.3));
    for (const auto& depth : trench["depths"]) {
        CHECK((depth["by_hand"].is_null() || depth["by_hand"] == true));
    }
}

TEST_CASE("a surface kind of the job's own is among the rules written", "[export]")
{
    auto plan = sample_plan();
    const std::vector<RuleText> texts{{"ground_cover.moss.may_enter", "yes", ""},
                                      {"ground_cover.moss.restore", "3/ft2", ""},
                                      {"ground_cover.moss.min_cover", "6 in", ""}};
    set_rules(plan.job.rules, texts);
    const auto rules = parsed(plan)["rules"];
    CHECK(rules.size() == settings().size() + 5); // slab and vehicles too, as they are taken
    CHECK(rules["ground_cover.moss.may_enter"] == "yes");
}

TEST_CASE("the frame's unit is the exact US survey foot and places are in the grid of the files", "[export]")
{
    const auto plan = sample_plan();
    const auto top = parsed(plan);
    CHECK(top["frame"]["native_unit"] == "ftUS");
    CHECK(top["frame"]["meters_per_native"].get<double>() == Approx(1200.0 / 3937.0).epsilon(1e-15)); // NIST SP 811 B.6
    check_place(top["sources"][0]["at_native"], plan.site.frame, {3, 12});
    check_place(top["findings"][0]["at_native"], plan.site.frame, {1, 2});
    CHECK(top["findings"][1]["at_native"].is_null());
    CHECK(top["findings"][1]["text"] == "No place.");
}

TEST_CASE("outlets are written in the order of the comparison, refusals with their figures", "[export]")
{
    const auto plan = sample_plan();
    const auto top = parsed(plan);
    const auto& curb = top["outlets"][0];
    CHECK(curb["rank"] == 1);
    CHECK(curb["id"] == "curb");
    CHECK(curb["kind"] == "curb");
    CHECK(curb["works"] == true);
    CHECK(curb["permission"] == json({{"roof", "yes"}, {"sump", "ask"}, {"footing", "unstated"}}));
    CHECK(curb["fee_cents"] == 12500);
    CHECK(curb["lead_time_days"] == 14);
    const auto& inlet = top["outlets"][1];
    CHECK(inlet["rank"] == 2);
    CHECK(inlet["works"] == false);
    CHECK(inlet["total_cents"].is_null());
    CHECK(inlet["lead_time_days"].is_null());
    const auto& refusal = inlet["by_source"][0]["refusal"];
    CHECK(refusal["kind"] == "falls_short");
    CHECK(refusal["text"] == "falls short by 3.2 in at 0+41.30");
    CHECK(refusal["station_m"] == 12.59);
    CHECK(refusal["short_by_m"] == 0.081);
    check_place(refusal["at_native"], plan.site.frame, {4, 5});
    CHECK(inlet["by_source"][1]["refusal"]["short_by_m"].is_null());
}

TEST_CASE("a trench is written value by value", "[export]")
{
    const auto plan = sample_plan();
    const auto trench = parsed(plan)["outlets"][0]["by_source"][0]["plan"];
    REQUIRE(trench["line_native"].size() == 3);
    check_place(trench["line_native"][2], plan.site.frame, {3, 12});
    CHECK(trench["outlet_invert_elev_m"] == 29.7);
    CHECK(trench["source_invert_elev_m"] == 30.1);
    CHECK(trench["profile"][1] == json({{"station_m", 5.0}, {"invert_elev_m", 29.8}}));
    CHECK(trench["ground"][1] == json({{"station_m", 13.0}, {"elev_m", 30.9}}));
    CHECK(trench["bends"][0]["angle_deg"].get<double>() == Approx(45));
    CHECK(trench["bends"][0]["fittings_deg"][1].get<double>() == Approx(22.5));
    CHECK(trench["bends"][0]["deflection_deg"].get<double>() == Approx(1));
    CHECK(trench["bends"][0]["price_money"] == 17.5);
    CHECK(trench["zones"][1]["facilities"] == json({"water"}));
    CHECK(trench["zones"][1]["marks"] == json({"W1"}));
    CHECK(trench["zones"][1]["trees"] == json({"T1"}));
    CHECK(trench["zones"][1]["length_m"].get<double>() == Approx(9.1 - 7.2));
    CHECK(trench["depths"][1] == json({{"station_m", 8.0},
                                       {"ground_elev_m", 30.6},
                                       {"invert_elev_m", 29.86},
                                       {"cut_m", 0.846},
                                       {"cover_m", 0.632},
                                       {"fall_ratio", 0.02},
                                       {"by_hand", true}}));
    CHECK(trench["quantities"]["restore_m2"] == json({{"lawn", 6.6}, {"sidewalk", 1.2}}));
    CHECK(trench["quantities"]["haul_loose_m3"] == 0.67);
    CHECK(trench["extra_fall_m"] == 0.094);
    CHECK(trench["search"]["lattice_cost_money"] == 913.25);
    CHECK(trench["search"]["cost_money"] == 899.75);
    CHECK(trench["search"]["labels"] == 40321);
    CHECK(trench["search"]["orientation_deg"].get<double>() == Approx(30));
    // 8 m to the bend, then 2.5 m along the 3-4-5 slant
    check_place(trench["findings"][0]["at_native"], plan.site.frame, {1.5, 10});
}

TEST_CASE("an unknown depth is null and says unknown; an exposed one is ground less top", "[export]")
{
    const auto crossings = parsed(sample_plan())["outlets"][0]["by_source"][0]["plan"]["crossings"];
    CHECK(crossings[0]["depth"] == "unknown");
    CHECK(crossings[0]["depth_m"].is_null());
    CHECK(crossings[0]["facility_top_elev_m"].is_null());
    CHECK(crossings[0]["width_m"].is_null());
    CHECK(crossings[0]["color"] == "yellow"); // APWA uniform color code: gas
    CHECK(crossings[0]["letters"] == "G");
    CHECK(crossings[0]["quality"] == "D");
    CHECK(crossings[0]["angle_deg"].get<double>() == Approx(90));
    CHECK(crossings[1]["depth"] == "exposed");
    CHECK(crossings[1]["depth_m"].get<double>() == Approx(30.5 - 29.6));
    CHECK(crossings[1]["color"] == "blue"); // APWA: water
    CHECK(crossings[1]["quality"] == "A");
    CHECK(crossings[1]["angle_deg"].get<double>() == Approx(60));
}

TEST_CASE("a crossing of unknown depth must be exposed and passes nothing; a recorded one tells its gap", "[export]")
{
    const auto outlet = parsed(sample_plan())["outlets"][0];
    const auto crossings = outlet["by_source"][0]["plan"]["crossings"];
    CHECK(crossings[0]["expose_before_grade"] == true);
    CHECK(crossings[0]["passing"].is_null());
    CHECK(crossings[0]["conflict_depth"]["from_m"].get<double>() == Approx(0.25));
    CHECK(crossings[1]["expose_before_grade"] == false);
    CHECK(crossings[1]["passing"]["way"] == "over");
    REQUIRE(outlet["potholes"].size() == 2);
    CHECK(outlet["potholes"][0]["mark"] == "G1");
    CHECK(outlet["potholes"][0]["ties"]["tapes"][0]["corner"] == "A");
    // (0, 3) of the site, 6500100, 1800209.8425 in EPSG:2229, by gdaltransform of GDAL 3.6.2, which takes
    // NAD83 and WGS 84 for the same: a null shift good to 4 m by EPSG, and 4e-5 deg are about that.
    CHECK(outlet["potholes"][0]["longitude_deg"].get<double>() == Approx(-118.20297440).margin(4e-5).epsilon(0));
    CHECK(outlet["potholes"][0]["latitude_deg"].get<double>() == Approx(33.93890311).margin(4e-5).epsilon(0));
    const auto corners = parsed(sample_plan())["corners"];
    REQUIRE(corners.size() == 4);
    check_place(corners[0]["at_native"], sample_plan().site.frame, {-4, 14});
    check_place(corners[1]["at_native"], sample_plan().site.frame, {-4, 20}); // clockwise
}

TEST_CASE("the prices in plan.json add up to the cent", "[export]")
{
    const auto outlet = parsed(sample_plan())["outlets"][0];
    REQUIRE(outlet["works"].get<bool>());
    std::map<std::string, long long> sums; // by trench; "" for the job as a whole
    for (const auto& line : outlet["estimate"]["lines"]) {
        const auto trench = line["trench"].is_null() ? std::string() : line["trench"].get<std::string>();
        sums[trench] += line["price"]["likely_cents"].get<long long>();
    }
    CHECK(sums[""] == 3415 + 7513 + 1521 + 12500);
    for (const auto& answer : outlet["by_source"]) {
        CHECK(answer["plan"]["price"]["total_cents"] == sums.at(answer["source"].get<std::string>()));
    }
    CHECK(sums.size() == 3);
    CHECK(outlet["total_cents"] == sums[""] + 8800 + 25350);
    CHECK(outlet["estimate"]["not_priced"][0]["item"] == "restore.patio");
    CHECK(outlet["estimate"]["not_priced"][0]["why"] == "no_rate");
}

TEST_CASE("a figure that is not finite stops plan.json and is named by its path", "[export]")
{
    for (const double bad : {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        auto plan = sample_plan();
        first_trench(plan).measured.depths[1].cut_m = bad;
        try {
            plan_json(plan);
            FAIL("written");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::internal);
            CHECK_THAT(error.what(), Contains("outlets[0].by_source[0].plan.depths[1].cut_m"));
        }
    }
}

TEST_CASE("a text that is not UTF-8 stops plan.json and is named by its path", "[export]")
{
    auto plan = sample_plan();
    plan.site.outlets[1].name = "Stra\xdf"
                                "e";
    CHECK_THROWS_WITH(plan_json(plan), Contains("outlets[0].name"));
}

TEST_CASE("the same plan gives the same plan.json", "[export]")
{
    CHECK(plan_json(sample_plan()) == plan_json(sample_plan()));
}

TEST_CASE("plan.json carries the water in the drain; what is not known is null, not 0", "[export]")
{
    auto plan = sample_plan();
    const auto by_source = parsed(plan)["outlets"][0]["by_source"];
    const auto& reaches = by_source[0]["plan"]["reaches"];
    REQUIRE(reaches.size() == 2);
    CHECK(reaches[0]["flow_m3ps"] == 0.007);
    CHECK(reaches[0]["as_planned"]["verdicts"] == json({"too_full"}));
    CHECK(reaches[0]["sized"]["pipe"] == plan.job.rules.water.pipes[2].name);
    CHECK(reaches[1]["flow_m3ps"].is_null());
    CHECK(reaches[1]["sized"].is_null());
    CHECK(by_source[0]["plan"]["pump"].is_null());
    const auto& pump = by_source[1]["plan"]["pump"];
    CHECK(pump["fittings_length_m"] == 3 * 1.25);
    CHECK(pump["duty"]["worst_cycle_s"] == 66);
    CHECK(pump["duty"]["verdicts"] == json({"too_fast"}));
    CHECK(pump["uplift"]["holds"] == false);
    auto& check = *std::get<TrenchPlan>(plan.outcomes[0].by_source[1]).water.pump;
    check.duty->point = {.place = DutyPlace::past_last_point};
    const auto unknown = parsed(plan)["outlets"][0]["by_source"][1]["plan"]["pump"]["duty"];
    for (const auto* key : {"flow_m3ps", "head_m", "velocity_mps", "worst_inflow_m3ps", "worst_cycle_s"}) {
        CHECK(unknown[key].is_null());
    }
}
