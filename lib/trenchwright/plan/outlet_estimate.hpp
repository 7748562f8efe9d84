#pragma once

#include "trenchwright/dig/footing_drain.hpp"
#include "trenchwright/estimate/estimate.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

struct JobPlan;
struct OutletOutcome;
struct Rules;
struct TrenchPlan;

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
PriceBasis price_basis(const JobPlan& plan);

/// The quantities of some trenches, in the order of the work.
std::vector<Measured> trench_work(const PriceBasis& basis, const std::vector<const TrenchPlan*>& trenches,
                                  Paving paving = Paving::opened);
/// The quantities of all trenches of an outlet, the job inside and what comes once for a job, in the order of the work.
std::vector<Measured> measured_work(const PriceBasis& basis, const OutletOutcome& outcome,
                                    Paving paving = Paving::opened);

/// The price of all trenches of an outlet, by the one engine: see estimate.
Estimate price_of(const PriceBasis& basis, const OutletOutcome& outcome, Paving paving = Paving::opened);

/// Prices every outlet that works. The outcome's total is the likely one.
void add_estimates(JobPlan& plan);

/// How every paper calls the sum of the lines that belong to no trench.
inline constexpr std::string_view job_lines_name = "The job as a whole";

/// The outcome that a planned trench belongs to; nullptr for a trench that is not the plan's.
const OutletOutcome* outcome_of(const JobPlan& plan, const TrenchPlan& trench);
/// The price of a planned trench: the sum of its lines. Nothing where its outlet does not work for every source, for
/// then the outlet has no price.
std::optional<CentSpread> trench_price(const JobPlan& plan, const TrenchPlan& trench);

/// report.txt: the estimate of one outlet; empty when it does not work.
std::string estimate_text(const JobPlan& plan, const OutletOutcome& outcome);
/// report.txt: the lines of one trench and their sum, in the job's units; in words why there are none.
std::string trench_price_text(const JobPlan& plan, const TrenchPlan& trench);
/// What every price takes for granted and what no price holds, once for the report.
std::string assumptions_text(const JobPlan& plan);

} // namespace trenchwright
