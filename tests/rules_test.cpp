#include "trenchwright/base/error.hpp"
#include "trenchwright/rules/rules.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <set>
#include <sstream>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

/// The message of the error that setting a rule gives; empty when it gives none.
std::string refusal_of(std::string_view key, std::string_view text)
{
    auto rules = default_rules();
    try {
        set_rule(rules, key, text);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::input);
        CHECK(rules == default_rules());
        return error.what();
    }
    return "";
}

/// Both ends of a setting's range, or its words.
std::vector<std::string> choices(const Setting& setting)
{
    if (setting.measure != Measure::word) {
        return {setting.lowest, setting.highest};
    }
    std::vector<std::string> words;
    std::istringstream all(setting.lowest);
    for (std::string word; std::getline(all, word, '|');) {
        words.push_back(word);
    }
    return words;
}

/// A value just outside the range on the given side.
double beyond(Measure measure, double bound, double side)
{
    return bound + side * (measure == Measure::count ? 1 : 1e-6 + std::abs(bound) * 1e-6);
}

std::string si_text(Measure measure, double value)
{
    std::ostringstream text;
    text.precision(15);
    switch (measure) {
    case Measure::length: text << value << " m"; break;
    case Measure::angle: text << value << " rad"; break;
    case Measure::velocity: text << value << " m/s"; break;
    case Measure::rain: text << value * 3600e3 << " mm/h"; break;
    case Measure::time: text << value << " s"; break;
    case Measure::density: text << value << " kg/m3"; break;
    case Measure::flow: text << value * 1000 << " L/s"; break;
    case Measure::volume: text << value << " m3"; break;
    case Measure::area: text << value << " m2"; break;
    case Measure::money_per_length: text << value << "/m"; break;
    case Measure::money_per_area: text << value << "/m2"; break;
    case Measure::money_per_volume: text << value << "/m3"; break;
    default: text << value; break;
    }
    return text.str();
}

} // namespace

TEST_CASE("what is believed of files is the same with settings and without", "[rules]")
{
    const auto shipped = default_rules().reading;
    const ReadingRules plain;
    CHECK(shipped.farthest_m == Approx(plain.farthest_m));
    CHECK(shipped.past_lot_line_m == Approx(plain.past_lot_line_m));
    CHECK(shipped.min_roof_area_m2 == Approx(plain.min_roof_area_m2));
    CHECK(shipped.max_roof_area_m2 == Approx(plain.max_roof_area_m2));
}

TEST_CASE("every setting has a default within its range, a source and a sentence of help", "[rules]")
{
    REQUIRE(settings().size() > 60);
    for (const auto& setting : settings()) {
        INFO(setting.key);
        CHECK_FALSE(setting.source.empty());
        CHECK(setting.help.ends_with("."));
        CHECK_FALSE(setting.fallback.empty());
        if (setting.measure == Measure::word) {
            continue;
        }
        const double value = parse_measure(setting.measure, setting.fallback);
        CHECK(value >= parse_measure(setting.measure, setting.lowest));
        CHECK(value <= parse_measure(setting.measure, setting.highest));
    }
}

TEST_CASE("no two settings share a key, and each changes the rules", "[rules]")
{
    std::set<std::string> keys;
    for (const auto& setting : settings()) {
        INFO(setting.key);
        CHECK(keys.insert(setting.key).second);
        const bool free_text = setting.measure == Measure::word && setting.lowest.empty();
        bool changed = free_text;
        for (const auto& text : choices(setting)) {
            // An end of the range may contradict another setting; one of them does not.
            if (refusal_of(setting.key, text).empty()) {
                auto rules = default_rules();
                set_rule(rules, setting.key, text);
                changed = changed || !(rules == default_rules());
            }
        }
        CHECK(changed);
    }
}

