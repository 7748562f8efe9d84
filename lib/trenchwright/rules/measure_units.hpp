#pragma once

#include "trenchwright/rules/rules.hpp"

#include <span>
#include <string_view>

namespace trenchwright {

/// A unit as a job file writes it.
struct MeasureUnit {
    std::string_view word;
    double si = 0; ///< SI units in one of it
};

/// The units a measure may carry; an empty word: none is needed. @throws Error (internal) for a word
std::span<const MeasureUnit> units_of(Measure measure);

/// Whether the measure is money, alone or per something.
bool is_money(Measure measure);

/// How to write one, for messages: "2 ft/s or 0.6 m/s".
std::string_view example(Measure measure);

/// The unit a setting is printed in, for measures that have one unit in each system. @throws Error (internal)
const MeasureUnit& printed_unit(Measure measure, UnitSystem units);

} // namespace trenchwright
