#include "trenchwright/draw/cover_page.hpp"

#include "trenchwright/draw/cut_sheet_pages.hpp"
#include "trenchwright/page/column.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/page/print.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/checklist.hpp"
#include "trenchwright/report/drawn_outlet.hpp"
#include "trenchwright/plan/outlet_state.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

constexpr double margin_pt = 32;
constexpr double gap_pt = 16;

/// What the job states of itself; each line with what is missing named.
void job_lines(ColumnText& column, const JobPlan& plan, const OutletOutcome* outcome)
{
    const auto& job = plan.job;
    const auto line = [&](const std::string& name, const std::string& value) {
        column.paragraph(name + ": " + (value.empty() ? "not supplied" : value), {.size_pt = 8.2});
    };
    line("Site address", job.sheet.address);
    line("Legal description", job.sheet.legal.empty() ? parcel_text(job.layers) : job.sheet.legal);
    line("To", job.sheet.authority);
    if (outcome != nullptr) {
        const auto& outlet = plan.site.outlets[outcome->outlet];
        line("Outlet", outlet.name.empty() ? outlet.id : outlet.name);
        if (const auto state = state_of(*outcome); state == OutletState::stop) {
            column.paragraph(std::string(state_sentence(state)) + ". Where and why stands on the sheets.",
                             {.size_pt = 8.2, .bold = true, .ink = palette::stop});
        }
        line("Permit", outlet.permit.empty() ? "none stated in the outlet's record" : outlet.permit);
        line("Permit number", job.sheet.permit_number);
    }
    line("Prepared for", job.prepared_for);
    line("Prepared by", job.prepared_by);
    line("Date", job.date);
    for (const auto& contact : job.sheet.contacts) {
        line(contact.role, fmt::format("{} {} {}", contact.name, contact.address, contact.phone));
    }
}

void lacks_lines(ColumnText& column, const std::vector<ChecklistLine>& lines)
{
    const auto missing = lacking(lines);
    column.heading("Not on the sheets");
    column.paragraph(missing.empty() ? "Nothing that the checklist requires."
                                     : fmt::format("{}.", fmt::join(missing, "; ")),
                     {.size_pt = 8.2, .bold = true, .ink = palette::hand});
    column.paragraph(
        "The checklist is a setting: put in what your reviewer asks for. Whether the sheets are accepted is "
        "for the reviewer to say.",
        {.size_pt = 7.4, .italic = true});
}

void checklist_table(ColumnText& column, const std::vector<ChecklistLine>& lines)
{
    std::vector<std::vector<std::string>> rows{{"", "Required", "On the sheets"}};
    for (const auto& line : lines) {
        if (line.asked) {
            rows.push_back({line.filled ? "\u2611" : "\u2610", std::string(line.item->words),
                            line.text.empty() ? "MISSING" : line.text});
        }
    }
    column.heading("Checklist");
    column.table(rows, {0.06, 0.46, 0.48});
}

} // namespace

void draw_cover(Canvas& canvas, const JobPlan& plan, const DrawnThings& shown)
{
    const auto* outcome = drawn_outlet(plan);
    const auto lines = checklist(plan, outcome, shown);
    const auto inner = grown(box_at({}, cut_sheet_paper(plan.job.rules)), -margin_pt);
    const double width = (inner.width_pt() - gap_pt) / 2;
    canvas.text({inner.left_pt, inner.top_pt}, plan.job.name, {.size_pt = 16, .bold = true});
    const double top = canvas
                           .text({inner.left_pt, inner.top_pt + 22}, "Discharge trench: cover page and checklist",
                                 {.size_pt = 10, .ink = palette::soft_ink})
                           .bottom_pt;
    ColumnText left(canvas, width, 7.4);
    job_lines(left, plan, outcome);
    lacks_lines(left, lines);
    left.heading("Cautions");
    for (const auto& caution : cautions()) {
        left.paragraph(caution, {.size_pt = 7});
    }
    ColumnText right(canvas, width, 7.4);
    checklist_table(right, lines);
    draw_column(canvas, left.take(), 0, {inner.left_pt, top + 8, inner.left_pt + width, inner.bottom_pt});
    draw_column(canvas, right.take(), 0, {inner.right_pt - width, top + 8, inner.right_pt, inner.bottom_pt});
}

std::string cover_pdf(const JobPlan& plan, const DrawnThings& shown)
{
    Canvas canvas(cut_sheet_paper(plan.job.rules));
    draw_cover(canvas, plan, shown);
    return pdf_of(canvas, plan.job.name + ": cover page");
}

} // namespace trenchwright
