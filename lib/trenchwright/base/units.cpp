#include "trenchwright/base/units.hpp"

#include "trenchwright/base/error.hpp"

#include <array>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

/// Decimals, with "-0.00" printed as "0.00".
std::string fixed(double value, int decimals)
{
    auto text = fmt::format("{:.{}f}", value, decimals);
    const bool negative_zero = text.front() == '-' && text.find_first_of("123456789") == std::string::npos;
    return negative_zero ? text.substr(1) : text;
}

/// " 3/16" for three sixteenths, "" for none.
std::string sixteenths_text(long long count)
{
    if (count == 0) {
        return "";
    }
    long long denominator = 16;
    while (count % 2 == 0) {
        count /= 2;
        denominator /= 2;
    }
    return fmt::format(" {}/{}", count, denominator);
}

/// Inches per foot as the trade writes it, only where a sixteenth says it to 2 %.
std::string inches_per_foot_text(double fall_ratio)
{
    const double inches = fall_ratio * 12;
    const auto count = std::llround(inches * 16);
    const bool close = count > 0 && std::abs(static_cast<double>(count) / 16 - inches) <= 0.02 * inches;
    if (!close) {
        return fmt::format("{} in per ft", fixed(inches, 3));
    }
    const auto whole = count / 16;
    auto text = sixteenths_text(count % 16);
    text = whole > 0 ? fmt::format("{}{}", whole, text) : text.substr(1);
    return text + " in per ft";
}

} // namespace

double meters_per(LengthUnit unit)
{
    switch (unit) {
    case LengthUnit::meter: return 1;
    case LengthUnit::foot: return ft_in_m;
    case LengthUnit::us_survey_foot: return us_survey_ft_in_m;
    case LengthUnit::inch: return inch_in_m;
    case LengthUnit::centimeter: return 0.01;
    case LengthUnit::millimeter: return 0.001;
    }
    throw Error(ErrorKind::internal, "unknown length unit");
}

std::optional<LengthUnit> length_unit_named(std::string_view word)
{
    static constexpr std::array<std::pair<std::string_view, LengthUnit>, 21> words{{
        {"m", LengthUnit::meter},
        {"metre", LengthUnit::meter},
        {"metres", LengthUnit::meter},
        {"meter", LengthUnit::meter},
        {"meters", LengthUnit::meter},
        {"ft", LengthUnit::foot},
        {"foot", LengthUnit::foot},
        {"feet", LengthUnit::foot},
        {"ftUS", LengthUnit::us_survey_foot},
        {"us-ft", LengthUnit::us_survey_foot},
        {"US survey foot", LengthUnit::us_survey_foot},
        {"US survey feet", LengthUnit::us_survey_foot},
        {"in", LengthUnit::inch},
        {"inch", LengthUnit::inch},
        {"inches", LengthUnit::inch},
        {"cm", LengthUnit::centimeter},
        {"centimeter", LengthUnit::centimeter},
        {"centimetre", LengthUnit::centimeter},
        {"mm", LengthUnit::millimeter},
        {"millimeter", LengthUnit::millimeter},
        {"millimetre", LengthUnit::millimeter},
    }};
    for (const auto& [known, unit] : words) {
        if (known == word) {
            return unit;
        }
    }
    return std::nullopt;
}

std::string_view unit_word(LengthUnit unit)
{
    switch (unit) {
    case LengthUnit::meter: return "m";
    case LengthUnit::foot: return "ft";
    case LengthUnit::us_survey_foot: return "ftUS";
    case LengthUnit::inch: return "in";
    case LengthUnit::centimeter: return "cm";
    case LengthUnit::millimeter: return "mm";
    }
    return "";
}

double m2_per(AreaUnit unit)
{
    switch (unit) {
    case AreaUnit::square_meter: return 1;
    case AreaUnit::square_foot: return sq_ft_in_m2;
    case AreaUnit::square_yard: return 9 * sq_ft_in_m2;
    }
    throw Error(ErrorKind::internal, "unknown area unit");
}

std::optional<AreaUnit> area_unit_named(std::string_view word)
{
    for (const auto unit : {AreaUnit::square_meter, AreaUnit::square_foot, AreaUnit::square_yard}) {
        if (unit_word(unit) == word) {
            return unit;
        }
    }
    return std::nullopt;
}

std::string_view unit_word(AreaUnit unit)
{
    switch (unit) {
    case AreaUnit::square_meter: return "m2";
    case AreaUnit::square_foot: return "ft2";
    case AreaUnit::square_yard: return "yd2";
    }
    return "";
}

