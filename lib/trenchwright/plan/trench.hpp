#pragma once

#include "trenchwright/plan/plan.hpp"

namespace trenchwright {

/// Works out one source to one outlet: route, profile, quantities, findings.
///
/// Planned with drain.least_spare_fall to spare where that can be had, else with less and a warning.
std::variant<TrenchPlan, Refusal> plan_trench(const RoutePrep& prep, const Site& site, const Ground& ground,
                                              const Rules& rules, std::size_t source, std::size_t outlet);

/// A pump's line under pressure all the way to the outlet, for where gravity does not serve; or in words why there is
/// none.
std::variant<TrenchPlan, std::string> plan_pressure(const RoutePrep& prep, const Site& site, const Ground& ground,
                                                    const Rules& rules, std::size_t source, std::size_t outlet);

/// All sources to one outlet in one drain, worked out; or in words why there is none.
std::variant<std::vector<TrenchPlan>, std::string>
plan_shared(const RoutePrep& prep, const Site& site, const Ground& ground, const Rules& rules, std::size_t outlet);

/// A trench on its line, with the problem its profile has to solve; nothing laid yet.
TrenchPlan on_route(Route route, const Site& site, const Ground& ground, const Rules& rules, std::size_t source,
                    std::size_t outlet);

/// Lays the profile: past every facility at a known depth, with its gap; a pump's line at the least cover.
/// @return why it cannot be laid: in words where a gap cannot be kept, otherwise as lay_profile; nothing when it is
std::optional<Refusal> lay_trench(TrenchPlan& trench, const Site& site, const Rules& rules);

/// Everything after the route, for the profile laid.
void fill_in(TrenchPlan& trench, const Site& site, const Rules& rules);

/// The lid of the pop-up by which a trench's water leaves, through whatever it joins; nothing for another outlet.
std::optional<double> lid_elev_m(const OutletOutcome& outcome, const TrenchPlan& trench, const Site& site);

/// Whether a gravity line stands full up to its wall before the lid opens.
bool stands_full(const OutletOutcome& outcome, const Site& site);

/// Whether the joint of a pump's line lies below the lid, so that the water leaves there and not by the lid.
bool spills_below(const TrenchPlan& trench, const Site& site, const Rules& rules, double lid_elev_m);

/// A lid above the invert at the wall; not where a pump's joint spills below it, which pump_joint_findings says.
std::vector<Finding> lid_findings(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                  std::optional<double> lid_elev_m);

/// Where the pump's line can let water out when it is frozen or blocked, if anywhere, and whether it does so before
/// the lid opens. Nothing for a downspout.
std::vector<Finding> pump_joint_findings(const TrenchPlan& trench, const Site& site, const Rules& rules,
                                         std::optional<double> lid_elev_m = std::nullopt);

/// Its crossings and where it runs along marks.
std::vector<Finding> mark_findings(const TrenchPlan& trench, const Site& site, const Rules& rules);

/// What the crew and the office must know about one trench; stations along it.
std::vector<Finding> trench_findings(const TrenchPlan& trench, const Site& site, const Rules& rules);

/// 0 yes, 1 ask, 2 unstated or no: the worst that an outlet says of the sources' kinds of water.
int permission_step(const Site& site, const Outlet& outlet);

/// Puts the outcomes in order and writes down which step of ranking_rules() placed each.
void rank(std::vector<OutletOutcome>& outcomes, const Site& site);

} // namespace trenchwright
