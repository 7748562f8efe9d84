#include "trenchwright/plan/shared.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/findings.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/lay_trench.hpp"
#include "trenchwright/plan/spare_fall.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/route/drain.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <span>

namespace trenchwright {

namespace {

/// A drain may miss a little when laid in straight grades a step below what joins it. Then it is planned again with
/// junctions that much higher.
constexpr int max_tries = 3;
constexpr double little_m = 0.02;
constexpr double margin_m = 0.001;
constexpr double same_place_m = 1e-6;

DrainRules drain_rules(const Rules& rules)
{
    const auto& junction = rules.water.junction;
    DrainRules drain{.junction_angle_rad = junction.angle_rad,
                     .junction_price = junction.price,
                     .junction_rise_m = junction.rise_m,
                     .pressure_rise_m = junction.pressure_rise_m,
                     .pressure_section = rules.route.section};
    drain.pressure_section.outside_diameter_m = rules.water.pump_line.outside_diameter_m;
    drain.pressure_section.wall_m = rules.water.pump_line.wall_m;
    return drain;
}

/// Lays the trenches of a drain: a trunk before what joins it, below what can reach it.
class DrainLayer {
  public:
    /// @param first  of the drain's sources, which follow each other in the site
    DrainLayer(const PlannedDrain& drain, const Site& site, const Ground& ground, const Rules& rules,
               const Easing& easing, std::size_t first, std::size_t outlet)
        : drain_(drain), site_(site), ground_(ground), easing_(easing), rules_(planning_rules(rules, easing)),
          wanted_(measuring_rules(rules, easing)), branch_rules_(rules_), branch_wanted_(rules),
          pump_rules_(planning_rules(rules, {.footing = easing.footing})), first_(first), outlet_(outlet),
          trenches_(drain.line.trenches.size()), base_elev_m_(drain.line.trenches.size())
    {
        branch_rules_.route.curb_pipe.reset(); // the drain's end alone is a smaller pipe
        pump_rules_.route.section = drain_rules(rules).pressure_section;
    }

    std::variant<std::vector<TrenchPlan>, std::string> lay()
    {
        for (std::size_t i = 0; i < drain_.line.trenches.size(); ++i) {
            if (drain_.line.trenches[i].joins < 0 && !lay_one(i)) {
                return why_;
            }
        }
        return std::move(trenches_);
    }

    /// Fall that the trench lacked which could not be laid.
    [[nodiscard]] double missing_m() const { return missing_m_; }

  private:
    [[nodiscard]] bool is_pump(std::size_t source) const
    {
        return site_.sources[first_ + source].kind == SourceKind::pump;
    }
    [[nodiscard]] double rise_m(std::size_t source) const
    {
        const auto& junction = rules_.water.junction;
        return is_pump(source) ? junction.pressure_rise_m : junction.rise_m;
    }

    [[nodiscard]] std::vector<std::size_t> joining(std::size_t source) const
    {
        std::vector<std::size_t> others;
        for (std::size_t i = 0; i < drain_.line.trenches.size(); ++i) {
            if (drain_.line.trenches[i].joins == static_cast<int>(source)) {
                others.push_back(i);
            }
        }
        return others;
    }

    /// Of the junction at which a trench ends, along the one it joins.
    [[nodiscard]] double junction_station_m(std::size_t branch) const
    {
        const auto& end = drain_.line.trenches[branch];
        const auto& trunk = drain_.line.trenches[static_cast<std::size_t>(end.joins)].downstream;
        return length_m(Polyline(trunk.begin() + static_cast<std::ptrdiff_t>(end.at_vertex), trunk.end()));
    }

    [[nodiscard]] Route route_of(std::size_t source) const
    {
        const auto& trench = drain_.line.trenches[source];
        Polyline upstream = trench.downstream;
        std::reverse(upstream.begin(), upstream.end());
        Route route{.line = std::move(upstream), .end = drain_.line.end};
        route.end.at = route.line.front();
        const bool trunk = trench.joins < 0;
        route.cost = trunk ? drain_.cost : 0;
        route.lattice_cost = trunk ? drain_.lattice_cost : 0;
        route.labels = trunk ? drain_.labels : 0;
        return route;
    }

