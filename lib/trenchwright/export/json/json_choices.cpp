#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/plan/break_even.hpp"
#include "trenchwright/plan/outlet_state.hpp"

namespace trenchwright {

JsonList json_choices(const JobPlan& plan)
{
    return json_list(plan.choices, [&](const Choice& choice) -> JsonValue {
        const auto cents = [&](Cents figure) { return choice.works ? JsonValue(figure) : JsonValue(); };
        return JsonObject{{"outlet", plan.site.outlets.at(choice.outlet).id},
                          {"variant", choice.variant},
                          {"works", state_of(choice) == OutletState::works},
                          {"state", state_word(state_of(choice))},
                          {"low_cents", cents(choice.price.low)},
                          {"likely_cents", cents(choice.price.likely)},
                          {"high_cents", cents(choice.price.high)},
                          {"crew_hours", choice.has_hours ? JsonValue(choice.crew_hours.likely) : JsonValue()},
                          {"permission_step", choice.permission_step},
                          {"lead_time_days", choice.lead_time_days},
                          {"length_m", choice.length_m},
                          {"hand_m", choice.hand_m},
                          {"hand_at_least_m", choice.min_hand_m},
                          {"extra_fall_m", choice.spare_m},
                          {"ground_error_m", choice.error_m},
                          {"drains_share", choice.drains_share},
                          {"warnings", choice.warnings},
                          {"stops", choice.stops},
                          {"stands_full", choice.stands_full},
                          {"ponds", choice.ponds},
                          {"pipe_step", choice.pipe_step},
                          {"dominated_by", choice.dominated_by}};
    });
}

JsonList json_break_even(const JobPlan& plan)
{
    return json_list(break_even(plan), [](const std::string& text) { return JsonValue(text); });
}

JsonValue json_uncertainty(const Site& site, const std::optional<OutletUncertainty>& uncertainty)
{
    if (!uncertainty) {
        return {};
    }
    JsonValue next;
    if (uncertainty->next_place) {
        next = JsonObject{{"source", site.sources.at(uncertainty->next_place->source).id},
                          {"station_m", uncertainty->next_place->station_m},
                          {"at_native", json_place(site.frame, uncertainty->next_place->at)},
                          {"uncertainty_after_share", uncertainty->fall.next->uncertainty_after_share}};
    }
    return JsonObject{{"extra_fall_m", uncertainty->fall.spare_m},
                      {"ground_error_m", uncertainty->fall.error_m},
                      {"drains_share", uncertainty->fall.drains_share},
                      {"uncertainty_share", uncertainty->fall.uncertainty_share},
                      {"next_shot", std::move(next)}};
}

} // namespace trenchwright
