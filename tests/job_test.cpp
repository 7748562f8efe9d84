#include "trenchwright/base/error.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/lid.hpp"
#include "trenchwright/plan/pump_joint.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <unistd.h>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

namespace fs = std::filesystem;

/// A folder of this test's own, gone when the test ends.
class Folder {
  public:
    explicit Folder(const std::string& name)
        : path_(fs::path(TRENCHWRIGHT_BINARY_DIR) / "job_test" / (name + "-" + std::to_string(getpid())))
    {
        fs::remove_all(path_);
        fs::create_directories(path_);
    }
    ~Folder() { fs::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] fs::path write(const std::string& text) const
    {
        std::ofstream(path_ / "lot.toml", std::ios::binary) << text;
        return path_ / "lot.toml";
    }
    [[nodiscard]] fs::path path() const { return path_; }

  private:
    fs::path path_;
};

const std::string smallest = R"([units]
elevations = "ft"
sizes = "in"
[layers.parcel]
file = "lot.geojson"
)";

Job job_from(const std::string& text)
{
    const Folder folder("read");
    return read_job(folder.write(text));
}

std::string manual()
{
    std::ifstream stream(fs::path(TRENCHWRIGHT_SOURCE_DIR) / "docs" / "job-file.md");
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
}

/// The message of the refusal; fails the test when the job is read.
std::string refusal_of(const std::string& text)
{
    try {
        job_from(text);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::input);
        return error.what();
    }
    FAIL("was read: " << text);
    return "";
}

} // namespace

TEST_CASE("a job is printed in the units of its heights, unless print.units says otherwise", "[job]")
{
    const auto with = [](const std::string& heights, const std::string& more) {
        auto text = smallest;
        text.replace(text.find("\"ft\""), 4, "\"" + heights + "\"");
        return job_from(more + text);
    };
    CHECK(with("m", "").rules.units == UnitSystem::metric);
    for (const std::string foot : {"ft", "ftUS", "in"}) {
        CHECK(with(foot, "").rules.units == UnitSystem::us);
    }
    CHECK(with("m", "rules.print.units = \"us\"\n").rules.units == UnitSystem::us);
    CHECK(with("ft", "rules.print.units = \"metric\"\n").rules.units == UnitSystem::metric);
    CHECK(with("m", "").rules.depth_step_m == Approx(1)); // the depth table follows
    CHECK(with("m", "").layers.print_units == UnitSystem::metric);
    CHECK_FALSE(with("m", "").currency_stated);
    CHECK(with("m", "rules.print.currency = \"EUR\"\n").currency_stated);
    CHECK(with("ft", "").currency_stated);
    CHECK_THAT(rules_text(with("m", "").rules), Contains("metric where the job's heights"));
}

