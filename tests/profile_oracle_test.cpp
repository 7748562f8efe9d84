#include "profile_problems.hpp"
#include "trenchwright/profile/corridor.hpp"
#include "trenchwright/profile/grades.hpp"
#include "trenchwright/profile/profile.hpp"

#include <catch2/catch.hpp>
#include <functional>
#include <glpk.h>
#include <memory>
#include <optional>

using namespace trenchwright;
using namespace trenchwright::testing;

namespace {

/// Stations at which a linear programme's inverts are free: ends and bends.
std::vector<double> free_stations(const ProfileProblem& problem)
{
    std::vector<double> stations{0};
    for (const double bend : problem.bend_stations_m) {
        if (bend > stations.back() + 1e-6) {
            stations.push_back(bend);
        }
    }
    stations.push_back(problem.ground.back().station_m);
    return stations;
}

/// Share of free invert k in the invert at a station: the hat function.
double hat(const std::vector<double>& free, std::size_t k, double station)
{
    if (k > 0 && station >= free[k - 1] && station <= free[k]) {
        return (station - free[k - 1]) / (free[k] - free[k - 1]);
    }
    if (k + 1 < free.size() && station >= free[k] && station <= free[k + 1]) {
        return (free[k + 1] - station) / (free[k + 1] - free[k]);
    }
    return 0;
}

/// Money by which the dig grows when free invert k is lowered by a meter; midpoint rule, exact between stations.
std::vector<double> weights(const ProfileProblem& problem, const std::vector<double>& free)
{
    const auto stations = dense_stations(problem, 7);
    std::vector<double> sums(free.size(), 0.0);
    for (std::size_t i = 1; i < stations.size(); ++i) {
        const double middle = (stations[i - 1] + stations[i]) / 2;
        const double money = problem.section.width_m * largest_value(problem.dig_cost_per_m3, middle);
        for (std::size_t k = 0; k < free.size(); ++k) {
            sums[k] += money * (stations[i] - stations[i - 1]) * hat(free, k, middle);
        }
    }
    return sums;
}

struct FreeProgramme {
    void operator()(glp_prob* programme) const { glp_delete_prob(programme); }
};

/// Least dig cost by linear programming (GLPK simplex): nothing when infeasible. Limits may be shifted.
std::optional<double> programme_cost(const ProfileProblem& problem, double raise_lowest_m, double raise_highest_m,
                                     bool cut_limit)
{
    const auto free = free_stations(problem);
    const auto money = weights(problem, free);
    const std::unique_ptr<glp_prob, FreeProgramme> lp(glp_create_prob());
    const int n = static_cast<int>(free.size());
    glp_add_cols(lp.get(), n);
    for (int k = 1; k <= n; ++k) {
        glp_set_col_bnds(lp.get(), k, GLP_FR, 0, 0);
        glp_set_obj_coef(lp.get(), k, -money[static_cast<std::size_t>(k - 1)]);
    }
    // Inverts count from the outlet's lowest invert, to keep the simplex's numbers small.
    const double datum = problem.lowest_outlet_invert_elev_m;
    glp_set_col_bnds(lp.get(), 1, GLP_DB, 0, problem.highest_outlet_invert_elev_m - datum + 1e-12);
    const auto add_row = [&](const std::vector<double>& shares, double low, double high) {
        std::vector<int> columns{0};
        std::vector<double> values{0};
        for (std::size_t k = 0; k < shares.size(); ++k) {
            if (shares[k] != 0) {
                columns.push_back(static_cast<int>(k) + 1);
                values.push_back(shares[k]);
            }
        }
        const int row = glp_add_rows(lp.get(), 1);
        const int kind = low > -1e9 && high < 1e9 ? GLP_DB : (low > -1e9 ? GLP_LO : GLP_UP);
        glp_set_row_bnds(lp.get(), row, kind, low, high);
        glp_set_mat_row(lp.get(), row, static_cast<int>(columns.size()) - 1, columns.data(), values.data());
    };
    for (const double station : dense_stations(problem, 3)) {
        std::vector<double> shares;
        for (std::size_t k = 0; k < free.size(); ++k) {
            shares.push_back(hat(free, k, station));
        }
        add_row(shares, cut_limit ? lowest_invert(problem, station) + raise_lowest_m - datum : -1e10,
                highest_invert(problem, station) + raise_highest_m - datum);
    }
    for (std::size_t k = 1; k < free.size(); ++k) {
        std::vector<double> shares(free.size(), 0.0);
        shares[k] = 1;
        shares[k - 1] = -1;
        add_row(shares, problem.min_fall_ratio * (free[k] - free[k - 1]), 1e10);
    }
    glp_smcp options;
    glp_init_smcp(&options);
    options.msg_lev = GLP_MSG_OFF;
    options.tol_bnd = 1e-10;
    options.tol_dj = 1e-10;
    REQUIRE(glp_simplex(lp.get(), &options) == 0);
    if (glp_get_status(lp.get()) != GLP_OPT) {
        return std::nullopt;
    }
    std::vector<GradePoint> points;
    for (std::size_t k = 0; k < free.size(); ++k) {
        points.push_back({free[k], datum + glp_get_col_prim(lp.get(), static_cast<int>(k) + 1)});
    }
    return dig_cost(problem, points);
}

double sum(const std::vector<double>& values)
{
    double total = 0;
    for (const double value : values) {
        total += value;
    }
    return total;
}

/// Cheapest of all subsets of joints and all heights on the grid, by trying them.
std::optional<double> tried_cost(const ProfileProblem& problem, const std::vector<double>& places,
                                 const std::vector<bool>& is_joint)
{
    const auto stations = dense_stations(problem, 11);
    std::optional<double> best;
    std::vector<GradePoint> points;
    const auto fits = [&] {
        for (const double station : stations) {
            const double invert = invert_at_m(points, station);
            if (station <= points.back().station_m && !(invert <= highest_invert(problem, station) + 1e-9 &&
                                                        invert >= lowest_invert(problem, station) - 1e-9)) {
                return false;
            }
        }
        return true;
    };
    const std::function<void(std::size_t, int, double)> extend = [&](std::size_t place, int level, double price) {
        if (place == places.size()) {
            const double cost = dig_cost(problem, points) + price;
            best = best ? std::min(*best, cost) : cost;
            return;
        }
        if (is_joint[place]) {
            extend(place + 1, level, price); // straight through
        }
        for (int next = level; next < 60; ++next) {
            const double invert = problem.lowest_outlet_invert_elev_m + problem.min_fall_ratio * places[place] +
                                  next * problem.invert_step_m;
            if (place == 0 && invert > problem.highest_outlet_invert_elev_m + 1e-9) {
                break;
            }
            if (invert > highest_invert(problem, places[place]) + 1e-9) {
                break;
            }
            points.push_back({places[place], invert});
            if (fits()) {
                extend(place + 1, next, price + (is_joint[place] ? problem.min_joint_saving : 0));
            }
            points.pop_back();
        }
    };
    extend(0, 0, 0);
    return best;
}

double money_of(const ProfileProblem& problem, const Corridor& corridor, const std::vector<Height>& heights)
{
    std::vector<GradePoint> points;
    double price = 0;
    for (const auto& height : heights) {
        const double station = corridor.rooms[height.room].station_m;
        points.push_back(
            {station, problem.lowest_outlet_invert_elev_m + problem.min_fall_ratio * station + height.height_m});
        for (const auto& place : corridor.breaks) {
            price += place.room == height.room && place.joint ? problem.min_joint_saving : 0;
        }
    }
    return dig_cost(problem, points) + price;
}

} // namespace

