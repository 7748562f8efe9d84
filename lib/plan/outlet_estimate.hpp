#pragma once

#include "estimate/estimate.hpp"

#include <string>
#include <vector>

namespace trenchwright {

struct JobPlan;
struct OutletOutcome;

/// How a trench passes under walks.
enum class Paving {
    opened,
    bored ///< where no hand-dig zone is near: nobody bores blindly across a mark
};

/// The quantities of all trenches of an outlet, the job inside and what comes once for a job, in the order of the work.
std::vector<Measured> measured_work(const JobPlan& plan, const OutletOutcome& outcome, Paving paving = Paving::opened);

/// Prices every outlet that works: by the rates file, or by the settings' rates, which have no range. The outcome's
/// total is the likely one.
void add_estimates(JobPlan& plan);

/// report.txt: the estimate of one outlet; empty when it does not work.
std::string estimate_text(const JobPlan& plan, const OutletOutcome& outcome);
/// What every price takes for granted and what no price holds, once for the report.
std::string assumptions_text(const JobPlan& plan);

} // namespace trenchwright
