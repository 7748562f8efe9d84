#pragma once

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/rules/rules.hpp"

#include <array>
#include <cstddef>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

namespace trenchwright {

/// How a plan treats the wedge of our footing, RouteRules::wedge; each weaker than the one before.
enum class BesideFooting {
    kept,
    let_off_at_wall, ///< not within RouteRules::wall_exit_length_m of the source, where the pipe has to leave the wall
    not_kept
};

/// What a plan takes where nothing works by the rules as they stand.
struct Easing {
    bool lowest_cover = false;              ///< of every ground cover, in place of the cover wanted
    std::optional<std::size_t> curb_pipe{}; ///< it ends in this one of WaterRules::pipes, smaller than its own
    BesideFooting footing = BesideFooting::kept;
    friend bool operator==(const Easing&, const Easing&) = default;
};

/// What every search on a site shares, by what its plan takes; made when first asked for. For any number of threads.
class RoutePreps {
  public:
    /// All three must outlive it.
    RoutePreps(const Site& site, const Ground& ground, const Rules& rules);
    [[nodiscard]] const RoutePrep& of(const Easing& easing) const;

  private:
    const Site& site_;
    const Ground& ground_;
    const Rules& rules_;
    struct Made {
        std::once_flag once;
        std::shared_ptr<const RoutePrep> prep;
    };
    mutable std::array<std::array<Made, 2>, 3> made_; ///< by how the wedge is treated, and with the lowest cover or not
};

/// The rules that a plan is searched and laid by.
Rules planning_rules(Rules rules, const Easing& easing);
/// Those that it is measured against: they want the whole cover.
Rules measuring_rules(Rules rules, const Easing& easing);

/// Plans clear of our footing; where nothing does that, not clear of it on the way out of the wall alone, else not at
/// all: the findings of both say STOP. Where it is only asked whether any works, the weakest decides.
/// @param with  a plan by how it treats the wedge: a variant whose first kind is one that works
/// @param may_help  whether a weaker one is worth a try after this refusal
template <typename With, typename MayHelp>
auto as_clear_of_footing_as_can_be(const Rules& rules, const With& with, const MayHelp& may_help)
{
    if (!rules.route.polish) {
        return with(BesideFooting::not_kept);
    }
    auto clear = with(BesideFooting::kept);
    if (!rules.route.wedge || clear.index() == 0 || !may_help(clear)) {
        return clear;
    }
    auto anywhere = with(BesideFooting::not_kept); // first: where this is refused so is what is stricter
    if (anywhere.index() != 0) {
        return anywhere;
    }
    auto at_wall = with(BesideFooting::let_off_at_wall);
    return at_wall.index() == 0 ? std::move(at_wall) : std::move(anywhere);
}

/// Pipes in use that are smaller outside than the drain's own, the largest first.
std::vector<std::size_t> smaller_pipes(const Rules& rules);

/// The smaller pipe that a trench on this line ends in; nothing without one.
std::optional<ReducedEnd> reduced_end(const Polyline& line, const Outlet& outlet, const Rules& rules,
                                      const Easing& easing);

} // namespace trenchwright
