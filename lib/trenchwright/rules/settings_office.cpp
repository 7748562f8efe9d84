#include "trenchwright/rules/settings_table.hpp"

namespace trenchwright {

std::vector<SettingRow> office_settings()
{
    SettingRow life;
    life.setting = {
        "ticket.life_days",
        Measure::count,
        "0",
        "0",
        "365",
        "none: states differ. Nebraska 17 calendar days after the start (ne1call.com/ticket-life), Michigan "
        "21 from the legal start, Illinois 28 from the call, Colorado and Florida 30, Alabama 20 working "
        "days; CGA Best Practices 5-23: where the law is silent ideally 10 working days, at most 20",
        "Calendar days after the legal start that a locate ticket is good for, and its marks from when they "
        "were made; older ones get a warning. 0: not stated; look it up with your one-call center. An "
        "expiry on the ticket comes first."};
    life.number = [](const Rules& rules) { return static_cast<double>(rules.office.ticket_life_days.value_or(0)); };
    life.set_number = [](Rules& rules, double value) {
        rules.office.ticket_life_days = value > 0 ? std::optional(static_cast<int>(value)) : std::nullopt;
    };
    return {
        life,
        number_row({"request.extra_width", Measure::length, "2 ft", "0 in", "30 ft", "common practice, no source",
                    "White lines of the locate request reach this far beyond the trench, so that the line may still "
                    "move when marks are exposed."},
                   [](auto& rules) -> auto& { return rules.office.request_extra_width_m; }),
    };
}

} // namespace trenchwright
