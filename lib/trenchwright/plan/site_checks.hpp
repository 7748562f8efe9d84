#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/site/site.hpp"

/// What must be there before anything is planned, and what is made of it first.
namespace trenchwright {

/// @throws Error (input) for a site without parcel, sources, outlets or ground; names the layer that is empty
void require_parts(const Site& site, const Job& job);

/// @throws Error (input) when the job names an outlet for its locate request that the site does not have
void check_request(const Site& site, const Job& job);

/// The surface over a site's grid, or over its spots and breaklines.
/// @throws Error (input) as Ground
Ground ground_of(const Site& site, double edge_reach_m);

/// With the probable runs of marks that stop, by the rules.
Site with_runs(Site site, const Rules& rules);

} // namespace trenchwright