TEST_CASE("every setting is printed in a form that reads back as the same value", "[rules]")
{
    for (const std::string units : {"us", "metric"}) {
        auto rules = default_rules();
        set_rule(rules, "print.units", units);
        for (const auto& setting : settings()) {
            INFO(setting.key << " in " << units << ": " << rule_text(rules, setting.key));
            auto again = rules;
            set_rule(again, setting.key, rule_text(rules, setting.key));
            CHECK(rule_text(again, setting.key) == rule_text(rules, setting.key));
            if (setting.measure != Measure::word) {
                const double value = parse_measure(setting.measure, rule_text(rules, setting.key));
                CHECK(value == Approx(parse_measure(setting.measure, setting.fallback)).epsilon(1e-11));
            }
        }
    }
}

TEST_CASE("a value outside its range is refused on both sides, and so is text that is no number", "[rules]")
{
    for (const auto& setting : settings()) {
        if (setting.measure == Measure::word) {
            continue;
        }
        const double lowest = parse_measure(setting.measure, setting.lowest);
        const double highest = parse_measure(setting.measure, setting.highest);
        INFO(setting.key);
        CHECK_THAT(refusal_of(setting.key, si_text(setting.measure, beyond(setting.measure, lowest, -1))),
                   Contains(setting.key) && Contains("out of range"));
        CHECK_THAT(refusal_of(setting.key, si_text(setting.measure, beyond(setting.measure, highest, 1))),
                   Contains(setting.key) && Contains("out of range"));
        for (const std::string text : {"nan", "inf", "-inf", "nan m", "inf ft", "nan %", "nan/ft", "", " ", "1e999 m",
                                       "1/0 in", "0/0 in", "0/0", "1,5 m", "6 in in", "--6 in", "6 furlongs"}) {
            INFO(text);
            CHECK_THAT(refusal_of(setting.key, text), Contains(setting.key));
        }
    }
}

TEST_CASE("a length without a unit is refused and the message says how to write it", "[rules]")
{
    CHECK_THAT(refusal_of("drain.bedding", "4"), Contains("drain.bedding") && Contains("no unit") && Contains("6 in"));
    CHECK_THAT(refusal_of("route.max_turn", "45"), Contains("no unit"));
    CHECK_THAT(refusal_of("rates.pipe", "2.50"), Contains("no unit") && Contains("/ft"));
    CHECK_THAT(refusal_of("rates.hand_volume", "50"), Contains("no unit") && Contains("/yd3"));
    CHECK_THAT(refusal_of("ground_cover.lawn.restore", "1"), Contains("no unit") && Contains("/ft2"));
}

TEST_CASE("a unit of another measure is refused", "[rules]")
{
    const std::vector<std::pair<std::string, std::string>> wrong{
        {"drain.bedding", "4 %"},
        {"drain.bedding", "4 deg"},
        {"drain.min_fall", "1 in"},
        {"drain.min_fall", "1 deg"},
        {"route.max_turn", "45 %"},
        {"dig.swell", "25 in"},
        {"dig.tree_factor", "1 %"},
        {"search.label_budget", "2000 m"},
        {"search.label_budget", "2000.5"},
        {"rates.crossing", "90/ft"},
        {"rates.crossing", "90 %"},
        {"rates.pipe", "6/ft2"},
        {"rates.pipe", "6 ft"},
        {"rates.hand_volume", "6/ft"},
        {"ground_cover.lawn.restore", "1/yd3"},
        {"print.units", "feet"},
        {"fittings.use_45", "maybe"},
        {"print.currency", "dollars"},
        {"drain.width_preset", "narrow"},
        {"rates.crossing", "90 EUR"},
        {"rates.pipe", "6 EUR/ft"},
        {"drain.pipe_name", "two\nlines"},
    };
    for (const auto& [key, text] : wrong) {
        INFO(key << " = " << text);
        CHECK_THAT(refusal_of(key, text), Contains(key));
    }
}

