#include "trenchwright/estimate/estimate.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

/// Less than this of anything is rounding.
constexpr double noise = 1e-9;

CentSpread cents_of(const Spread& money)
{
    return {.low = to_cents(money.low), .likely = to_cents(money.likely), .high = to_cents(money.high)};
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
    EstimateLine line;
    line.item = item.key;
    line.name = name_of(item);
    line.trench = item.trench;
    line.quantity = item.quantity;
    line.per = rate_kind(item.key)->per;
    line.rate = unit_rate(book, rate, factor);
    line.hours = rate.hours * factor * item.quantity;
    line.stations = item.stations;
    line.rate_date = rate.date;
    line.cents = cents_of(line.rate * item.quantity);
    line.material_cents = cents_of(rate.price * item.quantity);
    for (const auto& [trade, count] : rate.crew) {
        line.trade_hours[trade] = line.hours * count;
    }
    return line;
}

/// A sum of the whole job, as one piece.
EstimateLine sum_line(LineKind kind, std::string name, const CentSpread& cents)
{
    EstimateLine line;
    line.kind = kind;
    line.name = std::move(name);
    line.quantity = 1;
    line.rate = {.low = static_cast<double>(cents.low) / 100,
                 .likely = static_cast<double>(cents.likely) / 100,
                 .high = static_cast<double>(cents.high) / 100};
    line.cents = cents;
    return line;
}

bool is_nothing(const CentSpread& cents)
{
    return cents == CentSpread{};
}

/// What a sum is short of a minimum.
CentSpread short_of(const CentSpread& sum, Cents minimum)
{
    const auto missing = [&](Cents cents) { return std::max<Cents>(0, minimum - cents); };
    return {.low = missing(sum.low), .likely = missing(sum.likely), .high = missing(sum.high)};
}

void add_item_minimums(std::vector<EstimateLine>& lines, const RateBook& book)
{
    std::map<std::string, CentSpread> sums;
    for (const auto& line : lines) {
        sums[line.item] += line.cents;
    }
    for (const auto& [item, sum] : sums) {
        const auto& rate = *rate_for(book, item);
        const auto more = short_of(sum, to_cents(rate.least));
        if (!is_nothing(more)) {
            auto line = sum_line(LineKind::item_minimum,
                                 fmt::format("Minimum-charge adjustment: {}", rate_kind(item)->words), more);
            line.item = item;
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

/// What is charged on top of the work.
EstimateTotal total_of(Cents lines, Cents materials, const RateBook& book, Cents fee)
{
    EstimateTotal total{.lines = lines, .fee = fee};
    total.least = std::max<Cents>(0, to_cents(book.min_charge) - lines);
    total.overhead = share_of(total.lines + total.least, book.overhead_share);
    total.margin = share_of(total.lines + total.least + total.overhead, book.margin_share);
    const Cents taxed = book.tax_on_all ? total.lines + total.least + total.overhead + total.margin : materials;
    total.tax = share_of(taxed, book.tax_share);
    return total;
}

/// Root of the sum of squares over the kinds of item, about the likely sum.
struct Independent {
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

struct ChargeKind {
    LineKind kind = LineKind::overhead;
    std::string_view key;
    std::string_view words;
    Cents EstimateTotal::* part = nullptr;
};
constexpr std::array<ChargeKind, 5> charges{{
    {LineKind::job_minimum, "minimum_charge", "Minimum-charge adjustment of the job", &EstimateTotal::least},
    {LineKind::overhead, "overhead", "Overhead", &EstimateTotal::overhead},
    {LineKind::margin, "markup", "Markup", &EstimateTotal::margin},
    {LineKind::tax, "tax", "Tax", &EstimateTotal::tax},
    {LineKind::permit_fee, "permit_fee", "Permit fee, at cost", &EstimateTotal::fee},
}};

/// Totals from the lines of work, and the lines of what is charged on top.
void add_totals(Estimate& made, const RateBook& book, Cents fee)
{
    CentSpread lines;
    CentSpread materials;
    std::map<std::string, CentSpread> by_kind;
    std::map<std::string, CentSpread> materials_by_kind;
    for (const auto& line : made.lines) {
        lines += line.cents;
        materials += line.material_cents;
        by_kind[line.item] += line.cents;
        materials_by_kind[line.item] += line.material_cents;
    }
    Independent independent;
    Independent materials_apart;
    for (const auto& [key, sum] : by_kind) {
        independent.add(sum);
        materials_apart.add(materials_by_kind[key]);
    }
    const auto range = independent.about(lines.likely);
    const auto material_range = materials_apart.about(materials.likely);
    made.low = total_of(lines.low, materials.low, book, fee);
    made.likely = total_of(lines.likely, materials.likely, book, fee);
    made.high = total_of(lines.high, materials.high, book, fee);
    made.independent_low = total_of(range.low, material_range.low, book, fee);
    made.independent_high = total_of(range.high, material_range.high, book, fee);
    for (const auto& charge : charges) {
        const CentSpread cents{
            .low = made.low.*charge.part, .likely = made.likely.*charge.part, .high = made.high.*charge.part};
        if (!is_nothing(cents)) {
            made.lines.push_back(sum_line(charge.kind, std::string(charge.words), cents));
        }
    }
}

void add_not_priced(Estimate& made, const Measured& item, NoPrice why)
{
    const NotPriced missing{.item = item.key, .name = name_of(item), .why = why};
    if (std::ranges::find(made.not_priced, missing) == made.not_priced.end()) {
        made.not_priced.push_back(missing);
    }
}

void add_work(Estimate& made, const Measured& item, const RateBook& book)
{
    check(item);
    const auto* rate = rate_for(book, item.key);
    if (!item.known) {
        add_not_priced(made, item, NoPrice::unknown_quantity);
    } else if (item.quantity <= noise || book.included.contains(item.key)) {
        return;
    } else if (rate == nullptr) {
        add_not_priced(made, item, NoPrice::no_rate);
    } else {
        made.lines.push_back(line_of(item, *rate, book));
    }
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

CentSpread& operator+=(CentSpread& a, const CentSpread& b)
{
    a.low += b.low;
    a.likely += b.likely;
    a.high += b.high;
    return a;
}

std::string line_key(const EstimateLine& line)
{
    if (line.kind == LineKind::work) {
        return line.item;
    }
    if (line.kind == LineKind::item_minimum) {
        return "minimum." + line.item;
    }
    return std::string(std::ranges::find(charges, line.kind, &ChargeKind::kind)->key);
}

Estimate estimate(const std::vector<Measured>& measured, const RateBook& book, Cents fee_cents)
{
    Estimate made;
    made.work = measured;
    for (const auto& item : measured) {
        add_work(made, item, book);
    }
    add_hours(made, book);
    add_item_minimums(made.lines, book);
    add_totals(made, book, fee_cents);
    return made;
}

bool has_range(const Estimate& made)
{
    return std::ranges::any_of(made.lines, [](const EstimateLine& line) { return line.cents.low != line.cents.high; });
}

CentSpread total_cents(const Estimate& made)
{
    CentSpread sum;
    for (const auto& line : made.lines) {
        sum += line.cents;
    }
    return sum;
}

CentSpread trench_cents(const Estimate& made, std::string_view trench)
{
    CentSpread sum;
    for (const auto& line : made.lines) {
        if (line.trench == trench) {
            sum += line.cents;
        }
    }
    return sum;
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