TEST_CASE("with fixed breaks the dig costs what a linear programme finds", "[profile]")
{
    std::mt19937_64 dice(20250117);
    int laid = 0;
    int too_deep = 0;
    int falls_short = 0;
    for (int i = 0; i < 600; ++i) {
        const auto problem = random_problem(dice);
        const auto outcome = lay_profile(problem);
        const auto best = programme_cost(problem, 0, 0, true);
        const double step_money = problem.invert_step_m * sum(weights(problem, free_stations(problem)));
        INFO("problem " << i);
        if (const auto* profile = std::get_if<Profile>(&outcome)) {
            REQUIRE(best);
            CHECK(profile->dig_cost >= *best - 1e-4);
            // One step is lost to the grid, one may go to leaving out breaks of less than a step.
            if (const auto inner = programme_cost(problem, problem.invert_step_m, 0, true)) {
                CHECK(profile->dig_cost <= *inner + 2 * step_money + 1e-4);
            }
            ++laid;
            continue;
        }
        const auto& refusal = std::get<Refusal>(outcome);
        CHECK_FALSE(programme_cost(problem, problem.invert_step_m, 0, true));
        const bool drains = programme_cost(problem, 0, 0, false).has_value();
        CHECK(drains == (refusal.kind == RefusalKind::too_deep));
        if (refusal.kind == RefusalKind::falls_short) {
            CHECK(programme_cost(problem, 0, *refusal.short_by_m + 1e-6, false));
            CHECK_FALSE(programme_cost(problem, 0, *refusal.short_by_m - 1e-6, false));
            ++falls_short;
        } else {
            CHECK(*refusal.short_by_m > 0);
            ++too_deep;
        }
    }
    CHECK(laid > 100);
    CHECK(too_deep > 20);
    CHECK(falls_short > 20);
}

