#include "plan/measure.hpp"

#include "base/error.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <optional>
#include <span>
#include <utility>

namespace trenchwright {

namespace {

constexpr double deg_in_rad = std::numbers::pi / 180;

struct Unit {
    std::string_view word;
    double si;
};

constexpr std::array<Unit, 15> lengths{{{"in", inch_in_m},
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
                                        {"metre", 1},
                                        {"metres", 1},
                                        {"cm", 0.01},
                                        {"mm", 0.001}}};
constexpr std::array<Unit, 5> falls{{{"%", 0.01}, {"in/ft", 1.0 / 12}, {"mm/m", 0.001}, {"m/m", 1}, {"", 1}}};
constexpr std::array<Unit, 4> angles{{{"deg", deg_in_rad}, {"degrees", deg_in_rad}, {"°", deg_in_rad}, {"rad", 1}}};
constexpr std::array<Unit, 2> shares{{{"%", 0.01}, {"", 1}}};
constexpr std::array<Unit, 3> factors{{{"ft/in", 12}, {"m/cm", 100}, {"", 1}}};
constexpr std::array<Unit, 1> plain{{{"", 1}}};
constexpr std::array<Unit, 3> per_lengths{{{"/ft", 1 / ft_in_m}, {"/yd", 1 / (3 * ft_in_m)}, {"/m", 1}}};
constexpr std::array<Unit, 3> per_areas{{{"/ft2", 1 / sq_ft_in_m2}, {"/yd2", 1 / (9 * sq_ft_in_m2)}, {"/m2", 1}}};
constexpr std::array<Unit, 3> per_volumes{{{"/yd3", 1 / cubic_yd_in_m3}, {"/ft3", 27 / cubic_yd_in_m3}, {"/m3", 1}}};

std::span<const Unit> units_of(Measure measure)
{
    switch (measure) {
    case Measure::length: return lengths;
    case Measure::fall: return falls;
    case Measure::angle: return angles;
    case Measure::share: return shares;
    case Measure::factor: return factors;
    case Measure::count: return plain;
    case Measure::money: return plain;
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
    case Measure::money: return "120 or 120.50";
    case Measure::money_per_length: return "2.50/ft or 8/m";
    case Measure::money_per_area: return "1.20/ft2 or 13/m2";
    case Measure::money_per_volume: return "45/yd3 or 59/m3";
    case Measure::word: break;
    }
    return "";
}

Error no_quantity(Measure measure, std::string_view text)
{
    return Error(ErrorKind::input, fmt::format("\"{}\" cannot be read: write for example {}", text, example(measure)));
}

bool is_digit(char letter)
{
    return letter >= '0' && letter <= '9';
}

void skip_spaces(std::string_view& text)
{
    while (!text.empty() && text.front() == ' ') {
        text.remove_prefix(1);
    }
}

/// Cuts an unsigned decimal number off the front. Words such as "nan" and "inf" are no numbers here.
std::optional<double> take_decimal(std::string_view& text)
{
    const bool starts = !text.empty() && (is_digit(text.front()) || text.front() == '.');
    double value = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (!starts || fault != std::errc() || !std::isfinite(value)) {
        return std::nullopt;
    }
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    return value;
}

/// Cuts "/8" off the front and gives 8; leaves "/ft" alone.
std::optional<double> take_denominator(std::string_view& text)
{
    if (text.size() < 2 || text.front() != '/' || !is_digit(text[1])) {
        return std::nullopt;
    }
    text.remove_prefix(1);
    return take_decimal(text);
}

/// Cuts "12", "0.5", "1/8" or "1 1/2" off the front.
std::optional<double> take_number(std::string_view& text)
{
    auto value = take_decimal(text);
    if (!value) {
        return value;
    }
    if (const auto denominator = take_denominator(text)) {
        return *value / *denominator;
    }
    auto rest = text;
    skip_spaces(rest);
    if (const auto numerator = take_decimal(rest)) {
        if (const auto denominator = take_denominator(rest)) {
            text = rest;
            return *value + *numerator / *denominator;
        }
    }
    return value;
}

bool take_sign(std::string_view& text)
{
    const bool negative = !text.empty() && text.front() == '-';
    if (negative) {
        text.remove_prefix(1);
    }
    return negative;
}

std::optional<double> unit_named(std::span<const Unit> units, std::string_view word)
{
    for (const auto& unit : units) {
        if (unit.word == word) {
            return unit.si;
        }
    }
    return std::nullopt;
}

/// Cuts three capitals off the front, for money.
std::string take_currency(std::string_view& text)
{
    const auto is_capital = [](char letter) { return letter >= 'A' && letter <= 'Z'; };
    if (text.size() < 3 || !is_capital(text[0]) || !is_capital(text[1]) || !is_capital(text[2])) {
        return "";
    }
    std::string currency(text.substr(0, 3));
    text.remove_prefix(3);
    skip_spaces(text);
    return currency;
}

/// The inches of "3'-2 1/16\"" or "3 ft 2 in", once the feet are read.
std::optional<double> take_inches_m(std::string_view& rest)
{
    skip_spaces(rest);
    take_sign(rest);
    skip_spaces(rest);
    const auto inches = take_number(rest);
    skip_spaces(rest);
    const auto unit_m = unit_named(lengths, rest);
    if (!inches || unit_m != inch_in_m) {
        return std::nullopt;
    }
    return *inches * inch_in_m;
}

/// Feet and inches together; nothing when the text is no such pair.
std::optional<double> feet_inches_m(double feet, std::string_view rest)
{
    for (const std::string_view word : {"ft", "'"}) {
        if (rest.starts_with(word)) {
            auto inches = rest.substr(word.size());
            const auto inches_m = take_inches_m(inches);
            return inches_m ? std::optional(feet * ft_in_m + *inches_m) : std::nullopt;
        }
    }
    return std::nullopt;
}

/// The second number of "1:96".
std::optional<double> run_of(std::string_view rest)
{
    if (rest.empty() || rest.front() != ':') {
        return std::nullopt;
    }
    rest.remove_prefix(1);
    const auto run = take_decimal(rest);
    return rest.empty() ? run : std::nullopt;
}

std::optional<double> unsigned_si(Measure measure, std::string_view rest)
{
    const auto number = take_number(rest);
    if (!number) {
        return std::nullopt;
    }
    skip_spaces(rest);
    if (is_money(measure)) {
        take_currency(rest);
    }
    if (const auto unit = unit_named(units_of(measure), rest)) {
        return *number * *unit;
    }
    if (measure == Measure::length) {
        return feet_inches_m(*number, rest);
    }
    const auto run = measure == Measure::fall ? run_of(rest) : std::nullopt;
    return run ? std::optional(*number / *run) : std::nullopt;
}

std::string with_currency(double amount, const std::string& currency, std::string_view per)
{
    return fmt::format("{:.12g}{}{}{}", amount, currency.empty() ? "" : " ", currency, per);
}

std::string length_rule_text(double length_m, UnitSystem units)
{
    if (units == UnitSystem::us) {
        const bool short_length = std::abs(length_m) < 3 * ft_in_m;
        return short_length ? fmt::format("{:.12g} in", length_m / inch_in_m)
                            : fmt::format("{:.12g} ft", length_m / ft_in_m);
    }
    return std::abs(length_m) < 1 ? fmt::format("{:.12g} mm", length_m * 1000) : fmt::format("{:.12g} m", length_m);
}

/// Whole sixteenths of an inch per foot as the trade writes them, else percent.
std::string fall_rule_text(double fall_ratio, UnitSystem units)
{
    const double sixteenths = fall_ratio * 12 * 16;
    auto count = std::llround(sixteenths);
    const bool whole = count > 0 && count < 16 && std::abs(sixteenths - static_cast<double>(count)) < 1e-11;
    if (units == UnitSystem::metric || !whole) {
        return fmt::format("{:.12g} %", fall_ratio * 100);
    }
    long long denominator = 16;
    while (count % 2 == 0) {
        count /= 2;
        denominator /= 2;
    }
    return fmt::format("{}/{} in/ft", count, denominator);
}

} // namespace

double parse_measure(Measure measure, std::string_view text)
{
    auto rest = text;
    while (!rest.empty() && rest.back() == ' ') {
        rest.remove_suffix(1);
    }
    skip_spaces(rest);
    const bool negative = take_sign(rest);
    const auto value = unsigned_si(measure, rest);
    if (!value) {
        const bool bare = unit_named(units_of(measure), "") == std::nullopt && take_number(rest) && rest.empty();
        throw bare
            ? Error(ErrorKind::input, fmt::format("\"{}\" has no unit: write for example {}", text, example(measure)))
            : no_quantity(measure, text);
    }
    const bool usable = std::isfinite(*value) && (measure != Measure::count || *value == std::floor(*value));
    if (!usable) {
        throw no_quantity(measure, text);
    }
    return negative ? -*value : *value;
}

std::string currency_in(std::string_view text)
{
    skip_spaces(text);
    take_sign(text);
    take_number(text);
    skip_spaces(text);
    return take_currency(text);
}

std::string measure_text(Measure measure, double amount_si, UnitSystem units, const std::string& currency)
{
    const bool us = units == UnitSystem::us;
    switch (measure) {
    case Measure::length: return length_rule_text(amount_si, units);
    case Measure::fall: return fall_rule_text(amount_si, units);
    case Measure::angle: return fmt::format("{:.12g} deg", amount_si / deg_in_rad);
    case Measure::share: return fmt::format("{:.12g} %", amount_si * 100);
    case Measure::factor: return us ? fmt::format("{:.12g} ft/in", amount_si / 12) : fmt::format("{:.12g}", amount_si);
    case Measure::count: return fmt::format("{:.0f}", amount_si);
    case Measure::money: return with_currency(amount_si, currency, "");
    case Measure::money_per_length:
        return with_currency(us ? amount_si * ft_in_m : amount_si, currency, us ? "/ft" : "/m");
    case Measure::money_per_area:
        return with_currency(us ? amount_si * sq_ft_in_m2 : amount_si, currency, us ? "/ft2" : "/m2");
    case Measure::money_per_volume:
        return with_currency(us ? amount_si * cubic_yd_in_m3 : amount_si, currency, us ? "/yd3" : "/m3");
    case Measure::word: break;
    }
    throw Error(ErrorKind::internal, "a word is no quantity");
}

} // namespace trenchwright
