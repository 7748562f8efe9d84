#include "trenchwright/geom/measure.hpp"
#include "trenchwright/route/drain_meter.hpp"

#include <cmath>

namespace trenchwright {

namespace {

constexpr int max_rounds = 30;

/// Fewer broken rules first; then works before fails, nearer to draining before further, then cheaper.
bool better(const DrainCost& a, const DrainCost& b)
{
    if (a.faults != b.faults) {
        return a.faults < b.faults;
    }
    if (a.works() != b.works()) {
        return a.works();
    }
    if (!a.works() && std::abs(a.missing_m - b.missing_m) > 1e-9) {
        return a.missing_m < b.missing_m;
    }
    return a.price < b.price - min_saving;
}

/// Keeps the best of the drains tried.
class Trial {
  public:
    Trial(DrainMeter& meter, PricedDrain& drain) : meter_(meter), drain_(drain) {}

    void offer(const DrainLine& line)
    {
        const DrainCost& known = best_ ? best_->cost : drain_.cost;
        DrainCost cost = meter_.cost(line, known.faults);
        if (better(cost, known)) {
            best_ = PricedDrain{.line = line, .cost = std::move(cost)};
        }
    }
    bool take()
    {
        if (best_) {
            drain_ = *std::move(best_);
            best_.reset();
            return true;
        }
        return false;
    }

  private:
    DrainMeter& meter_;
    PricedDrain& drain_;
    std::optional<PricedDrain> best_;
};

/// A vertex and the trenches that end on it.
void shift(DrainLine& line, std::size_t source, std::size_t vertex, const Point& by)
{
    const auto move = [&](Point& p) { p = {.x_m = p.x_m + by.x_m, .y_m = p.y_m + by.y_m}; };
    move(line.trenches[source].downstream[vertex]);
    for (auto& other : line.trenches) {
        if (other.joins == static_cast<int>(source) && other.at_vertex == vertex) {
            move(other.downstream.back());
        }
    }
}

bool move_vertices(DrainMeter& meter, PricedDrain& drain, double move_m)
{
    bool any = false;
    for (std::size_t source = 0; source < drain.line.trenches.size(); ++source) {
        for (std::size_t v = 1; v + 1 < drain.line.trenches[source].downstream.size(); ++v) {
            Trial trial(meter, drain);
            for (const auto& step : steps_about(drain.line.trenches[source].downstream, move_m)) {
                DrainLine moved = drain.line;
                shift(moved, source, v, step);
                trial.offer(moved);
                if (v + 2 < moved.trenches[source].downstream.size()) {
                    shift(moved, source, v + 1, step);
                    trial.offer(moved);
                }
                DrainLine with_upper = drain.line; // the run above keeps its direction
                if (v > 1) {
                    shift(with_upper, source, v, step);
                    shift(with_upper, source, v - 1, step);
                    trial.offer(with_upper);
                }
            }
            any = trial.take() || any;
        }
    }
    return any;
}

/// Without the vertices between two; nothing when a junction lies among them.
std::optional<DrainLine> cut(const DrainLine& line, std::size_t source, std::size_t from, std::size_t to)
{
    DrainLine shorter = line;
    for (std::size_t v = from + 1; v < to; ++v) {
        if (joined_at(line, source, v)) {
            return std::nullopt;
        }
    }
    auto& p = shorter.trenches[source].downstream;
    p.erase(p.begin() + static_cast<std::ptrdiff_t>(from) + 1, p.begin() + static_cast<std::ptrdiff_t>(to));
    for (auto& other : shorter.trenches) {
        if (other.joins == static_cast<int>(source) && other.at_vertex >= to) {
            other.at_vertex -= to - from - 1;
        }
    }
    return shorter;
}

bool cut_corners(DrainMeter& meter, PricedDrain& drain)
{
    bool any = false;
    for (std::size_t source = 0; source < drain.line.trenches.size(); ++source) {
        Trial trial(meter, drain);
        const std::size_t n = drain.line.trenches[source].downstream.size();
        for (std::size_t i = 0; i + 2 < n; ++i) {
            for (std::size_t j = i + 2; j < n; ++j) {
                if (const auto shorter = cut(drain.line, source, i, j)) {
                    trial.offer(*shorter);
                }
            }
        }
        any = trial.take() || any;
    }
    return any;
}

bool slide_end(DrainMeter& meter, PricedDrain& drain, const EndFinder& end_near, double move_m)
{
    Trial trial(meter, drain);
    for (std::size_t source = 0; source < drain.line.trenches.size(); ++source) {
        if (drain.line.trenches[source].joins >= 0) {
            continue;
        }
        const auto& p = drain.line.trenches[source].downstream;
        for (const auto& step : steps_about(p, move_m)) {
            const auto end = end_near({.x_m = p.back().x_m + step.x_m, .y_m = p.back().y_m + step.y_m});
            if (!end || end->at == drain.line.end.at) {
                continue;
            }
            DrainLine moved = drain.line;
            moved.end = *end;
            moved.trenches[source].downstream.back() = end->at;
            trial.offer(moved);
            if (p.size() > 2) {
                shift(moved, source, p.size() - 2,
                      {.x_m = end->at.x_m - p.back().x_m, .y_m = end->at.y_m - p.back().y_m});
                trial.offer(moved);
            }
        }
    }
    return trial.take();
}

} // namespace

PricedDrain straightened(DrainMeter& meter, PricedDrain drain, const EndFinder& end_near)
{
    for (int round = 0; round < max_rounds; ++round) {
        bool any = cut_corners(meter, drain);
        for (const double move_m : moves_m) {
            any = move_vertices(meter, drain, move_m) || any;
            any = slide_end(meter, drain, end_near, move_m) || any;
        }
        if (!any) {
            break;
        }
    }
    return drain;
}

} // namespace trenchwright