TEST_CASE("a job file is read with every part in its place", "[job]")
{
    const Folder folder("whole");
    const auto file = folder.write(R"(
name = "Alder Bend, lot 12"
prepared_for = "R. Okonjo-Lind"
prepared_by = "Test"
date = 2031-04-02
[frame]
kind = "named"
crs = "EPSG:2229"
[units]
elevations = "ftUS"
sizes = "in"
[instrument]
height = "104.70 ft"
[parcel]
id = "12"
street_ids = ["ROAD", "LANE"]
[layers.parcel]
file = "lots/all.gpkg"
layer = "lots"
crs = "EPSG:2229"
[[layers.utilities]]
file = "/data/gas.shp"
sizes = "rod"
nodata = -9999
elevations = "m"
[layers.utilities.fields]
facility = "TYPE"
[layers.utilities.constants]
quality = "D"
[layers.utilities.words]
"GAS MAIN" = "gas"
7 = "water"
[[layers.utilities]]
file = "phone.geojson"
[rules]
"drain.min_fall" = "1 %"
search.headings = 16
[rules.ground_cover.lawn]
restore = "2 USD/ft2"
[rules.print]
units = "metric"
)");
    CHECK_THROWS_WITH(read_job(file), Contains("\"rod\" is no unit of length"));
    std::ifstream stream(file);
    std::stringstream text;
    text << stream.rdbuf();
    auto fixed = text.str();
    fixed.replace(fixed.find("\"rod\""), 5, "\"in\"");
    const auto job = read_job(folder.write(fixed));
    CHECK(job.name == "Alder Bend, lot 12");
    CHECK(job.prepared_for == "R. Okonjo-Lind");
    CHECK(job.date == "2031-04-02");
    CHECK(job.layers.frame.kind == FrameChoice::Kind::named);
    CHECK(job.layers.frame.crs == "EPSG:2229");
    CHECK(job.layers.elev_unit == LengthUnit::us_survey_foot);
    CHECK(job.layers.size_unit == LengthUnit::inch);
    CHECK(job.layers.parcel_ids == std::vector<std::string>{"12"});
    CHECK(job.layers.street_ids == std::vector<std::string>{"ROAD", "LANE"});
    CHECK(job.layers.print_units == UnitSystem::metric);
    CHECK(std::ranges::count(job.layers.surface_kinds, "parkway") == 1);
    CHECK(job.layers.instrument_height_m == Approx(104.70 * 0.3048).epsilon(1e-15));
    const auto& parcel = job.layers.parts.at("parcel");
    REQUIRE(parcel.size() == 1);
    CHECK(parcel[0].file == folder.path() / "lots/all.gpkg");
    CHECK(parcel[0].layer == "lots");
    CHECK(parcel[0].crs == "EPSG:2229");
    CHECK_FALSE(parcel[0].elev_unit.has_value());
    const auto& utilities = job.layers.parts.at("utilities");
    REQUIRE(utilities.size() == 2);
    CHECK(utilities[0].file == "/data/gas.shp");
    CHECK(utilities[0].fields.at("facility") == "TYPE");
    CHECK(utilities[0].constants.at("quality") == "D");
    CHECK(utilities[0].words.at("GAS MAIN") == "gas");
    CHECK(utilities[0].words.at("7") == "water");
    CHECK(utilities[0].nodata == -9999.0);
    CHECK(utilities[0].elev_unit == LengthUnit::meter);
    CHECK(utilities[1].file == folder.path() / "phone.geojson");
    CHECK(job.rules.route.min_fall_ratio == 0.01);
    CHECK(job.rules.route.headings == 16);
    CHECK(job.rules.route.surfaces.at("lawn").restore_per_m2 == Approx(2 / (0.3048 * 0.3048)).epsilon(1e-15));
    CHECK(job.rules.units == UnitSystem::metric);
}

TEST_CASE("the smallest job has the default rules and its file's name", "[job]")
{
    const auto job = job_from(smallest);
    CHECK(job.name == "lot");
    CHECK(job.rules == default_rules());
    CHECK(job.layers.frame.kind == FrameChoice::Kind::from_layers);
    CHECK_FALSE(job.layers.instrument_height_m.has_value());
}

TEST_CASE("the footing is read by whichever height is stated", "[job]")
{
    const auto footing = [](const std::string& keys) {
        return job_from(smallest + "[footing]\n" + keys + "outer_edge = \"4 in\"\n").footing.value();
    };
    CHECK(footing("bottom = \"96.4 ft\"\n").bottom_elev_m.value() == Approx(96.4 * ft_in_m));
    CHECK(footing("below_floor = \"12 in\"\n").below_floor_m.value() == Approx(12 * inch_in_m));
    CHECK(footing("below_ground = \"3 ft\"\n").below_ground_m.value() == Approx(3 * ft_in_m));
    CHECK(footing("bottom = \"1 m\"\n").outer_edge_m == Approx(4 * inch_in_m));
    CHECK_FALSE(footing("bottom = \"1 m\"\n").inner_edge_m);
    CHECK(footing("bottom = \"1 m\"\ninner_edge = \"1 ft\"\n").inner_edge_m.value() == Approx(ft_in_m));
    CHECK_FALSE(job_from(smallest).footing);
}

