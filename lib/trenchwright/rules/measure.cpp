#include "trenchwright/rules/measure.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/rules/measure_units.hpp"

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <optional>
#include <span>
#include <utility>

namespace trenchwright {

namespace {

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

std::optional<double> unit_named(std::span<const MeasureUnit> units, std::string_view word)
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
    const auto unit_m = unit_named(units_of(Measure::length), rest);
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
    case Measure::angle: return fmt::format("{:.12g} deg", amount_si * 180 / std::numbers::pi);
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
    case Measure::number: return fmt::format("{:.12g}", amount_si);
    case Measure::velocity:
    case Measure::rain:
    case Measure::flow:
    case Measure::time:
    case Measure::density:
    case Measure::volume:
    case Measure::weight:
    case Measure::area: {
        const auto unit = printed_unit(measure, units);
        return fmt::format("{:.12g} {}", amount_si / unit.si, unit.word);
    }
    case Measure::word: break;
    }
    throw Error(ErrorKind::internal, "a word is no quantity");
}

} // namespace trenchwright
