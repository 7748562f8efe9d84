#include "trenchwright/plan/outlet_state.hpp"

#include "trenchwright/plan/job_plan.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

OutletState state_of(bool planned, std::size_t stops)
{
    return !planned ? OutletState::refused : stops > 0 ? OutletState::stop : OutletState::works;
}

} // namespace

std::size_t stops_of(const OutletOutcome& outcome)
{
    std::size_t stops = 0;
    for (const auto* trench : trenches_of(&outcome)) {
        stops += static_cast<std::size_t>(
            std::ranges::count(trench->findings, Severity::stop, [](const Finding& one) { return one.severity; }));
    }
    return stops;
}

OutletState state_of(const OutletOutcome& outcome)
{
    return state_of(outcome.works, stops_of(outcome));
}

OutletState state_of(const Choice& choice)
{
    return state_of(choice.works, choice.stops);
}

std::string_view state_text(OutletState state)
{
    switch (state) {
    case OutletState::works: return "works";
    case OutletState::stop: return "STOP";
    case OutletState::refused: return "fails";
    }
    return "";
}

std::string_view state_word(OutletState state)
{
    switch (state) {
    case OutletState::works: return "works";
    case OutletState::stop: return "stop";
    case OutletState::refused: return "refused";
    }
    return "";
}

std::string_view state_sentence(OutletState state)
{
    return state == OutletState::stop ? "STOP: engineer or change needed" : state_text(state);
}

std::string stop_sentence()
{
    return std::string(state_sentence(OutletState::stop)) +
           ". Not to be dug as planned; the report and the sheets say where and why.";
}

} // namespace trenchwright