TEST_CASE("an unknown key anywhere is refused with file, line and the nearest key", "[job]")
{
    const std::vector<std::tuple<std::string, std::string, std::string>> wrong{
        {"nmae = \"x\"\n" + smallest, "lot.toml:1: nmae", "\"name\""},
        {smallest + "[framee]\nkind = \"tape\"\n", "lot.toml:6: framee", "\"frame\""},
        {smallest + "[frame]\nknid = \"tape\"\n", "lot.toml:7: frame.knid", "\"kind\""},
        {smallest + "flie = \"x\"\n", "lot.toml:6: layers.parcel.flie", "\"file\""},
        {smallest + "[layers.parcle]\nfile = \"x\"\n", "lot.toml:6: layers.parcle", "\"parcel\""},
        {smallest + "[layers.utilities]\nfile = \"x\"\nfields.facilty = \"T\"\n",
         "lot.toml:8: layers.utilities.fields.facilty", "\"facility\""},
        {smallest + "[layers.utilities]\nfile = \"x\"\nconstants.facilty = \"gas\"\n",
         "lot.toml:8: layers.utilities.constants.facilty", "\"facility\""},
        {smallest + "[parcel]\nidd = \"1\"\n", "lot.toml:7: parcel.idd", "\"id\""},
        {smallest + "[instrument]\nheigth = \"1 m\"\n", "lot.toml:7: instrument.heigth", "\"height\""},
        {smallest + "[footing]\nbotom = \"1 m\"\n", "lot.toml:7: footing.botom", "\"bottom\""},
        {smallest + "[rules]\n\"drain.mim_fall\" = \"1 %\"\n", "lot.toml:7: ", "\"drain.min_fall\""},
        {smallest + "[rules.drain]\nmim_fall = \"1 %\"\n", "lot.toml:7: ", "\"drain.min_fall\""},
        {smallest + "[rules.ground_cover.lwan]\nrestore = \"1/ft2\"\n", "lot.toml:7: ", "\"lawn\""},
    };
    for (const auto& [text, place, nearest] : wrong) {
        INFO(text);
        CHECK_THAT(refusal_of(text), Contains(place) && Contains("did you mean " + nearest));
    }
    const auto extra_unit = "units.size = \"in\"\n" + smallest.substr(smallest.find("[layers"));
    CHECK_THAT(refusal_of("units.elevations = \"ft\"\nunits.sizes = \"in\"\n" + extra_unit),
               Contains("lot.toml:3: units.size") && Contains("did you mean \"sizes\""));
}

