#include "plan/outlet_estimate.hpp"
#include "plan/report.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

namespace trenchwright {

namespace {

/// Lines of one kind of item, all trenches together; their cents are added, never rounded again.
struct Group {
    LineKind kind = LineKind::work;
    std::string name;
    RatePer per = RatePer::each;
    double quantity = 0;
    Spread rate;
    CentSpread cents;
    std::string stations;
};

std::string stations_text(const EstimateLine& line, UnitSystem units)
{
    std::string text;
    for (const auto& span : line.stations) {
        text += text.empty() ? line.trench + " " : ", ";
        text += span.to_m > span.from_m
                    ? fmt::format("{} to {}", station_text(span.from_m, units), station_text(span.to_m, units))
                    : station_text(span.from_m, units);
    }
    return text.empty() && !line.trench.empty() ? line.trench + " all along" : text;
}

/// Of one trench, or of all lines where none is named.
std::vector<Group> groups_of(const Estimate& estimate, UnitSystem units, const std::optional<std::string>& trench = {})
{
    std::vector<Group> groups;
    for (const auto& line : estimate.lines) {
        if (trench && line.trench != *trench) {
            continue;
        }
        auto found = std::ranges::find_if(
            groups, [&](const Group& group) { return group.name == line.name && group.rate == line.rate; });
        if (found == groups.end()) {
            groups.push_back({.kind = line.kind,
                              .name = line.name,
                              .per = line.per,
                              .rate = line.rate,
                              .cents = {},
                              .stations = ""});
            found = groups.end() - 1;
        }
        found->quantity += line.quantity;
        found->cents += line.cents;
        const auto stations = stations_text(line, units);
        found->stations += (found->stations.empty() || stations.empty() ? "" : "; ") + stations;
    }
    return groups;
}

std::string rate_text(double rate, RatePer per, UnitSystem units)
{
    return fmt::format("{:.2f}", rate / quantity_in(1, per, units));
}

using Rows = std::vector<std::vector<std::string>>;

Rows price_rows(const std::string& currency)
{
    return {{"Item", "Quantity", "", "Likely rate", "Low", "Likely", "High " + currency}};
}

std::string price_table(const Rows& rows)
{
    return text_table(rows, {1, 3, 4, 5, 6});
}

void add_sum(Rows& rows, const std::string& name, const CentSpread& cents)
{
    rows.push_back({name, "", "", "", money_text(cents.low), money_text(cents.likely), money_text(cents.high)});
}

/// What follows from all lines has neither quantity nor rate.
bool has_rate(const Group& group)
{
    return group.kind == LineKind::work;
}

void add_group(Rows& rows, const Group& group, UnitSystem units)
{
    if (!has_rate(group)) {
        add_sum(rows, group.name, group.cents);
        return;
    }
    rows.push_back({group.name, fmt::format("{:.2f}", quantity_in(group.quantity, group.per, units)),
                    std::string(unit_of(group.per, units)), rate_text(group.rate.likely, group.per, units),
                    money_text(group.cents.low), money_text(group.cents.likely), money_text(group.cents.high)});
}

bool is_of_work(LineKind kind)
{
    return kind == LineKind::work || kind == LineKind::item_minimum;
}

std::string lines_text(const Estimate& estimate, UnitSystem units, const std::string& currency)
{
    auto rows = price_rows(currency);
    const auto groups = groups_of(estimate, units);
    for (const auto& group : groups) {
        if (is_of_work(group.kind)) {
            add_group(rows, group, units);
        }
    }
    add_sum(rows, "Work together", {estimate.low.lines, estimate.likely.lines, estimate.high.lines});
    for (const auto& group : groups) {
        if (!is_of_work(group.kind)) {
            add_group(rows, group, units);
        }
    }
    const Cents likely = estimate.likely.total();
    add_sum(rows, "Total, rates erring together", {estimate.low.total(), likely, estimate.high.total()});
    add_sum(rows, "Total, each kind of item erring by itself",
            {estimate.apart_low.total(), likely, estimate.apart_high.total()});
    return price_table(rows);
}

/// The same total by trench.
std::string shares_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& made = *outcome.estimate;
    Rows rows{{"Part of the price", "Low", "Likely", "High " + plan.job.rules.currency}};
    const auto add = [&](const std::string& name, const CentSpread& cents) {
        rows.push_back({name, money_text(cents.low), money_text(cents.likely), money_text(cents.high)});
    };
    for (const auto* trench : trenches_of(&outcome)) {
        const auto& id = plan.site.sources[trench->source].id;
        add("Trench of " + id, trench_cents(made, id));
    }
    add(std::string(job_lines_name), trench_cents(made, ""));
    add("Total", total_cents(made));
    return text_table(rows, {1, 2, 3});
}

std::string hours_text(const Estimate& estimate)
{
    if (estimate.trade_hours.empty()) {
        return "Hours: not stated by these rates.\n";
    }
    std::vector<std::vector<std::string>> rows{{"Hours", "Low", "Likely", "High"}};
    const auto row = [&](const std::string& name, const Spread& hours) {
        rows.push_back({name, fmt::format("{:.1f}", hours.low), fmt::format("{:.1f}", hours.likely),
                        fmt::format("{:.1f}", hours.high)});
    };
    for (const auto& [trade, hours] : estimate.trade_hours) {
        row(trade, hours);
    }
    row("Crew, one task after the other", estimate.crew_hours);
    row("Days", estimate.days);
    return text_table(rows, {1, 2, 3});
}

std::string where_text(const Estimate& estimate, UnitSystem units)
{
    std::string text = "Where the quantities come from\n";
    for (const auto& group : groups_of(estimate, units)) {
        if (!group.stations.empty() && has_rate(group)) {
            text += wrapped(fmt::format("  {}: {}.", group.name, group.stations), page_width, 4) + "\n";
        }
    }
    return text;
}

std::string names_without(const Estimate& estimate, NoPrice why)
{
    std::string names;
    for (const auto& missing : estimate.not_priced) {
        names += missing.why == why ? (names.empty() ? "" : "; ") + missing.name : "";
    }
    return names;
}

std::string not_priced_text(const Estimate& estimate)
{
    std::string text;
    if (const auto names = names_without(estimate, NoPrice::no_rate); !names.empty()) {
        text += wrapped(fmt::format("Not priced, because there is no rate for it: {}.", names), page_width, 2) + "\n";
    }
    if (const auto names = names_without(estimate, NoPrice::unknown_quantity); !names.empty()) {
        text += wrapped(fmt::format("Not priced, because nobody knows how many: {}. No marks are supplied.", names),
                        page_width, 2) +
                "\n";
    }
    return text;
}

std::string included_text(const RateBook& book)
{
    std::string text;
    for (const auto& [key, whose] : book.included) {
        text += fmt::format("; {} is in {} rate", rate_kind(key)->words, whose);
    }
    return text;
}

std::string rates_text(const RateBook& book)
{
    if (book.file.empty()) {
        return fmt::format("Rates: of the settings, one figure each, so the price has no range{}. A rates file gives "
                           "ranges, hours, overhead and tax. The settings' defaults are sample figures, not a price "
                           "list.",
                           included_text(book));
    }
    return fmt::format(
        "Rates: {}{}{}. Soil: {}, hours times {:.3g}. Overhead {:.4g} % of the lines, margin {:.4g} % of lines and "
        "overhead, tax {:.4g} % of {}.",
        book.file, book.firm.empty() ? "" : ", " + book.firm,
        book.sample ? " (sample figures, not a price list: put your own)" : "",
        book.soil.empty() ? "not stated" : book.soil, book.soil_hours_factor, book.overhead_share * 100,
        book.margin_share * 100, book.tax_share * 100, book.tax_on_all ? "all but the fee" : "materials and hire");
}

/// Which roofs and pits the drain serves, and for which storm.
std::string served_text(const JobPlan& plan)
{
    std::string served;
    for (const auto& source : plan.site.sources) {
        const auto roof = source.roof_area_m2 > 0
                              ? ", " + area_text(source.roof_area_m2, plan.job.rules.units) + " of roof"
                          : source.kind == SourceKind::pump ? ", pump"
                                                            : ", its roof not stated";
        served += fmt::format("{}{}{}", served.empty() ? "" : "; ", source.id, roof);
    }
    const double rain = plan.job.rules.water.design_rain_mps;
    return fmt::format("Served: {}. Storm: {}. Not served: any other roof, downspout or pump, paving, yard and "
                       "neighbours' water.",
                       served,
                       rain > 0 ? rain_text(rain, plan.job.rules.units) + " on the roofs"
                                : "none stated, so no flow is promised");
}

} // namespace

