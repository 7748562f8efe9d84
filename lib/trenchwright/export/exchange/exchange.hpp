#pragma once

#include "trenchwright/export/plan_files.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// Files for other programs that are written only when asked for.
enum class Exchange { dxf, kml, geojson, gpx, sld };

struct ExchangeList {
    std::vector<Exchange> formats; ///< each once, in the order of the enumeration
    bool all = false;              ///< whatever the lot allows, instead of formats named one by one
};

/// @param words  "dxf,kml" or "all"; empty: none
/// @throws Error (usage) for an unknown word, with the nearest known one
ExchangeList exchange_list(const std::string& words);

/// Names of the files asked for.
std::vector<std::string> exchange_names(const ExchangeList& asked);

/// What `all` leaves out on this lot, as one note; none otherwise.
std::vector<Finding> exchange_findings(const JobPlan& plan, const ExchangeList& asked);

/// The files asked for; the same bytes for the same plan.
/// @throws Error (input) where a format named needs longitude and latitude and the lot has none
std::vector<OutFile> exchange_files(const JobPlan& plan, const ExchangeList& asked);

/// trench.dxf: the lot, the marks and the drawn outlet's trenches in the site's own grid and unit, heights too.
/// @throws Error (output) where GDAL's template for DXF is missing
std::string trench_dxf(const JobPlan& plan);
/// trench.kml (OGC KML 2.2): the drawn outlet's trenches and the marks, in WGS 84, on the ground.
std::string trench_kml(const JobPlan& plan);
/// trench.geojson (RFC 7946): the layers of plan.gpkg and the marks; `part` says the layer.
std::string trench_geojson(const JobPlan& plan);
/// stakes.gpx (GPX 1.1): a waypoint for each row of the drawn outlet's cut sheet.
std::string stakes_gpx(const JobPlan& plan);
/// trench-styles.sld (OGC SLD 1.0.0): how each layer of plan.gpkg that has places is drawn.
std::string plan_styles_sld(const JobPlan& plan);

} // namespace trenchwright
