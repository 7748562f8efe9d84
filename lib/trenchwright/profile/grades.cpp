#include "trenchwright/profile/grades.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/envelope.hpp"
#include "trenchwright/profile/problem.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

constexpr double unreached = -std::numeric_limits<double>::infinity();

/// 100 m of depth in steps of 1 mm: deeper than any hand or small machine digs.
constexpr double max_levels = 100'000;

/// Differences of money below this are rounding, not savings.
constexpr double no_money = 1e-9;

/// What is known of one break: for each level the money saved so far and how it was reached.
struct Layer {
    long first = 0;               ///< level of saved[0]
    std::vector<double> saved;    ///< against a pipe on the least-fall line
    std::vector<std::size_t> via; ///< the break downstream
    std::vector<long> via_level;  ///< and the level there

    [[nodiscard]] long last() const { return first + static_cast<long>(saved.size()) - 1; }
    [[nodiscard]] std::size_t index(long level) const { return static_cast<std::size_t>(level - first); }
};

/// Money saved by raising the pipe of one straight piece by a meter at its lower and at its upper end.
struct Weights {
    double lower = 0;
    double upper = 0;
};

/// Running integrals of the cost and of cost x station, so that any piece's weights take no time.
class CostSums {
  public:
    explicit CostSums(const Corridor& corridor)
    {
        for (std::size_t i = 1; i < corridor.rooms.size(); ++i) {
            const double from = corridor.rooms[i - 1].station_m;
            const double to = corridor.rooms[i].station_m;
            const double cost = corridor.cost_per_m[i - 1] * (to - from);
            plain_.push_back(plain_.back() + cost);
            moment_.push_back(moment_.back() + cost * (from + to) / 2);
        }
    }
    [[nodiscard]] Weights weights(const Corridor& corridor, std::size_t from, std::size_t to) const
    {
        const double start = corridor.rooms[from].station_m;
        const double length = corridor.rooms[to].station_m - start;
        const double plain = plain_[to] - plain_[from];
        const double upper = (moment_[to] - moment_[from] - start * plain) / length;
        return {.lower = plain - upper, .upper = upper};
    }

  private:
    std::vector<double> plain_{0};
    std::vector<double> moment_{0};
};

std::vector<Layer> empty_layers(const Corridor& corridor, double step_m)
{
    const auto rooms = tightened(corridor);
    std::vector<Layer> layers;
    for (const auto& place : corridor.breaks) {
        const double lowest = std::ceil((rooms[place.room].min_m - rounding_m) / step_m);
        const double highest = std::floor((rooms[place.room].max_m + rounding_m) / step_m);
        const bool fits = highest - lowest < max_levels && std::abs(lowest) < 1e15;
        if (!fits) {
            throw Error(ErrorKind::input,
                        fmt::format("invert step {} m is too fine: {} steps at station {} m, limit {}", step_m,
                                    highest - lowest, rooms[place.room].station_m, max_levels));
        }
        const auto count = static_cast<std::size_t>(std::max(0.0, highest - lowest + 1));
        layers.push_back({.first = static_cast<long>(lowest),
                          .saved = std::vector<double>(count, unreached),
                          .via = std::vector<std::size_t>(count),
                          .via_level = std::vector<long>(count)});
    }
    return layers;
}

/// Limits that the rooms between two breaks put on a straight piece: bounds of its lower end by its upper
/// end, in levels.
class PieceLimits {
  public:
    PieceLimits(const Corridor& corridor, std::size_t from, std::size_t to, double step_m)
    {
        const double length = corridor.rooms[to].station_m - corridor.rooms[from].station_m;
        const auto stretch = [&](std::size_t room) {
            return length / (corridor.rooms[to].station_m - corridor.rooms[room].station_m);
        };
        // Through height h in a room the piece meets the lower end at s * h + (1 - s) * upper end.
        for (std::size_t room = from + 1; room < to; ++room) {
            const double s = stretch(room);
            most_.add(1 - s, s * (corridor.rooms[room].max_m + rounding_m) / step_m);
        }
        for (std::size_t room = to; room-- > from + 1;) {
            const double s = stretch(room);
            least_.add(s - 1, -s * (corridor.rooms[room].min_m - rounding_m) / step_m);
        }
    }
    [[nodiscard]] double most(long upper) { return most_.at(static_cast<double>(upper)); }
    [[nodiscard]] double least(long upper) { return -least_.at(static_cast<double>(upper)); }

  private:
    Envelope most_;
    Envelope least_;
};

/// Lower-end positions (in `from`) for each level of `to`, and how many of them are bound by the fall.
std::vector<Window> windows_between(PieceLimits& limits, const Layer& from, const Layer& to, std::size_t& bound_by_fall)
{
    const auto clipped = [low = static_cast<double>(from.first) - 1, high = static_cast<double>(from.last()) + 1](
                             double level) { return std::clamp(level, low, high); };
    // Casts, for the library's floor and ceil are most of the running time where the processor has none.
    const auto floor_of = [](double level) {
        const auto whole = static_cast<long>(level);
        return static_cast<double>(whole) > level ? whole - 1 : whole;
    };
    std::vector<Window> windows(to.saved.size());
    bound_by_fall = 0;
    for (long level = to.first; level <= to.last(); ++level) {
        const long least = -floor_of(-clipped(limits.least(level)));
        const long most = floor_of(clipped(limits.most(level)));
        if (bound_by_fall == to.index(level) && level <= most) {
            ++bound_by_fall;
        }
        windows[to.index(level)] = {.low = std::max(least, from.first) - from.first,
                                    .high = std::min({level, most, from.last()}) - from.first};
    }
    return windows;
}

