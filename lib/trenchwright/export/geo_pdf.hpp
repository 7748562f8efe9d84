#pragma once

#include "trenchwright/base/placed_pdf.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>

namespace trenchwright {

/// The PDF, each of its plans told where on the earth it lies, so that other programs can measure in it and lay it over
/// a map: a viewport with a geospatial measure (ISO 32000-2:2020, 12.9 and 12.10) in the site's own system, its
/// corners in that system's own longitudes and latitudes. The pages look as before. The same bytes for the same input.
/// @return the PDF as it was on a tape lot, and where no way from the system to WGS 84 is known: many programs take
///         every longitude for one of WGS 84
/// @throws Error (internal) as with_page_entries
std::string add_georeference(PlacedPdf pdf, const JobPlan& plan);

} // namespace trenchwright