std::string estimate_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    if (!outcome.estimate) {
        return "";
    }
    const auto& made = *outcome.estimate;
    const UnitSystem u = plan.job.rules.units;
    return "\n" + heading("Estimate: " + plan.site.outlets[outcome.outlet].name) +
           lines_text(made, u, plan.job.rules.currency) + "\n" + shares_text(plan, outcome) + "\n" + hours_text(made) +
           "\n" + not_priced_text(made) + where_text(made, u);
}

std::string trench_price_text(const JobPlan& plan, const TrenchPlan& trench)
{
    const auto price = trench_price(plan, trench);
    if (!price) {
        return "No price: this outlet does not work for every source.\n";
    }
    const UnitSystem u = plan.job.rules.units;
    auto rows = price_rows(plan.job.rules.currency);
    for (const auto& group : groups_of(*outcome_of(plan, trench)->estimate, u, plan.site.sources[trench.source].id)) {
        add_group(rows, group, u);
    }
    add_sum(rows, "This trench", *price);
    return price_table(rows) +
           wrapped("What concerns the whole job, such as the outlet's end piece, mobilization, "
                   "overhead and tax, is in the outlet's estimate.",
                   page_width, 0) +
           "\n";
}

std::string assumptions_text(const JobPlan& plan)
{
    std::string text = "\n" + heading("What every price takes for granted");
    for (const auto& line : {
             rates_text(plan.job.rates),
             std::string("Each line is quantity times rate, rounded to the cent once; the sums are exact."),
             served_text(plan),
             std::string("Priced are the marks and trees supplied. A line nobody marked is not in any price."),
             std::string("Not in any price: rock, water in the trench, dirty soil, lines moved or mended, work by the "
                         "owners of utilities, anything not listed as a line."),
         }) {
        text += wrapped("- " + line, page_width, 2) + "\n";
    }
    return text;
}

} // namespace trenchwright