/// Tries every straight piece between two breaks.
void join(std::vector<Layer>& layers, std::size_t from, std::size_t to, const Weights& weights, PieceLimits limits,
          double step_m, double price)
{
    const Layer& lower = layers[from];
    Layer& upper = layers[to];
    std::size_t bound_by_fall = 0;
    const auto windows = windows_between(limits, lower, upper, bound_by_fall);
    std::vector<double> values(lower.saved.size());
    for (std::size_t i = 0; i < values.size(); ++i) {
        values[i] = lower.saved[i] + weights.lower * step_m * static_cast<double>(lower.first + static_cast<long>(i));
    }
    const auto best = window_maxima(values, windows, bound_by_fall);
    for (std::size_t i = 0; i < best.size(); ++i) {
        if (best[i] < 0) {
            continue;
        }
        const double saved = values[static_cast<std::size_t>(best[i])] - price +
                             weights.upper * step_m * static_cast<double>(upper.first + static_cast<long>(i));
        if (saved > upper.saved[i] + no_money) {
            upper.saved[i] = saved;
            upper.via[i] = from;
            upper.via_level[i] = best[i] + lower.first;
        }
    }
}

std::optional<std::vector<Height>> traced_back(const Corridor& corridor, const std::vector<Layer>& layers,
                                               double step_m)
{
    const auto& top = layers.back();
    std::size_t best = 0;
    for (std::size_t i = 0; i < top.saved.size(); ++i) {
        best = top.saved[i] >= top.saved[best] ? i : best;
    }
    if (top.saved.empty() || top.saved[best] == unreached) {
        return std::nullopt;
    }
    std::vector<Height> heights;
    std::size_t at = layers.size() - 1;
    long level = top.first + static_cast<long>(best);
    while (true) {
        heights.push_back({.room = corridor.breaks[at].room, .height_m = static_cast<double>(level) * step_m});
        if (at == 0) {
            break;
        }
        const auto index = layers[at].index(level);
        level = layers[at].via_level[index];
        at = layers[at].via[index];
    }
    std::reverse(heights.begin(), heights.end());
    return heights;
}

bool piece_fits(const Corridor& corridor, const Height& a, const Height& b)
{
    for (std::size_t room = a.room + 1; room < b.room; ++room) {
        const double height = height_between_m(corridor, a, b, room);
        const bool inside =
            height >= corridor.rooms[room].min_m - rounding_m && height <= corridor.rooms[room].max_m + rounding_m;
        if (!inside) {
            return false;
        }
    }
    return true;
}

} // namespace

std::optional<std::vector<Height>> cheapest_heights(const Corridor& corridor, double step_m, double joint_price)
{
    auto layers = empty_layers(corridor, step_m);
    const CostSums sums(corridor);
    std::fill(layers[0].saved.begin(), layers[0].saved.end(), 0.0);
    std::size_t run_start = 0;
    for (std::size_t to = 1; to < layers.size(); ++to) {
        for (std::size_t from = run_start; from < to; ++from) {
            const auto a = corridor.breaks[from].room;
            const auto b = corridor.breaks[to].room;
            join(layers, from, to, sums.weights(corridor, a, b), PieceLimits(corridor, a, b, step_m), step_m,
                 corridor.breaks[to].joint ? joint_price : 0);
        }
        run_start = corridor.breaks[to].joint ? run_start : to;
    }
    return traced_back(corridor, layers, step_m);
}

double height_between_m(const Corridor& corridor, const Height& a, const Height& b, std::size_t room)
{
    const double start = corridor.rooms[a.room].station_m;
    const double share = (corridor.rooms[room].station_m - start) / (corridor.rooms[b.room].station_m - start);
    return a.height_m + share * (b.height_m - a.height_m);
}

std::vector<Height> without_needless_breaks(const Corridor& corridor, const std::vector<Height>& heights,
                                            double slack_m)
{
    const auto straight = [&](std::size_t from, std::size_t to) {
        for (std::size_t i = from + 1; i < to; ++i) {
            const double chord = height_between_m(corridor, heights[from], heights[to], heights[i].room);
            if (!(std::abs(chord - heights[i].height_m) <= slack_m)) {
                return false;
            }
        }
        return piece_fits(corridor, heights[from], heights[to]);
    };
    std::vector<Height> kept{heights.front()};
    std::size_t from = 0;
    while (from + 1 < heights.size()) {
        std::size_t to = heights.size() - 1;
        while (to > from + 1 && !straight(from, to)) {
            --to;
        }
        kept.push_back(heights[to]);
        from = to;
    }
    return kept;
}

} // namespace trenchwright
