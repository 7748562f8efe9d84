#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace trenchwright {

struct Choice;
struct OutletOutcome;

/// STOPs in the plans of an outlet's trenches.
std::size_t stops_of(const OutletOutcome& outcome);

/// How an outlet came out. Every paper and output says it by this.
enum class OutletState {
    works,  ///< every source has a plan, and none of them holds a STOP
    stop,   ///< every source has a plan, but one holds a STOP: an engineer decides or the plan is changed
    refused ///< some source cannot reach it
};
OutletState state_of(const OutletOutcome& outcome);
OutletState state_of(const Choice& choice);

/// For a cell: "works", "STOP", "refused".
std::string_view state_text(OutletState state);
/// In data: "works", "stop", "refused".
std::string_view state_word(OutletState state);
/// In words: "works", "STOP: engineer or change needed", "refused".
std::string_view state_sentence(OutletState state);
/// What follows from a STOP, wherever the outlet's trench or price is given.
std::string stop_sentence();

} // namespace trenchwright
