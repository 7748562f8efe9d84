#include "estimate/estimate.hpp"

#include "base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Less than this of anything is rounding.
constexpr double noise = 1e-9;

CentSpread cents_of(const Spread& money)
{
    return {.low = to_cents(money.low), .likely = to_cents(money.likely), .high = to_cents(money.high)};
}

CentSpread& operator+=(CentSpread& a, const CentSpread& b)
{
    a.low += b.low;
    a.likely += b.likely;
    a.high += b.high;
    return a;
}

std::string name_of(const Measured& item)
{
    const auto kind = rate_kind(item.key);
    return fmt::format("{}{}{}", kind->words,
                       item.detail.empty()                ? ""
                       : item.key.starts_with("restore.") ? " "
                                                          : ", ",
                       item.detail);
}

void check(const Measured& item)
{
    const bool countable = item.quantity >= 0 && std::isfinite(item.quantity);
    if (!countable || !rate_kind(item.key)) {
        throw Error(ErrorKind::internal, fmt::format("estimate: {}: quantity {}", item.key, item.quantity));
    }
}

EstimateLine line_of(const Measured& item, const Rate& rate, const RateBook& book)
{
    const double factor = soil_factor(book, item.key) * item.depth_hours_factor;
    EstimateLine line{.key = item.key,
                      .name = name_of(item),
                      .source = item.source,
                      .quantity = item.quantity,
                      .per = rate_kind(item.key)->per,
                      .rate = unit_rate(book, rate, factor),
                      .cents = {},
                      .material_cents = {},
                      .hours = rate.hours * factor * item.quantity,
                      .trade_hours = {},
                      .stations = item.stations,
                      .rate_date = rate.date};
    line.cents = cents_of(line.rate * item.quantity);
    line.material_cents = cents_of(rate.price * item.quantity);
    for (const auto& [trade, count] : rate.crew) {
        line.trade_hours[trade] = line.hours * count;
    }
    return line;
}

/// What a kind of item is short of its least charge, as a line of its own.
void add_least_charges(std::vector<EstimateLine>& lines, const RateBook& book)
{
    std::map<std::string, CentSpread> sums;
    for (const auto& line : lines) {
        sums[line.key] += line.cents;
    }
    for (const auto& [key, sum] : sums) {
        const auto& rate = book.items.at(key);
        const Cents least = to_cents(rate.least);
        const auto missing = [&](Cents cents) { return std::max<Cents>(0, least - cents); };
        const CentSpread more{.low = missing(sum.low), .likely = missing(sum.likely), .high = missing(sum.high)};
        if (more.low > 0) {
            EstimateLine line;
            line.key = key;
            line.name = fmt::format("Least charge: {}", rate_kind(key)->words);
            line.quantity = 1;
            line.rate = {.low = static_cast<double>(more.low) / 100,
                         .likely = static_cast<double>(more.likely) / 100,
                         .high = static_cast<double>(more.high) / 100};
            line.cents = more;
            line.material_cents = rate.crew.empty() ? more : CentSpread{};
            line.rate_date = rate.date;
            lines.push_back(std::move(line));
        }
    }
}

Cents share_of(Cents cents, double share)
{
    return to_cents(static_cast<double>(cents) * share / 100);
}

EstimateTotal total_of(Cents lines, Cents materials, const RateBook& book, Cents fee)
{
    EstimateTotal total{.lines = lines, .fee = fee};
    total.least = std::max<Cents>(0, to_cents(book.least_charge) - lines);
    total.overhead = share_of(total.lines + total.least, book.overhead_share);
    total.margin = share_of(total.lines + total.least + total.overhead, book.margin_share);
    const Cents taxed = book.tax_on_all ? total.lines + total.least + total.overhead + total.margin : materials;
    total.tax = share_of(taxed, book.tax_share);
    return total;
}

/// Root of the sum of squares over the kinds of item, about the likely sum.
struct Apart {
    double down = 0;
    double up = 0;
    void add(const CentSpread& sum)
    {
        down += std::pow(static_cast<double>(sum.likely - sum.low), 2);
        up += std::pow(static_cast<double>(sum.high - sum.likely), 2);
    }
    [[nodiscard]] CentSpread about(Cents likely) const
    {
        return {.low = likely - static_cast<Cents>(std::llround(std::sqrt(down))),
                .likely = likely,
                .high = likely + static_cast<Cents>(std::llround(std::sqrt(up)))};
    }
};

void add_totals(Estimate& made, const RateBook& book, Cents fee)
{
    CentSpread lines;
    CentSpread materials;
    std::map<std::string, CentSpread> by_kind;
    std::map<std::string, CentSpread> materials_by_kind;
    for (const auto& line : made.lines) {
        lines += line.cents;
        materials += line.material_cents;
        by_kind[line.key] += line.cents;
        materials_by_kind[line.key] += line.material_cents;
    }
    Apart apart;
    Apart materials_apart;
    for (const auto& [key, sum] : by_kind) {
        apart.add(sum);
        materials_apart.add(materials_by_kind[key]);
    }
    const auto range = apart.about(lines.likely);
    const auto material_range = materials_apart.about(materials.likely);
    made.low = total_of(lines.low, materials.low, book, fee);
    made.likely = total_of(lines.likely, materials.likely, book, fee);
    made.high = total_of(lines.high, materials.high, book, fee);
    made.apart_low = total_of(range.low, material_range.low, book, fee);
    made.apart_high = total_of(range.high, material_range.high, book, fee);
}

void add_hours(Estimate& made, const RateBook& book)
{
    for (const auto& line : made.lines) {
        made.crew_hours = made.crew_hours + line.hours;
        for (const auto& [trade, hours] : line.trade_hours) {
            made.trade_hours[trade] = made.trade_hours[trade] + hours;
        }
    }
    if (book.day_hours > 0) {
        made.days = made.crew_hours * (1 / book.day_hours);
    }
}

} // namespace

Estimate estimate(const std::vector<Measured>& measured, const RateBook& book, Cents fee_cents)
{
    Estimate made;
    for (const auto& item : measured) {
        check(item);
        const auto rate = book.items.find(item.key);
        if (item.quantity > noise && rate == book.items.end()) {
            const auto name = name_of(item);
            if (std::ranges::find(made.not_priced, name) == made.not_priced.end()) {
                made.not_priced.push_back(name);
            }
        } else if (item.quantity > noise) {
            made.lines.push_back(line_of(item, rate->second, book));
        }
    }
    add_least_charges(made.lines, book);
    add_totals(made, book, fee_cents);
    add_hours(made, book);
    return made;
}

double quantity_in(double quantity_si, RatePer per, UnitSystem units)
{
    if (units == UnitSystem::metric) {
        return quantity_si;
    }
    switch (per) {
    case RatePer::length: return quantity_si / ft_in_m;
    case RatePer::area: return quantity_si / sq_ft_in_m2;
    case RatePer::volume: return quantity_si / cubic_yd_in_m3;
    case RatePer::each: break;
    }
    return quantity_si;
}

std::string_view unit_of(RatePer per, UnitSystem units)
{
    const bool us = units == UnitSystem::us;
    switch (per) {
    case RatePer::length: return us ? "ft" : "m";
    case RatePer::area: return us ? "ft2" : "m2";
    case RatePer::volume: return us ? "yd3" : "m3";
    case RatePer::each: break;
    }
    return "each";
}

} // namespace trenchwright
