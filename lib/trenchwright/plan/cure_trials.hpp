#pragma once

#include "trenchwright/plan/eased.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"

#include <functional>
#include <memory>
#include <optional>
#include <variant>

namespace trenchwright {

/// What is otherwise than in the job, for one trial.
struct Change {
    std::function<void(Rules&)> rules{};
    std::function<void(Site&)> site{};
    bool lattices_hold = false; ///< the change concerns outlets, sources' openings or what is laid alone
    bool pumped = false;        ///< the source is lifted by a pump
    bool thorough = false; ///< the line is to be as good as the planner's; else whether it works is all that is asked
};

/// Plans one source to one outlet again, with something changed. Without the extra fall that the job would like: what
/// is looked for only just works.
class CureTrials {
  public:
    /// @param preps  of the same basis
    CureTrials(const PriceBasis& basis, const Ground& ground, const RoutePreps& preps, std::size_t source,
               std::size_t outlet)
        : basis_(basis), ground_(ground), preps_(preps), source_(source), outlet_(outlet)
    {
    }

    [[nodiscard]] const Site& site() const { return basis_.site; }
    [[nodiscard]] const Rules& rules() const { return basis_.rules; }
    [[nodiscard]] const RateBook& book() const { return basis_.book; }
    [[nodiscard]] const Ground& ground() const { return ground_; }
    [[nodiscard]] const Source& source() const { return basis_.site.sources[source_]; }
    [[nodiscard]] const Outlet& outlet() const { return basis_.site.outlets[outlet_]; }
    [[nodiscard]] std::size_t source_index() const { return source_; }
    [[nodiscard]] std::size_t outlet_index() const { return outlet_; }

    [[nodiscard]] std::variant<TrenchPlan, Refusal> tried(const Change& change) const;
    /// Nothing where it is still refused.
    [[nodiscard]] std::optional<TrenchPlan> planned(const Change& change) const;
    /// The price of that trench alone.
    [[nodiscard]] CentSpread price(const TrenchPlan& trench, const Change& change) const;

  private:
    struct Changed {
        std::shared_ptr<const Site> site;
        Rules rules;
    };
    [[nodiscard]] Changed changed(const Change& change) const;

    PriceBasis basis_;
    const Ground& ground_;
    const RoutePreps& preps_;
    std::size_t source_;
    std::size_t outlet_;
};

/// Lengths are changed in steps of this: a tenth of an inch or a millimeter.
double cure_step_m(UnitSystem units);

/// The least number of steps, from 1 to the most, at which a test holds that holds from some number on; 0 when it does
/// not hold at the most.
/// @param guess  where it is likely to begin to hold: the nearer, the fewer calls
int least_steps(int guess, int most, const std::function<bool(int)>& holds);

} // namespace trenchwright
