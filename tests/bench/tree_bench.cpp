// The cheapest drain of several sources on a lot of 60 x 45 m: exact without fall, and under fall. Prints times,
// labels and the gap to the tree without headings, bends and fall; nothing here passes or fails.
#include "../random_drain.hpp"
#include "figures.hpp"
#include "trenchwright/route/least_trees.hpp"

#include <algorithm>
#include <cstdio>
#include <cstdlib>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

struct Row {
    double bound_s = 0;
    double tree_s = 0;
    double labels_per_cell = 0;
    double gap = -1; ///< of the bound; negative: none
    bool drains = false;
    bool budget = false;
};

Row measure(int sources, Fall fall, unsigned seed, long long budget)
{
    const auto drain = random_drain(240, 180, sources, fall, seed);
    const auto problem = drain.problem(budget);
    std::vector<std::int32_t> open(problem.highest_um.begin(), problem.highest_um.end());
    for (std::size_t cell = 0; cell < open.size(); ++cell) {
        open[cell] = problem.lattice.open[cell] != 0 ? open[cell] : unreached_um;
    }
    Row row;
    row.bound_s = seconds_of([&] { (void)LeastTrees(problem, [&](unsigned) { return open; }, false); });
    std::variant<FoundTree, NoTree> outcome;
    row.tree_s = seconds_of([&] { outcome = cheapest_draining_tree(problem); });
    const auto* tree = std::get_if<FoundTree>(&outcome);
    row.drains = tree != nullptr;
    row.budget = tree == nullptr && std::get<NoTree>(outcome).budget;
    const long long labels = tree != nullptr ? tree->labels : std::get<NoTree>(outcome).labels;
    row.labels_per_cell = static_cast<double>(labels) / problem.lattice.cells();
    if (tree != nullptr) {
        row.gap = static_cast<double>(tree->cost_micro - tree->bound_cost_micro) /
                  static_cast<double>(tree->bound_cost_micro);
    }
    return row;
}

} // namespace

int main(int argc, char** argv)
{
    const unsigned lots = argc > 1 ? static_cast<unsigned>(std::atoi(argv[1])) : 20;
    const long long budget = argc > 2 ? std::atoll(argv[2]) : 20'000'000;
    std::printf("%u random lots of 60 x 45 m a line, cells of 0.25 m, 8 headings; label budget %lld\n", lots, budget);
    std::printf("%-8s %-8s %6s %7s %9s %9s %9s %9s %9s %9s %8s %8s\n", "sources", "fall", "drain", "budget", "exact s",
                "worst", "tree s", "worst", "labels/c", "worst", "gap %", "worst %");
    for (const int sources : {2, 3, 4, 5, 6}) {
        for (const auto& [fall, name] : {std::pair{Fall::slack, "slack"}, std::pair{Fall::binding, "binding"}}) {
            std::vector<Row> rows;
            for (unsigned seed = 0; seed < lots; ++seed) {
                rows.push_back(measure(sources, fall, 500 + seed, budget));
            }
            const auto [bound, worst_bound] = median_and_worst(rows, [](const Row& r) { return r.bound_s; });
            const auto [tree, worst_tree] = median_and_worst(rows, [](const Row& r) { return r.tree_s; });
            const auto [labels, worst_labels] = median_and_worst(rows, [](const Row& r) { return r.labels_per_cell; });
            const auto [gap, worst_gap] = median_and_worst(rows, [](const Row& r) { return 100 * r.gap; });
            const auto drain = std::count_if(rows.begin(), rows.end(), [](const Row& r) { return r.drains; });
            const auto spent = std::count_if(rows.begin(), rows.end(), [](const Row& r) { return r.budget; });
            std::printf("%-8d %-8s %6td %7td %9.4f %9.4f %9.4f %9.4f %9.3f %9.3f %8.2f %8.2f\n", sources, name, drain,
                        spent, bound, worst_bound, tree, worst_tree, labels, worst_labels, gap, worst_gap);
            std::fflush(stdout);
        }
    }
    return 0;
}
