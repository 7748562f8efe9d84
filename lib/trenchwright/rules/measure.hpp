#pragma once

#include "trenchwright/rules/rules.hpp"

#include <string>
#include <string_view>

namespace trenchwright {

/// A quantity as text that parse_measure reads back (to twelve digits). `currency` may be empty.
std::string measure_text(Measure measure, double amount_si, UnitSystem units, const std::string& currency);

/// The three capitals behind the number of a money text; empty when there are none.
std::string currency_in(std::string_view text);

} // namespace trenchwright
