#include "trenchwright/draw/plan_sheet.hpp"

#include "trenchwright/draw/alert_box.hpp"
#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/draw/record_sheet.hpp"
#include "trenchwright/draw/sheet_set.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/page/print.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double png_dots_per_in = 150;
constexpr double min_beside_pt = 330; // narrower, profiles and plan cannot be read side by side
constexpr double alert_text_pt = 7;
constexpr double legend_row_pt = 11;
constexpr double legend_sample_pt = 30;

void legend_pieces(ColumnText& column, const Legend& legend)
{
    column.heading("Legend of this sheet");
    for (const auto& item : legend.items()) {
        column.picture(legend_row_pt, [item](Canvas& canvas, const PageBox& box) {
            Legend::draw_sample(canvas, box_at({box.left_pt, box.top_pt}, {legend_sample_pt, legend_row_pt}), item);
            TextStyle style{.size_pt = 6.6};
            while (canvas.text_size(item.text, style).width_pt > box.width_pt() - legend_sample_pt - 5) {
                style.size_pt -= 0.2;
            }
            const double height = canvas.text_size(item.text, style).height_pt;
            canvas.text({box.left_pt + legend_sample_pt + 5, box.center().y_pt - height / 2}, item.text, style);
            canvas.shows(SheetThing::legend);
        });
    }
}

void lot_line_table(ColumnText& column, const std::vector<LotLineRow>& rows)
{
    if (rows.empty()) {
        return;
    }
    std::vector<std::vector<std::string>> cells{{"Line", "Bearing", "Length"}};
    for (const auto& row : rows) {
        cells.push_back({row.number, row.bearing, row.length});
    }
    column.heading("Lot lines");
    column.table(cells, {0.15, 0.5, 0.35});
    for (const auto& row : rows) {
        column.shows(SheetThing::lot_side, row.side);
    }
}

void invert_table(ColumnText& column, const std::vector<KeyedInvert>& keyed, UnitSystem units)
{
    if (keyed.empty()) {
        return;
    }
    std::vector<std::vector<std::string>> cells{{"", "Trench", "Station", "Invert"}};
    for (const auto& one : keyed) {
        cells.push_back({one.letters, std::to_string(one.trench), station_text(one.point.station_m, units),
                         elev_text(one.point.invert_elev_m, units)});
    }
    column.heading("Inverts in the profiles");
    column.table(cells, {0.15, 0.2, 0.3, 0.35});
}

/// One set being drawn, sheet by sheet.
class Drawing {
  public:
    Drawing(Canvas& canvas, const SheetSet& set)
        : canvas_(canvas), set_(set), room_(sheet_room(set.paper)), notes_(all_notes(canvas, set))
    {
        divide();
    }

    void draw()
    {
        for (std::size_t tile = 0; tile < tiles_.tiles.size(); ++tile) {
            plan_sheet(tile);
        }
        while (next_strip_ < strips_.strips.size()) {
            profile_sheet();
        }
        while (next_note_ < notes_.size()) {
            notes_sheet();
        }
        for (std::size_t sheet = 0; sheet < shown_.size(); ++sheet) {
            canvas_.turn_to(sheet); // only now is it known how many there are
            draw_sheet_title(canvas_, set_, sheet, shown_[sheet]);
        }
    }

    /// The plans drawn so far.
    [[nodiscard]] const std::vector<PlanOnPaper>& plans() const { return plans_; }

  private:
    static Pieces all_notes(const Canvas& canvas, const SheetSet& set)
    {
        ColumnText column(canvas, sheet_column_pt);
        if (set.record()) {
            fault_list(column, set);
            change_table(column, set);
            crossing_table(column, set);
            fitting_table(column, set);
            record_notes(column, set);
            contact_block(column, set);
            return column.take();
        }
        outlet_detail(column, set);
        crossing_table(column, set);
        trench_table(column, set);
        tie_table(column, set);
        fitting_table(column, set);
        refusal_notes(column, set);
        sheet_notes(column, set);
        contact_block(column, set);
        return column.take();
    }

    /// One way to lay a plan out on its sheets.
    struct Layout {
        PageBox plan;
        PageBox profiles; ///< empty: they have sheets of their own
        PlanTiles tiles;
        std::size_t max_strips = 1;
    };

    [[nodiscard]] Layout plan_above() const
    {
        const auto& all = room_.drawing;
        const PageBox plan{all.left_pt, all.top_pt, all.right_pt, all.bottom_pt - sheet_profile_pt - sheet_gap_pt};
        return {
            plan, {all.left_pt, plan.bottom_pt + sheet_gap_pt, all.right_pt, all.bottom_pt}, plan_tiles(set_, plan)};
    }

