#pragma once

#include "trenchwright/asbuilt/as_built.hpp"
#include "trenchwright/base/placed_pdf.hpp"
#include "trenchwright/draw/legend.hpp"
#include "trenchwright/draw/paper.hpp"
#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/draw/profile_view.hpp"
#include "trenchwright/page/column.hpp"

#include <span>
#include <string>
#include <vector>

namespace trenchwright {

/// Something wrong with the laid pipe, as numbered on a record.
struct RecordFlag {
    std::size_t number = 0; ///< from 1, through all trenches
    std::size_t trench = 0; ///< from 1, as on the sheets
    std::string word;       ///< "back-fall"
    Finding finding;
};

/// The sheets of one outlet: what all their parts share.
struct SheetSet {
    const JobPlan& plan;
    const OutletOutcome* outcome = nullptr; ///< nullptr: no workable outlet, the plan alone is drawn
    const OutletOutcome* refused = nullptr; ///< drawn instead, with what it lacks; nothing of it is to be dug
    std::vector<const TrenchPlan*> trenches{};
    Paper paper{};
    std::span<const MeasuredTrench> measured{}; ///< one for each trench: a record of what was laid; else the plan
    std::vector<RecordFlag> flags{};            ///< of a record
    [[nodiscard]] bool record() const { return !measured.empty(); }
};

/// How a sheet is divided.
struct SheetRoom {
    PageBox drawing; ///< plan and profile
    PageBox column;  ///< legend and notes
    PageBox title;
};
SheetRoom sheet_room(const Paper& paper);
inline constexpr double sheet_column_pt = 186; ///< width of every column of notes
inline constexpr double sheet_gap_pt = 10;

/// Title block, border and the one-call line; every sheet is on the canvas by now.
/// @param sheet  from 0
/// @param shown  what this sheet is, with its scales
void draw_sheet_title(Canvas& canvas, const SheetSet& set, std::size_t sheet, const std::vector<std::string>& shown);

/// A part of the site that one plan shows.
struct PlanTile {
    Point center;
    std::size_t col = 0; ///< from the left
    std::size_t row = 0; ///< from the top
};

/// All plans of a set, at one scale.
struct PlanTiles {
    DrawScale scale;
    double right_x_ratio = 1; ///< see PlanTransform
    double right_y_ratio = 0;
    PageSize window;   ///< of a tile; what lies beyond is overlap
    PageSize needed;   ///< for the whole part, with its rim, at the scale
    bool whole = true; ///< false: parts of the lot that the drain does not meet have no plan
    std::vector<PlanTile> tiles{};
};
/// The largest accepted scale at which lot, drain and outlet fit one plan with the ground beyond them that the settings
/// ask for; where none is small enough, without that ground; else as many plans at the last as the drain needs.
PlanTiles plan_tiles(const SheetSet& set, const PageBox& box);

/// Where one plan lies on its sheet.
struct PlanWindow {
    PageBox frame; ///< of the drawing; bar and arrow stand below it
    PlanTransform transform;
};
PlanWindow plan_window(const PlanTiles& tiles, std::size_t tile, const PageBox& box);
/// @param page  from 0
PlanOnPaper plan_on_paper(const PlanWindow& window, std::size_t page, const PageSize& paper);

/// A lot line too short for its figures: they stand in a table.
struct LotLineRow {
    std::string number; ///< "L1"
    std::string bearing;
    std::string length;
    std::size_t side = 0; ///< of lot_sides()
};

/// One plan with its bar and arrow. @return the lot lines that go into a table
std::vector<LotLineRow> draw_sheet_plan(Canvas& canvas, const SheetSet& set, const PlanTiles& tiles, std::size_t tile,
                                        const PageBox& box, Legend& legend);

// Steps of it.
std::vector<LotLineRow> label_lot_lines(PlanView& view);
void draw_match_lines(PlanView& view, const PlanTiles& tiles, std::size_t tile);
void label_fittings(PlanView& view);
void draw_sheet_strip(PlanView& view, const PageBox& strip);

/// Profiles side by side at one scale: a strip across a sheet.
struct ProfileStrip {
    std::vector<TrenchPlan> parts;    ///< whole trenches or stretches of them; stations as in the whole
    std::vector<std::size_t> numbers; ///< of their trenches, from 1
    std::vector<std::size_t> first_crossings;
};
struct ProfileStrips {
    ProfileScale scale;
    std::vector<ProfileStrip> strips;
};
/// @param max_strips  the largest accepted scale that needs no more of them is taken, if there is one
ProfileStrips profile_strips(const SheetSet& set, const PageSize& room, std::size_t max_strips);
void draw_profile_strip(Canvas& canvas, const SheetSet& set, const ProfileStrips& strips, std::size_t strip,
                        const PageBox& room, Legend& legend, std::vector<KeyedInvert>& keyed);
inline constexpr double sheet_profile_pt = 205; ///< least height of a strip

// Columns of notes, each made for one width.
void outlet_detail(ColumnText& column, const SheetSet& set);
void tie_table(ColumnText& column, const SheetSet& set);
void trench_table(ColumnText& column, const SheetSet& set);
void crossing_table(ColumnText& column, const SheetSet& set);
void fitting_table(ColumnText& column, const SheetSet& set);
struct SheetNote {
    std::string text;
    std::optional<SheetThing> shows{}; ///< what a reviewer finds in it
};
std::vector<SheetNote> lasting_notes(const SheetSet& set); ///< pipe, bearings, marks not supplied, the office's own
void note_paragraph(ColumnText& column, const SheetNote& note);
void refusal_notes(ColumnText& column, const SheetSet& set); ///< of an outlet that is refused: why, and what would help
void sheet_notes(ColumnText& column, const SheetSet& set);
void contact_block(ColumnText& column, const SheetSet& set);

} // namespace trenchwright
