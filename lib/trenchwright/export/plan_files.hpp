#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace trenchwright {

/// plan.json: versioned, SI, keys with units in their names; places in the frame's native unit. The schema is
/// docs/plan-json.md. The same text for the same plan.
/// @throws Error (internal) for a figure that is not finite; Error (input) for a text of the input that is not UTF-8
std::string plan_json(const JobPlan& plan);

/// plan.gpkg written to `file` (a temporary name of the caller's): layers route, stations, zones, crossings,
/// findings in the site's own system, and the table cautions. Trenches of the outlets that work; findings and refusals
/// that have a place. The same bytes for the same plan.
/// @param file  must not exist yet
/// @throws Error (output) when the disk refuses; Error (internal) for a figure that is not finite
void write_plan_gpkg(const JobPlan& plan, const std::filesystem::path& file);

/// The bytes of plan.gpkg, written and read back in a private temporary folder that is gone afterwards.
/// @throws Error as write_plan_gpkg
std::string plan_gpkg_bytes(const JobPlan& plan);

/// estimate.csv (RFC 4180): every line of every outlet that works with quantity, rates, price and stations, then its
/// sums; in the job's units and currency.
std::string estimate_csv(const JobPlan& plan);

/// locate-request.txt: what a one-call center asks for, blanks named as blank, and the planned strip with its places.
std::string locate_request_text(const JobPlan& plan);

/// locate-request.geojson (RFC 7946, WGS 84): white lines and center line of each trench. On a lot whose frame does not
/// allow WGS 84 the shapes are null and the places stand in the properties alone, in the frame's own unit.
std::string locate_request_geojson(const JobPlan& plan);

struct OutFile {
    std::string name; ///< a plain file name
    std::string bytes;
};

/// Writes a set of files into a folder, all or nothing: each goes to a temporary name in the same folder first;
/// only when all are written and synced are they renamed. The folder is made if it is missing. Existing regular files
/// of these names are replaced, others left alone; a folder, a link or a device of such a name is an error.
/// @throws Error (output) naming the path; then the folder holds what it held before
void write_folder(const std::filesystem::path& folder, const std::vector<OutFile>& files);

/// Every file a job reads: the job file and the file of each layer.
std::vector<std::filesystem::path> input_files(const Job& job);

/// Checks that none of the outputs would replace an input; links and other spellings of a path are seen through.
/// @throws Error (output) naming both
void refuse_inputs(const std::filesystem::path& folder, const std::vector<std::string>& names,
                   const std::vector<std::filesystem::path>& inputs);

} // namespace trenchwright
