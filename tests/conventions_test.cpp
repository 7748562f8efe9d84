#include "conventions.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>

using namespace conventions;

namespace {

const std::string root = TRENCHWRIGHT_SOURCE_DIR;

/// What reads and works out facts, before any rule of a town or a firm.
const std::set<std::string> below_rules{"base", "geom",  "gis",     "flow", "ground",
                                        "site", "route", "profile", "dig",  "estimate"};

std::set<std::string> with(std::set<std::string> modules, const std::set<std::string>& more)
{
    modules.insert(more.begin(), more.end());
    return modules;
}

/// The layers. To let a module include more, change its line in the same commit and say why.
const ModuleTable layers = {
    {"base", {{}, {"fmt"}}},
    // Boost: its R-tree takes boxes in and out at any time, which GEOS's packed tree does not
    {"geom", {{"base"}, {"fmt", "GEOS", "Boost"}}},
    // nlohmann-json: a GeoJSON is looked through before GDAL opens it
    {"gis", {{"base", "geom"}, {"fmt", "GDAL", "PROJ", "POSIX", "nlohmann-json"}}},
    {"flow", {{"base"}, {"fmt", "Boost"}}},
    {"ground", {{"base", "geom"}, {"fmt"}}},
    {"site", {{"base", "geom", "gis"}, {"fmt"}}},
    {"route", {{"base", "geom", "site", "ground"}, {"fmt", "Boost"}}},
    {"profile", {{"base", "geom", "ground"}, {"fmt"}}},
    {"dig", {{"base", "geom", "site", "flow", "route", "profile"}, {"fmt", "Boost"}}},
    // route: bends are priced by their fittings; geom: a line says from which stretches it came
    {"estimate", {{"base", "geom", "dig", "route"}, {"fmt"}}},
    {"rules", {below_rules, {"fmt"}}},
    {"job", {with(below_rules, {"rules"}), {"fmt", "toml++"}}},
    {"plan", {with(below_rules, {"rules", "job"}), {"fmt", "TBB"}}},
    {"report", {with(below_rules, {"rules", "job", "plan"}), {"fmt"}}},
    {"asbuilt", {with(below_rules, {"rules", "job", "plan", "report"}), {"fmt"}}},
    // what any sheet is made of: it knows no plan
    {"page", {{"base", "geom", "site"}, {"fmt", "cairo", "pango", "PNG"}}},
    {"draw", {{"base", "geom", "site", "rules", "job", "plan", "report", "asbuilt", "page"}, {"fmt"}}},
    {"export", {{"base", "geom", "gis", "site", "rules", "job", "plan", "report"}, {"fmt", "nlohmann-json", "POSIX"}}},
    // seccomp and POSIX: what concerns the process as a whole, calls it may not make, signals it gets and its terminal
    {"cli", {{"base", "site", "rules", "job", "plan", "report", "asbuilt", "draw", "export"}, {"fmt", "CLI11", "POSIX", "seccomp"}}},
};

// The reasons that occur more than once.
const std::string native = "coordinate in the file's own unit, whatever that is";
const std::string page = "the lower edge of what was drawn, in page points";
const std::string plane = "lines of a plane whose axes are the caller's";
const std::string in_file = "a figure as the file writes it, before its unit is applied";
const std::string si = "SI value of whatever is measured";
const std::string money = "money; the plain word is the whole meaning";

const std::vector<UnitException> named_otherwise = {
    {"lib/trenchwright/base/units.hpp", "m2_per", "the unit comes first: square meters per one of the argument"},
    {"lib/trenchwright/base/units.hpp", "meters_per", "the unit comes first: metres per one of the argument"},
    {"lib/trenchwright/base/units.hpp", "amount", "money before it is rounded to cents"},
    {"lib/trenchwright/flow/checks.hpp", "value_si", si},
    {"lib/trenchwright/flow/friction.hpp", "hazen_williams_c", "the trade's letter for the smoothness"},
    {"lib/trenchwright/flow/pipe_capacity.hpp", "manning_n", "the trade's letter for the roughness"},
    {"lib/trenchwright/gis/frame.hpp", "meters_per_native", "the unit comes first: metres per native unit"},
    {"lib/trenchwright/gis/frame.hpp", "origin_native_x", native},
    {"lib/trenchwright/gis/frame.hpp", "origin_native_y", native},
    {"lib/trenchwright/gis/frame.hpp", "native_x", native},
    {"lib/trenchwright/gis/frame.hpp", "native_y", native},
    {"lib/trenchwright/gis/frame.hpp", "x", native},
    {"lib/trenchwright/gis/frame.hpp", "y", native},
    {"lib/trenchwright/geom/measure.hpp", "station_of", "a station is metres along a line"},
    {"lib/trenchwright/site/layers.hpp", "nodata", "in the file's own unit, as the file writes it"},
    {"lib/trenchwright/gis/files.hpp", "value", in_file},
    {"lib/trenchwright/gis/geojson_text.hpp", "MixedHeights", "places as the file writes them"},
    {"lib/trenchwright/gis/layer.hpp", "x", native},
    {"lib/trenchwright/gis/layer.hpp", "y", native},
    {"lib/trenchwright/gis/layer.hpp", "file_z", in_file},
    {"lib/trenchwright/gis/raster.hpp", "nodata", in_file},
    {"lib/trenchwright/gis/system.hpp", "meters_per_native", "the unit comes first: metres per native unit"},
    {"lib/trenchwright/export/json/json_value.hpp", "value", "a figure of the document; its key says the unit"},
    {"lib/trenchwright/gis/write.hpp", "OutValue", "an attribute for a file; its field's name says the unit"},
    {"lib/trenchwright/site/row.hpp", "low", si},
    {"lib/trenchwright/site/row.hpp", "high", si},
    {"lib/trenchwright/site/row.hpp", "number", in_file},
    {"lib/trenchwright/site/row.hpp", "file_z", in_file},
    {"lib/trenchwright/site/row.hpp", "plain_number", in_file},
    {"lib/trenchwright/site/row.hpp", "value", in_file},
    {"lib/trenchwright/profile/profile.hpp", "value",
     "a value along a span; the member that holds the spans says its unit"},
    {"lib/trenchwright/route/route.hpp", "proven_gap", money},
    {"lib/trenchwright/route/drain.hpp", "lattice_bound", money},
    {"lib/trenchwright/route/polish.hpp", "DrainPricer", "a function; its parameter says the unit"},
    {"lib/trenchwright/page/labels.hpp", "score", "a label place's merit, for comparing only"},
    {"lib/trenchwright/page/labels.hpp", "lines_crossed", "a count"},
    {"lib/trenchwright/draw/legend.hpp", "draw", page},
    {"lib/trenchwright/draw/panel.hpp", "draw_heading", page},
    {"lib/trenchwright/draw/panel.hpp", "draw_comparison", page},
    {"lib/trenchwright/draw/panel.hpp", "draw_quantities", page},
    {"lib/trenchwright/ground/dem.hpp", "col", "a place in the grid, in cells"},
    {"lib/trenchwright/ground/dem.hpp", "row", "a place in the grid, in cells"},
    {"lib/trenchwright/ground/dem.hpp", "value", "a place in the grid, in cells"},
    {"lib/trenchwright/ground/tin.hpp", "Weights", "shares of three corners"},
    {"lib/trenchwright/profile/envelope.hpp", "slope", plane},
    {"lib/trenchwright/profile/envelope.hpp", "offset", plane},
    {"lib/trenchwright/profile/envelope.hpp", "at", plane},
    {"lib/trenchwright/profile/envelope.hpp", "y", plane},
    {"lib/trenchwright/profile/envelope.hpp", "values", plane},
    {"lib/trenchwright/profile/problem.hpp", "max_at",
     "a value along a span; the member that holds the spans says its unit"},
    {"lib/trenchwright/profile/problem.hpp", "value_at",
     "a value along a span; the member that holds the spans says its unit"},
    {"lib/trenchwright/route/route.hpp", "min_cover_along", "pairs of stretch and cover in metres"},
    {"lib/trenchwright/rules/rules.hpp", "mobilization", money},
    {"lib/trenchwright/rules/rules.hpp", "parse_measure", si},
    {"lib/trenchwright/rules/measure.hpp", "amount_si", si},
    {"lib/trenchwright/rules/measure_units.hpp", "si", "SI units in one of the unit beside it"},
    {"lib/trenchwright/rules/water_rules.hpp", "hazen_williams_c", "the trade's letter for the smoothness"},
    {"lib/trenchwright/rules/water_rules.hpp", "smooth_manning_n", "the trade's letter for the roughness"},
    {"lib/trenchwright/rules/water_rules.hpp", "corrugated_manning_n", "the trade's letter for the roughness"},
    {"lib/trenchwright/rules/settings_table.hpp", "number", si},
    {"lib/trenchwright/rules/settings_table.hpp", "set_number", si},
    {"lib/trenchwright/rules/settings_table.hpp", "value", si},
    {"lib/trenchwright/estimate/rates.hpp", "low", "a spread's figures are money, hours or both, as its owner says"},
    {"lib/trenchwright/estimate/rates.hpp", "likely", "as low"},
    {"lib/trenchwright/estimate/rates.hpp", "high", "as low"},
    {"lib/trenchwright/estimate/rates.hpp", "crew", "how many of a trade work at once"},
    {"lib/trenchwright/estimate/rates.hpp", "least", money},
    {"lib/trenchwright/estimate/rates.hpp", "min_charge", money},
    {"lib/trenchwright/estimate/rates.hpp", "day_hours", "hours, as the trade counts labour"},
    {"lib/trenchwright/estimate/estimate.hpp", "quantity", "the line carries its unit beside it"},
    {"lib/trenchwright/estimate/estimate.hpp", "quantity_in", "the unit comes beside it, by unit_of"},
    {"lib/trenchwright/estimate/estimate.hpp", "quantity_si", "SI value of whatever is counted"},
    {"lib/trenchwright/plan/outlet_uncertainty.hpp", "share", "a probability; the plain word is the whole meaning"},
    {"lib/trenchwright/ground/surface_uncertainty.hpp", "weights", "shares of a place and three corners"},
    {"lib/trenchwright/ground/leave_one_out.hpp", "shares", "shares of three corners"},
    {"lib/trenchwright/ground/leave_one_out.hpp", "shares_in", "shares of three corners"},
};

// Written in pieces, so that this file may be read by the same rule.
const std::vector<BannedText> banned = {
    {R"(\bsafe to dig\b|\bclear to dig\b)", "nothing here gives leave to dig", ""},
    {R"(\b(TODO|FIXME|XXX|HACK)\b)", "unfinished work belongs in an issue", ""},
    {R"(\bstd::(cout|cerr|clog)\b|\bfmt::print\b|[^a-z_](f?printf|puts) *\()", "the library never prints", "lib/"},
    {R"(using namespace std\b)", "names come with their namespace", ""},
    {R"(\.\./shared|\b(language model|chatbot|generated by)\b)", "the text speaks for itself", ""},
};

// What stood in papers beside the project: a reader of the repository cannot follow it. Written in pieces likewise.
const std::vector<BannedText> outside_papers = {
    {"\\bcheck-"
     "values?\\b|\\bgis-"
     "notes\\b|\\btrade[ -]"
     "rules\\b|\\bcalculators' "
     "notes\\b|\\bcluster-"
     "notes\\b|\\bbuild-"
     "notes\\b",
     "the paper is not in the repository: name the source, or its row of docs/sources.md", ""},
};

std::vector<SourceFile> program_files()
{
    return read_sources(root, {"lib", "cli"});
}

std::vector<Fault> units_of(const std::string& declarations)
{
    return unit_faults({"lib/geom/planted.hpp", declarations}, {});
}

std::vector<Fault> includes_of(const std::string& path, const std::string& text)
{
    return include_faults({path, text}, layers);
}

} // namespace

