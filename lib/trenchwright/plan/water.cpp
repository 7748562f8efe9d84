#include "trenchwright/plan/water.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/flow/network.hpp"
#include "trenchwright/flow/runoff.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/pump_check.hpp"
#include "trenchwright/plan/pump_findings.hpp"
#include "trenchwright/plan/reach_pipes.hpp"
#include "trenchwright/plan/water_findings.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

/// Junctions nearer than this are one.
constexpr double same_place_m = 1e-6;

/// A reach on its way through the network.
struct Node {
    TrenchPlan* trench = nullptr;
    std::size_t reach = 0;
    FlowNode flow;
    bool unknown_inflow = false;
};

/// Falls at each stretch between two points of the profile; the least over the span.
double min_fall_ratio(const TrenchPlan& trench, const Interval& span)
{
    const auto& points = trench.laid.profile.points;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double from = std::max(points[i - 1].station_m, span.from_m);
        const double to = std::min(points[i].station_m, span.to_m);
        if (to - from > same_place_m) {
            least = std::min(least, (points[i].invert_elev_m - points[i - 1].invert_elev_m) /
                                        (points[i].station_m - points[i - 1].station_m));
        }
    }
    return std::isfinite(least) ? std::max(0.0, least) : 0;
}

std::vector<TrenchPlan*> trenches_of(OutletOutcome& outcome)
{
    std::vector<TrenchPlan*> trenches;
    for (auto& by : outcome.by_source) {
        trenches.push_back(std::get_if<TrenchPlan>(&by));
    }
    return trenches;
}

std::vector<Reach> reaches_of(const TrenchPlan& trench, const std::vector<TrenchPlan*>& trenches)
{
    const double length = trench.laid.profile.points.empty() ? 0 : trench.laid.profile.points.back().station_m;
    std::vector<double> stations{0, length};
    for (const auto* other : trenches) {
        if (other != nullptr && other->joins && other->joins->source == trench.source) {
            stations.push_back(std::clamp(other->joins->station_m, 0.0, length));
        }
    }
    std::sort(stations.begin(), stations.end());
    std::vector<Reach> reaches;
    double from = stations.front();
    for (const double to : stations) {
        if (to - from > same_place_m) {
            reaches.push_back({.span = {from, to}});
            from = to;
        }
    }
    for (auto& reach : reaches) {
        reach.min_fall_ratio = trench.pressure ? 0 : min_fall_ratio(trench, reach.span);
    }
    return reaches;
}

/// The reach just below a station; nothing at the trench's lower end.
std::optional<std::size_t> reach_below(const TrenchPlan& trench, double station_m)
{
    for (std::size_t i = trench.water.reaches.size(); i-- > 0;) {
        if (trench.water.reaches[i].span.from_m < station_m - same_place_m) {
            return i;
        }
    }
    return std::nullopt;
}

/// Reaches of all trenches as nodes of one network, each leading to the one below it.
class Network {
  public:
    explicit Network(const std::vector<TrenchPlan*>& trenches) : trenches_(trenches), first_(trenches.size())
    {
        for (std::size_t i = 0; i < trenches.size(); ++i) {
            first_[i] = nodes_.size();
            for (std::size_t r = 0; trenches[i] != nullptr && r < trenches[i]->water.reaches.size(); ++r) {
                nodes_.push_back({.trench = trenches[i], .reach = r, .flow = {}, .unknown_inflow = false});
            }
        }
        for (std::size_t i = 0; i < trenches.size(); ++i) {
            for (std::size_t r = 0; trenches[i] != nullptr && r < trenches[i]->water.reaches.size(); ++r) {
                nodes_[first_[i] + r].flow.downstream = r > 0 ? std::optional(first_[i] + r - 1) : below(i, 0);
            }
        }
    }

    void send(std::size_t source, std::optional<double> flow_m3ps)
    {
        const auto* trench = trenches_[source];
        if (trench == nullptr || trench->water.reaches.empty()) {
            return;
        }
        auto& top = nodes_[first_[source] + trench->water.reaches.size() - 1];
        top.flow.inflow_m3ps = flow_m3ps.value_or(0);
        top.unknown_inflow = !flow_m3ps;
    }

    void gather()
    {
        std::vector<FlowNode> flows;
        std::vector<FlowNode> unknowns;
        for (const auto& node : nodes_) {
            flows.push_back(node.flow);
            unknowns.push_back({.downstream = node.flow.downstream, .inflow_m3ps = node.unknown_inflow ? 1.0 : 0.0});
        }
        const auto known = gathered_flows_m3ps(flows);
        const auto missing = gathered_flows_m3ps(unknowns);
        for (std::size_t i = 0; i < nodes_.size(); ++i) {
            if (missing[i] <= 0) {
                nodes_[i].trench->water.reaches[nodes_[i].reach].flow_m3ps = known[i];
            }
        }
    }

