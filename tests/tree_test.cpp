#include "plain_rules.hpp"
#include "random_drain.hpp"
#include "trenchwright/route/least_trees.hpp"

#include <catch2/catch.hpp>
#include <map>
#include <numeric>
#include <set>

using namespace trenchwright;
using namespace trenchwright::test;

namespace {

/// Every (cost, invert) worth keeping, by set of sources and state, without bounds and without a queue: all moves and
/// all junctions are tried again and again until nothing changes.
class EveryTree {
  public:
    explicit EveryTree(const DrainYard& drain) : drain_(drain), all_((1U << drain.sources.size()) - 1) {}

    std::optional<std::int64_t> cheapest()
    {
        for (std::size_t i = 0; i < drain_.sources.size(); ++i) {
            for (const auto& start : drain_.starts[i]) {
                set_out(1U << i, start);
            }
        }
        for (bool changed = true; changed;) {
            changed_ = false;
            step_all();
            join_all();
            changed = changed_;
        }
        std::optional<std::int64_t> best = at_once_;
        for (const auto& [key, kept] : kept_) {
            for (const auto& at : kept) {
                const auto cost =
                    key.first == all_ ? at_end(drain_.yard, cell(key.second), heading(key.second), at) : std::nullopt;
                best = cost && (!best || *cost < *best) ? cost : best;
            }
        }
        return best;
    }

  private:
    using Key = std::pair<unsigned, int>;
    [[nodiscard]] int state(int cell, int heading) const { return cell * drain_.yard.lattice.headings + heading; }
    [[nodiscard]] int cell(int state) const { return state / drain_.yard.lattice.headings; }
    [[nodiscard]] int heading(int state) const { return state % drain_.yard.lattice.headings; }

    void add(unsigned sources, int state, Carried at)
    {
        auto& kept = kept_[{sources, state}];
        for (const auto& other : kept) {
            if (other.cost_micro <= at.cost_micro && other.invert_um >= at.invert_um) {
                return;
            }
        }
        kept.push_back(at);
        changed_ = true;
    }

    /// No other fitting at the bend behind a source's first run: a least run follows.
    void set_out(unsigned sources, const Start& start)
    {
        std::optional<Carried> at = Carried{start.cost_micro, start.invert_um};
        const auto cost = sources == all_ ? at_end(drain_.yard, start.cell, start.heading, *at) : std::nullopt;
        at_once_ = cost && (!at_once_ || *cost < *at_once_) ? cost : at_once_;
        int to = start.cell;
        const auto steps = drain_.yard.lattice.run_steps[static_cast<std::size_t>(start.heading)];
        for (int i = 0; i < steps && at; ++i) {
            at = after_step(drain_.yard, to, start.heading, *at);
            to = drain_.yard.lattice.stepped(to, start.heading);
        }
        if (at) {
            add(sources, state(to, start.heading), *at);
        }
    }

    void leave(unsigned sources, int from, Carried at)
    {
        for_moves(drain_.yard, cell(from), heading(from), [&](const Move& move, int to) {
            if (const auto next = after_move(drain_.yard, move, at)) {
                add(sources, state(to, move.heading), *next);
            }
        });
    }

    void step_all()
    {
        const auto before = kept_;
        for (const auto& [key, kept] : before) {
            for (const auto& at : kept) {
                leave(key.first, key.second, at);
            }
        }
    }

    void join_all()
    {
        const auto before = kept_;
        for (const auto& [trunk, trunk_kept] : before) {
            for (const auto& [branch, branch_kept] : before) {
                if (cell(trunk.second) == cell(branch.second) && (trunk.first & branch.first) == 0) {
                    join(trunk, trunk_kept, branch, branch_kept);
                }
            }
        }
    }

    void join(Key trunk, const std::vector<Carried>& trunk_kept, Key branch, const std::vector<Carried>& branch_kept)
    {
        const Lattice& l = drain_.yard.lattice;
        const int way = heading(trunk.second);
        const int apart = std::abs(way - heading(branch.second));
        const auto price = drain_.junction.cost_micro[static_cast<std::size_t>(std::min(apart, l.headings - apart))];
        if (price < 0) {
            return;
        }
        for (const auto& t : trunk_kept) {
            for (const auto& b : branch_kept) {
                std::optional<Carried> at = Carried{t.cost_micro + b.cost_micro + price,
                                                    std::min(t.invert_um, b.invert_um - drain_.junction.rise_um)};
                if (at->invert_um < l.lowest_um[static_cast<std::size_t>(cell(trunk.second))]) {
                    continue;
                }
                int to = cell(trunk.second);
                for (int i = 0; i < l.run_steps[static_cast<std::size_t>(way)] && at; ++i) {
                    at = after_step(drain_.yard, to, way, *at);
                    to = l.stepped(to, way);
                }
                if (at) {
                    add(trunk.first | branch.first, state(to, way), *at);
                }
            }
        }
    }

