#pragma once

#include "trenchwright/plan/cure_trials.hpp"
#include "trenchwright/plan/exact_fall.hpp"

#include <functional>
#include <optional>
#include <vector>

namespace trenchwright {

/// One thing that can be changed, in steps: a tenth of an inch or a millimeter, a hundredth of a percent, or one step
/// for what is changed or not.
struct Knob {
    CureKind kind = CureKind::less_cover;
    std::string of;                                                ///< see Cure
    int guess = 1;                                                 ///< steps
    int most = 1;                                                  ///< steps; below 1: it cannot help
    bool known = false;                                            ///< the guess is the least: no other number is tried
    std::function<std::optional<TrenchPlan>(int steps)> plan;      ///< whether it works
    std::function<std::optional<TrenchPlan>(int steps)> best;      ///< as planned in earnest; empty: the same
    std::function<CentSpread(const TrenchPlan&, int steps)> price; ///< empty: none is known
    /// Figures, place and sentence.
    std::function<Cure(int steps, const TrenchPlan& trench)> cure;
};

/// What is known of a refusal besides itself.
struct RefusalFacts {
    const std::vector<ClosingObject>& closed_by; ///< of one that is blocked
    bool alone = true;                           ///< no other source is refused at the outlet
};

/// The changes that may help against a refusal, by its kind. What cannot gain enough at the place that decides is left
/// out: lowering the outlet gains as much as any of them.
/// @param drains  of a refusal that falls short
std::vector<Knob> knobs_for(const CureTrials& trials, const Refusal& refusal, const std::optional<JustDrains>& drains,
                            const RefusalFacts& facts);

} // namespace trenchwright