TEST_CASE("with joints the dig costs what trying every break and height finds", "[profile]")
{
    std::mt19937_64 dice(77);
    int laid = 0;
    int broken_at_joints = 0;
    for (int i = 0; i < 80; ++i) {
        auto problem = random_problem(dice);
        const double length = problem.ground.back().station_m;
        problem.bend_stations_m.resize(std::min<std::size_t>(problem.bend_stations_m.size(), 1));
        problem.stick_length_m = length / uniform(dice, 2.1, 3.9);
        problem.min_joint_saving = uniform(dice, 0, 10);
        problem.invert_step_m = 0.06;
        std::vector<double> places{0};
        std::vector<bool> is_joint{false};
        auto ends = problem.bend_stations_m;
        ends.push_back(length);
        for (const double end : ends) {
            const double start = places.back();
            for (int k = 1; start + k * problem.stick_length_m < end; ++k) {
                places.push_back(start + k * problem.stick_length_m);
                is_joint.push_back(true);
            }
            places.push_back(end);
            is_joint.push_back(false);
        }
        const auto tried = tried_cost(problem, places, is_joint);
        const auto corridor = corridor_of(problem);
        const auto heights = cheapest_heights(corridor, problem.invert_step_m, problem.min_joint_saving);
        INFO("problem " << i);
        REQUIRE(tried.has_value() == heights.has_value());
        if (tried) {
            CHECK(money_of(problem, corridor, *heights) == Approx(*tried).margin(1e-7));
            ++laid;
            for (const auto& height : *heights) {
                for (const auto& place : corridor.breaks) {
                    broken_at_joints += place.room == height.room && place.joint ? 1 : 0;
                }
            }
        }
    }
    CHECK(laid > 20);
    CHECK(broken_at_joints > 10);
}

TEST_CASE("every laid profile obeys fall, cover, depth, outlet and source all along", "[profile]")
{
    std::mt19937_64 dice(4);
    int laid = 0;
    for (int i = 0; i < 200; ++i) {
        auto problem = random_problem(dice);
        problem.stick_length_m = 3.048;
        problem.min_joint_saving = uniform(dice, 0, 5);
        const auto outcome = lay_profile(problem);
        const auto* profile = std::get_if<Profile>(&outcome);
        if (profile == nullptr) {
            continue;
        }
        ++laid;
        const auto& points = profile->points;
        CHECK(points.front().station_m == 0);
        CHECK(points.back().station_m == problem.ground.back().station_m);
        CHECK(points.front().invert_elev_m >= problem.lowest_outlet_invert_elev_m - 1e-9);
        CHECK(points.front().invert_elev_m <= problem.highest_outlet_invert_elev_m + 2e-9);
        double spare = 1e9;
        for (const double station : dense_stations(problem, 500)) {
            const double invert = invert_at_m(points, station);
            const double highest = highest_invert(problem, station);
            REQUIRE(invert <= highest + 3e-9);
            REQUIRE(invert >= lowest_invert(problem, station) - 3e-9);
            spare = std::min(spare, highest - problem.lowest_outlet_invert_elev_m - problem.min_fall_ratio * station);
        }
        CHECK(profile->min_spare_m == Approx(spare).margin(1e-8));
        CHECK(profile->min_spare_m >= -1e-9);
        for (std::size_t k = 1; k < points.size(); ++k) {
            const double run = points[k].station_m - points[k - 1].station_m;
            const double rise = points[k].invert_elev_m - points[k - 1].invert_elev_m;
            REQUIRE(rise >= problem.min_fall_ratio * run - 1e-12 * 100);
        }
        for (std::size_t k = 1; k + 1 < points.size(); ++k) {
            const std::vector<GradePoint> without{points[k - 1], points[k + 1]};
            CHECK(std::abs(invert_at_m(without, points[k].station_m) - points[k].invert_elev_m) > 1e-9);
        }
    }
    CHECK(laid > 60);
}

TEST_CASE("raising all elevations raises the pipe and changes no money", "[profile]")
{
    std::mt19937_64 dice(9);
    for (int i = 0; i < 40; ++i) {
        const auto problem = random_problem(dice);
        auto raised = problem;
        for (auto& p : raised.ground) {
            p.elev_m += 64;
        }
        raised.lowest_outlet_invert_elev_m += 64;
        raised.highest_outlet_invert_elev_m += 64;
        raised.highest_source_invert_elev_m += 64;
        const auto a = lay_profile(problem);
        const auto b = lay_profile(raised);
        REQUIRE(a.index() == b.index());
        if (const auto* profile = std::get_if<Profile>(&a)) {
            CHECK(std::get<Profile>(b).dig_cost == Approx(profile->dig_cost).epsilon(1e-9));
            CHECK(std::get<Profile>(b).points.size() == profile->points.size());
        } else {
            CHECK(std::get<Refusal>(b).short_by_m.value() ==
                  Approx(std::get<Refusal>(a).short_by_m.value()).margin(1e-9));
        }
        CHECK(lay_profile(problem) == a);
    }
}
