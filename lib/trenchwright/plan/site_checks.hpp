#pragma once

#include "trenchwright/job/job.hpp"
#include "trenchwright/site/site.hpp"

/// What must be there before anything is planned.
namespace trenchwright {

/// @throws Error (input) for a site without parcel, sources, outlets or ground; names the layer that is empty
void require_parts(const Site& site, const Job& job);

/// @throws Error (input) when the job names an outlet for its locate request that the site does not have
void check_request(const Site& site, const Job& job);

} // namespace trenchwright
