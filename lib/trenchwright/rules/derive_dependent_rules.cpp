#include "trenchwright/base/error.hpp"
#include "trenchwright/base/text.hpp"
#include "trenchwright/dig/beside.hpp"
#include "trenchwright/rules/settings_table.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

double width_m(const Rules& rules)
{
    const double outside_diameter_m = rules.route.section.outside_diameter_m;
    if (rules.width_preset == "own") {
        return rules.own_width_m;
    }
    if (rules.width_preset == "standard") {
        // ASTM D2321 rule, via a pipe maker's guide.
        return std::max(outside_diameter_m + 16 * inch_in_m, 1.25 * outside_diameter_m + 12 * inch_in_m);
    }
    // The narrowest common bucket of a mini-excavator.
    return 12 * inch_in_m;
}

std::vector<FittingRule> fittings_in_use(const Rules& rules)
{
    std::vector<FittingRule> fittings;
    for (const auto& choice : rules.fitting_choices) {
        if (choice.use) {
            fittings.push_back(choice.fitting);
        }
    }
    return fittings;
}

void check_pipe(const Rules& rules)
{
    const auto& section = rules.route.section;
    const bool has_bore = rules.inside_diameter_m > 0;
    if (!has_bore) {
        throw Error(ErrorKind::input, fmt::format("drain.pipe_wall {:.6g} m leaves no bore in a pipe of "
                                                  "drain.pipe_outside_diameter {:.6g} m",
                                                  section.wall_m, section.outside_diameter_m));
    }
    const bool fits = section.width_m >= section.outside_diameter_m;
    if (!fits) {
        throw Error(ErrorKind::input,
                    fmt::format("a trench {:.6g} m wide (drain.width_preset \"{}\") does not take a pipe of "
                                "drain.pipe_outside_diameter {:.6g} m",
                                section.width_m, rules.width_preset, section.outside_diameter_m));
    }
}

void check_footing(const FootingRules& footing)
{
    const bool has_bore = footing.outside_diameter_m > 2 * footing.wall_m;
    if (!has_bore) {
        throw Error(ErrorKind::input, fmt::format("footing.pipe_wall {:.6g} m leaves no bore in a pipe of "
                                                  "footing.pipe_outside_diameter {:.6g} m",
                                                  footing.wall_m, footing.outside_diameter_m));
    }
    const auto need = [](double room_m, double required_m, std::string_view room, std::string_view asked) {
        constexpr double rounding_m = 1e-9;
        const bool fits = room_m >= required_m - rounding_m;
        if (!fits) {
            throw Error(ErrorKind::input, fmt::format("{} {:.6g} m does not take footing.pipe_outside_diameter and {}: "
                                                      "{:.6g} m",
                                                      room, room_m, asked, required_m));
        }
    };
    need(footing.trench_width_m, footing.outside_diameter_m + 2 * footing.stone_beside_m, "footing.trench_width",
         "footing.stone_beside on each side");
    need(footing.trench_depth_m, footing.stone_under_m + footing.outside_diameter_m + footing.stone_over_m,
         "footing.trench_depth", "footing.stone_under and footing.stone_over");
}

/// A word that is no kind would be obeyed by nothing, in silence.
void check_kinds(std::string_view key, const std::vector<std::string>& words, const std::vector<std::string>& kinds)
{
    for (const auto& word : words) {
        if (std::ranges::find(kinds, word) == kinds.end()) {
            const auto nearest = nearest_word(word, kinds);
            throw Error(ErrorKind::input,
                        fmt::format("{}: \"{}\" is no kind of surface{}", key, word,
                                    nearest.empty() ? fmt::format("; choose from: {}", fmt::join(kinds, ", "))
                                                    : fmt::format("; did you mean \"{}\"?", nearest)));
        }
    }
}