AreaUnit area_unit_beside(LengthUnit unit)
{
    switch (unit) {
    case LengthUnit::foot:
    case LengthUnit::us_survey_foot:
    case LengthUnit::inch: return AreaUnit::square_foot;
    default: return AreaUnit::square_meter;
    }
}

std::string feet_inches(double length_m)
{
    const auto count = std::llround(std::abs(length_m) / inch_in_m * 16);
    const auto feet = count / 16 / 12;
    const auto inches = (count / 16) % 12;
    const std::string_view sign = length_m < 0 && count > 0 ? "-" : "";
    return fmt::format("{}{}'-{}{}\"", sign, feet, inches, sixteenths_text(count % 16));
}

std::string length_text(double length_m, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(length_m / ft_in_m, 1) + " ft" : fixed(length_m, 2) + " m";
}

std::string depth_text(double depth_m, UnitSystem units)
{
    return units == UnitSystem::us ? feet_inches(depth_m) : fixed(depth_m * 1000, 0) + " mm";
}

double printed_from_m(double limit_m)
{
    return limit_m - inch_in_m / 16;
}

std::string diameter_text(double diameter_m, UnitSystem units)
{
    return units == UnitSystem::us ? fmt::format("{:.4g} in", diameter_m / inch_in_m)
                                   : fmt::format("{:.4g} mm", diameter_m * 1000);
}

std::string small_text(double length_m, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(length_m / inch_in_m, 1) + " in" : fixed(length_m * 1000, 0) + " mm";
}

std::string elev_text(double elev_m, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(elev_m / ft_in_m, 2) + " ft" : fixed(elev_m, 3) + " m";
}

std::string station_text(double station_m, UnitSystem units)
{
    const double unit_m = units == UnitSystem::us ? ft_in_m : 1;
    const auto hundredths = std::llround(std::abs(station_m) / unit_m * 100);
    const std::string_view sign = station_m < 0 && hundredths > 0 ? "-" : "";
    return fmt::format("{}{}+{:02}.{:02}", sign, hundredths / 10000, hundredths / 100 % 100, hundredths % 100);
}

std::string volume_text(double volume_m3, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(volume_m3 / cubic_yd_in_m3, 2) + " yd3" : fixed(volume_m3, 2) + " m3";
}

std::string area_text(double area_m2, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(area_m2 / sq_ft_in_m2, 0) + " ft2" : fixed(area_m2, 1) + " m2";
}

std::string load_text(double mass_kg, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(mass_kg / (2000 * pound_in_kg), 2) + " ton"
                                   : fixed(mass_kg / 1000, 2) + " t";
}

std::string fall_text(double fall_ratio, UnitSystem units)
{
    const auto percent = fixed(fall_ratio * 100, 2) + " %";
    return units == UnitSystem::us ? fmt::format("{} ({})", percent, inches_per_foot_text(fall_ratio)) : percent;
}

std::string flow_text(double flow_m3ps, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(flow_m3ps / gallon_in_m3 * 60, 1) + " gpm"
                                   : fixed(flow_m3ps * 1000, 2) + " L/s";
}

std::string velocity_text(double velocity_mps, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(velocity_mps / ft_in_m, 2) + " ft/s" : fixed(velocity_mps, 2) + " m/s";
}

std::string rain_text(double rain_mps, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(rain_mps / inch_in_m * 3600, 2) + " in/h"
                                   : fixed(rain_mps * 3600e3, 0) + " mm/h";
}

std::string water_text(double volume_m3, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(volume_m3 / gallon_in_m3, 1) + " gal" : fixed(volume_m3 * 1000, 1) + " L";
}

std::string weight_text(double mass_kg, UnitSystem units)
{
    return units == UnitSystem::us ? fixed(mass_kg / pound_in_kg, 0) + " lb" : fixed(mass_kg, 0) + " kg";
}

std::string money_text(Cents cents)
{
    const auto whole = std::to_string(std::abs(cents) / 100);
    std::string grouped;
    for (std::size_t i = 0; i < whole.size(); ++i) {
        if (i > 0 && (whole.size() - i) % 3 == 0) {
            grouped += ',';
        }
        grouped += whole[i];
    }
    return fmt::format("{}{}.{:02}", cents < 0 ? "-" : "", grouped, std::abs(cents) % 100);
}

Cents to_cents(double amount)
{
    const double cents = std::round(amount * 100);
    const bool fits = std::abs(cents) < 9e15;
    if (!fits) {
        throw Error(ErrorKind::internal, fmt::format("amount of money out of range: {}", amount));
    }
    return static_cast<Cents>(cents);
}

} // namespace trenchwright
