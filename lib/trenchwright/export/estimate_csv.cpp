#include "trenchwright/export/csv.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/cautions.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Exact: cents with a point before the last two figures.
std::string plain_money(Cents cents)
{
    const Cents size = cents < 0 ? -cents : cents;
    return fmt::format("{}{}.{:02}", cents < 0 ? "-" : "", size / 100, size % 100);
}

/// In the unit of the printed stations, for the plan's own units stand in plan.json.
std::string stations(const EstimateLine& line, UnitSystem units)
{
    const double unit_m = units == UnitSystem::us ? ft_in_m : 1;
    std::string text;
    for (const auto& span : line.stations) {
        text += fmt::format("{}{:.2f}{}", text.empty() ? "" : " ", span.from_m / unit_m,
                            span.to_m > span.from_m ? fmt::format("-{:.2f}", span.to_m / unit_m) : "");
    }
    return text;
}

std::string rate(double per_si, RatePer per, UnitSystem units)
{
    return fmt::format("{:.4f}", per_si / quantity_in(1, per, units));
}

std::string line_row(const std::string& outlet, const EstimateLine& line, UnitSystem units)
{
    return csv_row({outlet, "line", line_key(line), line.name, line.trench,
                    fmt::format("{:.4f}", quantity_in(line.quantity, line.per, units)),
                    std::string(unit_of(line.per, units)), rate(line.rate.low, line.per, units),
                    rate(line.rate.likely, line.per, units), rate(line.rate.high, line.per, units),
                    plain_money(line.cents.low), plain_money(line.cents.likely), plain_money(line.cents.high),
                    line.trade_hours.empty() ? "" : fmt::format("{:.2f}", line.hours.likely), stations(line, units),
                    line.rate_date});
}

std::string sum_row(const std::string& outlet, const std::string& what, const std::string& trench,
                    const CentSpread& cents)
{
    return csv_row({outlet, "sum", "", what, trench, "", "", "", "", "", plain_money(cents.low),
                    plain_money(cents.likely), plain_money(cents.high), "", "", ""});
}

std::string outlet_rows(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& made = *outcome.estimate;
    const auto& id = plan.site.outlets[outcome.outlet].id;
    std::string text;
    if (state_of(outcome) == OutletState::stop) {
        text += csv_row({id, "stop", "", stop_sentence(), "", "", "", "", "", "", "", "", "", "", "", ""});
    }
    for (const auto& line : made.lines) {
        text += line_row(id, line, plan.job.rules.units);
    }
    for (const auto* trench : trenches_of(&outcome)) {
        const auto& source = plan.site.sources[trench->source].id;
        text += sum_row(id, "trench", source, trench_cents(made, source));
    }
    text += sum_row(id, "job as a whole", "", trench_cents(made, ""));
    const auto total = total_cents(made);
    text += sum_row(id, "total, all rates low / high", "", total);
    text +=
        sum_row(id, "total, items independent", "",
                {.low = made.independent_low.total(), .likely = total.likely, .high = made.independent_high.total()});
    for (const auto& missing : made.not_priced) {
        text += csv_row({id, "not priced", missing.item, missing.name, "", "", "", "", "", "", "", "", "", "", "", ""});
    }
    return text;
}

} // namespace

std::string estimate_csv(const JobPlan& plan)
{
    const auto& currency = plan.job.rules.currency;
    std::string text =
        csv_row({"outlet", "row", "item", "name", "trench", "quantity", "unit", "rate low", "rate likely", "rate high",
                 "low " + currency, "likely " + currency, "high " + currency, "crew hours",
                 plan.job.rules.units == UnitSystem::us ? "stations ft" : "stations m", "rate date"});
    for (const auto& line : not_supplied_lines(plan)) {
        text += csv_row({"", "not supplied", "", line, "", "", "", "", "", "", "", "", "", "", "", ""});
    }
    for (const auto& outcome : plan.outcomes) {
        if (outcome.estimate) {
            text += outlet_rows(plan, outcome);
        }
    }
    for (const auto& caution : cautions()) {
        text += csv_row({"", "caution", "", caution, "", "", "", "", "", "", "", "", "", "", "", ""});
    }
    return text;
}

} // namespace trenchwright