TEST_CASE("quantities are read in the units of the trade", "[rules]")
{
    // By definition: 1 in = 0.0254 m, 1 ft = 0.3048 m, 1 US survey foot = 1200/3937 m (85 FR 62698).
    CHECK(parse_measure(Measure::length, "6 in") == Approx(0.1524).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "1 1/2 in") == Approx(0.0381).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "1/2\"") == Approx(0.0127).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "3'-2 1/16\"") == Approx(38.0625 * 0.0254).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "3 ft 6 in") == Approx(42 * 0.0254).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "-3'-6\"") == Approx(-42 * 0.0254).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "0.25 m") == 0.25);
    CHECK(parse_measure(Measure::length, "150mm") == Approx(0.15).epsilon(1e-15));
    CHECK(parse_measure(Measure::length, "3937 ftUS") == Approx(1200).epsilon(1e-15));
    // docs/sources.md, S1: 1/8 in per ft is 1.042 %.
    CHECK(parse_measure(Measure::fall, "1/8 in/ft") == Approx(0.01042).epsilon(5e-4));
    CHECK(parse_measure(Measure::fall, "1:96") == Approx(1.0 / 96).epsilon(1e-15));
    CHECK(parse_measure(Measure::fall, "1 %") == Approx(0.01).epsilon(1e-15));
    CHECK(parse_measure(Measure::fall, "0.01") == 0.01);
    CHECK(parse_measure(Measure::fall, "10 mm/m") == Approx(0.01).epsilon(1e-15));
    CHECK(parse_measure(Measure::angle, "180 deg") == Approx(std::numbers::pi).epsilon(1e-15));
    CHECK(parse_measure(Measure::share, "25 %") == 0.25);
    CHECK(parse_measure(Measure::factor, "1.25 ft/in") == 15);
    CHECK(parse_measure(Measure::count, "20000000") == 2e7);
    CHECK(parse_measure(Measure::money, "2.50 USD") == 2.5);
    CHECK(parse_measure(Measure::money_per_length, "2.50 USD/m") == 2.5);
    CHECK(parse_measure(Measure::money_per_length, "3.048/ft") == Approx(10).epsilon(1e-15));
    // docs/sources.md, E11: 27 ft3 are 1 yd3.
    CHECK(parse_measure(Measure::money_per_volume, "27/yd3") ==
          Approx(parse_measure(Measure::money_per_volume, "1/ft3")).epsilon(1e-14));
    CHECK(parse_measure(Measure::money_per_area, "9/yd2") ==
          Approx(parse_measure(Measure::money_per_area, "1/ft2")).epsilon(1e-14));
}

TEST_CASE("a wrong key is answered with the nearest known one", "[rules]")
{
    CHECK_THAT(refusal_of("drain.mim_fall", "1 %"),
               Contains("unknown setting \"drain.mim_fall\"") && Contains("did you mean \"drain.min_fall\"?"));
    CHECK_THAT(refusal_of("min_fall", "1 %"), Contains("did you mean \"drain.min_fall\"?"));
    CHECK_THAT(refusal_of("dig.tolerence", "24 in"), Contains("did you mean \"dig.tolerance\"?"));
    CHECK_THAT(refusal_of("ground_cover.lawn.restor", "1/ft2"),
               Contains("did you mean \"ground_cover.lawn.restore\"?"));
    CHECK_THAT(refusal_of("xyzzyxyzzy", "1"), Contains("unknown setting") && !Contains("did you mean"));
    const std::vector<std::string> words{"lawn", "sidewalk", "driveway"};
    CHECK(nearest_word("lwan", words) == "lawn");
    CHECK(nearest_word("sidewalk", words) == "sidewalk");
    CHECK(nearest_word("electric", words).empty());
    CHECK(nearest_word("", words).empty());
}

