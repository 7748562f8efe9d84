#include "trenchwright/plan/exact_fall.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/spare_fall.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/profile/corridor.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/route/reasons.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace trenchwright {

namespace {

/// Whatever unit the papers print.
constexpr double step_m = 0.001;
/// Deeper than any trench: without a maximum cut.
constexpr double no_limit_m = 30;

/// Neither a maximum cut nor hard gaps: the fall alone decides.
void relax(Rules& rules)
{
    rules.route.deepest_cut_m = no_limit_m;
    for (auto& [facility, gaps] : rules.clearances.by_facility) {
        gaps.crossing_hard = false;
        gaps.side_hard = false;
    }
}

/// Trials with the outlet lowered by whole steps. Where one drains and is refused for something else, that is kept and
/// no longer looked at.
class Lowering {
  public:
    explicit Lowering(const CureTrials& trials) : trials_(trials) {}

    bool drains(int steps)
    {
        const bool relaxed = besides_.has_value();
        auto outcome = trials_.tried({.rules =
                                          [&](Rules& rules) {
                                              rules.route.outlet_lowered_m += steps * step_m;
                                              if (relaxed) {
                                                  relax(rules);
                                              }
                                          },
                                      .lattices_hold = !relaxed});
        if (auto* refusal = std::get_if<Refusal>(&outcome)) {
            const bool drains_else = refusal->kind == RefusalKind::too_deep || refusal->kind == RefusalKind::clearance;
            if (drains_else && !relaxed) {
                besides_ = std::move(*refusal);
                return drains(steps);
            }
            return false;
        }
        drains_ = JustDrains{
            .lowered_m = steps * step_m, .trench = std::get<TrenchPlan>(std::move(outcome)), .besides = std::nullopt};
        return true;
    }

    /// From a number of steps that drains down to the least. A search may lose a line by chance, so below what seems
    /// the least it is asked once more.
    void lower_to_least(int found)
    {
        constexpr int below = 5;
        for (int least = lowered(found); least > below && drains(least - below);) {
            least = lowered(least - below);
        }
    }

    /// By what each plan's own line has to spare.
    int lowered(int found)
    {
        int fails = 0; // the job as it is does not drain
        int stride = 1;
        bool bracketed = false;
        while (found - fails > 1) {
            const int tried = bracketed ? fails + std::max(1, (found - fails) / 3)
                                        : std::max(fails + 1, found - std::max(stride, spare_steps()));
            const bool works = drains(tried);
            (works ? found : fails) = tried;
            bracketed = bracketed || !works;
            stride *= 2;
        }
        return found;
    }

    /// About how many steps are missing, and more where that is too few.
    void search(double guess_m)
    {
        const int guess = std::max(1, static_cast<int>(std::ceil(guess_m / step_m)));
        for (const int more : {0, 2, 5, 16, 60}) {
            if (drains(guess + more)) {
                lower_to_least(guess + more);
                return;
            }
        }
    }

    [[nodiscard]] std::optional<JustDrains> found() &&
    {
        if (drains_) {
            drains_->besides = std::move(besides_);
        }
        return std::move(drains_);
    }

  private:
    [[nodiscard]] int spare_steps() const
    {
        return static_cast<int>(std::floor(extra_fall(drains_->trench.laid.problem, false).room_m / step_m));
    }

    const CureTrials& trials_;
    std::optional<Refusal> besides_;
    std::optional<JustDrains> drains_;
};

/// Room under the opening in the wall, where that decides and not the ground.
bool opening_decides(const CureTrials& trials, const TrenchPlan& trench, double station_m, double need_elev_m)
{
    const auto& problem = trench.laid.problem;
    constexpr double at_wall_m = 1e-6;
    return trials.source().highest_invert_elev_m && station_m > problem.ground.back().station_m - at_wall_m &&
           *trials.source().highest_invert_elev_m < need_elev_m + step_m;
}

/// Of the surfaces that meet at a station the one that asks for more, by the rules that the trench was planned by.
CoverAt cover_about(const CureTrials& trials, const TrenchPlan& trench, double station_m)
{
    constexpr double beside_m = 0.002;
    const auto route = planning_rules(trials.rules(), easing_of({&trench}, trials.rules())).route;
    const auto& line = trench.line.route.line;
    const auto at = [&](double station) {
        const double inside = std::clamp(station, 0.0, length_m(line));
        return cover_at(trials.site(), trials.outlet(), point_at(line, inside), route);
    };
    const std::array covers{at(station_m - beside_m), at(station_m + beside_m)};
    return covers[0].cover_m > covers[1].cover_m ? covers[0] : covers[1];
}

} // namespace

std::optional<JustDrains> just_drains(const CureTrials& trials, double guess_m)
{
    Lowering lowering(trials);
    lowering.search(guess_m);
    return std::move(lowering).found();
}

Refusal exact_refusal(const CureTrials& trials, const JustDrains& drains)
{
    const auto& trench = drains.trench;
    const auto& problem = trench.laid.problem;
    const auto rooms = corridor_of(with_all_cover_taken(problem)).rooms;
    const auto tight = std::ranges::min_element(rooms, {}, &Room::max_m);
    const double station = tight->station_m;
    const double stated = problem.lowest_outlet_invert_elev_m + drains.lowered_m;
    const double need = problem.lowest_outlet_invert_elev_m + problem.min_fall_ratio * station;
    MissingFall missing{.by_m = drains.lowered_m,
                        .at = point_at(trench.line.route.line, station),
                        .station_m = station,
                        .ground_elev_m = elev_along_m(problem.ground, station),
                        .end_elev_m = stated,
                        .cover = cover_about(trials, trench, station),
                        .opening_elev_m = std::nullopt};
    if (opening_decides(trials, trench, station, need)) {
        missing.opening_elev_m = trials.source().highest_invert_elev_m;
    }
    auto refusal = falls_short(missing, trials.rules().route, trials.rules().units);
    if (drains.besides) {
        refusal.text += ". With that fall besides: " + drains.besides->text;
    }
    return refusal;
}

} // namespace trenchwright
