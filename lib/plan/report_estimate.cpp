#include "plan/outlet_estimate.hpp"
#include "plan/report.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Lines of one kind of item, all trenches together; their cents are added, never rounded again.
struct Group {
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
        text += text.empty() ? line.source + " " : ", ";
        text += span.to_m > span.from_m
                    ? fmt::format("{} to {}", station_text(span.from_m, units), station_text(span.to_m, units))
                    : station_text(span.from_m, units);
    }
    return text.empty() && !line.source.empty() ? line.source + " all along" : text;
}

std::vector<Group> groups_of(const Estimate& estimate, UnitSystem units)
{
    std::vector<Group> groups;
    for (const auto& line : estimate.lines) {
        auto found = std::ranges::find_if(
            groups, [&](const Group& group) { return group.name == line.name && group.rate == line.rate; });
        if (found == groups.end()) {
            groups.push_back({.name = line.name, .per = line.per, .rate = line.rate, .cents = {}, .stations = ""});
            found = groups.end() - 1;
        }
        found->quantity += line.quantity;
        found->cents.low += line.cents.low;
        found->cents.likely += line.cents.likely;
        found->cents.high += line.cents.high;
        const auto stations = stations_text(line, units);
        found->stations += (found->stations.empty() || stations.empty() ? "" : "; ") + stations;
    }
    return groups;
}

std::string rate_text(double rate, RatePer per, UnitSystem units)
{
    return fmt::format("{:.2f}", rate / quantity_in(1, per, units));
}

std::string lines_text(const Estimate& estimate, UnitSystem units, const std::string& currency)
{
    std::vector<std::vector<std::string>> rows{
        {"Item", "Quantity", "", "Likely rate", "Low", "Likely", "High " + currency}};
    for (const auto& group : groups_of(estimate, units)) {
        rows.push_back({group.name, fmt::format("{:.2f}", quantity_in(group.quantity, group.per, units)),
                        std::string(unit_of(group.per, units)), rate_text(group.rate.likely, group.per, units),
                        money_text(group.cents.low), money_text(group.cents.likely), money_text(group.cents.high)});
    }
    const auto step = [&](const std::string& name, Cents EstimateTotal::* part) {
        if (estimate.high.*part != 0) {
            rows.push_back({name, "", "", "", money_text(estimate.low.*part), money_text(estimate.likely.*part),
                            money_text(estimate.high.*part)});
        }
    };
    step("Lines together", &EstimateTotal::lines);
    step("Up to the least charge", &EstimateTotal::least);
    step("Overhead", &EstimateTotal::overhead);
    step("Margin", &EstimateTotal::margin);
    step("Tax", &EstimateTotal::tax);
    step("Permit fee, at cost", &EstimateTotal::fee);
    const auto total = [&](const std::string& name, const EstimateTotal& low, const EstimateTotal& high) {
        rows.push_back(
            {name, "", "", "", money_text(low.total()), money_text(estimate.likely.total()), money_text(high.total())});
    };
    total("Total, rates erring together", estimate.low, estimate.high);
    total("Total, each kind of item erring by itself", estimate.apart_low, estimate.apart_high);
    return text_table(rows, {1, 3, 4, 5, 6});
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
        if (!group.stations.empty()) {
            text += wrapped(fmt::format("  {}: {}.", group.name, group.stations), page_width, 4) + "\n";
        }
    }
    return text;
}

std::string not_priced_text(const Estimate& estimate)
{
    std::string names;
    for (const auto& name : estimate.not_priced) {
        names += (names.empty() ? "" : "; ") + name;
    }
    return names.empty()
               ? ""
               : wrapped(fmt::format("Not priced, because the rates file has no rate: {}.", names), page_width, 2) +
                     "\n";
}

std::string rates_text(const RateBook& book)
{
    if (book.file.empty()) {
        return "Rates: of the settings, one figure each, so the price has no range. A rates file gives ranges, hours, "
               "overhead and tax. The settings' defaults are sample figures, not a price list.";
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
           lines_text(made, u, plan.job.rules.currency) + "\n" + hours_text(made) + "\n" + not_priced_text(made) +
           where_text(made, u);
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