    [[nodiscard]] Layout plan_beside() const
    {
        const auto& all = room_.drawing;
        const double most = all.width_pt() - min_beside_pt - sheet_gap_pt;
        PageBox plan{all.left_pt, all.top_pt, all.left_pt + std::max(most, min_beside_pt), all.bottom_pt};
        const double needed = plan_tiles(set_, plan).needed.width_pt;
        plan.right_pt = std::min(plan.right_pt, plan.left_pt + std::max(needed, min_beside_pt));
        return {
            plan, {plan.right_pt + sheet_gap_pt, all.top_pt, all.right_pt, all.bottom_pt}, plan_tiles(set_, plan), 2};
    }

    [[nodiscard]] Layout plan_alone() const
    {
        const auto strips =
            static_cast<std::size_t>((room_.drawing.height_pt() + sheet_gap_pt) / (sheet_profile_pt + sheet_gap_pt));
        return {room_.drawing, {}, plan_tiles(set_, room_.drawing), strips};
    }

    /// The whole lot, then the fewest sheets, then the largest scale; a sheet of their own for the profiles must be
    /// worth it.
    void divide()
    {
        constexpr double worth_ratio = 1.4;
        auto best = plan_above();
        const auto better = [&](const Layout& other, double handicap) {
            if (other.tiles.whole != best.tiles.whole) {
                return other.tiles.whole;
            }
            const auto now = best.tiles.tiles.size();
            const auto then = other.tiles.tiles.size();
            return then < now ||
                   (then == now && other.tiles.scale.meters_per_pt * handicap < best.tiles.scale.meters_per_pt);
        };
        if (room_.drawing.width_pt() >= 2 * min_beside_pt + sheet_gap_pt) {
            if (auto beside = plan_beside(); better(beside, 1)) {
                best = std::move(beside);
            }
        }
        if (auto alone = plan_alone(); set_.trenches.empty() || better(alone, worth_ratio)) {
            best = std::move(alone);
        }
        plan_ = best.plan;
        profiles_ = best.profiles;
        tiles_ = std::move(best.tiles);
        const double width = profiles_.width_pt() > 0 ? profiles_.width_pt() : room_.drawing.width_pt();
        strips_ = profile_strips(set_, {width, sheet_profile_pt}, best.max_strips);
    }

    /// @param shown  for its title
    void begin(const std::vector<std::string>& shown)
    {
        if (!shown_.empty()) {
            canvas_.next_page();
        }
        shown_.push_back(shown);
    }

    [[nodiscard]] std::vector<std::string> scale_lines(bool plan, bool profile) const
    {
        std::vector<std::string> lines;
        if (plan) {
            lines.push_back("Plan " + tiles_.scale.text);
        }
        if (profile) {
            lines.push_back("Profile across " + strips_.scale.along.text);
            lines.push_back("Profile up " + strips_.scale.up.text);
        }
        return lines;
    }

    /// As many strips as there is room for. @return the lower end
    double strips_into(const PageBox& box, Legend& legend, std::vector<KeyedInvert>& keyed)
    {
        double top = box.top_pt;
        while (next_strip_ < strips_.strips.size() && top + sheet_profile_pt <= box.bottom_pt + 1e-6) {
            draw_profile_strip(canvas_, set_, strips_, next_strip_,
                               {box.left_pt, top, box.right_pt, top + sheet_profile_pt}, legend, keyed);
            ++next_strip_;
            top += sheet_profile_pt + sheet_gap_pt;
        }
        return top;
    }

    /// Columns of notes from the left, as many as the box has room for.
    void notes_into(const PageBox& box)
    {
        constexpr double min_height_pt = 60;
        if (box.height_pt() < min_height_pt) {
            return;
        }
        for (double left = box.left_pt; left + sheet_column_pt <= box.right_pt + 1e-6 && next_note_ < notes_.size();
             left += sheet_column_pt + sheet_gap_pt) {
            next_note_ =
                draw_column(canvas_, notes_, next_note_, {left, box.top_pt, left + sheet_column_pt, box.bottom_pt});
        }
    }

