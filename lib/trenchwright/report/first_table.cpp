#include "trenchwright/report/first_table.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/plan/pipe_load.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace trenchwright {

namespace {

/// Sums and extremes over an outlet's trenches.
struct Totals {
    double length_m = 0;
    double max_cut_m = 0;
    double cut_m3 = 0;
    std::optional<double> spare_m; ///< nothing: no trench needs fall
};

Totals totals_of(const OutletOutcome& outcome)
{
    Totals totals;
    for (const auto* trench : trenches_of(&outcome)) {
        const auto& q = trench->measured.quantities;
        totals.length_m += q.length_m;
        totals.max_cut_m = std::max(totals.max_cut_m, q.max_cut_m);
        totals.cut_m3 += q.machine_cut_m3 + q.hand_cut_m3;
        if (trench->needs_fall()) {
            totals.spare_m = std::min(totals.spare_m.value_or(trench->laid.extra_fall_m), trench->laid.extra_fall_m);
        }
    }
    return totals;
}

std::string permission_text(const Site& site, const Outlet& outlet)
{
    std::set<Permission> said;
    std::string each;
    for (const auto water : waters_of(site)) {
        const auto permission = permission_for(outlet, water);
        said.insert(permission);
        each += fmt::format("{}{} {}", each.empty() ? "" : ", ", water_name(water), permission_name(permission));
    }
    return said.size() == 1 ? std::string(permission_name(*said.begin())) : each;
}

std::string chance_text(const OutletOutcome& outcome)
{
    if (std::ranges::none_of(trenches_of(&outcome), &TrenchPlan::needs_fall)) {
        return "pumped";
    }
    return outcome.uncertainty ? probability_text(outcome.uncertainty->fall.drains_share) : "not known";
}

/// Without its unit, where the same unit follows.
std::string figure(const std::string& with_unit)
{
    return with_unit.substr(0, with_unit.find(' '));
}

std::string pipe_text(const PipeLoad& load, UnitSystem units)
{
    switch (load.state) {
    case PipeLoadState::carries: return "carries its flow";
    case PipeLoadState::too_small:
        return fmt::format("too small: carries {} of {}", figure(flow_text(*load.capacity_m3ps, units)),
                           flow_text(*load.flow_m3ps, units));
    case PipeLoadState::not_known: return "flow not known";
    case PipeLoadState::pumped: return "pumped";
    }
    return "";
}

void add_figures(OutletCells& cells, const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto totals = totals_of(outcome);
    const UnitSystem units = plan.job.rules.units;
    cells.chance = chance_text(outcome);
    cells.pipe = pipe_text(pipe_load(outcome), units);
    cells.price = money_text(outcome.total_cents);
    cells.length = length_text(totals.length_m, units);
    cells.deepest_cut = depth_text(totals.max_cut_m, units);
    cells.extra_fall = totals.spare_m ? small_text(*totals.spare_m, units) : "-";
    const auto dig = hand_dig(plan.site, outcome);
    cells.hand_dig = hand_length_text(dig, units);
    cells.crossings = crossings_text(dig);
    cells.by_hand = fmt::format("{} / {}", cells.hand_dig, cells.crossings);
    cells.dirt = volume_text(totals.cut_m3, units);
}

/// What "STOP" in the table means; empty where it does not occur.
std::string stop_text(const JobPlan& plan)
{
    if (std::ranges::none_of(plan.outcomes, [](const auto& one) { return state_of(one) == OutletState::stop; })) {
        return "";
    }
    return "\n" + wrapped(stop_sentence(), page_width, 2) + "\n";
}

/// Two lines: what decides, then what has to be dug.
void add_rows(std::vector<std::vector<std::string>>& rows, const OutletCells& cells)
{
    rows.push_back({cells.number, cells.name, cells.result, cells.permission, cells.chance, cells.pipe, cells.price});
    rows.push_back({"", cells.kind, cells.length, cells.deepest_cut, cells.extra_fall, cells.by_hand, cells.dirt});
}

} // namespace

OutletCells outlet_cells(const JobPlan& plan, std::size_t index)
{
    const auto& outcome = plan.outcomes.at(index);
    const auto& outlet = plan.site.outlets.at(outcome.outlet);
    OutletCells cells{.number = std::to_string(index + 1),
                      .name = outlet.name.empty() ? outlet.id : outlet.name,
                      .kind = std::string(outlet_kind_words(outlet.kind)),
                      .result = std::string(state_text(state_of(outcome))),
                      .permission = permission_text(plan.site, outlet)};
    if (outcome.works) {
        add_figures(cells, plan, outcome);
    }
    return cells;
}

std::string first_table(const JobPlan& plan)
{
    std::vector<std::vector<std::string>> rows;
    add_rows(rows, {.number = "",
                    .name = "Outlet",
                    .kind = "Kind",
                    .result = "Result",
                    .permission = "Permission",
                    .chance = "Chance it drains",
                    .pipe = "Pipe",
                    .price = "Price " + plan.job.rules.currency,
                    .length = "Trench",
                    .deepest_cut = "Deepest cut",
                    .extra_fall = "Extra fall",
                    .by_hand = "Hand dig / crossings",
                    .dirt = "Excavated"});
    for (std::size_t i = 0; i < plan.outcomes.size(); ++i) {
        add_rows(rows, outlet_cells(plan, i));
    }
    return fitted_table(rows, {6}, page_width) + stop_text(plan);
}

} // namespace trenchwright
