#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// How a trench passes under walks.
enum class Paving {
    opened,
    bored ///< where no hand-dig zone is near: nobody bores blindly across a mark
};

/// What every outlet of a job is priced from. It refers to values that must outlive it.
struct PriceBasis {
    const Site& site;
    const Rules& rules;
    const RateBook& book;
    const std::optional<FootingWork>& footing; ///< the job inside
};
PriceBasis price_basis(const PlanBasis& basis);

/// The quantities of some trenches, in the order of the work.
std::vector<Measured> trench_work(const PriceBasis& basis, const std::vector<const TrenchPlan*>& trenches,
                                  Paving paving = Paving::opened);
/// The quantities of all trenches of an outlet, the job inside and what comes once for a job, in the order of the work.
std::vector<Measured> measured_work(const PriceBasis& basis, const OutletOutcome& outcome,
                                    Paving paving = Paving::opened);

/// The price of all trenches of an outlet, by the one engine: see estimate.
Estimate price_of(const PriceBasis& basis, const OutletOutcome& outcome, Paving paving = Paving::opened);

/// The outcome with its price, where it works. Its total is the likely one.
OutletOutcome with_estimate(OutletOutcome outcome, const PlanBasis& basis);

/// How every paper calls the sum of the lines that belong to no trench.
inline constexpr std::string_view job_lines_name = "The job as a whole";

/// The outcome that a planned trench belongs to; nullptr for a trench that is not the plan's.
const OutletOutcome* outcome_of(const JobPlan& plan, const TrenchPlan& trench);
/// The price of a planned trench: the sum of its lines. Nothing where its outlet does not work for every source, for
/// then the outlet has no price.
std::optional<CentSpread> trench_price(const JobPlan& plan, const TrenchPlan& trench);

} // namespace trenchwright
