#include "trenchwright/draw/paper.hpp"

#include <array>

namespace trenchwright {

namespace {

constexpr double pt_in_m = inch_in_m / 72;

struct KnownPaper {
    std::string_view word;
    std::string_view name;
    double width_m;
    double height_m;
    bool iso;
};

constexpr std::array<KnownPaper, 4> papers{{
    {"letter", "letter, 11 x 8.5 in", 11 * inch_in_m, 8.5 * inch_in_m, false},
    {"tabloid", "tabloid, 17 x 11 in", 17 * inch_in_m, 11 * inch_in_m, false},
    {"a4", "A4, 297 x 210 mm", 0.297, 0.210, true},
    {"a3", "A3, 420 x 297 mm", 0.420, 0.297, true},
}};

} // namespace

Paper paper_of(const Rules& rules)
{
    const std::string_view by_units = rules.units == UnitSystem::us ? "tabloid" : "a3";
    const std::string_view wanted = rules.papers.size == "by units" ? by_units : std::string_view(rules.papers.size);
    const auto* found = &papers.front();
    for (const auto& paper : papers) {
        found = paper.word == wanted ? &paper : found;
    }
    return {.name = std::string(found->name),
            .size = {.width_pt = found->width_m / pt_in_m, .height_pt = found->height_m / pt_in_m},
            .iso = found->iso,
            .margin_pt = rules.papers.margin_m / pt_in_m};
}

} // namespace trenchwright
