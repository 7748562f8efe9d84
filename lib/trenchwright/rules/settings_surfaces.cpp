#include "trenchwright/rules/settings_table.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

struct SurfaceDefault {
    std::string_view kind;
    std::string_view may_enter;
    std::string_view restore;
    std::string_view min_cover;
    std::string_view cover_source;
    std::string_view lowest_cover;
    std::string_view pipe_class;
    std::string_view slab;
    std::string_view slab_source;
    std::string_view vehicles;
};

constexpr std::string_view pages = "contractor and how-to pages";
constexpr std::string_view practice = "common practice, no source";
constexpr std::string_view own = "the job's own";

// "parkway" is the strip of lawn between sidewalk and curb, in the right-of-way, as "public_sidewalk" is.
constexpr std::string_view silverton = "Silverton OR public works standards, appendix B, notes 62-63";
constexpr std::string_view no_slab = "no slab";
constexpr std::string_view any_pipe = "any";
constexpr std::string_view strong_pipe = "SDR 35 or Schedule 40";

constexpr std::array<SurfaceDefault, 9> surface_defaults{{
    {"lawn", "yes", "1.2/ft2", "6 in", pages, "4 in", any_pipe, "0 in", no_slab, "no"},
    {"planting", "yes", "4/ft2", "6 in", practice, "0 in", any_pipe, "0 in", no_slab, "no"},
    {"sidewalk", "yes", "14/ft2", "12 in", "how-to pages", "0 in", any_pipe, "4 in", silverton, "no"},
    {"driveway", "yes", "18/ft2", "18 in", "how-to pages (18 to 24 in)", "0 in", strong_pipe, "6 in", silverton, "yes"},
    {"patio", "yes", "20/ft2", "12 in", practice, "0 in", any_pipe, "4 in", practice, "no"},
    {"gravel", "yes", "2/ft2", "12 in", practice, "0 in", strong_pipe, "0 in", no_slab, "no"},
    {"street", "no", "40/ft2", "24 in", practice, "0 in", strong_pipe, "6 in", practice, "yes"},
    {"parkway", "yes", "1.2/ft2", "6 in", practice, "4 in", any_pipe, "0 in", no_slab, "no"},
    {"public_sidewalk", "yes", "16/ft2", "12 in", "how-to pages", "0 in", any_pipe, "4 in", silverton, "no"},
}};

const SurfaceRule& rule_of(const Rules& rules, const std::string& kind)
{
    return rules.route.surfaces.at(kind);
}
SurfaceRule& rule_of(Rules& rules, const std::string& kind)
{
    return rules.route.surfaces[kind];
}

/// Rows that a kind of one's own may leave out: until it has them it has no slab, keeps its own cover everywhere and
/// takes any pipe.
std::vector<SettingRow> paving_rows(const SurfaceDefault& shipped)
{
    const std::string kind(shipped.kind);
    return {
        number_row({fmt::format("ground_cover.{}.lowest_cover", kind), Measure::length,
                    std::string(shipped.lowest_cover), "0 in", "10 ft", std::string(practice),
                    fmt::format("Cover under {} that is taken, with a warning and a price, where nothing drains with "
                                "min_cover; 0: none.",
                                kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).lowest_cover_m; }),
        word_row({fmt::format("ground_cover.{}.pipe", kind), Measure::word, std::string(shipped.pipe_class), "", "",
                  std::string(shipped.pipe_class == strong_pipe
                                  ? "county storm drain manual: no thin-wall pipe under vehicles, from memory"
                                  : practice),
                  fmt::format("Strength class of pipe under {}, in words: printed where a trench passes it.", kind)},
                 [kind](auto& rules) -> auto& { return rule_of(rules, kind).pipe_class; }),
        number_row({fmt::format("ground_cover.{}.slab", kind), Measure::length, std::string(shipped.slab), "0 in",
                    "24 in", std::string(shipped.slab_source),
                    fmt::format("Thickness of the slab of {}, into which no pipe is laid; 0: none.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).slab_m; }),
        yes_no_row({fmt::format("ground_cover.{}.vehicles", kind), Measure::word, std::string(shipped.vehicles),
                    "yes|no", "", std::string(practice),
                    fmt::format("Whether {} carries vehicles: then its own cover holds near every outlet too.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).carries_vehicles; }),
    };
}

std::vector<SettingRow> rows_of(const SurfaceDefault& shipped)
{
    const std::string kind(shipped.kind);
    return {
        yes_no_row({fmt::format("ground_cover.{}.may_enter", kind), Measure::word, std::string(shipped.may_enter),
                    "yes|no", "", std::string(practice), fmt::format("Whether a trench may go through {}.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).may_enter; }),
        number_row({fmt::format("ground_cover.{}.restore", kind), Measure::money_per_area, std::string(shipped.restore),
                    "0/ft2", "10000/ft2", "sample figure, not a price list",
                    fmt::format("Restoring {}, per area opened.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).restore_per_m2; }),
        number_row({fmt::format("ground_cover.{}.min_cover", kind), Measure::length, std::string(shipped.min_cover),
                    "0 in", "10 ft", std::string(shipped.cover_source),
                    fmt::format("Ground to top of pipe under {}, at least.", kind)},
                   [kind](auto& rules) -> auto& { return rule_of(rules, kind).min_cover_m; }),
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
        word_row({"ground_cover.default", Measure::word, "lawn", "", "", "common practice, no source",
                  "Kind of the ground that lies under no surface of the job's layers."},
                 [](auto& rules) -> auto& { return rules.route.default_surface; })};
    for (const auto& shipped : surface_defaults) {
        for (const auto& more : {rows_of(shipped), paving_rows(shipped)}) {
            rows.insert(rows.end(), more.begin(), more.end());
        }
    }
    return rows;
}

std::vector<SettingRow> surface_rows_of(const std::string& kind)
{
    return rows_of({kind, "", "", "", own, "", "", "", "", ""});
}

std::vector<SettingRow> paving_rows_of(const std::string& kind)
{
    return paving_rows({kind, "", "", "", "", "", "", "", own, ""});
}

std::optional<std::string> surface_kind_in(std::string_view key)
{
    constexpr std::string_view group = "ground_cover.";
    for (const std::string_view last :
         {".may_enter", ".restore", ".min_cover", ".lowest_cover", ".pipe", ".slab", ".vehicles"}) {
        if (key.starts_with(group) && key.ends_with(last) && key.size() > group.size() + last.size()) {
            const auto kind = key.substr(group.size(), key.size() - group.size() - last.size());
            return std::ranges::all_of(kind, is_kind_letter) ? std::optional(std::string(kind)) : std::nullopt;
        }
    }
    return std::nullopt;
}

} // namespace trenchwright