/// The one header that is there for an outside library's users. It keeps to the libraries of its module, as sources do.
const std::string for_boost_graph = "trenchwright/route/lattice_graph.hpp";

SourceFile as_source(SourceFile file)
{
    file.path.replace(file.path.size() - 3, 3, "cpp");
    return file;
}

TEST_CASE("every include follows the layers", "[conventions]")
{
    std::vector<Fault> faults;
    for (const auto& file : program_files()) {
        const auto more = include_faults(file.path == "lib/" + for_boost_graph ? as_source(file) : file, layers);
        faults.insert(faults.end(), more.begin(), more.end());
    }
    INFO(told(faults));
    CHECK(faults.empty());
    CHECK(program_files().size() > 20);
}

TEST_CASE("no file of the library or the program includes the header for Boost.Graph's users", "[conventions]")
{
    for (const auto& file : program_files()) {
        for (const auto& include : includes(file)) {
            INFO(file.path << ":" << include.line);
            CHECK(include.path != for_boost_graph);
        }
    }
}

TEST_CASE("neither the layers nor the files run in a circle", "[conventions]")
{
    const auto in_table = table_cycles(layers);
    const auto in_files = include_cycles(program_files());
    INFO(told(in_table) << told(in_files));
    CHECK(in_table.empty());
    CHECK(in_files.empty());
}

