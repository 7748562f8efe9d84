#include "trenchwright/base/city_date.hpp"

#include "trenchwright/base/calendar.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <fmt/format.h>
#include <optional>

namespace trenchwright {

namespace {

constexpr long long ms_per_day = 86'400'000;

bool digits(std::string_view text)
{
    return !text.empty() && std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

std::optional<std::string> iso_date(std::string_view year, std::string_view month, std::string_view day)
{
    const auto two = [](std::string_view part) { return (part.size() == 1 ? "0" : "") + std::string(part); };
    const auto text = fmt::format("{}-{}-{}", year, two(month), two(day));
    return day_number(text) ? std::optional(text) : std::nullopt;
}

/// Three groups of digits with one of - / . between them.
std::optional<std::array<std::string_view, 3>> three_parts(std::string_view text)
{
    const auto first = text.find_first_of("-/.");
    const auto second = first == std::string_view::npos ? first : text.find(text[first], first + 1);
    if (second == std::string_view::npos) {
        return std::nullopt;
    }
    const std::array parts{text.substr(0, first), text.substr(first + 1, second - first - 1), text.substr(second + 1)};
    return std::ranges::all_of(parts, digits) ? std::optional(parts) : std::nullopt;
}

CityDate no_date(std::string_view text)
{
    return {.iso = {}, .fault = fmt::format("\"{}\" is no date; write it YYYY-MM-DD", text)};
}

CityDate of_parts(std::string_view text, const std::array<std::string_view, 3>& parts)
{
    const auto& [a, b, c] = parts;
    if (a.size() == 4) {
        const auto date = iso_date(a, b, c);
        return date ? CityDate{.iso = *date, .fault = {}} : no_date(text);
    }
    if (c.size() != 4) {
        return {.iso = {},
                .fault = fmt::format("\"{}\" has a year of two digits: it may be read in several ways; write it "
                                     "YYYY-MM-DD",
                                     text)};
    }
    const auto month_first = iso_date(c, a, b);
    const auto day_first = iso_date(c, b, a);
    if (month_first && day_first && *month_first != *day_first) {
        return {.iso = {},
                .fault = fmt::format("\"{}\" may be {} or {}; write it YYYY-MM-DD", text, *month_first, *day_first)};
    }
    return month_first || day_first ? CityDate{.iso = month_first ? *month_first : *day_first, .fault = {}}
                                    : no_date(text);
}

/// A count without marks between: a year, a date, or milliseconds.
CityDate of_count(std::string_view text)
{
    if (text.size() == 4) {
        const bool believed = text >= "1850" && text <= "2149"; // the first public sewers, and no far future
        return believed ? CityDate{.iso = std::string(text), .fault = {}} : no_date(text);
    }
    if (text.size() == 8) {
        const auto date = iso_date(text.substr(0, 4), text.substr(4, 2), text.substr(6));
        return date ? CityDate{.iso = *date, .fault = {}} : no_date(text);
    }
    if (text.size() == 12 || text.size() == 13) {
        long long ms = 0;
        std::from_chars(text.data(), text.data() + text.size(), ms);
        const std::chrono::year_month_day day{std::chrono::sys_days(std::chrono::days(ms / ms_per_day))};
        return {.iso = fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()),
                                   static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day())),
                .fault = {}};
    }
    if (text.size() == 9 || text.size() == 10) {
        return {.iso = {},
                .fault = fmt::format("\"{}\" may be seconds since 1970, and only milliseconds are read as a date; "
                                     "write it YYYY-MM-DD",
                                     text)};
    }
    return no_date(text);
}

/// What stands before a time of day.
std::string_view without_time(std::string_view text)
{
    const auto stop = text.find_first_of("T ");
    const bool time = stop != std::string_view::npos && text.size() > stop + 1 && text[stop + 1] >= '0' &&
                      text[stop + 1] <= '9' && text.find(':', stop) != std::string_view::npos;
    return time ? text.substr(0, stop) : text;
}

} // namespace

CityDate city_date(std::string_view text)
{
    auto body = without_time(text);
    if (body.ends_with(".0")) { // a count that came as a real number
        body.remove_suffix(2);
    }
    if (digits(body)) {
        return of_count(body);
    }
    const auto parts = three_parts(body);
    return parts ? of_parts(text, *parts) : no_date(text);
}

} // namespace trenchwright
