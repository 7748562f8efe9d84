#include "trenchwright/draw/cut_sheet_pages.hpp"

#include "trenchwright/draw/alert_box.hpp"
#include "trenchwright/draw/corner_sketch.hpp"
#include "trenchwright/draw/paper.hpp"
#include "trenchwright/page/column.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/page/print.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double margin_pt = 29;
constexpr double foot_pt = 30;
constexpr double sketch_pt = 96;
constexpr double table_text_pt = 7.6;
const std::vector<double> shares{0.025, 0.07,  0.15,  0.065, 0.065, 0.09, 0.075,
                                 0.085, 0.085, 0.065, 0.105, 0.075, 0.045};

std::vector<std::string> heads(UnitSystem units)
{
    const std::string unit = units == UnitSystem::us ? "ft" : "m";
    return {"",
            "Station",
            "Tape ties",
            "Ground " + unit,
            "Invert " + unit,
            "Cut to bottom",
            "Cover",
            "Grade rod at trench bottom",
            "Slope downstream",
            "Dig",
            "Safety, expect",
            "Fitting",
            "As built"};
}

std::string bare(const std::string& text)
{
    return text.substr(0, text.find(' '));
}

/// In the trench by the rule, on the level by decimals.
std::string both(double length_m, UnitSystem units)
{
    return units == UnitSystem::us ? fmt::format("{}\n{:.2f} ft", feet_inches(length_m), length_m / ft_in_m)
                                   : fmt::format("{:.3f} m", length_m);
}

std::string ties_text(const CutRow& row, UnitSystem units)
{
    if (row.ties.ties.size() < 2) {
        return "no ties: too few corners";
    }
    auto text = tape_text(row.ties, 0, units) + ", " + tape_text(row.ties, 1, units);
    const auto check = tape_text(row.ties, 2, units);
    text += check.empty() ? "" : "\ncheck " + check;
    return text + (row.ties.fault == TieFault::none ? "" : "\nweak tie (flat angle or over one tape)");
}

std::string rod_text(const CutRow& row, UnitSystem units)
{
    if (!row.rod_bottom_m) {
        return "";
    }
    return *row.rod_bottom_m < 0 ? "above the sight" : both(*row.rod_bottom_m, units);
}

std::vector<std::string> cells_of(const JobPlan& plan, const CutRow& row)
{
    const auto units = plan.job.rules.units;
    auto expected = row.alert;
    if (const auto lines = expected_text(plan.site, row, units); !lines.empty()) {
        expected += (expected.empty() ? "" : "\n") + lines;
    }
    if (row.hub_top_elev_m) {
        expected += (expected.empty() ? "" : "\n") +
                    fmt::format("hub {}, {} to invert", bare(elev_text(*row.hub_top_elev_m, units)),
                                hub_text(*row.hub_top_elev_m, row.invert_elev_m, units));
    }
    return {"\u2610",
            station_text(row.station_m, units),
            ties_text(row, units),
            bare(elev_text(row.ground_elev_m, units)),
            bare(elev_text(row.invert_elev_m, units)),
            both(row.cut_m, units),
            depth_text(row.cover_m, units),
            rod_text(row, units),
            fall_to_next_text(row, plan.job.rules.steep),
            row.by_hand ? "HAND" : "machine *",
            expected,
            row.fitting,
            ""};
}

/// Pages being filled from the top down.
class Pages {
  public:
    Pages(Canvas& canvas, const JobPlan& plan, std::size_t pages)
        : canvas_(canvas), plan_(plan), pages_(pages),
          inner_(grown(box_at({}, cut_sheet_paper(plan.job.rules)), -margin_pt))
    {
    }

    std::size_t draw()
    {
        begin();
        not_supplied();
        const auto* outcome = drawn_outlet(plan_);
        if (outcome == nullptr) {
            canvas_.text({inner_.left_pt, top_}, no_trench_text(plan_) + ". Do not dig from this page.",
                         {.size_pt = 11, .bold = true});
            top_ += 20;
        } else {
            alerts(full_alerts(plan_, *outcome));
            for (const auto& sheet : cut_sheets(plan_, *outcome)) {
                trench(*outcome, sheet);
            }
        }
        cautions_block();
        end();
        return page_;
    }

  private:
    void begin()
    {
        ++page_;
        const auto& job = plan_.job;
        canvas_.text({inner_.left_pt, inner_.top_pt}, job.name + ": cut sheet", {.size_pt = 13, .bold = true});
        const auto page = pages_ == 0 ? std::string() : fmt::format("page {} of {}", page_, pages_);
        const TextStyle style{.size_pt = 8};
        canvas_.text({inner_.right_pt - canvas_.text_size(page, style).width_pt, inner_.top_pt + 4}, page, style);
        top_ = inner_.top_pt + 22;
    }

    void end()
    {
        const auto text = fmt::format("Before you dig call {}. Not permission to dig. HAND: hand tools or vacuum only; "
                                      "depth unknown until exposed.\n* machine: {}.",
                                      one_call_words(plan_.job), machine_note);
        canvas_.text({inner_.left_pt, inner_.bottom_pt - foot_pt + 6}, text,
                     {.size_pt = 8, .bold = true, .ink = palette::hand});
    }

