#pragma once

#include "trenchwright/plan/cure_trials.hpp"

namespace trenchwright {

/// The plan that only just drains.
struct JustDrains {
    double lowered_m = 0; ///< of the outlet, in whole millimeters: the fall that is missing
    TrenchPlan trench;
    std::optional<Refusal> besides; ///< with that fall it is refused for this: the lowered outlet alone does not help
};

/// How much lower the outlet would have to take the pipe, found by planning again with the outlet lowered: with one
/// step less, and with five less, no plan is found. Checked on random yards in tests/cures_test.cpp.
/// @param guess_m  about how much: the nearer, the fewer plans are made
/// @return nothing where no lowering helps
std::optional<JustDrains> just_drains(const CureTrials& trials, double guess_m);

/// The refusal of a source that falls short, with the figures of the plan that only just drains.
Refusal exact_refusal(const CureTrials& trials, const JustDrains& drains);

} // namespace trenchwright