TEST_CASE("every double in a header says its unit", "[conventions]")
{
    std::vector<Fault> faults;
    for (const auto& file : program_files()) {
        if (file.path.find(".hpp") != std::string::npos) {
            const auto more = unit_faults(file, named_otherwise);
            faults.insert(faults.end(), more.begin(), more.end());
        }
    }
    INFO(told(faults));
    CHECK(faults.empty());
}

TEST_CASE("every exception to the units is still needed", "[conventions]")
{
    const auto files = program_files();
    for (const auto& exception : named_otherwise) {
        INFO(exception.path << ": " << exception.name);
        CHECK(!exception.reason.empty());
        bool needed = false;
        for (const auto& file : files) {
            for (const auto& fault : file.path == exception.path ? unit_faults(file, {}) : std::vector<Fault>{}) {
                needed = needed || fault.text.find("'" + exception.name + "'") == 0;
            }
        }
        CHECK(needed);
    }
}

TEST_CASE("no program file says what it must not", "[conventions]")
{
    std::vector<Fault> faults;
    for (const auto& file : program_files()) {
        const auto more = banned_text(file, banned);
        faults.insert(faults.end(), more.begin(), more.end());
    }
    INFO(told(faults));
    CHECK(faults.empty());
}

TEST_CASE("every source that a program or test file cites can be followed", "[conventions]")
{
    std::ifstream file(root + "/docs/sources.md");
    const auto ids = source_ids({std::istreambuf_iterator<char>(file), {}});
    CHECK(ids.size() > 100);
    std::vector<Fault> faults;
    for (const auto& one : read_sources(root, {"lib", "cli", "tests"})) {
        if (one.path.starts_with("tests/conventions")) {
            continue; // the rule itself and its planted faults
        }
        for (const auto& more : {unknown_sources(one, ids), banned_text(one, outside_papers)}) {
            faults.insert(faults.end(), more.begin(), more.end());
        }
    }
    INFO(told(faults));
    CHECK(faults.empty());
}

