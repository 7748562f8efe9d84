#include "trenchwright/draw/panel.hpp"
#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/drawn_outlet.hpp"
#include "trenchwright/report/first_table.hpp"
#include "trenchwright/report/refusal_text.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double text_pt = 7.4;

struct Column {
    std::string head;
    double share_ratio = 0; ///< of the table's width
    bool right = true;      ///< figures stand to the right
};

/// Draws one row of cells, each shrunk until it fits; returns its lower end.
double draw_row(Canvas& canvas, const PageBox& box, const std::vector<Column>& columns,
                const std::vector<std::string>& cells, const TextStyle& style)
{
    double left = box.left_pt;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const double width = columns[i].share_ratio * box.width_pt();
        auto fitted = style;
        while (canvas.text_size(cells[i], fitted).width_pt > width - 4 && fitted.size_pt > 4.6) {
            fitted.size_pt -= 0.1;
        }
        const auto size = canvas.text_size(cells[i], fitted);
        const double x = columns[i].right ? left + width - 2 - size.width_pt : left + 2;
        canvas.text({x, box.top_pt + 1 + (style.size_pt - fitted.size_pt) / 2}, cells[i], fitted);
        left += width;
    }
    return box.top_pt + canvas.text_size("Ag", style).height_pt + 2;
}

std::vector<Column> comparison_columns(const std::string& currency)
{
    return {{"", .03, false},    {"Outlet", .215, false},  {"Permission", .12, false}, {"Chance it drains", .1},
            {"Trench", .09},     {"Deepest cut", .1},      {"Extra fall", .085},       {"Hand dig", .085},
            {"Crossings", .075}, {"Price " + currency, .1}};
}

std::vector<std::string> outcome_cells(const OutletOutcome& outcome, const OutletCells& of)
{
    if (!outcome.works) {
        return {of.number, of.name, of.permission, of.result};
    }
    return {of.number,      of.name,       of.permission, of.chance,    of.length,
            of.deepest_cut, of.extra_fall, of.hand_dig,   of.crossings, of.price};
}

/// From the low to the high price, where the rates are a range.
std::string range_text(const OutletOutcome& outcome)
{
    const auto price = outcome.estimate ? total_cents(*outcome.estimate) : CentSpread{};
    return price.low == price.high ? ""
                                   : fmt::format("; price {} to {} if all rates err together", money_text(price.low),
                                                 money_text(price.high));
}

/// The first few changes with which a refused outlet would work; the report has them all.
std::string cures_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    constexpr std::size_t most = 3;
    std::string text;
    for (std::size_t i = 0; i < std::min(most, outcome.cures.size()); ++i) {
        text += fmt::format("{}{}", i == 0 ? "\nWould work, if whoever decides agrees, with: " : "; or ",
                            cure_line(outcome.cures[i], refused_sources(outcome), plan.job.rules.currency));
    }
    return text;
}

/// What stands under the figures: whether the pipe carries the water, why the outlet ranks there, what it asks for, why
/// it is refused.
std::string reasons_text(const JobPlan& plan, const OutletOutcome& outcome, const OutletCells& cells)
{
    const auto& outlet = plan.site.outlets[outcome.outlet];
    const auto state = state_of(outcome);
    std::string text =
        state == OutletState::stop ? fmt::format("{} ({})\n", state_sentence(state), stops_of(outcome)) : "";
    text += fmt::format("{} outlet", outlet_kind_words(outlet.kind));
    if (outcome.works) {
        text += "; pipe: " + cells.pipe;
        text += outcome.rank_reason.empty() ? "" : "; " + outcome.rank_reason;
        text += outlet.permit.empty() ? "" : "; permit: " + outlet.permit;
        text += outlet.fee_cents > 0 ? fmt::format(", fee {}", money_text(outlet.fee_cents)) : "";
        text += range_text(outcome);
        return text;
    }
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        if (const auto* refusal = std::get_if<Refusal>(&outcome.by_source[i])) {
            text += fmt::format("\n{} not workable: {}", plan.site.sources[i].id, refusal->text);
        }
    }
    return text + cures_text(plan, outcome);
}

