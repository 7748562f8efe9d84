#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

namespace {

const std::string practice = "common practice, no source";

SettingRow whole_row(Setting setting, auto field)
{
    SettingRow row;
    row.setting = std::move(setting);
    row.number = [field](const Rules& rules) { return static_cast<double>(field(rules)); };
    row.set_number = [field](Rules& rules, double value) { field(rules) = static_cast<int>(value); };
    return row;
}

} // namespace

std::vector<SettingRow> estimate_settings()
{
    return {
        yes_no_row({"compare.variants", Measure::word, "no", "yes|no", "", practice,
                    "Whether other pipes, another trench width and bored paving are planned and compared too; takes "
                    "as many times the time."},
                   [](auto& rules) -> auto& { return rules.compare_variants; }),
        number_row({"levels.shot_error", Measure::length, "1/8 in", "0 in", "12 in", practice,
                    "Root mean square error of one ground shot."},
                   [](auto& rules) -> auto& { return rules.surface_uncertainty.shot_error_m; }),
        number_row({"levels.roughness", Measure::number, "1", "0.2", "1.9",
                    "linear variogram, textbook geostatistics (from memory)",
                    "How the mean square height difference grows with distance: its power."},
                   [](auto& rules) -> auto& { return rules.surface_uncertainty.roughness_factor; }),
        number_row(
            {"levels.edge_reach", Measure::length, "0.3 m", "0 m", "3 m", practice,
             "So far beyond the edge of the surveyed ground its height is that of the edge; farther out there is "
             "no ground."},
            [](auto& rules) -> auto& { return rules.edge_reach_m; }),
        number_row({"levels.beside", Measure::length, "15 ft", "1 ft", "200 ft", practice,
                    "Shots no farther from an outlet's trenches than this must bear out the roughness of the whole "
                    "lot; else the chance that it drains is not known."},
                   [](auto& rules) -> auto& { return rules.surface_uncertainty.beside_m; }),
        number_row({"levels.fit", Measure::number, "2", "1", "100",
                    "own choice: the root mean square of five normal errors lies between half and one and a half of "
                    "the true one nine times in ten (chi square)",
                    "How many times smoother or rougher than the whole lot they may show the ground there."},
                   [](auto& rules) -> auto& { return rules.surface_uncertainty.fit_factor; }),
        number_row({"levels.min_chance", Measure::share, "50 %", "0 %", "100 %", practice,
                    "Below this chance that an outlet drains it gets a warning."},
                   [](auto& rules) -> auto& { return rules.min_chance_share; }),
        whole_row({"levels.simulations", Measure::count, "2000", "100", "1000000", practice,
                   "Simulated surveys for the probability that an outlet drains."},
                  [](auto& rules) -> auto& { return rules.uncertainty_draws.draws; }),
        whole_row({"levels.seed", Measure::count, "1", "0", "2000000000", practice,
                   "Start of the simulation: the same seed gives the same figures."},
                  [](auto& rules) -> auto& { return rules.uncertainty_draws.seed; }),
    };
}

} // namespace trenchwright
