// How far the planned trench lies above the best line an independent optimizer finds, and how much its price depends on
// the lattice, the order of features and mirroring. Both lines are priced by the same estimate. Prints; nothing here
// passes or fails.
#include "figures.hpp"
#include "own_optimizer.hpp"
#include "../random_site.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/plan/lay_trench.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/route/ends.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <cstdio>
#include <cstdlib>
#include <functional>
#include <limits>
#include <string>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// Price of one trench on a line, as the plan prices it; infinity where the line breaks a rule or cannot be laid.
struct Judge {
    const Site& site;
    const Ground& ground;
    Rules rules;
    RateBook book;

    [[nodiscard]] double price(const Polyline& downstream, std::string* why = nullptr) const
    {
        RouteRules route = rules.route;
        const auto end = end_near(site, ground, site.outlets[0], route, downstream.back(), 0, rules.units);
        if (!end) {
            return infinity;
        }
        Route line;
        line.line = Polyline(downstream.rbegin(), downstream.rend());
        line.line.front() = end->at;
        line.end = *end;
        const auto faults = route_faults(site, ground, site.sources[0], site.outlets[0], line, route);
        if (!faults.empty()) {
            if (why != nullptr) {
                *why = faults.front().text;
            }
            return infinity;
        }
        TrenchPlan trench = on_route(line, site, ground, rules, 0, 0);
        if (lay_trench(trench, site, rules)) {
            return infinity;
        }
        measure_and_price_trench(trench, site, rules);
        return price(trench);
    }
    [[nodiscard]] double price(const TrenchPlan& trench) const
    {
        const std::optional<FootingWork> none;
        const auto work = trench_work({.site = site, .rules = rules, .book = book, .footing = none}, {&trench});
        double sum = 0;
        for (const auto& part : estimate(work, book, 0).lines) {
            if (std::getenv("LINES") != nullptr) {
                std::printf("    %s %.3f: %.2f\n", part.item.c_str(), part.quantity,
                            static_cast<double>(part.cents.likely) / 100);
            }
            sum += static_cast<double>(part.cents.likely) / 100;
        }
        return sum + rules.route.parallel_per_m * total_m(trench.line.facts.parallel); // weighed, never billed
    }
};

own::Problem own_problem(const RandomLot& lot, const RouteRules& r, double reserve_m)
{
    const Site& site = lot.site;
    constexpr double sampled_m = 0.004; // distances are sampled: what keeps them so keeps them everywhere
    const double half = r.section.width_m / 2;
    own::Problem p{.wide_m = 24, .deep_m = 36, .edge_m = half + r.keep_out_clearance_m};
    p.house = site.foundations[0].outer;
    p.house_m = half + r.foundation_clearance_m + sampled_m;
    p.exit_m = r.wall_exit_length_m - 0.05;
    p.exit_house_m = r.section.outside_diameter_m / 2 + sampled_m;
    for (const auto& patch : site.surfaces) {
        const auto& rule = r.surfaces.at(patch.kind);
        p.areas.push_back({.ring = patch.area.outer,
                           .restore_per_m2 = rule.restore_per_m2,
                           .cover_m = std::max(rule.min_cover_m, rule.slab_m > 0 ? rule.slab_m + r.slab_gap_m : 0)});
    }
    for (const auto& area : site.keep_outs) {
        p.keep_out.push_back(area.area.outer);
    }
    p.keep_out_m = half + r.keep_out_clearance_m + sampled_m;
    for (const auto& tree : site.trees) {
        p.hand.push_back({.at = tree.at, .radius_m = r.tree_factor * tree.trunk_diameter_m + half});
        p.closed.push_back(
            {.at = tree.at, .radius_m = r.tree_keep_out_factor * tree.trunk_diameter_m + half + sampled_m});
    }
    for (const auto& mark : site.marks) {
        p.marks.push_back({.line = mark.line,
                           .hand_m = hand_dig_reach_m(mark, r) + half / 2,
                           .along_m = parallel_reach_m(mark, r) + half});
    }
    const auto& lawn = r.surfaces.at(r.default_surface);
    p.crossing_price = r.crossing_price;
    p.lawn_restore_per_m2 = lawn.restore_per_m2;
    p.lawn_cover_m = lawn.min_cover_m;
    p.restore_width_m = r.restore_width_m;
    p.width_m = r.section.width_m;
    p.pipe_per_m = r.pipe_per_m;
    p.machine_per_m = r.machine_per_m;
    p.machine_per_m3 = r.machine_per_m3;
    p.hand_per_m = r.hand_per_m;
    p.hand_per_m3 = r.hand_per_m3;
    p.min_fall = r.min_fall_ratio;
    p.cover_to_invert_m = r.section.outside_diameter_m - r.section.wall_m;
    p.invert_to_bottom_m = r.section.wall_m + r.section.bedding_m;
    p.deepest_cut_m = r.deepest_cut_m;
    p.end_drop_m = r.popup_drop_m - reserve_m;
    p.min_run_m = r.min_run_m;
    p.ground_elev_m = [&lot](const Point& at) { return lot.ground.elev_m(at); };
    p.bend_price = [&r](double turn) { return bend_price(turn, r).value_or(infinity); };
    p.source = site.sources[0].at;
    const auto& place = site.outlets[0].place;
    if (const auto* point = std::get_if<Point>(&place)) {
        p.ends = {*point};
    } else if (const auto* line = std::get_if<Polyline>(&place)) {
        p.ends = *line;
    } else {
        p.ends = std::get<Polygon>(place).outer;
    }
    return p;
}