    void set_ends(TrenchPlan& trench, const std::optional<Junction>& junction) const
    {
        auto& problem = trench.laid.problem;
        if (junction) {
            trench.joins = junction;
            problem.lowest_outlet_invert_elev_m = junction->trunk_invert_elev_m + rise_m(trench.source - first_);
            problem.highest_outlet_invert_elev_m = junction->trunk_invert_elev_m + rules_.water.junction.max_drop_m;
            trench.line.route.end.lowest_invert_elev_m = problem.lowest_outlet_invert_elev_m;
            trench.line.route.end.highest_invert_elev_m = problem.highest_outlet_invert_elev_m;
        }
        for (const std::size_t branch : joining(trench.source - first_)) { // a trunk stays one step below what joins it
            const double station = junction_station_m(branch);
            for (auto& bend : trench.line.bends) { // the wye takes it up
                bend.price = std::abs(bend.station_m - station) < same_place_m ? 0 : bend.price;
            }
            problem.bend_stations_m.push_back(station);
            problem.ceilings.push_back(
                {.station_m = station,
                 .invert_elev_m = drain_.highest_ends_elev_m[branch] - rise_m(branch) - problem.invert_step_m});
        }
        std::sort(problem.bend_stations_m.begin(), problem.bend_stations_m.end());
    }

    /// Where the least-fall line from the outlet's lowest invert comes up under station 0 of a trench.
    void set_base(const TrenchPlan& trench, const std::optional<Junction>& junction)
    {
        base_elev_m_[trench.source - first_] = junction ? base_elev_m_[junction->source - first_] +
                                                              trench.laid.problem.min_fall_ratio * junction->station_m +
                                                              rise_m(trench.source - first_)
                                                        : trench.laid.problem.lowest_outlet_invert_elev_m;
    }

    /// A branch's is counted from the outlet like its trunk's, not from the trunk as it is laid: where that may lie
    /// lower, so may what joins it.
    void set_spare_fall(TrenchPlan& trench, const Junction& junction) const
    {
        if (trench.pressure) { // falls by itself nowhere; what it joins has to
            trench.laid.extra_fall_m = trenches_[junction.source - first_].laid.extra_fall_m;
            trench.laid.extra_fall_station_m = 0;
            return;
        }
        auto problem = trench.laid.problem;
        problem.lowest_outlet_invert_elev_m = base_elev_m_[trench.source];
        const auto spare = extra_fall(problem, rests_on_ground(site_.outlets[outlet_]));
        trench.laid.extra_fall_m = spare.room_m;
        trench.laid.extra_fall_station_m = spare.station_m;
    }

    bool lay_one(std::size_t source, const std::optional<Junction>& junction = std::nullopt)
    {
        const Rules& rules = is_pump(source) ? pump_rules_ : junction ? branch_rules_ : rules_;
        TrenchPlan trench = on_route(route_of(source), site_, ground_, rules, first_ + source, outlet_);
        trench.pressure = is_pump(source);
        trench.permission = permission_for(site_, site_.outlets[outlet_], site_.sources[first_ + source]);
        set_ends(trench, junction);
        if (easing_.lowest_cover && !trench.pressure) {
            want_cover(trench, site_, junction ? branch_wanted_ : wanted_);
        }
        if (const auto refusal = lay_trench(trench, site_, rules)) {
            missing_m_ = refusal->kind == RefusalKind::falls_short ? refusal->short_by_m.value_or(0) : 0;
            const auto by = small_text(refusal->short_by_m.value_or(0), rules_.units);
            why_ = refusal->kind == RefusalKind::clearance
                       ? refusal->text
                       : fmt::format("laid in straight grades, the trench of {} comes out {} by {}",
                                     site_.sources[first_ + source].id,
                                     refusal->kind == RefusalKind::too_deep ? "too deep" : "too flat",
                                     by == small_text(0, rules_.units) ? "a hair" : by);
            return false;
        }
        const Rules& wanted = is_pump(source) ? pump_rules_ : junction ? branch_wanted_ : wanted_;
        if (!junction && !is_pump(source)) {
            trench.laid.reduced = reduced_end(trench.line.route.line, site_.outlets[outlet_], wanted, easing_);
        }
        measure_and_price_trench(trench, site_, wanted);
        set_base(trench, junction);
        if (junction) {
            set_spare_fall(trench, *junction);
        }
        trench.findings = trench_findings(trench, site_, ground_, wanted);
        trenches_[source] = std::move(trench);
        return lay_joining(source);
    }

    bool lay_joining(std::size_t source)
    {
        const auto& trunk = drain_.line.trenches[source].downstream;
        for (const std::size_t branch : joining(source)) {
            const double station = junction_station_m(branch);
            const auto& trench = drain_.line.trenches[branch];
            const Point& before = trench.downstream[trench.downstream.size() - 2];
            const Point& at = trench.downstream.back();
            const double angle = turn_rad(before, at, trunk[trench.at_vertex + 1]);
            const Junction junction{.source = first_ + source,
                                    .station_m = station,
                                    .angle_rad = angle,
                                    .trunk_invert_elev_m = invert_at_m(trenches_[source].laid.profile.points, station),
                                    .at = at};
            if (!lay_one(branch, junction)) {
                return false;
            }
        }
        return true;
    }

