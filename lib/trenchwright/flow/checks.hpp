#pragma once

#include "trenchwright/base/error.hpp"

#include <string_view>

namespace trenchwright {

// Inside this module only. A figure that stands in the job or in the settings is ErrorKind::input; one that
// another module computed is ErrorKind::internal. NaN and infinity always throw.

/// @throws Error of the kind, naming what it is and the value, unless the value is above 0
void check_above_zero(ErrorKind kind, std::string_view what, double value_si);

/// @throws Error of the kind unless the value is 0 or more
void check_not_below_zero(ErrorKind kind, std::string_view what, double value_si);

/// @throws Error of the kind unless 0 < value <= 1, or 0 <= value <= 1 with may_be_zero
void check_share(ErrorKind kind, std::string_view what, double value_si, bool may_be_zero);

} // namespace trenchwright
