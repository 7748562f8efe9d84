#include "plan/locate_request.hpp"

#include "base/error.hpp"
#include "geom/measure.hpp"
#include "geom/polygons.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

LocateRequest locate_request(const JobPlan& plan)
{
    const auto& wanted = plan.job.request.outlet;
    for (const auto& outcome : plan.outcomes) {
        const bool named = plan.site.outlets[outcome.outlet].id == wanted;
        if (wanted.empty() ? outcome.works : named) {
            if (!outcome.works) {
                return {.outcome = nullptr, .why = fmt::format("the outlet the job names, {}, is refused", wanted)};
            }
            return {.outcome = &outcome, .why = named ? "named in the job" : "the best that works"};
        }
    }
    return {.outcome = nullptr, .why = "no outlet works"};
}

void check_request(const Site& site, const Job& job)
{
    const auto& wanted = job.request.outlet;
    if (wanted.empty() || std::ranges::any_of(site.outlets, [&](const auto& outlet) { return outlet.id == wanted; })) {
        return;
    }
    std::string known;
    for (const auto& outlet : site.outlets) {
        known += (known.empty() ? "" : ", ") + outlet.id;
    }
    throw Error(ErrorKind::input, fmt::format("{}: request.outlet: no outlet has the id \"{}\"; there are: {}",
                                              job.file.string(), wanted, known));
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
    Polyline axis = trench.route.line;
    const double run_m = distance_m(axis[0], axis[1]);
    axis[0].x_m += (axis[0].x_m - axis[1].x_m) / run_m * extra_m;
    axis[0].y_m += (axis[0].y_m - axis[1].y_m) / run_m * extra_m;
    return strip_around(axis, trench.problem.section.width_m + 2 * extra_m);
}

} // namespace trenchwright
