#pragma once

#include "plan/plan.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace trenchwright {

/// plan.json: versioned, SI, keys with units in their names. The schema is docs/plan-json.md.
std::string plan_json(const JobPlan& plan);

/// plan.gpkg written to `file` (a temporary name of the caller's): layers route, stations, zones, crossings,
/// findings in the site's own system. The same bytes for the same plan.
/// @throws Error (output)
void write_plan_gpkg(const JobPlan& plan, const std::filesystem::path& file);

/// Writes a set of files into a folder, all or nothing: each goes to a temporary name in the same folder first;
/// only when all are written are they renamed. Existing files of these names are replaced, others left alone.
/// @throws Error (output); then the folder holds what it held before
struct OutFile {
    std::string name;
    std::string bytes;
};
void write_folder(const std::filesystem::path& folder, const std::vector<OutFile>& files);

} // namespace trenchwright