TEST_CASE("shipped defaults are the figures of their sources", "[rules]")
{
    const auto rules = default_rules();
    // docs/sources.md, O6: SDR 35 4 in, outside 4.215, wall 0.120, bore 3.975 in.
    CHECK(rules.route.section.outside_diameter_m == Approx(4.215 * inch_in_m).epsilon(1e-12));
    CHECK(rules.route.section.wall_m == Approx(0.120 * inch_in_m).epsilon(1e-12));
    CHECK(rules.inside_diameter_m == Approx(3.975 * inch_in_m).epsilon(1e-12));
    // docs/sources.md, S1, Chicago: storm drains of 3 to 6 in fall 1/8 in per ft.
    CHECK(rules.route.min_fall_ratio == Approx(0.125 / 12).epsilon(1e-12));
    // CGA Best Practices 5-19: facility width + 18 in.
    CHECK(rules.route.tolerance_m == Approx(18 * inch_in_m).epsilon(1e-12));
    // NC State extension: 1.25 ft per inch of trunk, 15 diameters.
    CHECK(rules.route.tree_factor == Approx(1.25 * 12).epsilon(1e-12));
    // Los Angeles curb-drain procedure: 2 in under the curb top.
    CHECK(rules.route.curb_clearance_m == Approx(2 * inch_in_m).epsilon(1e-12));
    // 29 CFR 1926.651(c)(2), (g) and .652(a)(1): 4 ft and 5 ft.
    CHECK(rules.egress_and_air_test_cut_m == Approx(4 * ft_in_m).epsilon(1e-12));
    CHECK(rules.protective_system_cut_m == Approx(5 * ft_in_m).epsilon(1e-12));
    // docs/sources.md, W4: swell 25 %, shrink 12 %.
    CHECK(rules.soil.swell_ratio == Approx(0.25).epsilon(1e-12));
    CHECK(rules.soil.shrink_ratio == Approx(0.12).epsilon(1e-12));
    CHECK_FALSE(rules.route.surfaces.at("street").may_enter);
    CHECK(rules.route.surfaces.at("parkway").may_enter);
}

TEST_CASE("the standard width follows the rule of ASTM D2321 for three pipes", "[rules]")
{
    // docs/sources.md, J7: outside 3.5, 4.215 and 4.5 in ask for 19.5, 20.2 and 20.5 in.
    for (const auto& [pipe, width_in] :
         {std::pair<std::string, double>{"3.5 in", 19.5}, {"4.215 in", 20.2}, {"4.5 in", 20.5}}) {
        auto rules = default_rules();
        set_rule(rules, "drain.pipe_outside_diameter", pipe);
        CHECK(rules.route.section.width_m == Approx(12 * inch_in_m).epsilon(1e-12));
        set_rule(rules, "drain.width_preset", "standard");
        CHECK(rules.route.section.width_m == Approx(width_in * inch_in_m).margin(0.05 * inch_in_m));
    }
    // Above 16 in the other branch is the wider: 1.25 x 20 + 12 = 37 > 36.
    auto rules = default_rules();
    set_rule(rules, "drain.width_preset", "standard");
    set_rule(rules, "drain.pipe_outside_diameter", "20 in");
    CHECK(rules.route.section.width_m == Approx(37 * inch_in_m).epsilon(1e-12));
}

TEST_CASE("what follows from other settings does not depend on their order", "[rules]")
{
    const std::vector<RuleText> texts{{"drain.trench_width", "16 in", ""},    {"drain.width_preset", "own", ""},
                                      {"restore.extra_width", "2 in", ""},    {"print.units", "metric", ""},
                                      {"print.depth_step_metric", "2 m", ""}, {"rates.crossing", "90 EUR", ""},
                                      {"print.currency", "EUR", ""},          {"fittings.use_11", "no", ""}};
    auto forward = default_rules();
    set_rules(forward, texts);
    auto backward = default_rules();
    set_rules(backward, std::vector<RuleText>(texts.rbegin(), texts.rend()));
    CHECK(forward == backward);
    CHECK(forward.route.section.width_m == Approx(16 * inch_in_m));
    CHECK(forward.route.restore_width_m == Approx(20 * inch_in_m));
    CHECK(forward.depth_step_m == 2);
    REQUIRE(forward.route.fittings.size() == 3);
    CHECK(forward.route.fittings[0].angle_rad == Approx(std::numbers::pi / 8));
    CHECK(forward.currency == "EUR");
}

