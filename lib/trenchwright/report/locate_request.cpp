#include "trenchwright/report/locate_request.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/polygons.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

const OutletOutcome* outcome_of(const JobPlan& plan, const std::string& id)
{
    const auto is_it = [&](const OutletOutcome& outcome) { return plan.site.outlets[outcome.outlet].id == id; };
    const auto found = std::ranges::find_if(plan.outcomes, is_it);
    return found == plan.outcomes.end() ? nullptr : &*found;
}

std::string refused_why(const JobPlan& plan)
{
    return plan.job.sheet.outlet.empty() ? "no workable outlet" : no_trench_text(plan);
}

/// As the papers show it.
LocateRequest as_drawn(const JobPlan& plan, const OutletOutcome* drawn)
{
    if (drawn == nullptr) {
        return {.outcome = nullptr, .why = refused_why(plan)};
    }
    const bool named = !plan.job.sheet.outlet.empty();
    const bool works = state_of(*drawn) == OutletState::works;
    return {.outcome = drawn,
            .why = named   ? "the one drawn on all papers"
                   : works ? "the best that works"
                           : "none works; the best that could be planned"};
}

} // namespace

LocateRequest locate_request(const JobPlan& plan)
{
    const auto* drawn = drawn_outlet(plan);
    const auto& wanted = plan.job.request.outlet;
    if (wanted.empty()) {
        return as_drawn(plan, drawn);
    }
    const auto* named = outcome_of(plan, wanted);
    const auto* other = named == drawn ? nullptr : drawn;
    if (named == nullptr || !named->works) {
        return {.outcome = nullptr,
                .why = fmt::format("the outlet the job names, {}, is not workable", wanted),
                .papers = other};
    }
    return {.outcome = named, .why = "named in the job", .papers = other};
}

std::string request_warning(const JobPlan& plan, const LocateRequest& request)
{
    if (request.papers == nullptr) {
        return {};
    }
    const auto& papers = plan.site.outlets[request.papers->outlet].name;
    const auto lines = request.outcome == nullptr
                           ? std::string("there are no white lines")
                           : "the white lines are for " + plan.site.outlets[request.outcome->outlet].name;
    return fmt::format(
        "WARNING: {} (request.outlet in the job file is \"{}\"), and the sheets, the cut sheet and the "
        "crew page are for {}. A trench outside the white lines is dug without marks: make both the same "
        "before this request is sent.",
        lines, plan.job.request.outlet, papers);
}

std::vector<CornerTie> nearest_corners(const Point& at, const std::vector<Polygon>& areas, std::size_t most)
{
    std::vector<CornerTie> ties;
    for (const auto& area : areas) {
        for (const auto& corner : area.outer) {
            ties.push_back({.corner = corner, .distance_m = distance_m(at, corner)});
        }
    }
    std::ranges::stable_sort(ties, {}, &CornerTie::distance_m);
    ties.resize(std::min(ties.size(), most));
    return ties;
}

std::vector<Polygon> white_area(const TrenchPlan& trench, const Rules& rules)
{
    const double extra_m = rules.office.request_extra_width_m;
    Polyline axis = trench.line.route.line;
    const double run_m = distance_m(axis[0], axis[1]);
    axis[0].x_m += (axis[0].x_m - axis[1].x_m) / run_m * extra_m;
    axis[0].y_m += (axis[0].y_m - axis[1].y_m) / run_m * extra_m;
    return strip_around(axis, trench.laid.problem.section.width_m + 2 * extra_m);
}

} // namespace trenchwright
