#include "trenchwright/base/former_names.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <vector>

namespace trenchwright {

namespace {

constexpr auto setting = NameOf::setting;
constexpr auto job_key = NameOf::job_key;
constexpr auto rates_key = NameOf::rates_key;
constexpr auto ground_cover = NameOf::ground_cover;
constexpr auto word = NameOf::word;

constexpr std::array<FormerName, 77> names{{
    {setting, "aim.neighbour_distance", "aim.neighbor_distance"},
    {setting, "aim.walks", "aim.sidewalks"},
    {setting, "cleanouts.most_turn", "cleanouts.max_turn"},
    {setting, "dig.tie_least_angle", "dig.tie_min_angle"},
    {setting, "dig.exit_and_air_check_cut", "dig.egress_and_air_test_cut"},
    {setting, "drain.least_fall", "drain.min_fall"},
    {setting, "drain.least_spare_fall", "drain.min_extra_fall"},
    {setting, "drain.least_joint_saving", "drain.min_joint_saving"},
    {setting, "fittings.deg_11", "fittings.price_11"},
    {setting, "fittings.deg_22", "fittings.price_22"},
    {setting, "fittings.deg_45", "fittings.price_45"},
    {setting, "fittings.deg_90", "fittings.price_90"},
    {setting, "footing.least_fall", "footing.min_fall"},
    {setting, "junction.angle", "wye.angle"},
    {setting, "junction.rise", "wye.rise"},
    {setting, "junction.pressure_rise", "wye.pressure_rise"},
    {setting, "junction.most_drop", "wye.max_drop"},
    {setting, "junction.price", "wye.price"},
    {setting, "levels.least_chance", "levels.min_chance"},
    {setting, "levels.draws", "levels.simulations"},
    {setting, "route.parallel_angle", "route.min_crossing_angle"},
    {setting, "protection.exit_reach", "protection.egress_reach"},
    {setting, "pump_line.least_velocity", "pump_line.min_velocity"},
    {setting, "pump_line.greatest_velocity", "pump_line.max_velocity"},
    {setting, "pump_line.least_cycle", "pump_line.min_cycle"},
    {setting, "rates.mobilisation", "rates.mobilization"},
    {setting, "rates.sprinkler_repair", "rates.irrigation_repair"},
    {setting, "rates.walk_bore", "rates.sidewalk_bore"},
    {setting, "reading.least_roof_area", "reading.min_roof_area"},
    {setting, "reading.most_roof_area", "reading.max_roof_area"},
    {setting, "route.least_run", "route.min_run"},
    {setting, "route.most_turn", "route.max_turn"},
    {setting, "route.most_deflection", "route.max_deflection"},
    {setting, "sheet.up_scales_us", "sheet.vertical_scales_us"},
    {setting, "sheet.up_scales_metric", "sheet.vertical_scales_metric"},
    {setting, "surfaces.default", "ground_cover.default"},
    {setting, "surfaces.*.may_enter", "ground_cover.*.may_enter"},
    {setting, "surfaces.*.restore", "ground_cover.*.restore"},
    {setting, "surfaces.*.least_cover", "ground_cover.*.min_cover"},
    {setting, "surfaces.*.slab", "ground_cover.*.slab"},
    {setting, "surfaces.*.vehicles", "ground_cover.*.vehicles"},
    {setting, "ground_cover.*.least_cover", "ground_cover.*.min_cover"},
    {setting, "ground_cover.walk.*", "ground_cover.sidewalk.*"},
    {setting, "ground_cover.public_walk.*", "ground_cover.public_sidewalk.*"},
    {setting, "ground_cover.drive.*", "ground_cover.driveway.*"},
    {setting, "ground_cover.tree_lawn.*", "ground_cover.parkway.*"},
    {setting, "water.least_velocity", "water.min_velocity"},
    {setting, "water.least_velocity_of", "water.min_velocity_of"},
    {setting, "water.greatest_velocity", "water.max_velocity"},
    {setting, "water.greatest_depth", "water.max_depth"},
    {setting, "yard.most_spread", "yard.max_spread"},
    {setting, "checklist.discharge_place", "checklist.discharge_location"},
    {job_key, "layers.neighbours", "layers.neighbors"},
    {job_key, "layers.surfaces", "layers.ground_cover"},
    {job_key, "private_lines.sprinklers", "private_lines.irrigation"},
    {job_key, "sheet.elsewhere.discharge_place", "sheet.elsewhere.discharge_location"},
    {rates_key, "charges.least", "charges.minimum"},
    {rates_key, "charges.margin", "charges.markup"},
    {rates_key, "items.*.least", "items.*.minimum"},
    {rates_key, "items.restore.*.least", "items.restore.*.minimum"},
    {rates_key, "items.junction", "items.wye"},
    {rates_key, "items.mobilisation", "items.mobilization"},
    {rates_key, "items.sprinkler_repair", "items.irrigation_repair"},
    {rates_key, "items.walk_bore", "items.sidewalk_bore"},
    {rates_key, "items.restore.walk", "items.restore.sidewalk"},
    {rates_key, "items.restore.public_walk", "items.restore.public_sidewalk"},
    {rates_key, "items.restore.drive", "items.restore.driveway"},
    {rates_key, "items.restore.tree_lawn", "items.restore.parkway"},
    {rates_key, "trades.labourer", "trades.laborer"},
    {rates_key, "items.*.crew.labourer", "items.*.crew.laborer"},
    {rates_key, "items.restore.*.crew.labourer", "items.restore.*.crew.laborer"},
    {ground_cover, "walk", "sidewalk"},
    {ground_cover, "public_walk", "public_sidewalk"},
    {ground_cover, "drive", "driveway"},
    {ground_cover, "tree_lawn", "parkway"},
    {word, "rules.route.outside_lot = not neighbours", "rules.route.outside_lot = not neighbors"},
    {word, "ticket.answers.answer = says none", "ticket.answers.answer = no conflict"},
}};

std::vector<std::string_view> parts_of(std::string_view name)
{
    std::vector<std::string_view> parts;
    while (true) {
        const auto dot = name.find('.');
        parts.push_back(name.substr(0, dot));
        if (dot == std::string_view::npos) {
            return parts;
        }
        name.remove_prefix(dot + 1);
    }
}

/// What the stars of a pattern stand for in a name; nothing where the name does not fit.
std::optional<std::vector<std::string_view>> stars_of(std::string_view pattern, std::string_view name)
{
    const auto wanted = parts_of(pattern);
    const auto given = parts_of(name);
    if (wanted.size() != given.size()) {
        return std::nullopt;
    }
    std::vector<std::string_view> stars;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (wanted[i] == "*") {
            stars.push_back(given[i]);
        } else if (wanted[i] != given[i]) {
            return std::nullopt;
        }
    }
    return stars;
}

std::string filled(std::string_view pattern, const std::vector<std::string_view>& stars)
{
    std::string text;
    auto star = stars.begin();
    for (const auto part : parts_of(pattern)) {
        text += (text.empty() ? "" : ".") + std::string(part == "*" ? *star++ : part);
    }
    return text;
}

std::optional<std::string> one_step(NameOf of, std::string_view name)
{
    for (const auto& row : names) {
        if (row.of == of) {
            if (of == word && row.former == name) {
                return std::string(row.current);
            }
            const auto stars = of == word ? std::nullopt : stars_of(row.former, name);
            if (stars) {
                return filled(row.current, *stars);
            }
        }
    }
    return std::nullopt;
}

} // namespace

std::span<const FormerName> former_names()
{
    return names;
}

std::optional<std::string> current_name(NameOf of, std::string_view name)
{
    // A group and a part of it may both have other names today: one step for each.
    auto current = one_step(of, name);
    for (auto next = current; next; next = one_step(of, *next)) {
        current = next;
    }
    return current;
}

std::string former_names_text(std::span<const FormerUse> uses)
{
    std::string text;
    for (const auto& use : uses) {
        text += fmt::format("{}{}: \"{}\" is now \"{}\"", text.empty() ? "Former names, which still work: " : "; ",
                            use.where, use.former, use.current);
    }
    return text.empty() ? text : text + ".";
}

} // namespace trenchwright
