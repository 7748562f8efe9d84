#include "trenchwright/rules/settings_table.hpp"

#include <array>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

const std::string sample = "sample figure, not a price list";
const std::string practice = "common practice, no source";
const std::string fittings_table = "Minnesota Pollution Control Agency, pump selection worksheet, item 9";

struct PipeDefault {
    std::string_view key;
    std::string_view name;
    std::string_view outside_diameter;
    std::string_view wall;
    std::string_view price;
    std::string_view size_source;
};
constexpr std::array<PipeDefault, 3> pipe_defaults{
    {{"3in", "3 in PVC drain pipe, ASTM D2729", "3.25 in", "0.07 in", "2/ft",
      "from memory, ASTM D2729; its socket table was read and brackets it"},
     {"4in", "4 in SDR 35 PVC sewer pipe", "4.215 in", "0.12 in", "3/ft",
      "ASTM D3034 (SDR 35), quoted on two pipe-data pages"},
     {"6in", "6 in SDR 35 PVC sewer pipe", "6.275 in", "0.18 in", "6/ft",
      "ASTM D3034 (SDR 35), outside diameter quoted on two pages; wall from memory, diameter / 35"}}};

SettingRow inside_row(Setting setting, auto field)
{
    SettingRow row;
    row.setting = std::move(setting);
    row.word = [field](const Rules& rules) { return std::string(field(rules) ? "smooth" : "corrugated"); };
    row.set_word = [field](Rules& rules, const std::string& word) { field(rules) = word == "smooth"; };
    return row;
}

std::vector<SettingRow> rows_of_pipe(std::size_t i)
{
    const auto& shipped = pipe_defaults.at(i);
    const auto key = [&](std::string_view last) { return fmt::format("pipes.{}.{}", shipped.key, last); };
    const std::string size_source(shipped.size_source);
    return {
        yes_no_row({key("use"), Measure::word, "yes", "yes|no", "", practice, "Whether a drain may be of this pipe."},
                   [i](auto& rules) -> auto& { return rules.water.pipes.at(i).use; }),
        word_row({key("name"), Measure::word, std::string(shipped.name), "", "", practice, "Its name, printed only."},
                 [i](auto& rules) -> auto& { return rules.water.pipes.at(i).name; }),
        number_row({key("outside_diameter"), Measure::length, std::string(shipped.outside_diameter), "1 in", "36 in",
                    size_source, "Its outside diameter."},
                   [i](auto& rules) -> auto& { return rules.water.pipes.at(i).outside_diameter_m; }),
        number_row({key("wall"), Measure::length, std::string(shipped.wall), "0.01 in", "4 in", size_source,
                    "Its wall; the bore is the outside diameter less two walls."},
                   [i](auto& rules) -> auto& { return rules.water.pipes.at(i).wall_m; }),
        inside_row({key("inside"), Measure::word, "smooth", "smooth|corrugated", "", practice,
                    "How it is inside: takes water.n_smooth or water.n_corrugated."},
                   [i](auto& rules) -> auto& { return rules.water.pipes.at(i).smooth_inside; }),
        number_row({key("price"), Measure::money_per_length, std::string(shipped.price), "0/ft", "10000/ft", sample,
                    "The pipe alone, to compare pipes; the trench is priced by rates.pipe."},
                   [i](auto& rules) -> auto& { return rules.water.pipes.at(i).price_per_m; }),
    };
}

std::vector<SettingRow> junction_rows()
{
    return {
        number_row({"wye.angle", Measure::angle, "45 deg", "10 deg", "90 deg", practice,
                    "Angle at which a trench joins another, in flow direction."},
                   [](auto& rules) -> auto& { return rules.water.junction.angle_rad; }),
        number_row({"wye.rise", Measure::length, "0.5 in", "0 in", "12 in", practice,
                    "Invert of the branch above that of the trunk where they join, at least."},
                   [](auto& rules) -> auto& { return rules.water.junction.rise_m; }),
        number_row({"wye.pressure_rise", Measure::length, "4.2 in", "0 in", "24 in",
                    "common practice, no source: the outside diameter of a 4 in trunk",
                    "The same for a pump's discharge line, which enters from above."},
                   [](auto& rules) -> auto& { return rules.water.junction.pressure_rise_m; }),
        number_row({"wye.max_drop", Measure::length, "12 in", "0 in", "10 ft", practice,
                    "Invert of the branch above that of the trunk where they join, at most."},
                   [](auto& rules) -> auto& { return rules.water.junction.max_drop_m; }),
        number_row({"wye.price", Measure::money, "35", "0", "100000", sample, "One wye, supplied and set."},
                   [](auto& rules) -> auto& { return rules.water.junction.price; }),
    };
}