struct Planned {
    double price = infinity;
    Polyline downstream;
};

Planned planned(const Site& site, const Rules& rules)
{
    const JobPlan plan = plan_site(site, rules);
    const auto& by = plan.outcomes[0].by_source[0];
    const auto* trench = std::get_if<TrenchPlan>(&by);
    if (trench == nullptr) {
        return {};
    }
    const Judge judge{.site = plan.site, .ground = plan.ground, .rules = rules, .book = settings_book(rules)};
    return {.price = judge.price(*trench),
            .downstream = Polyline(trench->line.route.line.rbegin(), trench->line.route.line.rend())};
}

Point mirrored(const Point& p)
{
    return {.x_m = 24 - p.x_m, .y_m = p.y_m};
}
void mirror(Ring& ring)
{
    for (auto& p : ring) {
        p = mirrored(p);
    }
}

Site mirrored(Site site)
{
    mirror(site.foundations[0].outer);
    for (auto& patch : site.surfaces) {
        mirror(patch.area.outer);
    }
    for (auto& mark : site.marks) {
        mirror(mark.line);
    }
    for (auto& tree : site.trees) {
        tree.at = mirrored(tree.at);
    }
    for (auto& area : site.keep_outs) {
        mirror(area.area.outer);
    }
    site.sources[0].at = mirrored(site.sources[0].at);
    auto& place = site.outlets[0].place;
    if (auto* point = std::get_if<Point>(&place)) {
        *point = mirrored(*point);
    } else if (auto* line = std::get_if<Polyline>(&place)) {
        mirror(*line);
    } else {
        mirror(std::get<Polygon>(place).outer);
    }
    return site;
}

Site reordered(Site site)
{
    std::ranges::reverse(site.marks);
    std::ranges::reverse(site.trees);
    std::ranges::reverse(site.spots);
    return site;
}

