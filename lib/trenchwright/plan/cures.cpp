#include "trenchwright/plan/cures.hpp"

#include "trenchwright/plan/cure_knobs.hpp"
#include "trenchwright/route/ends.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <tbb/parallel_for.h>

namespace trenchwright {

namespace {

/// A change that helps one source, and by how many steps.
struct Helping {
    Knob knob;
    int steps = 0;
    Cure cure;
};

/// What is known about one refused source.
struct Looked {
    RefusalHelp help;
    std::vector<Helping> helping;
};

Helping helping_of(const Knob& knob, int steps, const TrenchPlan& trench)
{
    auto cure = knob.cure(steps, trench);
    cure.kind = knob.kind;
    cure.of = knob.of;
    cure.price = knob.price ? std::optional(knob.price(trench, steps)) : std::nullopt;
    return {.knob = knob, .steps = steps, .cure = std::move(cure)};
}

/// Plans a change by more steps than the source needs.
std::optional<Helping> with_steps(const Knob& knob, int steps)
{
    const auto trench = knob.best ? knob.best(steps) : knob.plan(steps);
    return trench ? std::optional(helping_of(knob, steps, *trench)) : std::nullopt;
}

std::optional<Helping> least_of(const Knob& knob)
{
    for (int more = 0; knob.known && more < 3; ++more) { // the search may miss one of them
        if (auto helping = with_steps(knob, knob.guess + more)) {
            return helping;
        }
    }
    if (knob.known) {
        return std::nullopt;
    }
    std::optional<TrenchPlan> last; // the least is the last that works
    const int steps = least_steps(knob.guess, knob.most, [&](int tried) {
        auto trench = knob.plan(tried);
        const bool works = trench.has_value();
        if (works) {
            last = std::move(trench);
        }
        return works;
    });
    if (steps < 1) {
        return std::nullopt;
    }
    auto in_earnest = with_steps(knob, steps);
    return in_earnest ? std::move(in_earnest) : std::optional(helping_of(knob, steps, *last));
}

std::vector<Point> ends_for(const CureTrials& trials)
{
    const auto& route = trials.rules().route;
    const auto ends =
        ends_of(trials.site(), trials.ground(), trials.outlet(), route, 2 * route.cell_m, trials.rules().units);
    std::vector<Point> places;
    if (const auto* found = std::get_if<std::vector<EndPoint>>(&ends)) {
        std::ranges::transform(*found, std::back_inserter(places), &EndPoint::at);
    }
    return places;
}

/// Names what closes the way, where its search found none.
void find_closed_by(const CureTrials& trials, Refusal& refusal, RefusalHelp& help)
{
    const auto ends = ends_for(trials);
    if (ends.empty()) {
        return; // the outlet's own place is refused
    }
    help.closed_by = closing_objects(trials.site(), trials.ground(), trials.source().at, ends, trials.rules().route);
    if (help.closed_by.empty()) {
        return;
    }
    std::vector<std::string> names;
    std::ranges::transform(help.closed_by, std::back_inserter(names), &ClosingObject::name);
    refusal.text += fmt::format(". The fewest things that close it: {}", fmt::join(names, ", "));
    refusal.at = help.closed_by.front().at;
}

/// @param alone    the only source that is refused: a pump at each of several is no single change
/// @param beyond_m  how much the search on the lattice is off, by what a source before this one showed
Looked look(const CureTrials& trials, Refusal& refusal, bool alone, double beyond_m)
{
    Looked looked;
    std::optional<JustDrains> drains;
    if (refusal.kind == RefusalKind::falls_short) {
        drains = just_drains(trials, std::max(0.0, refusal.short_by_m.value_or(0) + beyond_m));
        if (drains) {
            refusal = exact_refusal(trials, *drains);
            looked.help.nearest_line = drains->trench.line.route.line;
        }
    }
    if (!trials.rules().cures.look) {
        return looked;
    }
    if (refusal.kind == RefusalKind::blocked) {
        find_closed_by(trials, refusal, looked.help);
    }
    const auto knobs = knobs_for(trials, refusal, drains, {.closed_by = looked.help.closed_by, .alone = alone});
    std::vector<std::optional<Helping>> found(knobs.size());
    tbb::parallel_for(std::size_t{0}, knobs.size(), [&](std::size_t i) { found[i] = least_of(knobs[i]); });
    for (auto& one : found) {
        if (one) {
            looked.helping.push_back(*std::move(one));
        }
    }
    std::ranges::stable_sort(looked.helping, {}, [](const Helping& one) { return one.cure.kind; });
    for (const auto& helping : looked.helping) {
        looked.help.cures.push_back(helping.cure);
    }
    return looked;
}

bool same_change(const Helping& a, const Helping& b)
{
    return a.knob.kind == b.knob.kind && a.knob.of == b.knob.of && a.cure.gone.size() == b.cure.gone.size() &&
           std::ranges::equal(a.cure.gone, b.cure.gone, {}, &ClosingObject::name, &ClosingObject::name);
}

/// What is changed for one source only cannot be one change for several.
bool is_shared(CureKind kind)
{
    return kind != CureKind::ground_raised && kind != CureKind::outlet_moved && kind != CureKind::opening_raised &&
           kind != CureKind::pumped;
}

/// The change with which every refused source works: as far as the one that needs most of it.
std::optional<Cure> shared_change(const Helping& first, const std::vector<const Looked*>& all)
{
    std::vector<const Helping*> each;
    for (const auto* looked : all) {
        const auto found =
            std::ranges::find_if(looked->helping, [&](const auto& one) { return same_change(one, first); });
        if (found == looked->helping.end()) {
            return std::nullopt;
        }
        each.push_back(&*found);
    }
    const auto* most = *std::ranges::max_element(each, {}, [](const Helping* one) { return one->steps; });
    auto cure = most->cure;
    for (const auto* one : each) {
        if (one == most) {
            continue;
        }
        const auto farther = one->steps == most->steps ? std::optional(*one) : with_steps(one->knob, most->steps);
        if (!farther) {
            return std::nullopt;
        }
        if (cure.price && farther->cure.price) {
            *cure.price += *farther->cure.price;
        } else {
            cure.price = std::nullopt;
        }
    }
    return cure;
}

std::vector<Cure> shared_cures(const std::vector<const Looked*>& all)
{
    std::vector<Cure> cures;
    for (const auto& first : all.front()->helping) {
        if (all.size() > 1 && !is_shared(first.knob.kind)) {
            continue;
        }
        if (auto cure = shared_change(first, all)) {
            cures.push_back(*std::move(cure));
        }
    }
    return cures;
}

} // namespace

OutletOutcome with_cures(OutletOutcome outcome, const RoutePreps& preps, const PriceBasis& basis, const Ground& ground)
{
    std::vector<std::size_t> refused;
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        if (std::holds_alternative<Refusal>(outcome.by_source[i])) {
            refused.push_back(i);
        }
    }
    if (refused.empty()) {
        return outcome;
    }
    std::vector<Looked> looked(outcome.by_source.size());
    const auto look_at = [&](std::size_t source, double beyond_m) {
        const CureTrials trials(basis, ground, preps, source, outcome.outlet);
        auto& refusal = std::get<Refusal>(outcome.by_source[source]);
        looked[source] = look(trials, refusal, refused.size() == 1, beyond_m);
    };
    // What decides is often near the outlet, for every source the same: the first shows how much.
    const auto said = std::get<Refusal>(outcome.by_source[refused.front()]).short_by_m.value_or(0);
    look_at(refused.front(), 0);
    const double beyond_m = looked[refused.front()].help.nearest_line.empty()
                                ? 0
                                : *std::get<Refusal>(outcome.by_source[refused.front()]).short_by_m - said;
    tbb::parallel_for(std::size_t{1}, refused.size(), [&](std::size_t i) { look_at(refused[i], beyond_m); });
    std::vector<const Looked*> all;
    for (const auto source : refused) {
        all.push_back(&looked[source]);
    }
    outcome.cures = shared_cures(all);
    for (auto& one : looked) {
        outcome.help.push_back(std::move(one.help));
    }
    return outcome;
}

} // namespace trenchwright