std::vector<SettingRow> flow_rows()
{
    return {
        number_row({"water.design_rain", Measure::rain, "0 in/h", "0 in/h", "20 in/h",
                    "none: it differs by place; ask the town or read the rainfall atlas (ASCE 7 takes the 100-year, "
                    "60-minute rain for roofs)",
                    "Rain that the drain has to carry off the roof. 0: not supplied; then no roof water is sized."},
                   [](auto& rules) -> auto& { return rules.water.design_rain_mps; }),
        number_row({"water.roof_coefficient", Measure::share, "95 %", "10 %", "100 %",
                    "FHWA HEC-22 4th ed. table 4.1: roofs 0.75 to 0.95", "Share of the rain that runs off a roof."},
                   [](auto& rules) -> auto& { return rules.water.roof_runoff_share; }),
        number_row({"water.n_smooth", Measure::number, "0.011", "0.005", "0.05",
                    "FHWA HEC-22 4th ed. table 4.4: smooth plastic 0.009 to 0.015",
                    "Manning's n of pipe that is smooth inside."},
                   [](auto& rules) -> auto& { return rules.water.smooth_manning_n; }),
        number_row({"water.n_corrugated", Measure::number, "0.018", "0.005", "0.05",
                    "FHWA HEC-22 4th ed. table 4.4: plastic, corrugated inside 0.018 to 0.025",
                    "Manning's n of pipe that is corrugated inside."},
                   [](auto& rules) -> auto& { return rules.water.corrugated_manning_n; }),
    };
}

SettingRow velocity_of_row()
{
    SettingRow row;
    row.setting = {"water.min_velocity_of",
                   Measure::word,
                   "full pipe",
                   "full pipe|flow",
                   "",
                   "ASPE Data Book vol. 2 p. 88 and Lakeside TX code 3.3.8 require it of the full pipe",
                   "Whether water.min_velocity is required of the pipe running full or of the flow itself."};
    row.word = [](const Rules& rules) {
        return std::string(rules.water.limits.min_velocity_when_full ? "full pipe" : "flow");
    };
    row.set_word = [](Rules& rules, const std::string& word) {
        rules.water.limits.min_velocity_when_full = word == "full pipe";
    };
    return row;
}

std::vector<SettingRow> limit_rows()
{
    return {
        number_row({"water.min_velocity", Measure::velocity, "2 ft/s", "0 ft/s", "10 ft/s",
                    "ASPE Data Book vol. 2, storm drains, p. 88", "Slower water lets sediment settle in the pipe."},
                   [](auto& rules) -> auto& { return rules.water.limits.min_velocity_mps; }),
        velocity_of_row(),
        number_row({"water.max_velocity", Measure::velocity, "10 ft/s", "1 ft/s", "50 ft/s",
                    "Lakeside TX code sec. 3.3.8", "Faster water wears the pipe and jumps at bends."},
                   [](auto& rules) -> auto& { return rules.water.limits.max_velocity_mps; }),
        number_row({"water.max_depth", Measure::share, "100 %", "10 %", "100 %",
                    "code tables of storm drains are for the full pipe (IPC 2018 table 1106.2)",
                    "Depth of water over the bore, at most."},
                   [](auto& rules) -> auto& { return rules.water.limits.max_depth_ratio; }),
    };
}