/// Each variant's price over the least of them.
double spread(const RandomLot& lot, const Rules& rules, bool print)
{
    std::vector<std::pair<std::string, double>> prices;
    for (const double cell : {0.125, 0.2, 0.25, 0.35, 0.5}) {
        for (const int headings : {8, 16}) {
            Rules other = rules;
            other.route.cell_m = cell;
            other.route.headings = headings;
            try {
                prices.emplace_back(std::to_string(cell).substr(0, 5) + "/" + std::to_string(headings),
                                    planned(lot.site, other).price);
            } catch (const std::exception& stopped) {
                std::printf("  stopped: %s\n", stopped.what());
                prices.emplace_back("stopped", infinity);
            }
        }
    }
    prices.emplace_back("mirror", planned(mirrored(lot.site), rules).price);
    prices.emplace_back("order", planned(reordered(lot.site), rules).price);
    const auto [low, high] = std::ranges::minmax(prices, {}, [](const auto& one) { return one.second; });
    if (print) {
        for (const auto& [name, price] : prices) {
            std::printf("  %s %.2f", name.c_str(), price);
        }
        std::printf("\n");
    }
    return low.second < infinity ? high.second / low.second - 1 : 0;
}

} // namespace

int main(int argc, char** argv)
{
    const unsigned lots = argc > 1 ? static_cast<unsigned>(std::atoi(argv[1])) : 60;
    const int restarts = argc > 2 ? std::atoi(argv[2]) : 40;
    const bool spreads = argc > 3 && std::atoi(argv[3]) != 0;
    const unsigned first = argc > 4 ? static_cast<unsigned>(std::atoi(argv[4])) : 0;
    const Rules rules = default_rules();
    std::vector<double> gaps;
    std::vector<double> apart;
    double ours_s = 0;
    for (unsigned seed = first; seed < first + lots; ++seed) {
        const RandomLot lot = random_lot(seed);
        Planned ours;
        ours_s += seconds_of([&] { ours = planned(lot.site, rules); });
        const JobPlan plan = plan_site(lot.site, rules);
        const Judge judge{.site = plan.site, .ground = plan.ground, .rules = rules, .book = settings_book(rules)};
        double best = infinity;
        Polyline best_line;
        std::string why;
        for (const double reserve : {rules.min_extra_fall_m, 0.0}) {
            const auto problem = own_problem(lot, rules.route, reserve);
            for (const auto& line :
                 restarts > 0 ? own::best_lines(problem, seed, restarts, 4000, 12) : std::vector<Polyline>{}) {
                const double price = judge.price(line, &why);
                if (price < best) {
                    best = price;
                    best_line = line;
                }
            }
            if (best < infinity) {
                break;
            }
        }
        if (restarts > 0) {
            const double gap = ours.price / best - 1;
            std::printf("lot %u: planned %.2f (%zu points), own %.2f (%zu points), gap %.3f %% %s\n", seed, ours.price,
                        ours.downstream.size(), best, best_line.size(), 100 * gap, best < infinity ? "" : why.c_str());
            if ((gap > 0.002 && best < infinity) || std::getenv("SHOW") != nullptr) {
                for (const auto* line : {&ours.downstream, &best_line}) {
                    if (line->empty()) {
                        continue;
                    }
                    if (std::getenv("SHOW") != nullptr) {
                        setenv("LINES", "1", 1);
                        std::printf("  = %.2f\n", judge.price(*line));
                        unsetenv("LINES");
                    }
                    for (const auto& p : *line) {
                        std::printf("  %.2f,%.2f", p.x_m, p.y_m);
                    }
                    std::printf("\n");
                }
            }
            if (std::isfinite(gap)) {
                gaps.push_back(std::max(0.0, gap));
            }
        }
        if (spreads) {
            apart.push_back(spread(lot, rules, true));
            std::printf("lot %u: spread %.3f %%\n", seed, 100 * apart.back());
        }
        std::fflush(stdout);
    }
    for (auto* shares : {&gaps, &apart}) {
        if (!shares->empty()) {
            const auto [median, worst] = median_and_worst(*shares, [](double share) { return share; });
            const auto over = std::ranges::count_if(*shares, [](double share) { return share > 0.005; });
            std::printf("%s: %zu lots, median %.3f %%, worst %.3f %%, over 0.5 %%: %td\n",
                        shares == &gaps ? "above the independent optimizer" : "spread over lattices", shares->size(),
                        100 * median, 100 * worst, over);
        }
    }
    std::printf("plan: %.3f s a lot\n", ours_s / lots);
    return 0;
}
