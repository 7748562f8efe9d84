#pragma once

#include "trenchwright/base/progress.hpp"
#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

/// Plans every source to every outlet of a site, compares and ranks. Opens no file.
/// @param site  in meters, whatever it was read or made from
/// @throws Error (input) for a site without parcel, sources, outlets or ground; as the job's tables ask
JobPlan plan_site(Site site, const Rules& rules);
/// The same with all that a job states besides: pumps, footing, rates, papers. Its layers are not read.
/// @param progress  told how many outlets are planned
JobPlan plan_site(Site site, Job job, const Progress& progress = {});

/// Reads the job's layers and plans the site.
/// @throws Error
JobPlan plan_job(Job job, const Progress& progress = {});

} // namespace trenchwright
