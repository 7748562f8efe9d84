#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace trenchwright {

// Exact by definition: international foot 0.3048 m (85 FR 62698, 2020); US survey foot 1200/3937 m.
inline constexpr double ft_in_m = 0.3048;
inline constexpr double us_survey_ft_in_m = 1200.0 / 3937.0;
inline constexpr double inch_in_m = 0.0254;
inline constexpr double cubic_yd_in_m3 = 27 * ft_in_m * ft_in_m * ft_in_m;
inline constexpr double sq_ft_in_m2 = ft_in_m * ft_in_m;
inline constexpr double gallon_in_m3 = 231 * inch_in_m * inch_in_m * inch_in_m; // US liquid gallon, 231 in3
inline constexpr double pound_in_kg = 0.45359237;

enum class LengthUnit { meter, foot, us_survey_foot, inch, centimeter, millimeter };

/// Metres in one of the unit.
double meters_per(LengthUnit unit);

/// "m", "meter", "ft", "foot", "ftUS", "us-ft", "in", "cm", "mm" and the like; nothing for any other word.
std::optional<LengthUnit> length_unit_named(std::string_view word);

/// "m", "ft", "ftUS", "in", "cm" or "mm", as the job file and plan.json spell it.
std::string_view unit_word(LengthUnit unit);

/// Units of ground and roofs. The US survey foot's square differs by 4 in a million and counts as ft2.
enum class AreaUnit { square_meter, square_foot, square_yard };

/// Square meters in one of the unit.
double m2_per(AreaUnit unit);

/// "m2", "ft2" or "yd2"; nothing for any other word.
std::optional<AreaUnit> area_unit_named(std::string_view word);
std::string_view unit_word(AreaUnit unit);

/// What areas count in where lengths are stated and areas are not: m2 beside m, cm and mm, ft2 beside feet and inches.
/// Nobody gives a roof in square inches or square millimeters.
AreaUnit area_unit_beside(LengthUnit unit);

/// How figures are printed. Inside, everything is SI.
enum class UnitSystem { us, metric };

/// Feet, inches and the nearest sixteenth: 3'-2 1/16". Negative lengths carry a minus sign.
std::string feet_inches(double length_m);

/// Along or across the ground: "41.3 ft" or "12.59 m".
std::string length_text(double length_m, UnitSystem units);

/// Small vertical or cross-section figures: feet_inches, or "412 mm".
std::string depth_text(double depth_m, UnitSystem units);

/// Fall and clearance figures that decide by fractions: "3.2 in" or "81 mm".
std::string small_text(double length_m, UnitSystem units);

/// A limit less one sixteenth of an inch, the coarser step of depth_text. No depth below it is printed as the limit in
/// either unit system, so what the limit asks for holds from there: no paper shows a limit reached and nothing asked.
double printed_from_m(double limit_m);

/// A pipe's own size to four figures, as tables give it: "3.25 in", "4.215 in" or "82.55 mm".
std::string diameter_text(double diameter_m, UnitSystem units);

/// "101.23 ft" or "30.855 m".
std::string elev_text(double elev_m, UnitSystem units);

/// Full station with hundredths: "0+41.30" in feet (100 ft stations) or meters (100 m stations).
std::string station_text(double station_m, UnitSystem units);

/// "2.45 yd3" or "1.87 m3".
std::string volume_text(double volume_m3, UnitSystem units);

/// "120 ft2" or "11.1 m2".
std::string area_text(double area_m2, UnitSystem units);

/// Stone by the load: "4.74 ton" (short tons of 2000 lb) or "4.30 t".
std::string load_text(double mass_kg, UnitSystem units);

/// Percent to 0.01 and, in US units, inches per foot: "1.04 % (1/8 in per ft)".
std::string fall_text(double fall_ratio, UnitSystem units);

/// Water on the move: "32.0 gpm" or "2.02 L/s".
std::string flow_text(double flow_m3ps, UnitSystem units);

/// "2.17 ft/s" or "0.66 m/s".
std::string velocity_text(double velocity_mps, UnitSystem units);

/// Depth of rain in a time: "4.00 in/h" or "102 mm/h".
std::string rain_text(double rain_mps, UnitSystem units);

/// Water standing: "12.3 gal" or "46.6 L".
std::string water_text(double volume_m3, UnitSystem units);

/// "220 lb" or "100 kg".
std::string weight_text(double mass_kg, UnitSystem units);

/// Money is whole cents. 123456 -> "1,234.56".
using Cents = std::int64_t;
std::string money_text(Cents cents);

/// Nearest cent, halves away from zero. @throws Error (internal) when not finite.
Cents to_cents(double amount);

} // namespace trenchwright
