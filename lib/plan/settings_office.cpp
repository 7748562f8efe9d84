#include "plan/settings_table.hpp"

namespace trenchwright {

std::vector<SettingRow> office_settings()
{
    SettingRow life;
    life.setting = {"ticket.life_days",
                    Measure::count,
                    "21",
                    "1",
                    "365",
                    "Michigan: 21 calendar days from the legal start; Alabama 20 working days, Colorado and Florida 30",
                    "Calendar days that a locate ticket and its marks are good for; older ones get a warning."};
    life.number = [](const Rules& rules) { return static_cast<double>(rules.office.ticket_life_days); };
    life.set_number = [](Rules& rules, double value) { rules.office.ticket_life_days = static_cast<int>(value); };
    return {
        life,
        number_row({"request.extra_width", Measure::length, "2 ft", "0 in", "30 ft", "common practice, no source",
                    "White lines of the locate request reach this far beyond the trench, so that the line may still "
                    "move when marks are exposed."},
                   [](auto& rules) -> auto& { return rules.office.request_extra_width_m; }),
    };
}

} // namespace trenchwright