TEST_CASE("every color is written in one place", "[conventions]")
{
    const auto faults = twice_written_colors(program_files());
    INFO(told(faults));
    CHECK(faults.empty());
}

TEST_CASE("every source is named in the list beside it", "[conventions]")
{
    const auto faults = unlisted(program_files(), root);
    INFO(told(faults));
    CHECK(faults.empty());
}

TEST_CASE("a source begins with the header of its own name", "[conventions]")
{
    const auto faults = own_header_not_first(program_files());
    INFO(told(faults));
    CHECK(faults.empty());
}

TEST_CASE("planted: a source without its own header first is found", "[conventions]")
{
    const SourceFile header{"lib/trenchwright/geom/a.hpp", ""};
    const auto faults_of = [&](const std::string& text) {
        return own_header_not_first({header, {"lib/trenchwright/geom/a.cpp", text}}).size();
    };
    CHECK(faults_of("#include \"trenchwright/geom/a.hpp\"\n#include <vector>\n") == 0);
    CHECK(faults_of("#include <vector>\n#include \"trenchwright/geom/a.hpp\"\n") == 1);
    CHECK(faults_of("") == 1);
    CHECK(own_header_not_first({{"lib/trenchwright/geom/a.cpp", ""}}).empty());
}

TEST_CASE("planted: an include against the layers is found", "[conventions]")
{
    CHECK(includes_of("lib/geom/a.cpp", "#include \"geom/b.hpp\"\n#include \"base/error.hpp\"\n#include <vector>\n")
              .empty());
    CHECK(includes_of("lib/geom/a.cpp", "#include \"site/site.hpp\"\n").size() == 1);
    CHECK(includes_of("lib/geom/a.cpp", "  #  include \"plan/plan.hpp\"\n").size() == 1);
    CHECK(includes_of("lib/base/a.hpp", "#include \"geom/shapes.hpp\"\n").size() == 1);
    CHECK(includes_of("lib/geom/a.cpp", "#include \"nowhere.hpp\"\n").size() == 1);
    CHECK(includes_of("lib/nomodule/a.cpp", "").size() == 1);
    CHECK(
        includes_of("lib/geom/a.cpp", "// #include \"site/site.hpp\"\n/* \n#include \"plan/plan.hpp\"\n*/\n").empty());
    CHECK(includes_of("lib/geom/a.cpp", "\n\n#include \"site/site.hpp\"\n").front().line == 3);
    CHECK(includes_of("cli/main.cpp", "#include \"commands.hpp\"\n").empty());
    CHECK(includes_of("cli/main.cpp", "#include \"route/route.hpp\"\n").size() == 1);
}