double draw_outcome(Canvas& canvas, const JobPlan& plan, std::size_t rank, PageBox box)
{
    const auto& outcome = plan.outcomes[rank];
    const bool works = state_of(outcome) == OutletState::works;
    const auto cells = outlet_cells(plan, rank);
    const auto reasons = reasons_text(plan, outcome, cells);
    const double indent = box.width_pt() * 0.035 + 2;
    const TextStyle small{
        .size_pt = 6, .ink = works ? palette::soft_ink : palette::hand, .wrap_pt = box.width_pt() - indent - 4};
    const double height = canvas.text_size(reasons, small).height_pt + 12;
    if (&outcome == drawn_outlet(plan) || &outcome == drawn_refusal(plan)) {
        canvas.fill(PageBox{box.left_pt, box.top_pt, box.right_pt, box.top_pt + height}, palette::band);
    }
    const TextStyle style{
        .size_pt = text_pt, .bold = rank == 0 && works, .ink = outcome.works ? palette::ink : palette::soft_ink};
    const auto columns = comparison_columns(plan.job.rules.currency);
    const double next = draw_row(canvas, box, columns, outcome_cells(outcome, cells), style);
    canvas.text({box.left_pt + indent, next - 0.5}, reasons, small);
    canvas.line({{box.left_pt, box.top_pt + height}, {box.right_pt, box.top_pt + height}},
                {.ink = palette::rule, .width_pt = 0.4});
    return box.top_pt + height + 1;
}

std::vector<std::string> heads(const std::vector<Column>& columns)
{
    std::vector<std::string> texts;
    for (const auto& column : columns) {
        texts.push_back(column.head);
    }
    return texts;
}

const TextStyle& head_style()
{
    static const TextStyle style{.size_pt = 6.6, .bold = true, .ink = palette::soft_ink};
    return style;
}

} // namespace

double draw_comparison(Canvas& canvas, const JobPlan& plan, const PageBox& box)
{
    const bool any = !plan.outcomes.empty() && state_of(plan.outcomes.front()) == OutletState::works;
    double top = draw_heading(canvas, box, any ? "Outlets compared, best first" : "No workable outlet");
    const auto rest = [&] { return PageBox{box.left_pt, top, box.right_pt, box.bottom_pt}; };
    const auto columns = comparison_columns(plan.job.rules.currency);
    top = draw_row(canvas, rest(), columns, heads(columns), head_style());
    for (std::size_t rank = 0; rank < plan.outcomes.size(); ++rank) {
        if (top > box.bottom_pt - 40) {
            const auto text = fmt::format("{} more outlets: see report.txt", plan.outcomes.size() - rank);
            return canvas.text({box.left_pt + 2, top}, text, {.size_pt = text_pt}).bottom_pt;
        }
        top = draw_outcome(canvas, plan, rank, rest());
    }
    return top;
}

std::vector<std::vector<std::string>> quantity_rows(const JobPlan& plan)
{
    const auto units = plan.job.rules.units;
    std::vector<std::vector<std::string>> rows;
    const auto trenches = shown_trenches(plan);
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        const auto& q = trenches[i]->measured.quantities;
        const auto dig = hand_dig(plan.site, *trenches[i]);
        const auto price = trench_price(plan, *trenches[i]);
        rows.push_back({fmt::format("{}: {}", i + 1, plan.site.sources[trenches[i]->source].id),
                        length_text(q.length_m, units), machine_volume_text(dig, units), hand_volume_text(dig, units),
                        volume_text(q.backfill_m3, units), volume_text(q.haul_loose_m3, units),
                        depth_text(q.mean_cut_m, units), price ? money_text(price->likely) : ""});
    }
    const auto* drawn = trenches.empty() ? nullptr : outcome_of(plan, *trenches.front());
    if (drawn != nullptr && drawn->estimate) {
        const auto& made = *drawn->estimate;
        const auto sum = [&](std::string name, Cents cents) {
            rows.push_back({std::move(name), "", "", "", "", "", "", money_text(cents)});
        };
        sum(std::string(job_lines_name), trench_cents(made, "").likely);
        sum("Total", total_cents(made).likely);
    }
    return rows;
}

double draw_quantities(Canvas& canvas, const JobPlan& plan, const PageBox& box)
{
    const auto rows = quantity_rows(plan);
    if (rows.empty()) {
        return box.top_pt;
    }
    const auto& outlet = plan.site.outlets[shown_trenches(plan).front()->outlet];
    double top = draw_heading(canvas, box, "To dig and haul for " + outlet.name);
    const std::vector<Column> columns{{"Trench", .21, false}, {"Length", .1},    {"Machine dig", .12},
                                      {"Hand dig", .12},      {"Backfill", .12}, {"Haul-off, loose", .12},
                                      {"Mean cut", .11},      {"Price", .1}};
    const auto rest = [&] { return PageBox{box.left_pt, top, box.right_pt, box.bottom_pt}; };
    top = draw_row(canvas, rest(), columns, heads(columns), head_style());
    for (const auto& row : rows) {
        top = draw_row(canvas, rest(), columns, row, {.size_pt = text_pt});
    }
    return top;
}

} // namespace trenchwright