    const PlannedDrain& drain_;
    const Site& site_;
    const Ground& ground_;
    Easing easing_;
    Rules rules_;  ///< trenches are laid by
    Rules wanted_; ///< they are measured against
    Rules branch_rules_;
    Rules branch_wanted_;
    Rules pump_rules_;
    std::size_t first_;
    std::size_t outlet_;
    std::vector<TrenchPlan> trenches_;
    std::vector<double> base_elev_m_; ///< by source, see set_base()
    std::string why_;
    double missing_m_ = 0;
};

/// A drain laid, or why the first of those given cannot be.
struct LaidDrain {
    std::variant<std::vector<TrenchPlan>, std::string> trenches;
    double missing_m = 0; ///< fall that the first one lacks; 0 where any can be laid
};

LaidDrain best_laid(const std::vector<PlannedDrain>& drains, const Site& site, const Ground& ground, const Rules& asked,
                    const Easing& easing, std::size_t first, std::size_t outlet)
{
    const RateBook book = settings_book(asked);
    std::optional<LaidDrain> best;
    double least = 0;
    for (const auto& drain : drains) {
        DrainLayer layer(drain, site, ground, asked, easing, first, outlet);
        auto laid = layer.lay();
        const auto* trenches = std::get_if<std::vector<TrenchPlan>>(&laid);
        if (trenches == nullptr) {
            best = best ? std::move(best) : LaidDrain{.trenches = std::move(laid), .missing_m = layer.missing_m()};
            continue;
        }
        std::vector<const TrenchPlan*> all;
        for (const auto& trench : *trenches) {
            all.push_back(&trench);
        }
        const double weight = laid_price(all, site, asked, book);
        if (!best || std::holds_alternative<std::string>(best->trenches) || weight < least) {
            least = weight;
            best = LaidDrain{.trenches = std::move(laid)};
        }
    }
    return *std::move(best);
}

/// Sources that follow each other in the site, worked out as one drain.
std::variant<std::vector<TrenchPlan>, std::string> plan_some(const RoutePrep& prep, const Site& site,
                                                             const Ground& ground, const Rules& asked,
                                                             const Easing& easing, std::size_t first, std::size_t count,
                                                             std::size_t outlet)
{
    const std::span<const Source> sources(site.sources.begin() + static_cast<std::ptrdiff_t>(first), count);
    const Rules rules = planning_rules(asked, easing);
    RouteRules route = rules.route;
    route.reserve_fall_m = rules.min_extra_fall_m;
    DrainRules drain = drain_rules(rules);
    for (int attempt = 1;; ++attempt) {
        const auto planned = plan_drains(prep, site, ground, sources, site.outlets[outlet], route, drain, rules.units);
        if (const auto* why = std::get_if<std::string>(&planned)) {
            return *why;
        }
        auto laid = best_laid(std::get<std::vector<PlannedDrain>>(planned), site, ground, asked, easing, first, outlet);
        if (attempt == max_tries || !(laid.missing_m > 0 && laid.missing_m < little_m)) {
            return std::move(laid.trenches);
        }
        drain.junction_rise_m += laid.missing_m + margin_m;
        drain.pressure_rise_m += laid.missing_m + margin_m;
    }
}

} // namespace

std::variant<TrenchPlan, std::string> plan_pressure(const RoutePreps& preps, const Site& site, const Ground& ground,
                                                    const Rules& rules, std::size_t source, std::size_t outlet)
{
    const auto with = [&](BesideFooting footing) {
        const Easing easing{.footing = footing};
        return plan_some(preps.of(easing), site, ground, rules, easing, source, 1, outlet);
    };
    auto planned = as_clear_of_footing_as_can_be(rules, with, [](const auto&) { return true; });
    if (auto* why = std::get_if<std::string>(&planned)) {
        return std::move(*why);
    }
    return std::move(std::get<std::vector<TrenchPlan>>(planned).front());
}

std::variant<std::vector<TrenchPlan>, std::string> plan_shared(const RoutePreps& preps, const Site& site,
                                                               const Ground& ground, const Rules& rules,
                                                               std::size_t outlet, const Easing& easing)
{
    return plan_some(preps.of(easing), site, ground, rules, easing, 0, site.sources.size(), outlet);
}

} // namespace trenchwright
