#include "trenchwright/rules/measure_units.hpp"

#include "trenchwright/base/error.hpp"

#include <array>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double deg_in_rad = std::numbers::pi / 180;

constexpr std::array<MeasureUnit, 17> lengths{{{"in", inch_in_m},
                                               {"inch", inch_in_m},
                                               {"inches", inch_in_m},
                                               {"\"", inch_in_m},
                                               {"ft", ft_in_m},
                                               {"foot", ft_in_m},
                                               {"feet", ft_in_m},
                                               {"'", ft_in_m},
                                               {"ftUS", us_survey_ft_in_m},
                                               {"yd", 3 * ft_in_m},
                                               {"m", 1},
                                               {"meter", 1},
                                               {"meters", 1},
                                               {"metre", 1},
                                               {"metres", 1},
                                               {"cm", 0.01},
                                               {"mm", 0.001}}};
constexpr std::array<MeasureUnit, 5> falls{{{"%", 0.01}, {"in/ft", 1.0 / 12}, {"mm/m", 0.001}, {"m/m", 1}, {"", 1}}};
constexpr std::array<MeasureUnit, 4> angles{
    {{"deg", deg_in_rad}, {"degrees", deg_in_rad}, {"°", deg_in_rad}, {"rad", 1}}};
constexpr std::array<MeasureUnit, 2> shares{{{"%", 0.01}, {"", 1}}};
constexpr std::array<MeasureUnit, 3> factors{{{"ft/in", 12}, {"m/cm", 100}, {"", 1}}};
constexpr std::array<MeasureUnit, 1> plain{{{"", 1}}};
constexpr double gpm_in_m3ps = gallon_in_m3 / 60;
constexpr std::array<MeasureUnit, 2> velocities{{{"ft/s", ft_in_m}, {"m/s", 1}}};
constexpr std::array<MeasureUnit, 2> rains{{{"in/h", inch_in_m / 3600}, {"mm/h", 1 / 3600e3}}};
constexpr std::array<MeasureUnit, 6> flows{{{"gpm", gpm_in_m3ps},
                                            {"gal/min", gpm_in_m3ps},
                                            {"gal/h", gpm_in_m3ps / 60},
                                            {"L/s", 1e-3},
                                            {"L/min", 1e-3 / 60},
                                            {"m3/h", 1.0 / 3600}}};
constexpr std::array<MeasureUnit, 3> times{{{"s", 1}, {"min", 60}, {"h", 3600}}};
constexpr std::array<MeasureUnit, 2> densities{{{"lb/ft3", pound_in_kg / (sq_ft_in_m2 * ft_in_m)}, {"kg/m3", 1}}};
constexpr std::array<MeasureUnit, 5> volumes{
    {{"gal", gallon_in_m3}, {"ft3", sq_ft_in_m2* ft_in_m}, {"yd3", cubic_yd_in_m3}, {"m3", 1}, {"L", 1e-3}}};
constexpr std::array<MeasureUnit, 2> weights{{{"lb", pound_in_kg}, {"kg", 1}}};
constexpr std::array<MeasureUnit, 3> areas{{{"ft2", sq_ft_in_m2}, {"yd2", 9 * sq_ft_in_m2}, {"m2", 1}}};
constexpr std::array<MeasureUnit, 3> per_lengths{{{"/ft", 1 / ft_in_m}, {"/yd", 1 / (3 * ft_in_m)}, {"/m", 1}}};
constexpr std::array<MeasureUnit, 3> per_areas{
    {{"/ft2", 1 / sq_ft_in_m2}, {"/yd2", 1 / (9 * sq_ft_in_m2)}, {"/m2", 1}}};
constexpr std::array<MeasureUnit, 3> per_volumes{
    {{"/yd3", 1 / cubic_yd_in_m3}, {"/ft3", 27 / cubic_yd_in_m3}, {"/m3", 1}}};

} // namespace

std::span<const MeasureUnit> units_of(Measure measure)
{
    switch (measure) {
    case Measure::length: return lengths;
    case Measure::fall: return falls;
    case Measure::angle: return angles;
    case Measure::share: return shares;
    case Measure::factor: return factors;
    case Measure::count:
    case Measure::number:
    case Measure::money: return plain;
    case Measure::velocity: return velocities;
    case Measure::rain: return rains;
    case Measure::flow: return flows;
    case Measure::time: return times;
    case Measure::density: return densities;
    case Measure::volume: return volumes;
    case Measure::weight: return weights;
    case Measure::area: return areas;
    case Measure::money_per_length: return per_lengths;
    case Measure::money_per_area: return per_areas;
    case Measure::money_per_volume: return per_volumes;
    case Measure::word: break;
    }
    throw Error(ErrorKind::internal, "a word is no quantity");
}

bool is_money(Measure measure)
{
    return measure == Measure::money || measure == Measure::money_per_length || measure == Measure::money_per_area ||
           measure == Measure::money_per_volume;
}

std::string_view example(Measure measure)
{
    switch (measure) {
    case Measure::length: return "6 in, 3'-2 1/2\" or 150 mm";
    case Measure::fall: return "1 %, 1/8 in/ft or 1:96";
    case Measure::angle: return "45 deg";
    case Measure::share: return "25 %";
    case Measure::factor: return "15 or 1.25 ft/in";
    case Measure::count: return "8";
    case Measure::number: return "0.011";
    case Measure::velocity: return "2 ft/s or 0.6 m/s";
    case Measure::rain: return "4 in/h or 100 mm/h";
    case Measure::flow: return "20 gpm or 1.2 L/s";
    case Measure::time: return "60 s or 1 min";
    case Measure::density: return "150 lb/ft3 or 2400 kg/m3";
    case Measure::volume: return "1.5 ft3 or 0.04 m3";
    case Measure::weight: return "25 lb or 11 kg";
    case Measure::area: return "600 ft2 or 55 m2";
    case Measure::money: return "120 or 120.50";
    case Measure::money_per_length: return "2.50/ft or 8/m";
    case Measure::money_per_area: return "1.20/ft2 or 13/m2";
    case Measure::money_per_volume: return "45/yd3 or 59/m3";
    case Measure::word: break;
    }
    return "";
}

const MeasureUnit& printed_unit(Measure measure, UnitSystem units)
{
    const bool us = units == UnitSystem::us;
    switch (measure) {
    case Measure::velocity: return velocities[us ? 0 : 1];
    case Measure::rain: return rains[us ? 0 : 1];
    case Measure::flow: return flows[us ? 0 : 3];
    case Measure::time: return times[0];
    case Measure::density: return densities[us ? 0 : 1];
    case Measure::volume: return volumes[us ? 1 : 3];
    case Measure::weight: return weights[us ? 0 : 1];
    case Measure::area: return areas[us ? 0 : 2];
    default: throw Error(ErrorKind::internal, "a measure that is not printed in one unit");
    }
}

} // namespace trenchwright
