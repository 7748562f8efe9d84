#pragma once

#include "trenchwright/export/exchange/world.hpp"
#include "trenchwright/gis/write.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// The lines of the locate marks as the job has them. No depth_m means depth unknown.
OutLayer marks_layer(const JobPlan& plan);

/// Layers without the rows of other outlets than the one that is drawn; rows of no outlet stay.
std::vector<OutLayer> of_drawn_outlet(std::vector<OutLayer> layers, const JobPlan& plan);

/// The value of a field, as text; empty for NULL or where the layer has no such field.
std::string value_text(const OutLayer& layer, const OutFeature& feature, std::string_view field);

/// What a feature is, in a few words: "gas GAS-1 at 0+41.30, depth unknown".
std::string title_of(const OutLayer& layer, const OutFeature& feature);

/// The facility a feature belongs to; nothing where it belongs to none or to several.
std::optional<Facility> facility_of(const OutLayer& layer, const OutFeature& feature);

/// Without the elevations.
Polyline flat(const std::vector<Point3>& line);

/// RFC 7946 section 3.1.6, and KML: outer rings run anticlockwise, holes clockwise, the first place is repeated.
Polyline wound(Ring ring, bool anticlockwise);

/// Sentences every file in longitude and latitude carries: STOPs, cautions, what no marks were supplied for, how far
/// the places may be off, and whose trenches are shown.
std::vector<std::string> world_notes(const JobPlan& plan);
/// The STOPs of the outlet drawn, the cautions, then what no marks were supplied for.
std::vector<std::string> exchange_cautions(const JobPlan& plan);
/// "Outlet drawn: Curb, Quillet Lane." or "No workable outlet."
std::string drawn_text(const JobPlan& plan);

} // namespace trenchwright