void check_surfaces(const Rules& rules)
{
    std::vector<std::string> kinds;
    for (const auto& [kind, rule] : rules.route.surfaces) {
        kinds.push_back(kind);
    }
    check_kinds("ground_cover.default", {rules.route.default_surface}, kinds);
    check_kinds("aim.sidewalks", words_of(rules.safety.walks), kinds);
    // No spoil may lie on these in any case: naming them is no mistake.
    for (const auto kind : {SiteObjectKind::foundation, SiteObjectKind::neighbor, SiteObjectKind::lot_line,
                            SiteObjectKind::keep_out, SiteObjectKind::tree}) {
        kinds.emplace_back(site_object_kind_word(kind));
    }
    check_kinds("spoil.keep_off", words_of(rules.safety.spoil_off), kinds);
}

void check_bore(std::string_view keys, double outside_diameter_m, double wall_m)
{
    const bool has_bore = outside_diameter_m > 2 * wall_m;
    if (!has_bore) {
        throw Error(ErrorKind::input, fmt::format("{}.wall {:.6g} m leaves no bore in a pipe of {}.outside_diameter "
                                                  "{:.6g} m",
                                                  keys, wall_m, keys, outside_diameter_m));
    }
}

void check_velocities(std::string_view group, double min_mps, double max_mps)
{
    const bool ordered = min_mps < max_mps;
    if (!ordered) {
        throw Error(ErrorKind::input, fmt::format("{}.min_velocity {:.6g} m/s is not below {}.max_velocity "
                                                  "{:.6g} m/s",
                                                  group, min_mps, group, max_mps));
    }
}

void check_water(const WaterRules& water)
{
    for (const auto& pipe : water.pipes) {
        check_bore("pipes: \"" + pipe.name + "\"", pipe.outside_diameter_m, pipe.wall_m);
    }
    if (std::ranges::none_of(water.pipes, &PipeChoice::use)) {
        throw Error(ErrorKind::input, "pipes: every use is \"no\"; a drain needs at least one pipe");
    }
    check_bore("pump_line", water.pump_line.outside_diameter_m, water.pump_line.wall_m);
    check_velocities("water", water.limits.min_velocity_mps, water.limits.max_velocity_mps);
    check_velocities("pump_line", water.pump_line.limits.min_velocity_mps, water.pump_line.limits.max_velocity_mps);
    const bool room = water.junction.rise_m <= water.junction.max_drop_m &&
                      water.junction.pressure_rise_m <= water.junction.max_drop_m;
    if (!room) {
        throw Error(ErrorKind::input,
                    fmt::format("wye.max_drop {:.6g} m is below wye.rise {:.6g} m or "
                                "wye.pressure_rise {:.6g} m",
                                water.junction.max_drop_m, water.junction.rise_m, water.junction.pressure_rise_m));
    }
}

} // namespace

void derive_dependent_rules(Rules& rules)
{
    auto& section = rules.route.section;
    section.width_m = width_m(rules);
    rules.inside_diameter_m = section.outside_diameter_m - 2 * section.wall_m;
    rules.route.restore_width_m = section.width_m + 2 * rules.restore_extra_width_m;
    rules.route.fittings = fittings_in_use(rules);
    rules.depth_step_m = rules.units == UnitSystem::us ? rules.depth_step_us_m : rules.depth_step_metric_m;
    rules.materials.stick_length_m = rules.stick_length_m;
    rules.footing.stone_kg_per_m3 = rules.materials.stone_kg_per_m3;
    rules.route.unknown_width_m = rules.clearances.unknown_width_m;
    for (const auto facility : all_facilities()) {
        rules.route.side_gap_m[facility] = separation_from(facility, rules.clearances).side_m;
    }
    check_pipe(rules);
    check_footing(rules.footing);
    check_surfaces(rules);
    check_water(rules.water);
    const bool nested = rules.route.tree_keep_out_factor <= rules.route.tree_factor;
    if (!nested) {
        throw Error(ErrorKind::input,
                    fmt::format("dig.tree_keep_out_factor {:.6g} is above dig.tree_factor {:.6g}: the circle never "
                                "entered lies inside the one dug by hand",
                                rules.route.tree_keep_out_factor, rules.route.tree_factor));
    }
}

} // namespace trenchwright