TEST_CASE("planted: an outside library in the wrong place is found", "[conventions]")
{
    CHECK(includes_of("lib/geom/a.cpp", "#include <geos_c.h>\n").empty());
    CHECK(includes_of("lib/gis/a.cpp", "#include <geos_c.h>\n").size() == 1);
    CHECK(includes_of("lib/geom/a.hpp", "#include <geos_c.h>\n").size() == 1);
    CHECK(includes_of("lib/geom/a.hpp", "#include <fmt/format.h>\n").size() == 1);
    CHECK(includes_of("lib/site/a.cpp", "#include <ogrsf_frmts.h>\n").size() == 1);
    CHECK(includes_of("lib/site/a.cpp", "#include <nlohmann/json.hpp>\n").size() == 1);
    CHECK(includes_of("lib/job/a.cpp", "#include <toml++/toml.h>\n").empty());
    CHECK(includes_of("lib/plan/a.cpp", "#include <tbb/parallel_for.h>\n").empty());
    CHECK(includes_of("lib/route/a.cpp", "#include <tbb/parallel_for.h>\n").size() == 1);
    CHECK(includes_of("lib/plan/a.cpp", "#include <CLI/CLI.hpp>\n").size() == 1);
    CHECK(includes_of("lib/plan/a.cpp", "#include <some/other.hpp>\n").size() == 1);
    CHECK(includes_of("lib/plan/a.hpp", "#include <some_other.h>\n").size() == 1);
}

TEST_CASE("planted: a circle of includes is found", "[conventions]")
{
    CHECK(table_cycles({{"a", {{"b"}, {}}}, {"b", {{"c"}, {}}}, {"c", {{"a"}, {}}}, {"d", {{"a"}, {}}}}).size() == 3);
    CHECK(table_cycles({{"a", {{}, {}}}, {"b", {{"a"}, {}}}}).empty());
    CHECK(
        include_cycles({{"lib/a/x.hpp", "#include \"a/y.hpp\"\n"}, {"lib/a/y.hpp", "#include \"a/x.hpp\"\n"}}).size() ==
        2);
}

TEST_CASE("planted: a double without its unit is found, wherever it stands", "[conventions]")
{
    const auto bad = GENERATE(
        as<std::string>(), "double depth = 0;", "double depth_m, width;", "double a_m = f(1, 2), b{0};",
        "void f(double depth);", "void f(int n, const double& depth, int k);", "double depth(int n);",
        "std::vector<double> depths;", "std::optional<double> depth;", "std::map<std::string, double> area;",
        "const std::vector<std::pair<int, double>>& f();", "void f(std::vector<double>, int n);", "void f(double);",
        "using Length = double;", "struct A { double x; };", "using V = std::variant<int, double>;", "double* elev;",
        "float depth_ft;", "double m;", "inline constexpr double limit = 3;",
        "double top = std::numeric_limits<double>::infinity();", "std::optional<double> depth_at(double x_m);",
        "std::vector<std::optional<double>> rows;", "double rate_per_ft = 0;", "#define A 1\ndouble b;");
    INFO(bad);
    CHECK(units_of(bad).size() == 1);
}

TEST_CASE("planted: a double with its unit passes, wherever it stands", "[conventions]")
{
    const auto good = GENERATE(
        as<std::string>(), "double depth_m = 0;", "double depth_m, width_m;", "double a_m = f(1, 2), b_m{0};",
        "void f(double depth_m, int n, UnitSystem units);", "double depth_m(int n, double station_m);",
        "std::vector<double> depths_m;", "std::optional<double> depth_m;", "std::map<std::string, double> restore_m2;",
        "const std::vector<std::pair<int, double>>& prices_cost();", "private: double invariant_m_ = 0;",
        "double cost = 0; double price = 0;", "double least_fall_ratio = 0; double angle_rad = 0;",
        "double pipe_per_m = 0;", "// double depth;\n/* double width; */", "int n = static_cast<int>(2.0);",
        "auto y_m = static_cast<double>(n) * 2;", "const char* text = \"double depth\";", "int redouble = 1;",
        "std::variant<double, int> depth_m;", "std::map<std::string, std::vector<double>> depths_m(int n);",
        "int n = 1'000; double depth_m = 0;", "double top_m = std::numeric_limits<double>::infinity();");
    INFO(good);
    CHECK(told(units_of(good)) == "");
}