TEST_CASE("a wrong value is refused with file, line and key", "[job]")
{
    const std::vector<std::tuple<std::string, std::string, std::string>> wrong{
        {smallest + "name = ", "lot.toml:6: ", ""},
        {smallest + "[frame]\nkind = \"map\"\n", "lot.toml:7: frame.kind", "from layers|named|tape"},
        {smallest + "[frame]\nkind = \"named\"\n", "lot.toml:6: frame", "needs crs"},
        {smallest + "[frame]\nkind = \"tape\"\n", "lot.toml:6: frame", "needs unit"},
        {smallest + "[frame]\ncrs = \"EPSG:2229\"\n", "lot.toml:7: frame.crs", "kind = \"named\""},
        {smallest + "[frame]\nkind = \"tape\"\nunit = \"ell\"\n", "lot.toml:8: frame.unit", "\"ell\""},
        {smallest + "layer = 3\n", "lot.toml:6: layers.parcel.layer", "text in quotes"},
        {smallest + "layer = \"\"\n", "lot.toml:6: layers.parcel.layer", "not empty"},
        {smallest + "nodata = nan\n", "lot.toml:6: layers.parcel.nodata", "number"},
        {smallest + "nodata = \"-9999\"\n", "lot.toml:6: layers.parcel.nodata", "number"},
        {smallest + "[layers.utilities]\nlayer = \"x\"\n", "lot.toml:6: layers.utilities", "names no file"},
        {smallest + "[layers.utilities]\nfile = \"x\"\nfields.facility = \"T\"\nconstants.facility = \"gas\"\n",
         "lot.toml:9: layers.utilities.constants.facility", "as a field too"},
        {smallest + "[instrument]\nheight = 104.7\n", "lot.toml:7: instrument.height", "no unit"},
        {smallest + "[instrument]\nheight = \"nan m\"\n", "lot.toml:7: instrument.height", "cannot be read"},
        {smallest + "[instrument]\nheight = \"10000 m\"\n", "lot.toml:7: instrument.height", "out of range"},
        {smallest + "[instrument]\n", "lot.toml:6: instrument", "needs height"},
        {smallest + "[footing]\nouter_edge = \"4 in\"\n", "lot.toml:6: footing", "one of bottom, below_floor"},
        {smallest + "[footing]\nbottom = \"3 m\"\nbelow_ground = \"1 m\"\nouter_edge = \"4 in\"\n",
         "lot.toml:6: footing", "one of bottom, below_floor"},
        {smallest + "[footing]\nbottom = \"3 m\"\n", "lot.toml:6: footing", "needs outer_edge"},
        {smallest + "[footing]\nbottom = 3\nouter_edge = \"4 in\"\n", "lot.toml:7: footing.bottom", "no unit"},
        {smallest + "[footing]\nbottom = \"nan m\"\nouter_edge = \"4 in\"\n", "lot.toml:7: footing.bottom",
         "cannot be read"},
        {smallest + "[footing]\nbottom = \"3 m\"\nouter_edge = \"-1 in\"\n", "lot.toml:8: footing.outer_edge",
         "out of range"},
        {smallest + "[footing]\nbottom = \"3 m\"\nouter_edge = \"0 in\"\ninner_edge = \"9 ft\"\n",
         "lot.toml:9: footing.inner_edge", "out of range"},
        {smallest + "[parcel]\nstreet_ids = [true]\n", "lot.toml:7: parcel.street_ids", "text in quotes"},
        {smallest + "[parcel]\nid = { a = 1 }\n", "lot.toml:7: parcel.id", "text in quotes"},
        {smallest + "[parcel]\nstreet_between_lots = \"maybe\"\n", "lot.toml:7: parcel.street_between_lots",
         "\"yes\" or \"no\""},
        {smallest + "[layers.trees]\nfile = \"x\"\ndecimal = \";\"\n", "lot.toml:8: layers.trees.decimal",
         "must be"},
        {smallest + "[rules]\ndrain.bedding = 4\n", "lot.toml:7: drain.bedding", "no unit"},
        {smallest + "[rules]\ndrain.min_fall = nan\n", "lot.toml:7: drain.min_fall", "cannot be read"},
        {smallest + "[rules]\nfittings.use_11 = true\n", "lot.toml:7: rules.fittings.use_11", "\"yes\" or \"no\""},
        {smallest + "[rules]\n\"drain.bedding\" = \"4 in\"\ndrain.bedding = \"5 in\"\n", "drain.bedding", "twice"},
        {smallest + "[rules]\ndrain.pipe_wall = \"3 in\"\n", "lot.toml:6: rules", "no bore"},
        {"rules = 3\n" + smallest, "lot.toml:1: rules", "table"},
        {"units = \"ft\"\n[layers.parcel]\nfile = \"x\"\n", "lot.toml:1: units", "elevations"},
        {"[layers.parcel]\nfile = \"x\"\n", "lot.toml:1: ", "[units] elevations is missing"},
        {"[units]\nelevations = \"m\"\n[layers.parcel]\nfile = \"x\"\n", "lot.toml:1: units", "sizes is missing"},
        {"[units]\nelevations = \"m\"\nsizes = \"m\"\n", "lot.toml:1: ", "names no data"},
    };
    for (const auto& [text, place, why] : wrong) {
        INFO(text);
        CHECK_THAT(refusal_of(text), Contains(place) && Contains(why));
    }
}

TEST_CASE("ids of lots are texts or whole numbers, one or several; a layer may be a part of a file", "[job]")
{
    const std::string units = "[units]\nelevations = \"ft\"\nsizes = \"mm\"\n";
    const auto read = [&](const std::string& ids) {
        return job_from(units + "[parcel]\nid = " + ids +
                        "\nstreet_between_lots = \"yes\"\n[layers.parcel]\nfile = \"x.csv\"\nwhere = "
                        "\"class = 'lot'\"\ndecimal = \",\"\n");
    };
    using Ids = std::vector<std::string>;
    CHECK(read("12").layers.parcel_ids == Ids{"12"});
    CHECK(read("12.0").layers.parcel_ids == Ids{"12"});
    CHECK(read("\"012\"").layers.parcel_ids == Ids{"012"});
    const auto job = read("[\"012\", 13]");
    CHECK(job.layers.parcel_ids == Ids{"012", "13"});
    CHECK(job.layers.street_between_lots);
    CHECK(job.layers.size_unit == LengthUnit::millimeter);
    CHECK(job.layers.parts.at("parcel").at(0).where == "class = 'lot'");
    CHECK(job.layers.parts.at("parcel").at(0).decimal_comma);
    CHECK(job.rules.currency == "USD");
}

