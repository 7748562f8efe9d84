#pragma once

#include "gis/dxf.hpp"
#include "plan/plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// The drawing is made to be printed at about this scale: texts and line patterns have their size from it.
inline constexpr double drawing_m_per_pt = 120 * 0.0254 / 72;

/// What is there before anybody digs: lot lines, buildings, surfaces, trees, marks with their letters.
std::vector<DrawingLayer> lot_drawing(const JobPlan& plan);

/// Texts beside a trench: stations with invert and cut on its left, seen upstream, crossings and zones on its right.
/// Where they would lie on each other they are moved on along the trench; each names its station.
std::vector<DrawingText> station_labels(const JobPlan& plan, const TrenchPlan& trench, double height_m);
std::vector<DrawingText> crossing_labels(const JobPlan& plan, const TrenchPlan& trench, double height_m);

/// "mark - gas".
std::string mark_layer_name(Facility facility);

} // namespace trenchwright
