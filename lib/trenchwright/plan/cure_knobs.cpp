#include "trenchwright/plan/cure_knobs.hpp"

#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/cure_places.hpp"
#include "trenchwright/plan/reach_pipes.hpp"
#include "trenchwright/plan/trench.hpp"
#include "trenchwright/plan/water.hpp"
#include "trenchwright/route/cover.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <limits>

namespace trenchwright {

namespace {

constexpr double fall_step_ratio = 0.0001;
constexpr double rounding_m = 1e-9; // what is exactly as far as a rule asks is not too near

/// Steps that gain at least as much.
int steps_for(double gain, double step)
{
    constexpr double rounding = 1e-6;
    return std::max(1, static_cast<int>(std::ceil(gain / step - rounding)));
}

/// Steps within a limit.
int steps_within(double room, double step)
{
    constexpr double rounding = 1e-6;
    return std::max(0, static_cast<int>(std::floor(room / step + rounding)));
}

/// A rule or a place that is changed by as many steps; its trench and price follow from the change.
Knob knob_of(const CureTrials& trials, CureKind kind, std::string of, const std::function<Change(int)>& change,
             std::function<Cure(int, const TrenchPlan&)> cure)
{
    Knob knob;
    knob.kind = kind;
    knob.of = std::move(of);
    knob.plan = [trials, change](int steps) { return trials.planned(change(steps)); };
    knob.best = [trials, change](int steps) {
        Change in_earnest = change(steps);
        in_earnest.thorough = true;
        return trials.planned(in_earnest);
    };
    knob.price = [trials, change](const TrenchPlan& trench, int steps) { return trials.price(trench, change(steps)); };
    knob.cure = std::move(cure);
    return knob;
}

Cure lengths(std::optional<double> from_m, std::optional<double> to_m, std::string text)
{
    Cure cure;
    cure.from_m = from_m;
    cure.to_m = to_m;
    cure.text = std::move(text);
    return cure;
}

/// A length of the rules that is lowered by steps.
struct LoweredLength {
    CureKind kind = CureKind::less_cover;
    std::string of;
    double from_m = 0;
    double least_m = 0;
    double guess_m = 0; ///< how much has to be gained
    std::string words;  ///< "cover under lawn"
    std::string who;    ///< "; the town and ... decide"
    bool lattices_hold = false;
    std::function<void(Rules&, double)> set;
};

std::optional<Knob> lowered(const CureTrials& trials, const LoweredLength& length)
{
    const auto units = trials.rules().units;
    const double step = cure_step_m(units);
    const auto to_m = [length, step](int steps) {
        return std::max(length.least_m, length.from_m - steps * step - rounding_m);
    };
    auto knob = knob_of(
        trials, length.kind, length.of,
        [length, to_m](int steps) {
            return Change{.rules = [=](Rules& rules) { length.set(rules, to_m(steps)); },
                          .lattices_hold = length.lattices_hold};
        },
        [length, to_m, units](int steps, const TrenchPlan& /*trench*/) {
            return lengths(length.from_m, to_m(steps),
                           fmt::format("{} of {} instead of {}{}", length.words, small_text(to_m(steps), units),
                                       small_text(length.from_m, units), length.who));
        });
    knob.guess = steps_for(length.guess_m, step);
    knob.most = steps_within(length.from_m - length.least_m, step);
    return knob.guess > knob.most ? std::nullopt : std::optional(std::move(knob));
}

// What helps against fall that is short.

/// @param route  that the line which just drains was planned by: they may take the lowest cover
std::optional<Knob> less_cover(const CureTrials& trials, const RouteRules& route, const CoverAt& cover,
                               double short_by_m)
{
    const auto& rules = trials.rules();
    const auto rule = route.surfaces.find(cover.kind);
    if (rule == route.surfaces.end()) {
        return std::nullopt;
    }
    const auto& surface = rule->second;
    constexpr double same_m = 1e-9;
    if (std::abs(cover.cover_m - surface.min_cover_m) > same_m) {
        return std::nullopt; // eased near the outlet, or set by the slab
    }
    const bool eased = surface.min_cover_m < rules.route.surfaces.at(cover.kind).min_cover_m;
    const double slab_m = surface.slab_m > 0 ? surface.slab_m + rules.route.slab_gap_m : 0;
    const double floor_m = surface.carries_vehicles ? rules.cures.min_drive_cover_m : rules.cures.min_cover_m;
    return lowered(
        trials,
        {.kind = CureKind::less_cover,
         .of = cover.kind,
         .from_m = surface.min_cover_m,
         .least_m = std::max(slab_m, floor_m),
         .guess_m = short_by_m,
         .words = fmt::format("{} under {}", eased ? "lowest cover" : "cover", display_name(cover.kind)),
         .who = surface.carries_vehicles ? ", if the pipe is made for the load at that cover" : "",
         .lattices_hold = false,
         .set = [kind = cover.kind](Rules& changed, double to_m) { changed.route.surfaces[kind].min_cover_m = to_m; }});
}

std::optional<Knob> less_slab_gap(const CureTrials& trials, const CoverAt& cover, double short_by_m)
{
    const auto& rules = trials.rules();
    const auto rule = rules.route.surfaces.find(cover.kind);
    constexpr double same_m = 1e-9;
    const bool by_slab = rule != rules.route.surfaces.end() && rule->second.slab_m > 0 &&
                         cover.cover_m <= rule->second.slab_m + rules.route.slab_gap_m + same_m;
    if (!by_slab) {
        return std::nullopt;
    }
    return lowered(trials, {.kind = CureKind::less_slab_gap,
                            .of = cover.kind,
                            .from_m = rules.route.slab_gap_m,
                            .least_m = rules.cures.min_slab_gap_m,
                            .guess_m = short_by_m,
                            .words = fmt::format("gap between the slab of {} and the pipe", display_name(cover.kind)),
                            .who = ", if the slab's owner agrees",
                            .lattices_hold = false,
                            .set = [](Rules& changed, double to_m) { changed.route.slab_gap_m = to_m; }});
}

std::optional<Knob> less_fall(const CureTrials& trials, const JustDrains& drains)
{
    const auto units = trials.rules().units;
    const double from = trials.rules().route.min_fall_ratio;
    const auto to_ratio = [from](int steps) { return from - steps * fall_step_ratio; };
    auto knob = knob_of(
        trials, CureKind::less_fall, "",
        [to_ratio](int steps) {
            return Change{.rules = [=](Rules& rules) { rules.route.min_fall_ratio = to_ratio(steps); }};
        },
        [to_ratio, from, units](int steps, const TrenchPlan& /*trench*/) {
            Cure cure;
            cure.from_ratio = from;
            cure.to_ratio = to_ratio(steps);
            cure.text = fmt::format("minimum fall of {} instead of {}, if the code in force takes it",
                                    fall_text(to_ratio(steps), units), fall_text(from, units));
            return cure;
        });
    const double length = length_m(drains.trench.line.route.line);
    knob.guess = steps_for(drains.lowered_m / length, fall_step_ratio);
    knob.most = steps_within(from - trials.rules().cures.min_fall_ratio, fall_step_ratio);
    // Another line may be shorter, but not by half: most of it is given by where source and outlet lie.
    const bool far_off = knob.guess > 2 * knob.most;
    return knob.most < 1 || far_off ? std::nullopt : std::optional(std::move(knob));
}

std::string carries_text(const CureTrials& trials, const PipeChoice& pipe, double fall_ratio)
{
    const auto units = trials.rules().units;
    const auto flow = source_flow_m3ps(trials.source(), trials.rules().water);
    const auto made =
        reach_flow(flow.value_or(0), fall_ratio, bore_of(pipe, trials.rules().water), trials.rules().water.limits);
    return flow ? fmt::format("it carries {} at {}, and {} comes", flow_text(made.capacity_m3ps, units),
                              fall_text(fall_ratio, units), flow_text(*flow, units))
                : fmt::format("it carries {} at {}; the flow is not known", flow_text(made.capacity_m3ps, units),
                              fall_text(fall_ratio, units));
}

bool carries(const CureTrials& trials, const PipeChoice& pipe)
{
    const auto flow = source_flow_m3ps(trials.source(), trials.rules().water);
    const auto& water = trials.rules().water;
    return !flow ||
           reach_flow(*flow, trials.rules().route.min_fall_ratio, bore_of(pipe, water), water.limits).capacity_m3ps >=
               *flow;
}

void add_smaller_pipes(std::vector<Knob>& knobs, const CureTrials& trials, double gain_m)
{
    const auto& section = trials.rules().route.section;
    for (const auto& pipe : trials.rules().water.pipes) {
        const double gained = section.outside_diameter_m - section.wall_m - (pipe.outside_diameter_m - pipe.wall_m);
        if (!pipe.use || !(gained > 0) || gained < gain_m || !carries(trials, pipe)) {
            continue;
        }
        const auto change = [pipe, &book = trials.book()](int /*steps*/) {
            return Change{.rules = [&book, pipe](Rules& rules) {
                set_rules(rules, rules_of_pipe(pipe));
                price_route_by_rates(rules, book);
            }};
        };
        knobs.push_back(
            knob_of(trials, CureKind::smaller_pipe, pipe.name, change,
                    [trials, pipe](int /*steps*/, const TrenchPlan& /*trench*/) {
                        const auto& rules = trials.rules();
                        const auto text = fmt::format("pipe {} instead of {}: {}", pipe.name, rules.pipe_name,
                                                      carries_text(trials, pipe, rules.route.min_fall_ratio));
                        return lengths(rules.route.section.outside_diameter_m, pipe.outside_diameter_m, text);
                    }));
    }
}

std::optional<Knob> opening_raised(const CureTrials& trials, double short_by_m)
{
    const auto from = trials.source().highest_invert_elev_m;
    if (!from) {
        return std::nullopt;
    }
    const auto units = trials.rules().units;
    const double step = cure_step_m(units);
    auto knob = knob_of(
        trials, CureKind::opening_raised, "",
        [source = trials.source_index(), from, step](int steps) {
            return Change{
                .site = [=](Site& site) { site.sources[source].highest_invert_elev_m = *from + steps * step; },
                .lattices_hold = true};
        },
        [from, step, units, at = trials.source().at](int steps, const TrenchPlan& /*trench*/) {
            auto cure = lengths(from, *from + steps * step,
                                fmt::format("the pipe's highest invert at the wall {} higher, at {} instead of {}",
                                            small_text(steps * step, units), elev_text(*from + steps * step, units),
                                            elev_text(*from, units)));
            cure.at = at;
            return cure;
        });
    knob.guess = steps_for(short_by_m, step);
    knob.most = steps_within(trials.rules().cures.max_raise_m, step);
    return knob.guess > knob.most ? std::nullopt : std::optional(std::move(knob));
}

/// What stands for the outlet's lowest invert, and so would have to change.
std::string lowered_words(const Outlet& outlet, double by_m, double end_elev_m, UnitSystem units)
{
    const auto by = small_text(by_m, units);
    if (outlet.lowest_invert_elev_m) {
        return fmt::format("the outlet's lowest invert {} lower than its record says, at {}", by,
                           elev_text(end_elev_m, units));
    }
    switch (outlet.kind) {
    case OutletKind::curb:
        return fmt::format("the gutter {} lower than its record says, at {}: measure it again", by,
                           elev_text(end_elev_m, units));
    case OutletKind::popup:
        return fmt::format("the elbow under the lid {} deeper, at {}", by, elev_text(end_elev_m, units));
    case OutletKind::swale:
        return fmt::format("the swale {} lower where the pipe ends, at {}", by, elev_text(end_elev_m, units));
    case OutletKind::inlet: break;
    }
    return fmt::format("the outlet {} lower, at {}", by, elev_text(end_elev_m, units));
}

/// @param drains  where the missing fall is exact
Knob outlet_lowered(const CureTrials& trials, double short_by_m, const std::optional<JustDrains>& drains)
{
    const auto units = trials.rules().units;
    const double step = cure_step_m(units);
    auto knob = knob_of(
        trials, CureKind::outlet_lowered, "",
        [step](int steps) {
            return Change{.rules = [=](Rules& rules) { rules.route.outlet_lowered_m = steps * step; },
                          .lattices_hold = true};
        },
        [trials, step, units](int steps, const TrenchPlan& trench) {
            const double to = trench.line.route.end.lowest_invert_elev_m;
            auto cure = lengths(to + steps * step, to, lowered_words(trials.outlet(), steps * step, to, units));
            cure.at = trench.line.route.end.at;
            return cure;
        });
    constexpr double rounded_m = 0.001; // an exact one is in whole millimeters, rounded up
    knob.guess = steps_for(drains ? short_by_m - rounded_m : short_by_m, step);
    knob.most = knob.guess;
    knob.known = drains.has_value();
    return knob;
}

Knob ground_raised(const CureTrials& trials, const JustDrains& drains)
{
    Knob knob;
    knob.kind = CureKind::ground_raised;

    knob.plan = [trials, drains](int /*steps*/) -> std::optional<TrenchPlan> {
        auto raised = raised_ground(trials, drains);
        return raised ? std::optional(std::move(raised->trench)) : std::nullopt;
    };
    knob.cure = [trials, drains](int /*steps*/, const TrenchPlan& /*trench*/) {
        const auto units = trials.rules().units;
        const auto raised = raised_ground(trials, drains).value();
        auto cure = lengths(0, raised.most_m,
                            fmt::format("the ground raised by up to {} from {} to {} of the line that comes nearest, "
                                        "and kept so",
                                        small_text(raised.most_m, units), station_text(raised.span.from_m, units),
                                        station_text(raised.span.to_m, units)));
        cure.at = raised.at;
        return cure;
    };
    return knob;
}

Knob pumped(const CureTrials& trials)
{
    return knob_of(
        trials, CureKind::pumped, "", [](int /*steps*/) { return Change{.lattices_hold = true, .pumped = true}; },
        [trials](int /*steps*/, const TrenchPlan& /*trench*/) {
            auto cure = lengths(std::nullopt, std::nullopt,
                                fmt::format("a pump at {}, whose line climbs to the outlet under pressure; pit, pump "
                                            "and power are not in the price",
                                            trials.source().id));
            cure.at = trials.source().at;
            return cure;
        });
}

std::optional<Knob> outlet_moved(const CureTrials& trials)
{
    const auto kind = trials.outlet().kind;
    const bool free = kind == OutletKind::popup || kind == OutletKind::swale;
    if (!free || !std::holds_alternative<Point>(trials.outlet().place)) {
        return std::nullopt; // a line or an area was tried everywhere; curb and inlet are where they are
    }
    auto knob = knob_of(
        trials, CureKind::outlet_moved, "",
        [trials](int steps) {
            return Change{.site = [=](Site& site) {
                if (const auto place = place_about(trials, steps)) {
                    site.outlets[trials.outlet_index()].place = *place;
                }
            }};
        },
        [trials](int steps, const TrenchPlan& trench) {
            const auto to = to_native(trials.site().frame, trench.line.route.end.at);
            auto cure = lengths(0, steps * move_step_m,
                                fmt::format("the outlet moved {} to ({:.2f}, {:.2f})",
                                            length_text(steps * move_step_m, trials.rules().units), to.x, to.y));
            cure.at = trench.line.route.end.at;
            return cure;
        });
    knob.most = steps_within(trials.rules().cures.max_move_m, move_step_m);
    int first = 1;
    while (first <= knob.most && !place_about(trials, first)) {
        ++first;
    }
    knob.guess = first;
    return first > knob.most ? std::nullopt : std::optional(std::move(knob));
}

// What helps against the other refusals.

std::optional<Knob> cut_deepened(const CureTrials& trials, double excess_m)
{
    const auto units = trials.rules().units;
    const double step = cure_step_m(units);
    const double from = trials.rules().route.deepest_cut_m;
    auto knob = knob_of(
        trials, CureKind::cut_deepened, "",
        [from, step](int steps) {
            return Change{.rules = [=](Rules& rules) { rules.route.deepest_cut_m = from + steps * step; }};
        },
        [from, step, units](int steps, const TrenchPlan& /*trench*/) {
            return lengths(from, from + steps * step,
                           fmt::format("a maximum cut of {} instead of {}", depth_text(from + steps * step, units),
                                       depth_text(from, units)));
        });
    knob.guess = steps_for(excess_m, step);
    knob.most = steps_within(trials.rules().cures.max_cut_m - from, step);
    knob.plan = knob.best; // how deep a line lies hangs on its polish
    return knob.guess > knob.most ? std::nullopt : std::optional(std::move(knob));
}

/// A setback that the outlet's record states.
struct Setback {
    std::optional<double> Outlet::* field = nullptr;
    std::string_view from;
};
constexpr std::array setbacks{Setback{&Outlet::setback_foundation_m, "the foundation"},
                              Setback{&Outlet::setback_lot_line_m, "the lot line"},
                              Setback{&Outlet::setback_street_m, "the right-of-way"}};

std::optional<Knob> setback_eased(const CureTrials& trials, const Setback& setback, double short_by_m)
{
    const auto from = trials.outlet().*setback.field;
    if (!from) {
        return std::nullopt;
    }
    const auto units = trials.rules().units;
    const double step = cure_step_m(units);
    const auto to_m = [from, step](int steps) { return std::max(0.0, *from - steps * step - rounding_m); };
    auto knob = knob_of(
        trials, CureKind::setback_eased, std::string(setback.from),
        [to_m, setback, outlet = trials.outlet_index()](int steps) {
            return Change{.site = [=](Site& site) { site.outlets[outlet].*setback.field = to_m(steps); },
                          .lattices_hold = true};
        },
        [to_m, from, setback, units](int steps, const TrenchPlan& /*trench*/) {
            return lengths(from, to_m(steps),
                           fmt::format("a setback of {} from {} instead of the {} that the outlet's record requires, "
                                       "if whoever set it agrees",
                                       depth_text(to_m(steps), units), setback.from, depth_text(*from, units)));
        });
    knob.guess = steps_for(short_by_m, step);
    knob.most = steps_for(*from, step);
    return knob.guess > knob.most ? std::nullopt : std::optional(std::move(knob));
}

/// The facility whose mark lies nearest to a place; unstated where there is none.
Facility nearest_facility(const Site& site, const Point& at)
{
    const auto nearest =
        std::ranges::min_element(site.marks, {}, [&](const Mark& mark) { return distance_m(at, mark.line); });
    return nearest == site.marks.end() ? Facility::unstated : nearest->facility;
}

void add_gaps(std::vector<Knob>& knobs, const CureTrials& trials, const Refusal& refusal)
{
    if (!refusal.at) {
        return;
    }
    const auto facility = nearest_facility(trials.site(), *refusal.at);
    const auto& clearances = trials.rules().clearances;
    const auto row = clearances.by_facility.find(leading_facility(facility));
    if (row == clearances.by_facility.end()) {
        return;
    }
    struct Gap {
        CureKind kind;
        double Separation::* field;
        bool Separation::* hard;
        const char* words;
    };
    for (const auto& gap :
         {Gap{CureKind::less_gap, &Separation::crossing_m, &Separation::crossing_hard, "over or under"},
          Gap{CureKind::less_side_gap, &Separation::side_m, &Separation::side_hard, "beside"}}) {
        if (!(row->second.*gap.hard)) {
            continue;
        }
        auto knob = lowered(trials, {.kind = gap.kind,
                                     .of = std::string(facility_name(facility)),
                                     .from_m = row->second.*gap.field,
                                     .least_m = 0,
                                     .guess_m = refusal.short_by_m.value_or(0),
                                     .words = fmt::format("a gap {} {}", gap.words, facility_name(facility)),
                                     .who = ", if the facility's owner agrees",
                                     .lattices_hold = true,
                                     .set = [key = row->first, field = gap.field](Rules& rules, double to_m) {
                                         rules.clearances.by_facility[key].*field = to_m;
                                     }});
        if (knob) {
            knobs.push_back(*std::move(knob));
        }
    }
}

/// Whose leave would open the way, as far as that is true.
std::string leave_for(const ClosingObject& object)
{
    switch (object.kind) {
    case ObstacleKind::keep_out: return fmt::format("leave to pass the {}", object.name);
    case ObstacleKind::mark: return fmt::format("a crossing right for the {}", object.name);
    case ObstacleKind::tree: return fmt::format("leave to dig in the {}", object.name);
    case ObstacleKind::neighbor_lot: return "leave from the neighbor to dig on that lot";
    case ObstacleKind::lot_line: return "leave from whoever owns the ground beyond the lot line";
    case ObstacleKind::street_edge: return "leave from whoever owns the ground beyond the right-of-way";
    case ObstacleKind::easement: return fmt::format("leave from the holder of the {}", object.name);
    case ObstacleKind::closed_surface: return fmt::format("leave to open the {}", display_name(object.name));
    case ObstacleKind::foundation:
    case ObstacleKind::neighbor_building:
    case ObstacleKind::well:
    case ObstacleKind::septic:
    case ObstacleKind::missing_ground: break;
    }
    return object.name;
}

Knob objects_gone(const CureTrials& trials, const std::vector<ClosingObject>& gone)
{
    const bool surface = std::ranges::all_of(
        gone, [](const ClosingObject& object) { return object.kind == ObstacleKind::closed_surface; });
    std::vector<std::string> leaves;
    for (const auto& object : gone) {
        leaves.push_back(leave_for(object));
    }
    const auto take_all = [gone](auto& from) {
        for (const auto& object : gone) {
            take_away(object, from);
        }
    };
    const auto change = [take_all](int /*steps*/) {
        return Change{.rules = [take_all](Rules& rules) { take_all(rules.route); }, .site = take_all};
    };
    return knob_of(trials, surface ? CureKind::surface_opened : CureKind::objects_gone, "", change,
                   [gone, leaves](int /*steps*/, const TrenchPlan& /*trench*/) {
                       Cure cure;
                       cure.gone = gone;
                       cure.at = gone.front().at;
                       cure.text = fmt::format("{}", fmt::join(leaves, " and "));
                       return cure;
                   });
}

void add(std::vector<Knob>& knobs, std::optional<Knob> knob)
{
    if (knob) {
        knobs.push_back(*std::move(knob));
    }
}

std::vector<Knob> against_short_fall(const CureTrials& trials, const Refusal& refusal,
                                     const std::optional<JustDrains>& drains)
{
    std::vector<Knob> knobs;
    if (drains && refusal.at) {
        const double lacks = drains->lowered_m;
        const auto route = planning_rules(trials.rules(), easing_of({&drains->trench}, trials.rules())).route;
        const auto cover = cover_at(trials.site(), trials.outlet(), *refusal.at, route);
        add(knobs, opening_raised(trials, lacks));
        add(knobs, less_fall(trials, *drains));
        add(knobs, less_cover(trials, route, cover, lacks));
        add(knobs, less_slab_gap(trials, cover, lacks));
        add_smaller_pipes(knobs, trials, lacks - cure_step_m(trials.rules().units)); // what lacks is rounded up
        if (!drains->besides) {
            knobs.push_back(outlet_lowered(trials, lacks, drains));
            knobs.push_back(ground_raised(trials, *drains));
        }
    }
    add(knobs, outlet_moved(trials));
    return knobs;
}

std::vector<Knob> against_blocked(const CureTrials& trials, const std::vector<ClosingObject>& closed_by)
{
    const bool may = !closed_by.empty() && std::ranges::all_of(closed_by, [](const ClosingObject& object) {
        return may_give_way(object.kind) && object.kind != ObstacleKind::missing_ground;
    });
    std::vector<Knob> knobs;
    add(knobs, outlet_moved(trials));
    if (may) {
        knobs.push_back(objects_gone(trials, closed_by));
    }
    return knobs;
}

std::vector<Knob> against_place(const CureTrials& trials, const Refusal& refusal)
{
    std::vector<Knob> knobs;
    for (const auto& setback : setbacks) {
        if (refusal.kind == RefusalKind::setback) {
            add(knobs, setback_eased(trials, setback, refusal.short_by_m.value_or(0)));
        }
    }
    add(knobs, outlet_moved(trials));
    return knobs;
}

std::vector<Knob> against(const CureTrials& trials, const Refusal& refusal, const std::optional<JustDrains>& drains,
                          const std::vector<ClosingObject>& closed_by)
{
    std::vector<Knob> knobs;
    switch (refusal.kind) {
    case RefusalKind::falls_short: return against_short_fall(trials, refusal, drains);
    case RefusalKind::too_deep: add(knobs, cut_deepened(trials, refusal.short_by_m.value_or(0))); break;
    case RefusalKind::clearance: add_gaps(knobs, trials, refusal); break;
    case RefusalKind::pipe_too_large:
        add_smaller_pipes(knobs, trials, 0);
        knobs.push_back(outlet_lowered(trials, refusal.short_by_m.value_or(0), std::nullopt));
        break;
    case RefusalKind::blocked: return against_blocked(trials, closed_by);
    case RefusalKind::setback:
    case RefusalKind::unlawful_place: return against_place(trials, refusal);
    case RefusalKind::not_permitted:
    case RefusalKind::no_ground:
    case RefusalKind::search_budget: break;
    }
    return knobs;
}

} // namespace

std::vector<Knob> knobs_for(const CureTrials& trials, const Refusal& refusal, const std::optional<JustDrains>& drains,
                            const RefusalFacts& facts)
{
    auto knobs = against(trials, refusal, drains, facts.closed_by);
    const bool lift = refusal.kind == RefusalKind::falls_short || refusal.kind == RefusalKind::too_deep;
    if (lift && facts.alone && trials.source().kind != SourceKind::pump) {
        knobs.push_back(pumped(trials));
    }
    return knobs;
}

} // namespace trenchwright