    /// Legend and lot lines of this sheet, then notes as far as there is room.
    void column_of(const Legend& legend, const std::vector<LotLineRow>& rows, const std::vector<KeyedInvert>& keyed)
    {
        ColumnText own(canvas_, sheet_column_pt);
        if (shown_.size() == 1 && set_.outcome != nullptr && !set_.record()) {
            alert_box(own, canvas_, short_alerts(set_.plan, *set_.outcome), alert_text_pt);
        }
        legend_pieces(own, legend);
        lot_line_table(own, rows);
        invert_table(own, keyed, set_.plan.job.rules.units);
        const bool goes_on = next_note_ > 0 && next_note_ < notes_.size() && !notes_[next_note_].with_next;
        if (goes_on) {
            own.heading("Continued");
        }
        auto pieces = own.take();
        if (goes_on && notes_[next_note_].head) {
            pieces.push_back(*notes_[next_note_].head);
        }
        const auto mine = pieces.size();
        pieces.insert(pieces.end(), notes_.begin() + static_cast<std::ptrdiff_t>(next_note_), notes_.end());
        const auto drawn = draw_column(canvas_, pieces, 0, room_.column);
        next_note_ += drawn > mine ? drawn - mine : 0;
        if (drawn < mine) { // what is this sheet's own and found no room comes with the notes
            notes_.insert(notes_.begin() + static_cast<std::ptrdiff_t>(next_note_),
                          pieces.begin() + static_cast<std::ptrdiff_t>(drawn),
                          pieces.begin() + static_cast<std::ptrdiff_t>(mine));
        }
    }

    void plan_sheet(std::size_t tile)
    {
        const bool profile = profiles_.width_pt() > 0 && next_strip_ < strips_.strips.size();
        begin(scale_lines(true, profile));
        Legend legend;
        std::vector<KeyedInvert> keyed;
        const auto rows = draw_sheet_plan(canvas_, set_, tiles_, tile, plan_, legend);
        plans_.push_back(plan_on_paper(plan_window(tiles_, tile, plan_), shown_.size() - 1, set_.paper.size));
        const double below = profile ? strips_into(profiles_, legend, keyed) : profiles_.top_pt;
        notes_into({profiles_.left_pt, below, profiles_.right_pt, profiles_.bottom_pt});
        column_of(legend, rows, keyed);
    }

    void profile_sheet()
    {
        begin(scale_lines(false, true));
        Legend legend;
        std::vector<KeyedInvert> keyed;
        strips_into(room_.drawing, legend, keyed);
        column_of(legend, {}, keyed);
    }

    void notes_sheet()
    {
        begin({"Notes and details"});
        notes_into({room_.drawing.left_pt, room_.drawing.top_pt, room_.column.right_pt, room_.column.bottom_pt});
    }

    Canvas& canvas_;
    const SheetSet& set_;
    SheetRoom room_;
    Pieces notes_;
    PageBox plan_;
    PageBox profiles_;
    PlanTiles tiles_;
    ProfileStrips strips_;
    std::vector<PlanOnPaper> plans_;
    std::vector<std::vector<std::string>> shown_; ///< of the sheets begun
    std::size_t next_strip_ = 0;
    std::size_t next_note_ = 0;
};

SheetFiles drawn(const SheetSet& set)
{
    Canvas canvas(set.paper.size);
    auto plans = draw_sheets(canvas, set);
    return {.pdf = {.bytes = pdf_of(canvas, set.plan.job.name), .plans = std::move(plans)},
            .svg = svg_of(canvas),
            .png = png_of(canvas, png_dots_per_in),
            .shown = canvas.things()};
}

} // namespace

SheetSet sheet_set(const JobPlan& plan)
{
    const auto* outcome = drawn_outlet(plan);
    return {.plan = plan,
            .outcome = outcome,
            .refused = outcome == nullptr ? drawn_refusal(plan) : nullptr,
            .trenches = trenches_of(outcome),
            .paper = paper_of(plan.job.rules)};
}

SheetSet record_set(const JobPlan& plan, const std::vector<MeasuredTrench>& measured)
{
    auto set = sheet_set(plan);
    set.measured = measured;
    set.flags = record_flags(plan, measured);
    return set;
}

std::vector<PlanOnPaper> draw_sheets(Canvas& canvas, const SheetSet& set)
{
    Drawing drawing(canvas, set);
    drawing.draw();
    return drawing.plans();
}

SheetFiles sheet_files(const JobPlan& plan)
{
    return drawn(sheet_set(plan));
}

SheetFiles record_files(const JobPlan& plan, const std::vector<MeasuredTrench>& measured)
{
    return drawn(record_set(plan, measured));
}

} // namespace trenchwright
