#pragma once

#include "trenchwright/plan/plan.hpp"

namespace trenchwright {

/// A hole dug by hand or vacuum to see how deep a facility lies, before the grade is fixed.
struct Pothole {
    const TrenchPlan* trench = nullptr; ///< points into the outcome
    std::size_t crossing = 0;           ///< index into its crossings
    [[nodiscard]] const Crossing& at() const { return trench->measured.crossings[crossing]; }
    [[nodiscard]] const CrossingRecord& record() const { return trench->measured.records[crossing]; }
};

/// Every crossing of an outlet's trenches that is to be exposed before the grade is fixed, in the order of digging: a
/// trench before those that join it, for their grades hang on its own; in each from its lower end upstream, for grade
/// is made up from there.
std::vector<Pothole> potholes(const OutletOutcome& outcome);

} // namespace trenchwright
