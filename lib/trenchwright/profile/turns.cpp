#include "trenchwright/profile/turns.hpp"

#include "trenchwright/profile/problem.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace trenchwright {

namespace {

constexpr double no_money = 1e-9;

class Pricer {
  public:
    Pricer(const ProfileProblem& problem, const Corridor& corridor) : problem_(problem), corridor_(corridor)
    {
        joint_.assign(corridor.rooms.size(), false);
        for (const auto& place : corridor.breaks) {
            joint_[place.room] = place.joint;
        }
    }

    /// Money saved by the straight piece against one on the least-fall line.
    [[nodiscard]] double saved(const Height& a, const Height& b) const
    {
        double sum = 0;
        double below_m = a.height_m;
        for (std::size_t room = a.room; room < b.room; ++room) {
            const double above_m = height_between_m(corridor_, a, b, room + 1);
            sum += corridor_.cost_per_m[room] * (station_m(room + 1) - station_m(room)) * (below_m + above_m) / 2;
            below_m = above_m;
        }
        return sum;
    }

    [[nodiscard]] double turn(const Height& a, const Height& b, const Height& c) const
    {
        const double turn_rad = std::atan(fall(b, c)) - std::atan(fall(a, b));
        return problem_.turn_price(std::abs(turn_rad));
    }

    [[nodiscard]] double total(const std::vector<Height>& heights) const
    {
        double sum = 0;
        for (std::size_t i = 1; i < heights.size(); ++i) {
            sum -= saved(heights[i - 1], heights[i]);
            if (i + 1 < heights.size()) {
                sum += turn(heights[i - 1], heights[i], heights[i + 1]);
                sum += joint_[heights[i].room] ? problem_.min_joint_saving : 0;
            }
        }
        return sum;
    }

    [[nodiscard]] double turns(const std::vector<Height>& heights) const
    {
        double sum = 0;
        for (std::size_t i = 1; i + 1 < heights.size(); ++i) {
            sum += turn(heights[i - 1], heights[i], heights[i + 1]);
        }
        return sum;
    }

    [[nodiscard]] bool fits(const Height& a, const Height& b) const
    {
        if (b.height_m < a.height_m - rounding_m) {
            return false;
        }
        for (std::size_t room = a.room; room <= b.room; ++room) {
            const double height_m = height_between_m(corridor_, a, b, room);
            const double max_m =
                room == 0 ? std::min(corridor_.rooms[0].max_m, corridor_.outlet_most_m) : corridor_.rooms[room].max_m;
            if (height_m < corridor_.rooms[room].min_m - rounding_m || height_m > max_m + rounding_m) {
                return false;
            }
        }
        return true;
    }

  private:
    [[nodiscard]] double station_m(std::size_t room) const { return corridor_.rooms[room].station_m; }
    [[nodiscard]] double fall(const Height& a, const Height& b) const
    {
        return problem_.min_fall_ratio + (b.height_m - a.height_m) / (station_m(b.room) - station_m(a.room));
    }

    const ProfileProblem& problem_;
    const Corridor& corridor_;
    std::vector<bool> joint_;
};

/// Takes the first move that saves money until none does.
class Betterer {
  public:
    Betterer(const Pricer& pricer, std::vector<Height> heights, double step_m)
        : pricer_(pricer), step_m_(step_m), heights_(std::move(heights)), cost_(pricer.total(heights_))
    {
    }

    std::vector<Height> bettered()
    {
        constexpr int max_sweeps = 100;
        for (int sweep = 0; sweep < max_sweeps; ++sweep) {
            const bool fewer = leave_out();
            const bool moved = shift();
            if (!fewer && !moved) {
                break;
            }
        }
        return heights_;
    }

  private:
    bool take_if_cheaper(std::vector<Height> tried, std::size_t from, std::size_t to)
    {
        for (std::size_t i = from; i + 1 <= to; ++i) {
            if (!pricer_.fits(tried[i], tried[i + 1])) {
                return false;
            }
        }
        const double cost = pricer_.total(tried);
        if (!(cost < cost_ - no_money)) {
            return false;
        }
        heights_ = std::move(tried);
        cost_ = cost;
        return true;
    }

    bool leave_out()
    {
        bool any = false;
        for (std::size_t i = 1; i + 1 < heights_.size();) {
            auto tried = heights_;
            tried.erase(tried.begin() + static_cast<std::ptrdiff_t>(i));
            const bool taken = take_if_cheaper(std::move(tried), i - 1, i);
            any = any || taken;
            i += taken ? 0 : 1;
        }
        return any;
    }

    bool shift()
    {
        constexpr std::array<double, 5> steps{300, 100, 30, 5, 1};
        bool any = false;
        for (const double by : steps) {
            for (std::size_t from = 0; from < heights_.size(); ++from) {
                for (std::size_t to = from; to < std::min(from + 2, heights_.size()); ++to) {
                    any = lifted(from, to, by * step_m_) || lifted(from, to, -by * step_m_) || any;
                }
            }
        }
        return any;
    }

    bool lifted(std::size_t from, std::size_t to, double by_m)
    {
        auto tried = heights_;
        for (std::size_t i = from; i <= to; ++i) {
            tried[i].height_m += by_m;
        }
        return take_if_cheaper(std::move(tried), from > 0 ? from - 1 : 0, std::min(to + 1, heights_.size() - 1));
    }

    const Pricer& pricer_;
    double step_m_;
    std::vector<Height> heights_;
    double cost_;
};

/// The corridor with an upper edge that nowhere climbs more steeply, counted above the least fall.
Corridor no_steeper(Corridor corridor, double max_rise_ratio)
{
    auto& rooms = corridor.rooms;
    rooms.front().max_m = std::min(rooms.front().max_m, corridor.outlet_most_m);
    for (std::size_t i = 1; i < rooms.size(); ++i) {
        const double climb_m = max_rise_ratio * (rooms[i].station_m - rooms[i - 1].station_m);
        rooms[i].max_m = std::min(rooms[i].max_m, rooms[i - 1].max_m + climb_m);
    }
    return corridor;
}

} // namespace

std::vector<Height> with_priced_turns(const ProfileProblem& problem, const Corridor& corridor,
                                      std::vector<Height> heights)
{
    const Pricer pricer(problem, corridor);
    if (!problem.turn_price || !(pricer.turns(heights) > 0)) {
        return heights;
    }
    const double step_m = problem.invert_step_m;
    auto best = Betterer(pricer, std::move(heights), step_m).bettered();
    for (const double steepest_deg : {5.5, 11.0, 22.0, 45.0}) { // from no turn that needs a fitting to a sharp one
        const double rise_ratio = std::tan(std::atan(problem.min_fall_ratio) + steepest_deg * std::numbers::pi / 180) -
                                  problem.min_fall_ratio;
        const auto gentle = cheapest_heights(no_steeper(corridor, rise_ratio), step_m, problem.min_joint_saving);
        if (!gentle) {
            continue;
        }
        auto tried = Betterer(pricer, without_needless_breaks(corridor, *gentle, step_m), step_m).bettered();
        if (pricer.total(tried) < pricer.total(best) - no_money) {
            best = std::move(tried);
        }
    }
    return best;
}

} // namespace trenchwright