    const DrainYard& drain_;
    unsigned all_;
    std::map<Key, std::vector<Carried>> kept_;
    std::optional<std::int64_t> at_once_; ///< a source that stands at the outlet
    bool changed_ = false;
};

/// The first cell of a branch that lies on another trench.
bool lies_on(const TreeBranch& trunk, int cell)
{
    return std::find(trunk.cells.begin(), trunk.cells.end(), cell) != trunk.cells.end();
}

} // namespace

TEST_CASE("money of the bounds is rounded down and never overflows", "[tree]")
{
    for (const auto& [cost_micro, cost_e4] : {std::pair{199, 1}, {100, 1}, {99, 0}, {0, 0}}) {
        CHECK(to_cost_e4(cost_micro) == cost_e4);
    }
    CHECK(to_cost_e4(unreachable_cost) < unreachable_cost_e4); // dear, yet there
    CHECK(sum_e4(unreachable_cost_e4 - 1, 5) == unreachable_cost_e4 - 1);
    CHECK(sum_e4(unreachable_cost_e4, -5) == unreachable_cost_e4);
}

TEST_CASE("the way to an end above the ground may cost less than nothing and is rounded down too", "[tree]")
{
    Lattice lattice;
    lattice.cut_zero_um = {0};
    // Cuts of -rise at the cell and 0 at the end, at 1 per meter of their mean: -rise/2 in micrometers and millionths.
    const Finish finish{.cell = 0, .dig_cost_micro_per_m = 1'000'000, .cut_zero_um = 0, .highest_um = 0};
    CHECK(finish_cost_e4(lattice, finish, 2) == -1);   // -1 millionth
    CHECK(finish_cost_e4(lattice, finish, 200) == -1); // -100
    CHECK(finish_cost_e4(lattice, finish, 202) == -2); // -101
}

TEST_CASE("the cheapest drain of up to three sources is the one found by trying everything", "[tree]")
{
    int drained = 0;
    int dry = 0;
    for (unsigned seed = 0; seed < 40; ++seed) {
        const auto fall = static_cast<Fall>(seed % 4);
        const auto drain = random_drain(8, 5, 1 + static_cast<int>(seed % 3), fall, 300 + seed);
        const auto expected = EveryTree(drain).cheapest();
        const auto found = cheapest_draining_tree(drain.problem());
        CAPTURE(seed);
        REQUIRE(std::holds_alternative<FoundTree>(found) == expected.has_value());
        if (expected) {
            CHECK(std::get<FoundTree>(found).cost_micro == *expected);
            CHECK(std::get<FoundTree>(found).bound_cost_micro <= *expected);
            ++drained;
        } else {
            ++dry;
        }
    }
    CHECK(drained >= 15);
    CHECK(dry >= 2);
}

TEST_CASE("every source of a drain reaches the outlet over junctions on trenches that are there", "[tree]")
{
    for (unsigned seed = 0; seed < 12; ++seed) {
        const auto drain = random_drain(60, 45, 4, seed % 2 == 0 ? Fall::slack : Fall::binding, 40 + seed);
        const auto found = cheapest_draining_tree(drain.problem());
        const auto* tree = std::get_if<FoundTree>(&found);
        if (tree == nullptr) {
            continue;
        }
        int to_outlet = 0;
        for (const auto& branch : tree->branches) {
            to_outlet += branch.joins < 0 ? 1 : 0;
            if (branch.joins >= 0) {
                CHECK(lies_on(tree->branches[static_cast<std::size_t>(branch.joins)], branch.cells.back()));
            }
        }
        CHECK(to_outlet == 1);
    }
}

TEST_CASE("a drain costs no more than trenches of their own and no less than its bound", "[tree]")
{
    int compared = 0;
    for (unsigned seed = 0; seed < 12; ++seed) {
        auto drain = random_drain(50, 40, 3, Fall::slack, 1200 + seed);
        drain.junction.cost_micro.fill(0); // else a junction may cost more than it saves
        const auto found = cheapest_draining_tree(drain.problem());
        const auto* tree = std::get_if<FoundTree>(&found);
        if (tree == nullptr) {
            continue; // a source walled in
        }
        std::int64_t separate = 0;
        for (const auto& starts : drain.starts) {
            auto alone = drain.yard;
            alone.starts = starts;
            const auto route = cheapest_draining_path(alone.problem());
            separate += std::get<FoundPath>(route).cost_micro;
        }
        CHECK(tree->cost_micro <= separate);
        CHECK(tree->cost_micro >= tree->bound_cost_micro);
        ++compared;
    }
    CHECK(compared >= 8);
}
