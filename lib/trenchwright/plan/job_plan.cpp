#include "trenchwright/plan/job_plan.hpp"

namespace trenchwright {

std::vector<const TrenchPlan*> trenches_of(const OutletOutcome* outcome)
{
    std::vector<const TrenchPlan*> trenches;
    for (std::size_t i = 0; outcome != nullptr && i < outcome->by_source.size(); ++i) {
        if (const auto* trench = std::get_if<TrenchPlan>(&outcome->by_source[i])) {
            trenches.push_back(trench);
        }
    }
    return trenches;
}

const TrenchPlan& trunk_of(const OutletOutcome& outcome, const TrenchPlan& trench)
{
    return trench.joins ? trunk_of(outcome, std::get<TrenchPlan>(outcome.by_source.at(trench.joins->source))) : trench;
}

TrenchSection section_at(const TrenchPlan& trench, double station_m)
{
    auto section = trench.laid.problem.section;
    const auto& reduced = trench.laid.reduced;
    if (reduced && station_m < reduced->length_m) {
        section.outside_diameter_m = reduced->outside_diameter_m;
        section.wall_m = reduced->wall_m;
    }
    return section;
}

double reduced_cover_m(const TrenchPlan& trench, double station_m)
{
    return section_at(trench, station_m).cover_m(0, 0) - trench.laid.problem.section.cover_m(0, 0);
}

} // namespace trenchwright