std::vector<SettingRow> pump_pipe_rows()
{
    const std::string sizes = "ASTM D1785 table 1 (1 1/2 in, Schedule 40), quoted on two pipe-data pages";
    return {
        number_row({"pump_line.outside_diameter", Measure::length, "1.9 in", "0.5 in", "8 in", sizes,
                    "Outside diameter of the pump's discharge line."},
                   [](auto& rules) -> auto& { return rules.water.pump_line.outside_diameter_m; }),
        number_row({"pump_line.wall", Measure::length, "0.145 in", "0.01 in", "2 in", sizes, "Its wall."},
                   [](auto& rules) -> auto& { return rules.water.pump_line.wall_m; }),
        number_row({"pump_line.c", Measure::number, "150", "60", "160",
                    "Illinois Adm. Code 77-906 app. A exhibit I: plastic pipe",
                    "Its smoothness C in the formula of Hazen and Williams."},
                   [](auto& rules) -> auto& { return rules.water.pump_line.hazen_williams_c; }),
        number_row({"pump_line.min_velocity", Measure::velocity, "2 ft/s", "0 ft/s", "10 ft/s",
                    "Ten States Standards, quoted in an engineering report",
                    "Slower water leaves sediment in the line."},
                   [](auto& rules) -> auto& { return rules.water.pump_line.limits.min_velocity_mps; }),
        number_row({"pump_line.max_velocity", Measure::velocity, "8 ft/s", "1 ft/s", "50 ft/s", practice,
                    "Faster water wears the line and hammers when the check valve shuts."},
                   [](auto& rules) -> auto& { return rules.water.pump_line.limits.max_velocity_mps; }),
        word_row(
            {"pump_line.joint", Measure::word, "loose", "loose|open|closed", "",
             "a foundation firm's page and a builder's blog: a loose or open joint lets a frozen line spill outside",
             "How the pump's discharge line ends in larger pipe; a closed joint leaves a frozen line no way out."},
            [](auto& rules) -> auto& { return rules.water.pump_line.joint; }),
        number_row({"pump_line.min_cycle", Measure::time, "60 s", "0 s", "1 h", practice,
                    "From one start of the pump to the next, at least; the pump's maker states his own."},
                   [](auto& rules) -> auto& { return rules.water.pump_line.limits.min_cycle_s; }),
    };
}

SettingRow bores_row(std::string_view key, std::string_view bores, std::string_view what, auto field)
{
    return number_row(
        {fmt::format("pump_line.{}", key), Measure::number, std::string(bores), "0", "1000", fittings_table,
         fmt::format("{}: pipe that costs as much head, in pipe diameters (equivalent length L/D).", what)},
        field);
}

std::vector<SettingRow> pump_fitting_rows()
{
    return {
        bores_row("elbow_90", "30", "An elbow of 90 deg",
                  [](auto& rules) -> auto& { return rules.water.pump_line.elbow_90_bores_ratio; }),
        bores_row("elbow_45", "16", "An elbow of 45 deg or less",
                  [](auto& rules) -> auto& { return rules.water.pump_line.elbow_45_bores_ratio; }),
        bores_row("tee_through", "20", "A tee, straight through",
                  [](auto& rules) -> auto& { return rules.water.pump_line.tee_through_bores_ratio; }),
        bores_row("tee_branch", "60", "A tee, round the corner",
                  [](auto& rules) -> auto& { return rules.water.pump_line.tee_branch_bores_ratio; }),
        bores_row("gate_valve", "8", "A gate valve",
                  [](auto& rules) -> auto& { return rules.water.pump_line.gate_valve_bores_ratio; }),
        bores_row("check_valve", "100", "A swing check valve",
                  [](auto& rules) -> auto& { return rules.water.pump_line.check_valve_bores_ratio; }),
    };
}

std::vector<SettingRow> uplift_rows()
{
    const std::string source = "FEMA P-259, Retrofitting Flood-Prone Residential Structures, example C7";
    return {
        number_row({"uplift.safety", Measure::number, "1.3", "1", "5", source,
                    "What holds the pit down over what lifts it, at least."},
                   [](auto& rules) -> auto& { return rules.water.uplift.min_safety_factor; }),
        number_row({"uplift.water_density", Measure::density, "62.4 lb/ft3", "60 lb/ft3", "70 lb/ft3", source,
                    "Weight of the ground water by volume."},
                   [](auto& rules) -> auto& { return rules.water.uplift.water_kg_per_m3; }),
        number_row({"uplift.concrete_density", Measure::density, "150 lb/ft3", "100 lb/ft3", "200 lb/ft3", source,
                    "Weight of the concrete that would hold the pit down."},
                   [](auto& rules) -> auto& { return rules.water.uplift.concrete_kg_per_m3; }),
    };
}

} // namespace

SettingRow planned_inside_row()
{
    return inside_row({"drain.pipe_inside", Measure::word, "smooth", "smooth|corrugated", "", practice,
                       "How the pipe is inside: takes water.n_smooth or water.n_corrugated."},
                      [](auto& rules) -> auto& { return rules.water.planned_smooth_inside; });
}

std::vector<SettingRow> water_settings()
{
    std::vector<SettingRow> rows;
    for (std::size_t i = 0; i < pipe_defaults.size(); ++i) {
        const auto more = rows_of_pipe(i);
        rows.insert(rows.end(), more.begin(), more.end());
    }
    for (const auto& more :
         {junction_rows(), flow_rows(), limit_rows(), pump_pipe_rows(), pump_fitting_rows(), uplift_rows()}) {
        rows.insert(rows.end(), more.begin(), more.end());
    }
    return rows;
}

} // namespace trenchwright
