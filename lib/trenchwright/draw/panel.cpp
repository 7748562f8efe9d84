#include "trenchwright/draw/panel.hpp"

#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <functional>

namespace trenchwright {

namespace {

constexpr double column_gap_pt = 14;
constexpr double paragraph_gap_pt = 2;
constexpr double smallest_text_pt = 4.6;
constexpr double min_finding_pt = 5.8;
constexpr double note_pt = 9;

struct Paragraph {
    std::string text;
    TextStyle style;
};

std::vector<Paragraph> caution_paragraphs(double size_pt)
{
    std::vector<Paragraph> all;
    for (const auto& caution : cautions()) {
        all.push_back({caution, {.size_pt = size_pt}});
    }
    return all;
}

std::string severity_text(Severity severity)
{
    return severity == Severity::note ? "" : fmt::format("{}: ", display_name(severity));
}

/// Findings of the trenches shown and of the site, the gravest first; of two alike in that the trench's, for that is
/// what is dug, and the list may be longer than the room.
std::vector<Paragraph> finding_paragraphs(const JobPlan& plan)
{
    std::vector<Finding> findings;
    const auto trenches = shown_trenches(plan);
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        for (Finding finding : trenches[i]->findings) {
            finding.text = fmt::format("Trench {}: {}", i + 1, finding.text);
            findings.push_back(std::move(finding));
        }
    }
    findings.insert(findings.end(), plan.findings.begin(), plan.findings.end());
    std::stable_sort(findings.begin(), findings.end(),
                     [](const Finding& a, const Finding& b) { return a.severity > b.severity; });
    const auto at_the_top = not_supplied_lines(plan);
    std::vector<Paragraph> all;
    for (const auto& finding : findings) {
        const auto text = severity_text(finding.severity) + finding.text;
        // Warnings of two trenches may read alike and are two; a note alike is one.
        const bool told = finding.severity == Severity::note &&
                          std::any_of(all.begin(), all.end(), [&](const auto& one) { return one.text == text; });
        if (!told && std::ranges::find(at_the_top, finding.text) == at_the_top.end()) {
            all.push_back({text, {.size_pt = 6.8}});
        }
    }
    return all;
}

double height_of(const Canvas& canvas, std::vector<Paragraph> paragraphs, double width_pt)
{
    double height = 0;
    for (auto& paragraph : paragraphs) {
        paragraph.style.wrap_pt = width_pt;
        height += canvas.text_size(paragraph.text, paragraph.style).height_pt + paragraph_gap_pt;
    }
    return height;
}

double draw_paragraph(Canvas& canvas, const PagePoint& at, Paragraph paragraph, double width_pt)
{
    paragraph.style.wrap_pt = width_pt;
    return canvas.text(at, paragraph.text, paragraph.style).bottom_pt + paragraph_gap_pt;
}

/// The largest of most, most - 0.1, ... at which a text fits; the first not above least where none does. Smaller
/// letters are taken never to need more room.
double fitting_size_pt(double max_pt, double min_pt, const std::function<bool(double size_pt)>& fits)
{
    std::vector<double> sizes_pt{max_pt};
    while (sizes_pt.back() > min_pt) {
        sizes_pt.push_back(sizes_pt.back() - 0.1);
    }
    if (sizes_pt.size() == 1 || fits(max_pt)) {
        return max_pt;
    }
    return *std::partition_point(sizes_pt.begin() + 1, sizes_pt.end() - 1,
                                 [&](double size_pt) { return !fits(size_pt); });
}

/// Always in full: the letters shrink before a word is lost.
double draw_cautions(Canvas& canvas, const PageBox& box)
{
    const double top = draw_heading(canvas, box, "Cautions");
    const double size_pt = fitting_size_pt(7.2, smallest_text_pt, [&](double tried_pt) {
        return height_of(canvas, caution_paragraphs(tried_pt), box.width_pt()) <= box.bottom_pt - top;
    });
    double next = top;
    for (const auto& paragraph : caution_paragraphs(size_pt)) {
        next = draw_paragraph(canvas, {box.left_pt, next}, paragraph, box.width_pt());
    }
    return next;
}

/// Draws what fits in a box from one paragraph on; returns the first that did not.
std::size_t draw_while_room(Canvas& canvas, const std::vector<Paragraph>& all, std::size_t from, const PageBox& box)
{
    double top = box.top_pt;
    for (; from < all.size(); ++from) {
        if (top + height_of(canvas, {all[from]}, box.width_pt()) > box.bottom_pt) {
            break;
        }
        top = draw_paragraph(canvas, {box.left_pt, top}, all[from], box.width_pt());
    }
    return from;
}

/// The list starts below the cautions and goes on below the legend; the letters shrink before a line is left out.
void draw_findings(Canvas& canvas, const JobPlan& plan, PageBox box, PageBox more)
{
    auto paragraphs = finding_paragraphs(plan);
    if (paragraphs.empty() || box.height_pt() < 34) {
        return;
    }
    box.top_pt = draw_heading(canvas, box, "To check");
    const double room = box.height_pt() + std::max(more.height_pt() - 12, 0.0);
    const auto resize = [&](double size_pt) {
        for (auto& paragraph : paragraphs) {
            paragraph.style.size_pt = size_pt;
        }
    };
    const double size_pt = fitting_size_pt(paragraphs.front().style.size_pt, min_finding_pt, [&](double tried_pt) {
        resize(tried_pt);
        return height_of(canvas, paragraphs, box.width_pt()) <= room - 30;
    });
    resize(size_pt);
    const bool goes_on = height_of(canvas, paragraphs, box.width_pt()) > box.height_pt();
    const bool two_boxes = goes_on && more.height_pt() > 24;
    auto& last = two_boxes ? more : box;
    last.bottom_pt -= goes_on ? note_pt : 0;
    std::size_t next = draw_while_room(canvas, paragraphs, 0, box);
    const TextStyle note{.size_pt = size_pt, .italic = true};
    if (two_boxes) {
        more.top_pt = canvas.text({more.left_pt, more.top_pt}, "To check, continued:", note).bottom_pt + 2;
        next = draw_while_room(canvas, paragraphs, next, more);
    }
    if (next < paragraphs.size()) {
        const auto text = fmt::format("To check: {} more in report.txt", paragraphs.size() - next);
        canvas.text({last.left_pt, last.bottom_pt}, text, note);
    }
}

/// Above all figures; here, so that the plan keeps its scale. @return its lower end
double draw_not_supplied(Canvas& canvas, const JobPlan& plan, const PageBox& box)
{
    double top = box.top_pt - 4;
    for (const auto& line : not_supplied_lines(plan)) {
        top = draw_paragraph(canvas, {box.left_pt, top}, {line, {.size_pt = 6.8, .bold = true, .ink = palette::hand}},
                             box.width_pt());
    }
    return top + 4;
}

} // namespace

