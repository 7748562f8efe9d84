#include "trenchwright/export/json/json_parts.hpp"

namespace trenchwright {

namespace {

JsonObject cents_json(const CentSpread& cents)
{
    return {{"low_cents", cents.low}, {"likely_cents", cents.likely}, {"high_cents", cents.high}};
}

JsonValue hours_json(const Spread& hours)
{
    return JsonObject{{"low_h", hours.low}, {"likely_h", hours.likely}, {"high_h", hours.high}};
}

JsonValue days_json(const Spread& days)
{
    return JsonObject{{"low", days.low}, {"likely", days.likely}, {"high", days.high}};
}

JsonObject total_json(const EstimateTotal& total)
{
    return {{"lines_cents", total.lines},   {"minimum_cents", total.least}, {"overhead_cents", total.overhead},
            {"markup_cents", total.margin}, {"tax_cents", total.tax},       {"fee_cents", total.fee},
            {"total_cents", total.total()}};
}

std::string_view no_price_word(NoPrice why)
{
    return why == NoPrice::no_rate ? "no_rate" : "unknown_quantity";
}

JsonValue line_json(const EstimateLine& line)
{
    return JsonObject{{"item", line_key(line)},
                      {"name", line.name},
                      {"trench", line.trench.empty() ? JsonValue() : JsonValue(line.trench)},
                      {"quantity", line.quantity},
                      {"unit", unit_of(line.per, UnitSystem::metric)},
                      {"rate_money_per_unit",
                       JsonObject{{"low", line.rate.low}, {"likely", line.rate.likely}, {"high", line.rate.high}}},
                      {"price", cents_json(line.cents)},
                      {"crew_hours", line.trade_hours.empty() ? JsonValue() : hours_json(line.hours)},
                      {"stations", json_list(line.stations,
                                             [](const Interval& span) -> JsonValue {
                                                 return JsonObject{{"from_m", span.from_m}, {"to_m", span.to_m}};
                                             })},
                      {"rate_date", line.rate_date}};
}

} // namespace

JsonValue json_price(const std::optional<CentSpread>& price)
{
    return price ? JsonValue(JsonObject{
                       {"low_cents", price->low}, {"total_cents", price->likely}, {"high_cents", price->high}})
                 : JsonValue();
}

JsonValue json_estimate(const std::optional<Estimate>& made)
{
    if (!made) {
        return {};
    }
    const bool hours = !made->trade_hours.empty();
    return JsonObject{
        {"lines", json_list(made->lines, line_json)},
        {"low", total_json(made->low)},
        {"likely", total_json(made->likely)},
        {"high", total_json(made->high)},
        {"independent_low", total_json(made->independent_low)},
        {"independent_high", total_json(made->independent_high)},
        {"trade_hours", json_list(made->trade_hours,
                                  [](const auto& of) -> JsonValue {
                                      return JsonObject{{"trade", of.first}, {"hours", hours_json(of.second)}};
                                  })},
        {"crew_hours", hours ? hours_json(made->crew_hours) : JsonValue()},
        {"days", hours ? days_json(made->days) : JsonValue()},
        {"not_priced", json_list(made->not_priced, [](const NotPriced& missing) -> JsonValue {
             return JsonObject{{"item", missing.item}, {"name", missing.name}, {"why", no_price_word(missing.why)}};
         })}};
}

} // namespace trenchwright