TEST_CASE("no rule may ask for a distance from beyond what is read around the lot", "[job]")
{
    const auto around = std::ranges::find(settings(), "reading.around", &Setting::key);
    const auto least_m = parse_measure(Measure::length, around->lowest);
    for (const auto& setting : settings()) {
        const bool distance = setting.measure == Measure::length &&
                              (setting.key.starts_with("setbacks.") || setting.key == "sheet.reach");
        if (distance) {
            INFO(setting.key);
            CHECK(parse_measure(Measure::length, setting.highest) < least_m);
        }
    }
}

TEST_CASE("a job file that is not there or not a file is refused by name", "[job]")
{
    const Folder folder("absent");
    CHECK_THROWS_WITH(read_job(folder.path() / "none.toml"), Contains("none.toml"));
    CHECK_THROWS_WITH(read_job(folder.path()), Contains(folder.path().string()));
}

TEST_CASE("the manual's example is a job that can be read", "[job]")
{
    const auto text = manual();
    const auto start = text.find("```toml\n") + 8;
    REQUIRE(start > 8);
    const auto job = job_from(text.substr(start, text.find("```", start) - start));
    CHECK(job.name == "Alder Bend, lot 12");
    CHECK(job.layers.parts.at("utilities").size() == 2);
}

TEST_CASE("the manual of the job file names every setting, part and key", "[job]")
{
    const auto text = manual();
    for (const auto& setting : settings()) {
        INFO(setting.key);
        CHECK(text.find("`" + setting.key + "`") != std::string::npos);
    }
    for (const auto& part : site_parts()) {
        INFO(part.name);
        CHECK(text.find("`" + part.name + "`") != std::string::npos);
        for (const auto& attribute : part.attributes) {
            INFO(attribute);
            CHECK(text.find("`" + attribute + "`") != std::string::npos);
        }
    }
    for (const std::string key :
         {"name",       "prepared_for", "prepared_by", "date",         "kind",       "crs",
          "unit",       "elevations",   "sizes",       "areas",        "height",     "file",
          "layer",      "fields",       "constants",   "words",        "nodata",     "id",
          "street_ids", "bottom",       "below_floor", "below_ground", "outer_edge", "inner_edge",
          "where",      "decimal",      "street_between_lots"}) {
        INFO(key);
        CHECK(text.find("`" + key + "`") != std::string::npos);
    }
}

namespace {

/// One straight trench of 10 m to a pop-up: ground at its lower end and invert at its upper end.
TrenchPlan popup_trench(double ground_elev_m, double wall_invert_elev_m)
{
    TrenchPlan trench;
    trench.line.route.line = {{0, 0}, {10, 0}};
    trench.laid.problem.ground = {{.station_m = 0, .elev_m = ground_elev_m}};
    trench.laid.profile.points.resize(2);
    trench.laid.profile.points[0].invert_elev_m = wall_invert_elev_m - 0.2;
    trench.laid.profile.points[1] = {.station_m = 10, .invert_elev_m = wall_invert_elev_m};
    return trench;
}

Site popup_site(std::size_t sources)
{
    Site site;
    site.outlets.resize(1);
    site.outlets[0].name = "Pop-up, rear";
    site.outlets[0].kind = OutletKind::popup;
    for (std::size_t i = 0; i < sources; ++i) {
        Source source;
        source.id = "DS-" + std::to_string(i + 1);
        site.sources.push_back(source);
    }
    return site;
}

} // namespace

TEST_CASE("a lid as high as the invert at the wall, to what is printed, is said to be at the same height", "[findings]")
{
    const auto site = popup_site(1);
    const auto trench = popup_trench(0, 10);
    const auto said = [&](double lid_elev_m) {
        const auto findings = lid_findings(trench, site, default_rules(), lid_elev_m);
        REQUIRE(findings.size() == 1);
        return findings[0].text;
    };
    // 0.05 in, where tenths of an inch begin to be rounded up, are 1.27 mm.
    CHECK_THAT(said(10.0010), Contains("The lid of Pop-up, rear lies at the same height as the invert at the wall"));
    CHECK_THAT(said(10.0254), Contains("The lid of Pop-up, rear lies 1.0 in above the invert at the wall"));
    CHECK(lid_findings(trench, site, default_rules(), 9.99).empty());
    CHECK(lid_findings(trench, site, default_rules(), std::nullopt).empty());
}