double draw_heading(Canvas& canvas, const PageBox& box, const std::string& text)
{
    const auto drawn =
        canvas.text({box.left_pt, box.top_pt}, text, {.size_pt = 8.4, .bold = true, .ink = palette::heading});
    canvas.line({{box.left_pt, drawn.bottom_pt + 1}, {box.right_pt, drawn.bottom_pt + 1}},
                {.ink = palette::heading, .width_pt = 0.8});
    return drawn.bottom_pt + 3.5;
}

void draw_panel(Canvas& canvas, const JobPlan& plan, const Legend& legend, const PageBox& box)
{
    auto upper = box;
    upper.top_pt = draw_not_supplied(canvas, plan, box);
    upper.bottom_pt = box.top_pt + box.height_pt() * 0.5;
    double top = draw_comparison(canvas, plan, upper) + 7;
    upper.top_pt = top;
    upper.bottom_pt = box.bottom_pt;
    const double below = draw_quantities(canvas, plan, upper);
    top = below > top ? below + 7 : top;
    const double middle = box.left_pt + (box.width_pt() - column_gap_pt) * 0.52;
    const PageBox left{box.left_pt, top, middle, box.bottom_pt};
    const PageBox right{middle + column_gap_pt, top, box.right_pt, box.bottom_pt};
    const double legend_top = draw_heading(canvas, left, "Legend");
    const double legend_end = legend.draw(canvas, {left.left_pt, legend_top, left.right_pt, left.bottom_pt});
    const double next = draw_cautions(canvas, right) + 5;
    draw_findings(canvas, plan, {right.left_pt, next, right.right_pt, right.bottom_pt},
                  {left.left_pt, legend_end + 4, left.right_pt, left.bottom_pt});
}

} // namespace trenchwright
