#pragma once

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/rules/rules.hpp"

#include <array>
#include <cstddef>
#include <memory>
#include <mutex>
#include <optional>
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

/// What is weaker than keeping the wedge, in order; nothing where the job gives no footing.
std::vector<BesideFooting> weaker_beside_footing(const Rules& rules);

/// Pipes in use that are smaller outside than the drain's own, the largest first.
std::vector<std::size_t> smaller_pipes(const Rules& rules);

/// The smaller pipe that a trench on this line ends in; nothing without one.
std::optional<ReducedEnd> reduced_end(const Polyline& line, const Outlet& outlet, const Rules& rules,
                                      const Easing& easing);

} // namespace trenchwright
