#pragma once

#include "trenchwright/export/exchange/drawing_field.hpp"
#include "trenchwright/gis/dxf.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// The drawing is made to be printed at about this scale: texts and line patterns have their size from it.
inline constexpr double drawing_m_per_pt = 120 * 0.0254 / 72;

/// What is there before anybody digs: lot lines, buildings, surfaces, trees, marks with their letters.
std::vector<DrawingLayer> lot_drawing(const JobPlan& plan);

/// A trench of the drawing with its number, as on the sheets; 0 where there is only one.
struct NumberedTrench {
    const TrenchPlan* trench = nullptr;
    std::size_t number = 0;
};

struct DrawingLabels {
    std::vector<DrawingText> texts;
    std::vector<OutShape> leaders; ///< from the place to a text that stands elsewhere
};

/// Texts beside a trench, each at the nearest free place, which it takes: stations with invert and cut, first on the
/// left, seen upstream; crossings and zones, first on the right. A station without room near by is left out, save the
/// ends; a crossing stands farther out. Each says the trench's number, so that no invert is read to another trench.
DrawingLabels station_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m);
DrawingLabels crossing_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m);

/// What a trench's STOPs are about and how far they hold, on the left.
DrawingLabels stop_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m);

/// What stands at the ends of a trench, beyond them.
DrawingLabels end_labels(LabelField& field, const JobPlan& plan, const NumberedTrench& numbered, double height_m);

/// "mark - gas".
std::string mark_layer_name(Facility facility);

} // namespace trenchwright