    void not_supplied()
    {
        for (const auto& line : not_supplied_lines(plan_)) {
            top_ = canvas_
                       .text({inner_.left_pt, top_}, line,
                             {.size_pt = 8, .bold = true, .ink = palette::hand, .wrap_pt = inner_.width_pt()})
                       .bottom_pt +
                   3;
        }
        top_ += 3;
    }

    void next()
    {
        end();
        canvas_.next_page();
        begin();
    }

    [[nodiscard]] bool fits(double height_pt) const { return top_ + height_pt <= inner_.bottom_pt - foot_pt; }

    void piece(const Piece& one)
    {
        one.draw(canvas_, {inner_.left_pt, top_, inner_.right_pt, top_ + one.height_pt});
        top_ += one.height_pt;
    }

    void column(const Pieces& pieces)
    {
        for (const auto& one : pieces) {
            if (!fits(one.height_pt)) {
                next();
            }
            piece(one);
        }
    }

    /// Before the first trench: STOPs, ladders, protection, in a frame.
    void alerts(const std::vector<Alert>& lines)
    {
        if (lines.empty()) {
            return;
        }
        ColumnText text(canvas_, inner_.width_pt());
        alert_box(text, canvas_, lines, 8);
        column(text.take());
        top_ += 8;
    }

    void headings(const OutletOutcome& outcome, const CutSheet& sheet)
    {
        const auto units = plan_.job.rules.units;
        const auto& outlet = plan_.site.outlets[outcome.outlet];
        const auto& sight = plan_.job.cut_sheet.instrument_elev_m;
        const auto joins = sheet.trench->joins
                               ? fmt::format("joins {} at {}", plan_.site.sources[sheet.trench->joins->source].id,
                                             station_text(sheet.trench->joins->station_m, units))
                               : "to " + (outlet.name.empty() ? outlet.id : outlet.name);
        const double width = inner_.width_pt() - 2.2 * sketch_pt;
        const auto title = canvas_.text(
            {inner_.left_pt, top_},
            fmt::format("Trench {}: {}, {}", sheet.number, plan_.site.sources[sheet.trench->source].id, joins),
            {.size_pt = 10.5, .bold = true, .ink = palette::heading, .wrap_pt = width});
        const auto level =
            sight
                ? fmt::format("Height of instrument {}: rod = that less the height wanted; a larger reading is lower.",
                              elev_text(*sight, units))
                : std::string(
                      "Height of instrument: ____________   Grade rod at trench bottom = that less the trench bottom.");
        canvas_.text({inner_.left_pt, title.bottom_pt + 3},
                     level +
                         "\nCut: ground to trench bottom. Stations from the lower end up. Tape ties are level, from "
                         "the building's corners as in the sketch; two fix the place, the third checks it.\n"
                         "Bedding under the pipe: " +
                         small_text(sheet.trench->laid.problem.section.bedding_m, units) +
                         ". Pipe: " + plan_.job.rules.pipe_name,
                     {.size_pt = 8, .wrap_pt = width});
        draw_corner_sketch(canvas_, plan_, outcome,
                           {inner_.right_pt - 2.1 * sketch_pt, top_, inner_.right_pt, top_ + sketch_pt});
        top_ += sketch_pt + 6;
    }

    void trench(const OutletOutcome& outcome, const CutSheet& sheet)
    {
        ColumnText table(canvas_, inner_.width_pt(), table_text_pt);
        std::vector<std::vector<std::string>> rows{heads(plan_.job.rules.units)};
        for (const auto& row : sheet.rows) {
            rows.push_back(cells_of(plan_, row));
        }
        table.table(rows, shares);
        const auto pieces = table.take();
        if (!fits(sketch_pt + 6 + pieces[0].height_pt + 3 * pieces[1].height_pt)) {
            next();
        }
        headings(outcome, sheet);
        piece(pieces.front());
        for (std::size_t i = 1; i < pieces.size(); ++i) {
            if (!fits(pieces[i].height_pt)) {
                next();
                piece(pieces.front());
            }
            piece(pieces[i]);
        }
        top_ += 14;
    }

    void cautions_block()
    {
        ColumnText column(canvas_, inner_.width_pt());
        column.heading("Cautions");
        for (const auto& caution : cautions()) {
            column.paragraph(caution, {.size_pt = 7.6});
        }
        const auto pieces = column.take();
        double height = 0;
        for (const auto& one : pieces) {
            height += one.height_pt;
        }
        if (!fits(height)) {
            next();
        }
        for (const auto& one : pieces) {
            piece(one);
        }
    }

    Canvas& canvas_;
    const JobPlan& plan_;
    std::size_t pages_;
    PageBox inner_;
    std::size_t page_ = 0;
    double top_ = 0;
};

} // namespace

PageSize cut_sheet_paper(const Rules& rules)
{
    auto small = rules;
    small.papers.size = paper_of(rules).iso ? "a4" : "letter";
    return paper_of(small).size;
}

std::size_t draw_cut_sheets(Canvas& canvas, const JobPlan& plan, std::size_t pages)
{
    return Pages(canvas, plan, pages).draw();
}

std::string cut_sheet_pdf(const JobPlan& plan)
{
    const auto paper = cut_sheet_paper(plan.job.rules);
    Canvas canvas(paper);
    const auto pages = draw_cut_sheets(canvas, plan, 0);
    canvas.clear();
    draw_cut_sheets(canvas, plan, pages);
    return pdf_of(canvas, plan.job.name + ": cut sheet");
}

} // namespace trenchwright