TEST_CASE("planted: an exception holds for its file and name alone", "[conventions]")
{
    const std::vector<UnitException> exceptions = {{"lib/trenchwright/gis/frame.hpp", "x", "native"}};
    CHECK(unit_faults({"lib/trenchwright/gis/frame.hpp", "double x = 0;"}, exceptions).empty());
    CHECK(unit_faults({"lib/trenchwright/gis/frame.hpp", "double y = 0;"}, exceptions).size() == 1);
    CHECK(unit_faults({"lib/gis/other.hpp", "double x = 0;"}, exceptions).size() == 1);
}

TEST_CASE("planted: text that must not stand is found", "[conventions]")
{
    const auto found = [](const std::string& path, const std::string& text) {
        return banned_text({path, text}, banned).size();
    };
    CHECK(found("lib/plan/a.cpp", "\"It is Safe To Dig here\"") == 1);
    CHECK(found("lib/plan/a.cpp", "// TO"
                                  "DO later\n// FIX"
                                  "ME\n") == 2);
    CHECK(found("lib/plan/a.cpp", "std::cout << 1;") == 1);
    CHECK(found("lib/plan/a.cpp", " printf(\"x\");") == 1);
    CHECK(found("lib/plan/a.cpp", "std::snprintf(b, 3, \"x\");") == 0);
    CHECK(found("cli/main.cpp", "std::cout << 1;") == 0);
    CHECK(found("lib/plan/a.cpp", "never permission to dig") == 0);
}

TEST_CASE("planted: a source that cannot be followed is found", "[conventions]")
{
    const auto ids =
        source_ids("# Sources\n\n| id | input |\n|---|---|\n| G4 | a |\n| H1 | b |\n| H2 | c |\n| H3 | d |\n");
    CHECK(ids == std::set<std::string>{"G4", "H1", "H2", "H3"});
    const auto found = [&](const std::string& text) { return unknown_sources({"tests/a.cpp", text}, ids).size(); };
    CHECK(found("// docs/sources.md, G4: 103.03 gpm") == 0);
    CHECK(found("// docs/sources.md, G4, H1 to H3 and H2; O6 is a pipe's name") == 0);
    CHECK(found("/// Source: docs/sources.md, H1 to\n/// H3, G4") == 0);
    CHECK(found("// docs/sources.md, G5: 103.03 gpm") == 1);
    CHECK(found("// docs/sources.md, H1 to H5") == 2);
    CHECK(found("// docs/sources.md, G4 and\n    // Z9") == 1);
    CHECK(found("// as docs/sources.md says") == 1);
    const auto outside = [](const std::string& text) {
        return banned_text({"tests/a.cpp", text}, outside_papers).size();
    };
    CHECK(outside("// check-"
                  "values G4") == 1);
    CHECK(outside("// Trade "
                  "rules 3.4") == 1);
    CHECK(outside("// gis-"
                  "notes 6") == 1);
    CHECK(outside("the setting or trade rule behind it") == 0);
}

TEST_CASE("planted: a color that is written twice is found", "[conventions]")
{
    const SourceFile one{"lib/page/a.hpp", "Ink a{.rgb = 0x6B2E12};"};
    CHECK(twice_written_colors({one, {"lib/page/b.hpp", "Ink b{0x6B2E13}; int n = 0x6B2E; // 0x6B2E12\n"}}).empty());
    CHECK(twice_written_colors({one, {"lib/draw/b.cpp", "fill(0x6b2e12);"}}).size() == 1);
    CHECK(twice_written_colors({{"lib/page/a.hpp", "f(0x6B2E12);\nf(0x6B2E12);"}}).empty()); // as two kinds of sewer
}

TEST_CASE("planted: a file its list does not name is found", "[conventions]")
{
    CHECK(unlisted({{"lib/trenchwright/base/units.cpp", ""}}, root).empty());
    CHECK(unlisted({{"lib/base/nits.cpp", ""}}, root).size() == 1);
    CHECK(unlisted({{"lib/base/units_more.cpp", ""}}, root).size() == 1);
}
