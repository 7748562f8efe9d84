#include "plan/settings_table.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

struct SurfaceDefault {
    std::string_view kind;
    std::string_view may_enter;
    std::string_view restore;
    std::string_view least_cover;
    std::string_view cover_source;
};

constexpr std::string_view pages = "contractor and how-to pages";
constexpr std::string_view practice = "common practice, no source";

// "tree_lawn" is the strip of lawn between walk and curb, in the right-of-way, as "public_walk" is.
constexpr std::array<SurfaceDefault, 9> surface_defaults{{
    {"lawn", "yes", "1.2/ft2", "6 in", pages},
    {"planting", "yes", "4/ft2", "6 in", practice},
    {"walk", "yes", "14/ft2", "12 in", "how-to pages"},
    {"drive", "yes", "18/ft2", "18 in", "how-to pages (18 to 24 in)"},
    {"patio", "yes", "20/ft2", "12 in", practice},
    {"gravel", "yes", "2/ft2", "12 in", practice},
    {"street", "no", "40/ft2", "24 in", practice},
    {"tree_lawn", "yes", "1.2/ft2", "6 in", practice},
    {"public_walk", "yes", "16/ft2", "12 in", "how-to pages"},
}};

const SurfaceRule& rule_of(const Rules& rules, const std::string& kind)
{
    return rules.route.surfaces.at(kind);
}
SurfaceRule& rule_of(Rules& rules, const std::string& kind)
{
    return rules.route.surfaces[kind];
}

std::vector<SettingRow> rows_of(const SurfaceDefault& shipped)
{
    const std::string kind(shipped.kind);
    return {
        yes_no_row({fmt::format("surfaces.{}.may_enter", kind), Measure::word, std::string(shipped.may_enter), "yes|no",
                    "", std::string(practice), fmt::format("Whether a trench may go through {}.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).may_enter; }),
        number_row({fmt::format("surfaces.{}.restore", kind), Measure::money_per_area, std::string(shipped.restore),
                    "0/ft2", "10000/ft2", "sample figure, not a price list",
                    fmt::format("Putting {} back, per area opened.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).restore_per_m2; }),
        number_row({fmt::format("surfaces.{}.least_cover", kind), Measure::length, std::string(shipped.least_cover),
                    "0 in", "10 ft", std::string(shipped.cover_source),
                    fmt::format("Ground to top of pipe under {}, at least.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).least_cover_m; }),
    };
}

bool is_kind_letter(char letter)
{
    return (letter >= 'a' && letter <= 'z') || (letter >= '0' && letter <= '9') || letter == '_' || letter == '-' ||
           letter == ' ';
}

} // namespace

std::vector<SettingRow> surface_settings()
{
    std::vector<SettingRow> rows{
        word_row({"surfaces.default", Measure::word, "lawn", "", "", "common practice, no source",
                  "Kind of the ground that lies under no surface of the job's layers."},
                 [](auto& rules) -> auto& { return rules.route.default_surface; })};
    for (const auto& shipped : surface_defaults) {
        const auto more = rows_of(shipped);
        rows.insert(rows.end(), more.begin(), more.end());
    }
    return rows;
}

std::vector<SettingRow> surface_rows_of(const std::string& kind)
{
    return rows_of({kind, "", "", "", "the job's own"});
}

std::optional<std::string> surface_kind_in(std::string_view key)
{
    constexpr std::string_view group = "surfaces.";
    for (const std::string_view last : {".may_enter", ".restore", ".least_cover"}) {
        if (key.starts_with(group) && key.ends_with(last) && key.size() > group.size() + last.size()) {
            const auto kind = key.substr(group.size(), key.size() - group.size() - last.size());
            return std::ranges::all_of(kind, is_kind_letter) ? std::optional(std::string(kind)) : std::nullopt;
        }
    }
    return std::nullopt;
}

} // namespace trenchwright
