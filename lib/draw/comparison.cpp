#include "draw/ink.hpp"
#include "draw/panel.hpp"
#include "draw/plan_view.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <set>

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

struct Totals {
    double length_m = 0;
    double greatest_cut_m = 0;
    double least_spare_m = std::numeric_limits<double>::infinity();
    double hand_m = 0;
    std::size_t crossings = 0;
};

Totals totals(const OutletOutcome& outcome)
{
    Totals sum;
    for (const auto& by_source : outcome.by_source) {
        if (const auto* trench = std::get_if<TrenchPlan>(&by_source)) {
            sum.length_m += trench->quantities.length_m;
            sum.greatest_cut_m = std::max(sum.greatest_cut_m, trench->quantities.greatest_cut_m);
            sum.least_spare_m =
                trench->needs_fall() ? std::min(sum.least_spare_m, trench->spare_fall_m) : sum.least_spare_m;
            sum.hand_m += trench->quantities.hand_length_m;
            sum.crossings += trench->crossings.size();
        }
    }
    return sum;
}

/// "yes" when all kinds of water agree, else "roof yes, sump ask".
std::string permission_text(const Site& site, const Outlet& outlet)
{
    std::set<Water> waters;
    for (const auto& source : site.sources) {
        waters.insert(source.water);
    }
    std::set<std::string_view> words;
    std::string each;
    for (const auto water : waters) {
        const auto word = permission_name(permission_for(outlet, water));
        words.insert(word);
        each += fmt::format("{}{} {}", each.empty() ? "" : ", ", water_name(water), word);
    }
    return words.size() == 1 ? std::string(*words.begin()) : each;
}

std::vector<Column> comparison_columns(const std::string& currency)
{
    return {{"", .035, false}, {"Outlet", .235, false}, {"Permission", .135, false},
            {"Length", .095},  {"Greatest cut", .125},  {"Spare fall", .095},
            {"By hand", .085}, {"Crossings", .085},     {"Price " + currency, .11}};
}

std::vector<std::string> outcome_cells(const JobPlan& plan, std::size_t rank)
{
    const auto& outcome = plan.outcomes[rank];
    const auto& outlet = plan.site.outlets[outcome.outlet];
    const auto units = plan.job.rules.units;
    std::vector<std::string> cells{std::to_string(rank + 1), outlet.name.empty() ? outlet.id : outlet.name,
                                   permission_text(plan.site, outlet)};
    if (outcome.works) {
        const auto sum = totals(outcome);
        for (auto& cell :
             {length_text(sum.length_m, units), depth_text(sum.greatest_cut_m, units),
              std::isfinite(sum.least_spare_m) ? small_text(sum.least_spare_m, units) : "-",
              length_text(sum.hand_m, units), std::to_string(sum.crossings), money_text(outcome.total_cents)}) {
            cells.push_back(cell);
        }
    }
    return cells;
}

/// What stands under the figures: why it ranks there, what it asks for, why it is refused.
std::string reasons_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto& outlet = plan.site.outlets[outcome.outlet];
    std::string text = fmt::format("{} outlet", outlet_kind_words(outlet.kind));
    if (outcome.works) {
        text += outcome.rank_reason.empty() ? "" : "; " + outcome.rank_reason;
        text += outlet.permit.empty() ? "" : "; permit: " + outlet.permit;
        text += outlet.fee_cents > 0 ? fmt::format(", fee {}", money_text(outlet.fee_cents)) : "";
        return text;
    }
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        if (const auto* refusal = std::get_if<Refusal>(&outcome.by_source[i])) {
            text += fmt::format("\n{} refused: {}", plan.site.sources[i].id, refusal->text);
        }
    }
    return text;
}

double draw_outcome(Canvas& canvas, const JobPlan& plan, std::size_t rank, PageBox box)
{
    const auto& outcome = plan.outcomes[rank];
    const auto reasons = reasons_text(plan, outcome);
    const double indent = box.width_pt() * 0.035 + 2;
    const TextStyle small{
        .size_pt = 6, .ink = outcome.works ? palette::soft_ink : palette::hand, .wrap_pt = box.width_pt() - indent - 4};
    const double height = canvas.text_size(reasons, small).height_pt + 12;
    if (rank == 0 && outcome.works) {
        canvas.fill(PageBox{box.left_pt, box.top_pt, box.right_pt, box.top_pt + height}, palette::band);
    }
    const TextStyle style{.size_pt = text_pt,
                          .bold = rank == 0 && outcome.works,
                          .ink = outcome.works ? palette::ink : palette::soft_ink};
    const auto columns = comparison_columns(plan.job.rules.currency);
    auto cells = outcome_cells(plan, rank);
    if (!outcome.works) {
        cells.emplace_back("refused");
    }
    const double next = draw_row(canvas, box, columns, cells, style);
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
    const bool any = !plan.outcomes.empty() && plan.outcomes.front().works;
    double top = draw_heading(canvas, box, any ? "Outlets compared, best first" : "No outlet works");
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

double draw_quantities(Canvas& canvas, const JobPlan& plan, const PageBox& box)
{
    const auto trenches = best_trenches(plan);
    if (trenches.empty()) {
        return box.top_pt;
    }
    const auto& outlet = plan.site.outlets[trenches.front()->outlet];
    double top = draw_heading(canvas, box, "To dig and haul for " + outlet.name);
    const auto units = plan.job.rules.units;
    const std::vector<Column> columns{{"Trench", .21, false}, {"Length", .1},    {"Machine dig", .12},
                                      {"Hand dig", .12},      {"Backfill", .12}, {"Haul, loose", .12},
                                      {"Mean cut", .11},      {"Price", .1}};
    const auto rest = [&] { return PageBox{box.left_pt, top, box.right_pt, box.bottom_pt}; };
    top = draw_row(canvas, rest(), columns, heads(columns), head_style());
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        const auto& q = trenches[i]->quantities;
        const auto name = fmt::format("{}: {}", i + 1, plan.site.sources[trenches[i]->source].id);
        const std::vector<std::string> cells{
            name,
            length_text(q.length_m, units),
            volume_text(q.machine_cut_m3, units),
            volume_text(q.hand_cut_m3, units),
            volume_text(q.backfill_m3, units),
            volume_text(q.haul_loose_m3, units),
            depth_text(q.mean_cut_m, units),
            money_text(trenches[i]->price.total_cents),
        };
        top = draw_row(canvas, rest(), columns, cells, {.size_pt = text_pt});
    }
    return top;
}

} // namespace trenchwright
