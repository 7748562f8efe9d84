#pragma once

#include "trenchwright/plan/eased.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"

namespace trenchwright {

/// The outcome with its refusals made exact and with what would let it work: OutletOutcome::help and cures. As it was
/// where it works.
///
/// A fall that is missing is found by planning again with the outlet lowered; see plan/exact_fall.hpp. Every cure is
/// one thing changed as little as lets the source reach the outlet, planned again: what does not help is not there,
/// and what was not tried may still help. They stand in the order of CureKind: first what costs the ground nothing.
OutletOutcome with_cures(OutletOutcome outcome, const RoutePreps& preps, const PriceBasis& basis, const Ground& ground);

} // namespace trenchwright