    /// Every reach after all that lead to it, with the greatest of what they gave.
    template <class Visit> void downstream(Visit visit)
    {
        std::vector<std::size_t> waiting(nodes_.size());
        for (const auto& node : nodes_) {
            if (node.flow.downstream) {
                ++waiting[*node.flow.downstream];
            }
        }
        std::vector<double> greatest(nodes_.size());
        std::vector<std::size_t> ready;
        for (std::size_t i = 0; i < nodes_.size(); ++i) {
            if (waiting[i] == 0) {
                ready.push_back(i);
            }
        }
        while (!ready.empty()) {
            const std::size_t at = ready.back();
            ready.pop_back();
            const double given = std::max(greatest[at], visit(*nodes_[at].trench, nodes_[at].reach, greatest[at]));
            if (const auto next = nodes_[at].flow.downstream) {
                greatest[*next] = std::max(greatest[*next], given);
                if (--waiting[*next] == 0) {
                    ready.push_back(*next);
                }
            }
        }
    }

  private:
    [[nodiscard]] std::optional<std::size_t> below(std::size_t source, int steps) const
    {
        const auto& joins = trenches_[source]->joins;
        if (!joins) {
            return std::nullopt;
        }
        if (joins->source >= trenches_.size() || trenches_[joins->source] == nullptr ||
            steps > static_cast<int>(trenches_.size())) {
            throw Error(ErrorKind::internal, fmt::format("trench {} joins one that is not there", source));
        }
        const auto reach = reach_below(*trenches_[joins->source], joins->station_m);
        return reach ? std::optional(first_[joins->source] + *reach) : below(joins->source, steps + 1);
    }

    std::vector<TrenchPlan*> trenches_;
    std::vector<std::size_t> first_;
    std::vector<Node> nodes_;
};

void add(std::vector<Finding>& findings, const std::vector<Finding>& more)
{
    findings.insert(findings.end(), more.begin(), more.end());
}

/// What a pump with a table moves in this line, or its stated flow where that is more.
std::optional<double> pumped_m3ps(const TrenchPlan& trench, std::optional<double> stated_m3ps)
{
    const bool on_curve =
        trench.water.pump && trench.water.pump->duty && trench.water.pump->duty->point.place == DutyPlace::on_curve;
    if (!on_curve) {
        return stated_m3ps;
    }
    return std::max(trench.water.pump->duty->point.flow_m3ps, stated_m3ps.value_or(0));
}

} // namespace

std::optional<double> source_flow_m3ps(const Source& source, const WaterRules& rules)
{
    if (source.kind == SourceKind::pump) {
        return source.pump_flow_m3ps > 0 ? std::optional(source.pump_flow_m3ps) : std::nullopt;
    }
    const bool known = source.roof_area_m2 > 0 && rules.design_rain_mps > 0;
    return known ? std::optional(
                       runoff_m3ps(RunoffArea{source.roof_area_m2, rules.roof_runoff_share}, rules.design_rain_mps))
                 : std::nullopt;
}

OutletOutcome with_water(OutletOutcome outcome, const Site& site, const Job& job)
{
    const auto trenches = trenches_of(outcome);
    const auto pumps = pumps_by_source(job, site);
    for (auto* trench : trenches) {
        if (trench != nullptr) {
            trench->water.reaches = reaches_of(*trench, trenches);
        }
    }
    Network network(trenches);
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        auto* trench = trenches[i];
        if (trench == nullptr) {
            continue;
        }
        if (const auto pump = pumps.at(i)) {
            trench->water.pump = check_pump(*trench, job.pumps[*pump], *pump, job.rules.water);
        }
        trench->water.sent_m3ps = pumped_m3ps(*trench, source_flow_m3ps(site.sources[i], job.rules.water));
        network.send(i, trench->water.sent_m3ps);
    }
    network.gather();
    network.downstream([&](TrenchPlan& trench, std::size_t reach, double min_bore_m) {
        auto& one = trench.water.reaches[reach];
        one = trench.pressure ? one : with_pipes(trench, one, min_bore_m, job.rules);
        const bool has_pipe = one.sized && one.sized->pipe;
        return has_pipe ? bore_of(job.rules.water.pipes[*one.sized->pipe], job.rules.water).bore_m : 0.0;
    });
    for (auto* trench : trenches) {
        if (trench != nullptr) {
            add(trench->findings, reach_findings(*trench, site, job.rules));
            add(trench->findings, pump_findings(*trench, job));
        }
    }
    return outcome;
}

} // namespace trenchwright
