#include "trenchwright/asbuilt/laid_pipe.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/geom/stretch.hpp"

#include <algorithm>

namespace trenchwright {

namespace {

/// How far off its planned place the pipe was found; nothing measured counts as nothing off.
Point off_plan(const MeasuredInvert& one, const Polyline& planned)
{
    const auto on_line = point_at(planned, one.station_m);
    return one.at ? Point{one.at->x_m - on_line.x_m, one.at->y_m - on_line.y_m} : Point{};
}

void add_point(LaidRun& run, double station_m, const Point& at)
{
    run.line.push_back(at);
    run.stations_m.push_back(station_m);
}

/// The bends planned between two measured places, each moved by what lies between their offsets.
void add_bends(LaidRun& run, const MeasuredInvert& from, const MeasuredInvert& to, const Polyline& planned)
{
    const auto stations = vertex_stations_m(planned);
    const auto first = off_plan(from, planned);
    const auto last = off_plan(to, planned);
    for (std::size_t i = 0; i < planned.size(); ++i) {
        if (stations[i] > from.station_m && stations[i] < to.station_m) {
            const double share = (stations[i] - from.station_m) / (to.station_m - from.station_m);
            add_point(run, stations[i],
                      {planned[i].x_m + first.x_m + share * (last.x_m - first.x_m),
                       planned[i].y_m + first.y_m + share * (last.y_m - first.y_m)});
        }
    }
}

LaidRun run_through(std::span<const MeasuredInvert> inverts, const Polyline& planned)
{
    LaidRun run;
    std::vector<std::size_t> measured_points;
    for (std::size_t i = 0; i < inverts.size(); ++i) {
        if (i > 0) {
            add_bends(run, inverts[i - 1], inverts[i], planned);
        }
        const auto off = off_plan(inverts[i], planned);
        const auto at = point_at(planned, inverts[i].station_m);
        measured_points.push_back(run.line.size());
        add_point(run, inverts[i].station_m, {at.x_m + off.x_m, at.y_m + off.y_m});
        const bool both = i > 0 && inverts[i - 1].at && inverts[i].at;
        run.placed.resize(run.line.size() - 1, both);
    }
    const auto along = vertex_stations_m(run.line);
    for (std::size_t i = 0; i < inverts.size(); ++i) {
        run.pipe.push_back({.station_m = along[measured_points[i]], .invert_elev_m = inverts[i].invert_elev_m});
    }
    return run;
}

} // namespace

double LaidRun::station_at_m(double along_m) const
{
    const auto along = vertex_stations_m(line);
    for (std::size_t i = 1; i < along.size(); ++i) {
        if (along_m <= along[i] && along[i] > along[i - 1]) {
            const double share = std::max(along_m - along[i - 1], 0.0) / (along[i] - along[i - 1]);
            return stations_m[i - 1] + share * (stations_m[i] - stations_m[i - 1]);
        }
    }
    return stations_m.back();
}

std::vector<LaidRun> laid_runs(const MeasuredTrench& measured, double spacing_m)
{
    std::vector<LaidRun> runs;
    const std::span<const MeasuredInvert> all = measured.inverts;
    std::size_t first = 0;
    for (std::size_t i = 1; i <= all.size(); ++i) {
        const bool ends =
            i == all.size() || !(all[i].station_m - all[i - 1].station_m <= spacing_m + station_rounding_m);
        if (ends && i - first > 1) {
            runs.push_back(run_through(all.subspan(first, i - first), measured.trench->line.route.line));
        }
        first = ends ? i : first;
    }
    return runs;
}

std::vector<Interval> not_measured(const MeasuredTrench& measured, const std::vector<LaidRun>& runs)
{
    std::vector<Interval> known;
    for (const auto& run : runs) {
        known.push_back(run.span());
    }
    auto open = minus({{0, measured.trench->measured.quantities.length_m}}, known);
    std::erase_if(open, [](const Interval& span) { return span.to_m - span.from_m <= station_rounding_m; });
    return open;
}

} // namespace trenchwright
