#include "trenchwright/plan/site_checks.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/site/probable_runs.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

/// "job.toml: "; empty for a site that was not read from a job file.
std::string of_file(const Job& job)
{
    return job.file.empty() ? "" : job.file.string() + ": ";
}

} // namespace

void require_parts(const Site& site, const Job& job)
{
    const auto need = [&](bool present, std::string_view part, std::string_view what) {
        const auto empty = std::ranges::find_if(
            site.layers, [&](const LayerRecord& layer) { return layer.part == part && layer.features == 0; });
        if (!present && empty != site.layers.end()) {
            throw Error(ErrorKind::input, fmt::format("{}, layer {}: is empty; without {} nothing can be planned",
                                                      empty->file, empty->layer, what));
        }
        if (!present) {
            throw Error(ErrorKind::input,
                        fmt::format("{}no {} supplied; nothing can be planned without", of_file(job), what));
        }
    };
    need(!site.parcel.empty(), "parcel", "parcel");
    need(!site.sources.empty(), "sources", "sources");
    need(!site.outlets.empty(), "outlets", "outlets");
    need(site.dem.has_value() || !site.spots.empty(), "spots", "spots or dem");
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
    throw Error(ErrorKind::input, fmt::format("{}request.outlet: no outlet has the id \"{}\"; choose from: {}",
                                              of_file(job), wanted, known));
}

Ground ground_of(const Site& site, double edge_reach_m)
{
    if (site.dem) {
        return Ground::from_raster(*site.dem, edge_reach_m);
    }
    std::vector<Point3> spots;
    for (const auto& spot : site.spots) {
        spots.push_back({.x_m = spot.at.x_m, .y_m = spot.at.y_m, .elev_m = spot.elev_m});
    }
    std::vector<std::vector<Point3>> lines;
    for (const auto& breakline : site.breaklines) {
        lines.push_back(breakline.line);
    }
    return Ground::from_spots(spots, lines, edge_reach_m);
}

Site with_runs(Site site, const Rules& rules)
{
    return with_probable_runs(std::move(site),
                              {.reach_m = rules.mark_end_reach_m,
                               .off_lot_m = rules.mark_end_off_lot_m,
                               .snap_m = rules.route.boundary_snap_m,
                               .irrigation_runs_on = rules.irrigation_runs_on},
                              rules.units);
}

} // namespace trenchwright