TEST_CASE("the lid of a joined drain lies at the trunk's end, not where a branch joins", "[findings]")
{
    const auto site = popup_site(3);
    OutletOutcome outcome;
    outcome.one_drain = true;
    auto trunk = popup_trench(7, 10);
    auto branch = popup_trench(10.4, 10.1); // joins under ground that lies higher than its own invert at the wall
    branch.source = 1;
    branch.joins = Junction{.source = 0, .station_m = 8, .at = {8, 0}};
    auto twig = popup_trench(10.5, 10.2);
    twig.source = 2;
    twig.joins = Junction{.source = 1, .station_m = 5, .at = {5, 0}};
    outcome.by_source = {trunk, branch, twig};
    for (const auto* one : {&trunk, &branch, &twig}) {
        CHECK(lid_elev_m(outcome, *one, site) == 7);
        CHECK(lid_findings(*one, site, default_rules(), lid_elev_m(outcome, *one, site)).empty());
    }
    CHECK_FALSE(stands_full(outcome, site));
    // A lid between the walls: it stands above the trunk's wall and the branch's, not above the twig's.
    std::get<TrenchPlan>(outcome.by_source[0]).laid.problem.ground[0].elev_m = 10.15;
    const auto lid = lid_elev_m(outcome, twig, site);
    CHECK(lid == 10.15);
    CHECK(stands_full(outcome, site));
    CHECK(lid_findings(twig, site, default_rules(), lid).empty());
    const auto on_branch = lid_findings(branch, site, default_rules(), lid);
    REQUIRE(on_branch.size() == 1);
    CHECK_THAT(on_branch[0].text, Contains("2.0 in above the invert at the wall of DS-2")); // 0.05 m
    CHECK(on_branch[0].at == Point{10, 0});
    auto curb = site;
    curb.outlets[0].kind = OutletKind::curb;
    CHECK_FALSE(lid_elev_m(outcome, twig, curb));
    CHECK_FALSE(stands_full(outcome, curb));
}

TEST_CASE("a pump's loose joint below the lid spills in each cycle, said once", "[findings]")
{
    auto site = popup_site(1);
    site.sources[0].kind = SourceKind::pump;
    auto rules = default_rules();
    const auto trench = popup_trench(0, 10); // a gravity line of its own: the joint is at the wall
    const double lid = 10.0762;              // 3 in
    CHECK(lid_findings(trench, site, rules, lid).empty());
    const auto joint = pump_joint_findings(trench, site, rules, lid);
    REQUIRE(joint.size() == 1);
    CHECK(joint[0].severity == Severity::warning);
    CHECK_THAT(joint[0].text, Contains("3.0 in above the loose joint") && Contains("each pump cycle spills"));
    CHECK(pump_joint_findings(trench, site, rules, 9.9).at(0).severity == Severity::note);
    // A closed line spills nowhere; then the line stands full, as any other.
    rules.water.pump_line.joint = "closed";
    CHECK(lid_findings(trench, site, rules, lid).size() == 1);
    CHECK_THAT(pump_joint_findings(trench, site, rules, lid).at(0).text, Contains("floods"));
}

TEST_CASE("a file of rules stands behind the job's own, and the one shipped for copying holds the defaults", "[job]")
{
    const Folder folder("rules_file");
    const auto shipped = fs::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / "rules" / "common-practice.toml";
    const auto named = "rules_file = \"" + shipped.string() + "\"\n" + smallest;
    CHECK(read_job(folder.write(named)).rules == default_rules());
    CHECK(read_job(folder.write(named)).rules_file == shipped);

    std::ofstream(folder.path() / "town.toml") << "[dig]\ntolerance = \"30 in\"\ndeepest_cut = \"3 ft\"\n";
    const std::string job = "rules_file = \"town.toml\"\n" + smallest + "[rules.dig]\ndeepest_cut = \"5 ft\"\n";
    const auto rules = read_job(folder.write(job)).rules;
    CHECK(rules.route.tolerance_m == Approx(0.762)); // 30 in of 25.4 mm
    CHECK(rules.route.deepest_cut_m == Approx(1.524));

    std::ofstream(folder.path() / "town.toml") << "[dig]\ntolerence = \"30 in\"\n";
    CHECK_THROWS_WITH(read_job(folder.write(job)), Contains("town.toml:2") && Contains("dig.tolerance"));
    fs::remove(folder.path() / "town.toml");
    CHECK_THROWS_WITH(read_job(folder.write(job)), Contains("town.toml"));
}
