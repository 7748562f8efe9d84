#include "trenchwright/route/reasons.hpp"

#include "trenchwright/base/missing_text.hpp"
#include "trenchwright/route/cover.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

Refusal plain(RefusalKind kind, std::string text)
{
    return {.kind = kind,
            .text = std::move(text),
            .at = std::nullopt,
            .station_m = std::nullopt,
            .short_by_m = std::nullopt};
}

std::string signed_height(double height_m, UnitSystem units)
{
    return fmt::format("{} {}", length_text(std::abs(height_m), units), height_m < 0 ? "below" : "above");
}

/// What the search on a lattice says is missing.
MissingFall missing_of(const NoPath& reason, const Lattice& lattice, const Site& site, const Outlet& outlet,
                       const Ground& ground, const RouteRules& rules)
{
    const Point at = lattice.at(reason.cell);
    return {.by_m = reason.short_um * 1e-6,
            .at = at,
            .station_m = reason.distance_m,
            .ground_elev_m = ground.elev_m(at).value_or(0),
            .end_elev_m = elev_of_um_m(reason.end_um, lattice.datum_elev_m),
            .cover = cover_at(site, outlet, at, rules),
            .opening_elev_m = std::nullopt};
}

Refusal too_deep(const NoPath& reason, const Lattice& lattice, const RouteRules& rules, UnitSystem units)
{
    const double excess = reason.short_um * 1e-6;
    return {.kind = RefusalKind::too_deep,
            .text = fmt::format("drains only with a trench {} deeper than the limit of {}, near {}",
                                missing_text(excess, units), depth_text(rules.deepest_cut_m, units),
                                station_text(reason.distance_m, units)),
            .at = lattice.at(reason.cell),
            .station_m = reason.distance_m,
            .short_by_m = excess};
}

} // namespace

Refusal falls_short(const MissingFall& missing, const RouteRules& rules, UnitSystem units)
{
    const double deciding = missing.opening_elev_m.value_or(missing.ground_elev_m);
    const std::string rest = missing.opening_elev_m
                                 ? ""
                                 : fmt::format(", the pipe and {} the rest", cover_words(missing.cover, rules, units));
    return {.kind = RefusalKind::falls_short,
            .text = fmt::format("falls short by {} at {}: {} is {} the outlet's lowest invert; the minimum fall of {} "
                                "over {} takes {}{}",
                                missing_text(missing.by_m, units), station_text(missing.station_m, units),
                                missing.opening_elev_m ? "the pipe's highest invert at the wall" : "ground there",
                                signed_height(deciding - missing.end_elev_m, units),
                                fall_text(rules.min_fall_ratio, units), length_text(missing.station_m, units),
                                small_text(rules.min_fall_ratio * missing.station_m, units), rest),
            .at = missing.at,
            .station_m = missing.station_m,
            .short_by_m = missing.by_m};
}

Refusal refusal_for(const std::optional<NoPath>& reason, const Lattice* lattice, const std::vector<EndPoint>& ends,
                    const Site& site, const Outlet& outlet, const Ground& ground, const RouteRules& rules,
                    UnitSystem units)
{
    if (!reason || lattice == nullptr) {
        return plain(RefusalKind::blocked,
                     "a way exists on the search grid but none holds on exact geometry; set search.cell smaller");
    }
    switch (reason->why) {
    case NoPath::Why::falls_short:
        return falls_short(missing_of(*reason, *lattice, site, outlet, ground, rules), rules, units);
    case NoPath::Why::too_deep: return too_deep(*reason, *lattice, rules, units);
    case NoPath::Why::budget:
        return plain(
            RefusalKind::search_budget,
            fmt::format("the search stopped at its limit of {} labels with nothing found; this proves nothing, "
                        "set search.label_budget higher",
                        rules.label_budget));
    case NoPath::Why::blocked: break;
    }
    auto refusal =
        plain(RefusalKind::blocked,
              "no way between the source and the outlet: keep-outs, septic parts, wells, lot lines, missing ground "
              "or clearances close every one");
    refusal.at = ends.front().at;
    return refusal;
}

} // namespace trenchwright