TEST_CASE("settings that contradict each other are refused together", "[rules]")
{
    CHECK_THAT(refusal_of("drain.pipe_wall", "3 in"), Contains("no bore"));
    CHECK_THAT(refusal_of("drain.pipe_outside_diameter", "14 in"), Contains("does not take a pipe"));
    CHECK_THAT(refusal_of("dig.tree_keep_out_factor", "20"), Contains("dig.tree_factor"));
    CHECK_THAT(refusal_of("ground_cover.default", "lwan"), Contains("did you mean \"lawn\"?"));
}

TEST_CASE("a list setting refuses a kind of surface that does not exist", "[rules]")
{
    CHECK_THAT(refusal_of("spoil.keep_off", "sidewalk drivewayy"),
               Contains("spoil.keep_off: \"drivewayy\" is no kind of surface; did you mean \"driveway\"?"));
    CHECK_THAT(refusal_of("aim.sidewalks", "sidewalk foundation"),
               Contains("aim.sidewalks: \"foundation\" is no kind"));
    CHECK(refusal_of("spoil.keep_off", "sidewalk public_sidewalk").empty());
    CHECK(refusal_of("spoil.keep_off", "sidewalk foundation lot_line").empty()); // kept off them in any case
}

TEST_CASE("a kind of surface of one's own needs its three rows", "[rules]")
{
    const std::vector<RuleText> all{{"ground_cover.deck.restore", "30/ft2", ""},
                                    {"ground_cover.deck.may_enter", "no", ""},
                                    {"ground_cover.deck.min_cover", "6 in", ""}};
    auto rules = default_rules();
    set_rules(rules, all);
    CHECK_FALSE(rules.route.surfaces.at("deck").may_enter);
    CHECK(rule_text(rules, "ground_cover.deck.restore") == "30 USD/ft2");
    CHECK_THAT(rules_text(rules), Contains("ground_cover.deck.min_cover"));
    // What it is made of it may leave out: then it has no slab, and its own cover holds near every outlet.
    CHECK(rule_text(rules, "ground_cover.deck.slab") == "0 in");
    CHECK(rule_text(rules, "ground_cover.deck.vehicles") == "yes");
    set_rules(rules,
              std::vector<RuleText>{{"ground_cover.deck.slab", "5 in", ""}, {"ground_cover.deck.vehicles", "no", ""}});
    CHECK(rules.route.surfaces.at("deck").slab_m == Approx(5 * 0.0254));
    CHECK_THAT(rules_text(rules), Contains("ground_cover.deck.slab"));
    auto slip = default_rules();
    const std::vector<RuleText> one{{"ground_cover.lwan.restore", "2/ft2", "lot.toml:7: "}};
    CHECK_THROWS_WITH(set_rules(slip, one), Contains("lot.toml:7: ") && Contains("did you mean \"lawn\"?"));
    CHECK(slip == default_rules());
}

TEST_CASE("the printed table holds every setting and keeps to 110 columns", "[rules]")
{
    auto rules = default_rules();
    set_rule(rules, "drain.pipe_name", std::string(80, 'x'));
    std::istringstream table(rules_text(rules));
    std::set<std::string> first_words;
    for (std::string line; std::getline(table, line);) {
        CHECK(line.size() <= 110);
        first_words.insert(line.substr(0, line.find(' ')));
    }
    for (const auto& setting : settings()) {
        CHECK(first_words.contains(setting.key));
    }
}

TEST_CASE("a value that is the default is printed in the default's own unit", "[rules]")
{
    auto rules = default_rules();
    CHECK_THAT(rules_text(rules), Contains("search.cell                               0.25 m                0.25 m"));
    CHECK_THAT(rules_text(rules), Contains("print.depth_step_metric                   1 m                   1 m"));
    rules.units = UnitSystem::metric;
    CHECK_THAT(rules_text(rules), Contains("search.cell                               0.25 m                0.25 m"));
    set_rule(rules, "search.cell", "0.5 m");
    CHECK_THAT(rules_text(rules), Contains("search.cell                               500 mm                0.25 m"));
}
