#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <optional>
#include <utility>
#include <vector>

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

/// A table of which the last columns are money: low, likely and high, or one figure where the rates have no range.
class MoneyTable {
  public:
    /// @param right  the heads whose columns are set to the right, beside the money
    MoneyTable(const Estimate& made, const std::string& currency, std::vector<std::string> heads,
               std::vector<std::size_t> right)
        : range_(has_range(made)), right_(std::move(right)), before_(heads.size())
    {
        for (const auto& head :
             range_ ? std::vector<std::string>{"Low", "Likely", "High"} : std::vector<std::string>{"Price"}) {
            right_.push_back(heads.size());
            heads.push_back(head);
        }
        heads.back() += " " + currency;
        rows_.push_back(std::move(heads));
    }
    /// @param cells  before the money; what is left out is empty
    void add(std::vector<std::string> cells, const CentSpread& cents)
    {
        cells.resize(before_);
        for (const Cents figure :
             range_ ? std::vector{cents.low, cents.likely, cents.high} : std::vector{cents.likely}) {
            cells.push_back(money_text(figure));
        }
        rows_.push_back(std::move(cells));
    }
    [[nodiscard]] std::string text() const { return text_table(rows_, right_); }

  private:
    bool range_;
    std::vector<std::size_t> right_;
    std::size_t before_;
    std::vector<std::vector<std::string>> rows_;
};

MoneyTable price_table(const Estimate& made, const std::string& currency)
{
    return {made, currency, {"Item", "Quantity", "", has_range(made) ? "Likely rate" : "Rate"}, {1, 3}};
}

/// What follows from all lines has neither quantity nor rate.
bool has_rate(const Group& group)
{
    return group.kind == LineKind::work;
}

void add_group(MoneyTable& table, const Group& group, UnitSystem units)
{
    if (!has_rate(group)) {
        table.add({group.name}, group.cents);
        return;
    }
    table.add({group.name, fmt::format("{:.2f}", quantity_in(group.quantity, group.per, units)),
               std::string(unit_of(group.per, units)), rate_text(group.rate.likely, group.per, units)},
              group.cents);
}

bool is_of_work(LineKind kind)
{
    return kind == LineKind::work || kind == LineKind::item_minimum;
}

void add_totals(MoneyTable& table, const Estimate& made)
{
    const auto total = total_cents(made);
    if (!has_range(made)) {
        table.add({"Total"}, total);
        return;
    }
    table.add({"Total, all rates low / high"}, total);
    table.add({"Total, items independent"},
              {.low = made.independent_low.total(), .likely = total.likely, .high = made.independent_high.total()});
}

std::string lines_text(const Estimate& made, UnitSystem units, const std::string& currency)
{
    auto table = price_table(made, currency);
    const auto groups = groups_of(made, units);
    for (const auto& group : groups) {
        if (is_of_work(group.kind)) {
            add_group(table, group, units);
        }
    }
    table.add({"Subtotal, work"}, {.low = made.low.lines, .likely = made.likely.lines, .high = made.high.lines});
    for (const auto& group : groups) {
        if (!is_of_work(group.kind)) {
            add_group(table, group, units);
        }
    }
    add_totals(table, made);
    return table.text();
}

/// The same total by trench.
std::string shares_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& made = *outcome.estimate;
    MoneyTable table(made, plan.job.rules.currency, {"Part of the price"}, {});
    for (const auto* trench : trenches_of(&outcome)) {
        const auto& id = plan.site.sources[trench->source].id;
        table.add({"Trench of " + id}, trench_cents(made, id));
    }
    table.add({std::string(job_lines_name)}, trench_cents(made, ""));
    table.add({"Total"}, total_cents(made));
    return table.text();
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
    row("Crew, tasks in sequence", estimate.crew_hours);
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
                       "neighbors' water.",
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
    const bool stop = state_of(outcome) == OutletState::stop;
    return "\n" + heading("Estimate: " + plan.site.outlets[outcome.outlet].name) +
           (stop ? wrapped(stop_sentence(), page_width, 2) + "\n\n" : "") +
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
    const auto& made = *outcome_of(plan, trench)->estimate;
    auto table = price_table(made, plan.job.rules.currency);
    for (const auto& group : groups_of(made, u, plan.site.sources[trench.source].id)) {
        add_group(table, group, u);
    }
    table.add({"This trench"}, *price);
    return table.text() +
           wrapped("What concerns the whole job, such as the outlet's end piece, mobilization, "
                   "overhead and tax, is in the outlet's estimate.",
                   page_width, 0) +
           "\n";
}

std::string assumptions_text(const JobPlan& plan)
{
    std::string text = "\n" + heading("Pricing basis and exclusions");
    for (const auto& line : {
             rates_text(plan.job.rates),
             std::string("Each line is quantity times rate, rounded to the cent once; the sums are exact."),
             served_text(plan),
             std::string("Priced are the marks and trees supplied. A line nobody marked is not in any price."),
             std::string("Excluded: rock, dewatering, contaminated soil, utility relocation or repair, work by the "
                         "owners of utilities, anything not listed as a line."),
         }) {
        text += wrapped("- " + line, page_width, 2) + "\n";
    }
    return text;
}

} // namespace trenchwright
