#pragma once

#include "ground/fall_doubt.hpp"

#include <optional>
#include <string>

namespace trenchwright {

struct JobPlan;
struct OutletOutcome;

/// How sure it is that an outlet drains, and where one more shot would tell most.
struct OutletDoubt {
    FallDoubt fall;
    std::optional<FallPlace> next_place{}; ///< of fall.next
};

/// Works it out for every outlet that works, where the ground is spots of which some can be left out.
void add_doubts(JobPlan& plan);

/// report.txt: spare fall against its doubt, outlet by outlet.
std::string doubt_text(const JobPlan& plan);

/// "93 %", "over 99 %", "under 1 %": never certain.
std::string probability_text(double share);

} // namespace trenchwright
