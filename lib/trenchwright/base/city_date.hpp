#pragma once

#include <string>
#include <string_view>

namespace trenchwright {

/// What a date in a city's table says.
struct CityDate {
    std::string iso;   ///< "2026-11-27", or "2026" where the table has a year alone; empty where it cannot be told
    std::string fault; ///< why not, for people; empty where it can
};

/// Reads a date as cities write it: ISO 8601 with or without a time, "2026/11/27", "20261127", a year alone, or
/// milliseconds since 1970 (UTC). Day and month in another order are read where only one order makes a date:
/// "11/27/2026" is the 27th of November, "03/04/2026" is refused.
CityDate city_date(std::string_view text);

} // namespace trenchwright
