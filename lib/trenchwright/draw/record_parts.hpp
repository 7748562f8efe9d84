#pragma once

#include "trenchwright/asbuilt/laid_pipe.hpp"
#include "trenchwright/draw/sheet_parts.hpp"

#include <string>
#include <vector>

/// What the sheets of a record show in place of the plan's trench.
namespace trenchwright {

/// The faults of all trenches, by trench and station; what is only noted has no number.
std::vector<RecordFlag> record_flags(const JobPlan& plan, const std::vector<MeasuredTrench>& measured);

/// What is drawn of one trench in its profile: the plan dashed, the pipe where it was measured, the faults.
void draw_record_profile(ProfileView& view, const SheetSet& set);

/// Planned lines with their stations, the laid pipe and the measured places.
void draw_laid_lines(PlanView& view, const SheetSet& set);
void label_faults(PlanView& view, const SheetSet& set);

// Columns of notes.
void change_table(ColumnText& column, const SheetSet& set);
void fault_list(ColumnText& column, const SheetSet& set);
void record_notes(ColumnText& column, const SheetSet& set);

// Symbols, centerd; the same on the drawing and in the legend.
Stroke planned_stroke();
Stroke laid_stroke();
void draw_measured_place(Canvas& canvas, const PagePoint& at, bool placed);
void draw_fault(Canvas& canvas, const PagePoint& at);
/// Sign and text near a place, with a leader. @return false when there was no room
bool label_fault(Canvas& canvas, LabelPlacer& labels, const PagePoint& at, const std::string& text);
void draw_not_measured(Canvas& canvas, const PageBox& bar);

} // namespace trenchwright
