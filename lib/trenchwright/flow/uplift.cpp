#include "trenchwright/flow/uplift.hpp"

#include "trenchwright/flow/checks.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

void check(const BuriedPit& pit)
{
    check_above_zero(ErrorKind::input, "volume of the pit below the water (m3)", pit.outside_m3);
    check_not_below_zero(ErrorKind::input, "weight of the pit (kg)", pit.weight_kg);
    if (pit.wall_m3) {
        check_not_below_zero(ErrorKind::input, "volume of the pit's walls (m3)", *pit.wall_m3);
        check_not_below_zero(ErrorKind::input, "volume of the pit less its walls (m3)", pit.outside_m3 - *pit.wall_m3);
    }
}

void check(const UpliftRules& rules)
{
    check_not_below_zero(ErrorKind::input, "safety factor against uplift, less 1", rules.min_safety_factor - 1);
    check_above_zero(ErrorKind::input, "density of water (kg/m3)", rules.water_kg_per_m3);
    check_above_zero(ErrorKind::input, "density of concrete less that of water (kg/m3)",
                     rules.concrete_kg_per_m3 - rules.water_kg_per_m3);
}

double displaced_m3(const BuriedPit& pit)
{
    return pit.perforated ? pit.wall_m3.value_or(0) : pit.outside_m3;
}

/// Ballast lighter than water pulls up, and counts so.
double ballast_kg(std::span<const Ballast> ballast, double water_kg_per_m3)
{
    double held_kg = 0;
    for (const auto& part : ballast) {
        check_not_below_zero(ErrorKind::input, "volume of ballast (m3)", part.volume_m3);
        check_above_zero(ErrorKind::input, "density of ballast (kg/m3)", part.density_kg_per_m3);
        held_kg += part.volume_m3 * (part.density_kg_per_m3 - water_kg_per_m3);
    }
    return held_kg;
}

} // namespace

Uplift uplift(const BuriedPit& pit, std::span<const Ballast> ballast, const UpliftRules& rules)
{
    check(pit);
    check(rules);
    Uplift result;
    result.displaced_kg = displaced_m3(pit) * rules.water_kg_per_m3;
    result.holding_kg = pit.weight_kg + ballast_kg(ballast, rules.water_kg_per_m3);
    result.net_kg = result.displaced_kg * rules.min_safety_factor - result.holding_kg;
    if (result.displaced_kg > 0) {
        result.safety_factor = result.holding_kg / result.displaced_kg;
    }
    result.concrete_m3 = std::max(0.0, result.net_kg) / (rules.concrete_kg_per_m3 - rules.water_kg_per_m3);
    result.holds = !(result.net_kg > 0);
    result.walls_unknown = pit.perforated && !pit.wall_m3;
    return result;
}

} // namespace trenchwright
