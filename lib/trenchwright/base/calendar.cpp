#include "trenchwright/base/calendar.hpp"

#include <charconv>
#include <chrono>

namespace trenchwright {

namespace {

std::optional<int> whole(std::string_view digits)
{
    int value = 0;
    const auto [end, fault] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    const bool read = fault == std::errc() && end == digits.data() + digits.size() && digits.front() != '-';
    return read ? std::optional(value) : std::nullopt;
}

} // namespace

std::optional<long long> day_number(std::string_view iso_date)
{
    if (iso_date.size() != 10 || iso_date[4] != '-' || iso_date[7] != '-') {
        return std::nullopt;
    }
    const auto year = whole(iso_date.substr(0, 4));
    const auto month = whole(iso_date.substr(5, 2));
    const auto day = whole(iso_date.substr(8, 2));
    if (!year || !month || !day) {
        return std::nullopt;
    }
    const std::chrono::year_month_day date{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                                           std::chrono::day(static_cast<unsigned>(*day))};
    if (!date.ok()) {
        return std::nullopt;
    }
    return std::chrono::sys_days(date).time_since_epoch().count();
}

} // namespace trenchwright
