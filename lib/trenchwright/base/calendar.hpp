#pragma once

#include <optional>
#include <string_view>

namespace trenchwright {

/// Days from 1970-01-01 to a date written as ISO 8601 has it, "2031-04-02"; negative before. Nothing for any other
/// text and for a day that the Gregorian calendar does not have. Only for differences: nothing here asks the clock.
std::optional<long long> day_number(std::string_view iso_date);

} // namespace trenchwright
