#include "trenchwright/dig/cross_section.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>

namespace trenchwright {

std::vector<StraightRun> runs_of(const Polyline& line, std::vector<double> breaks_m)
{
    std::ranges::sort(breaks_m);
    std::vector<StraightRun> runs;
    double start_m = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const Point& a = line[i - 1];
        const Point& b = line[i];
        const double length = distance_m(a, b);
        const Point along{.x_m = (b.x_m - a.x_m) / length, .y_m = (b.y_m - a.y_m) / length};
        std::vector<double> cuts{start_m};
        for (const double station_m : breaks_m) {
            if (station_m > cuts.back() && station_m < start_m + length) {
                cuts.push_back(station_m);
            }
        }
        cuts.push_back(start_m + length);
        for (std::size_t c = 1; c < cuts.size(); ++c) {
            const double on_m = cuts[c - 1] - start_m;
            runs.push_back({.span = {cuts[c - 1], cuts[c]},
                            .from = {.x_m = a.x_m + along.x_m * on_m, .y_m = a.y_m + along.y_m * on_m},
                            .along = along});
        }
        start_m += length;
    }
    return runs;
}

} // namespace trenchwright
