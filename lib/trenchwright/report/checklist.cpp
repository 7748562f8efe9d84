#include "trenchwright/report/checklist.hpp"

#include "trenchwright/base/drawn_things.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/lot_sides.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <functional>
#include <map>
#include <utility>

namespace trenchwright {

namespace {

/// What is known of one drawing, and what is on it.
struct Drawn {
    const JobPlan& plan;
    const OutletOutcome* outcome;
    const DrawnThings& shown;
    [[nodiscard]] const Site& site() const { return plan.site; }
    [[nodiscard]] const SheetRecord& sheet() const { return plan.job.sheet; }
};

/// How the drawing fills an item.
struct Filled {
    bool drawn = false;
    std::string text; ///< empty: nothing is known of it
};
using Fill = std::function<Filled(const Drawn&)>;

Filled known_only(const std::string& words)
{
    return {.drawn = false, .text = words.empty() ? "" : "known, not on the sheets: " + words};
}

Filled when(bool drawn, const std::string& words)
{
    return drawn && !words.empty() ? Filled{.drawn = true, .text = words} : known_only(words);
}

/// The same where the words say where on the sheets it stands. @param known  that there is such a thing to draw
Filled placed(bool drawn, bool known, const std::string& where)
{
    return !known ? Filled{} : drawn ? Filled{.drawn = true, .text = where} : Filled{false, "known, not on the sheets"};
}

/// One thing that is drawn or not.
Fill the(SheetThing thing, const std::function<std::string(const Drawn&)>& words)
{
    return [=](const Drawn& d) { return when(d.shown.has(thing), words(d)); };
}

/// A thing of which the plan knows as soon as an outlet is drawn.
Fill of_trench(SheetThing thing, const std::string& where)
{
    return [=](const Drawn& d) { return placed(d.shown.has(thing), d.outcome != nullptr, where); };
}

/// Something every trench must have.
Fill of_each_trench(SheetThing thing, const std::string& where)
{
    return [=](const Drawn& d) {
        const auto trenches = trenches_of(d.outcome).size();
        return placed(d.shown.count(thing) == trenches, trenches > 0, where);
    };
}

bool on_lot(const Site& site, const Point& at)
{
    return std::ranges::any_of(site.parcel, [&](const Polygon& lot) { return contains(lot, at); });
}

bool on_lot(const Site& site, const Polyline& line)
{
    return std::ranges::any_of(site.parcel, [&](const Polygon& lot) { return !spans_inside(line, lot).empty(); });
}

bool on_lot(const Site& site, const Polygon& area)
{
    return on_lot(site, closed(area.outer)) ||
           std::ranges::any_of(site.parcel, [&](const Polygon& lot) { return contains(area, lot.outer.front()); });
}

bool on_lot(const Site& site, const Reserve& reserve)
{
    return std::visit([&](const auto& place) { return on_lot(site, place); }, reserve.place);
}

std::string counted(std::size_t count, const std::string& one, const std::string& many)
{
    return count == 0 ? "" : fmt::format("{} {}", count, count == 1 ? one : many);
}

/// Things of which the site knows many.
template <class Things, class Place>
Filled many(const Drawn& d, SheetThing thing, const Things& known, Place place, const std::string& one,
            const std::string& more)
{
    const auto shown = d.shown.count(thing);
    bool whole_lot = true;
    for (std::size_t i = 0; i < known.size(); ++i) {
        whole_lot = whole_lot && (d.shown.has(thing, i) || !on_lot(d.site(), std::invoke(place, known[i])));
    }
    const auto words = counted(known.size(), one, more);
    if (shown == 0 || shown == known.size()) {
        return when(shown > 0, words);
    }
    const auto some = fmt::format("{} of {}", shown, words);
    return whole_lot ? Filled{.drawn = true, .text = some + ", all that touch the lot"}
                     : Filled{.drawn = false, .text = some + "; the others known, not on the sheets"};
}

Filled utilities(const Drawn& d)
{
    const auto& missing = d.plan.no_marks_for;
    const auto none = missing.empty() ? "" : fmt::format("no marks supplied for: {}", fmt::join(missing, ", "));
    auto filled = many(d, SheetThing::mark, supplied_marks(d.site()), &Mark::line, "line", "lines");
    filled.text += (filled.text.empty() || none.empty() ? "" : "; ") + none;
    return filled;
}

Filled elevations(const Drawn& d)
{
    const auto shots = counted(d.shown.count(SheetThing::shot), "shot", "shots");
    const std::string contours = d.shown.has(SheetThing::contour) ? "contours" : "";
    const auto both = shots + (shots.empty() || contours.empty() ? "" : ", ") + contours;
    return both.empty() ? known_only(counted(d.site().spots.size(), "shot", "shots")) : when(true, both);
}

Filled lot_lines(const Drawn& d)
{
    const auto sides = lot_sides(d.site()).size();
    const auto shown = d.shown.count(SheetThing::lot_side);
    const auto words = counted(sides, "side", "sides");
    return shown == 0 || shown == sides
               ? when(shown > 0, words)
               : Filled{.drawn = false,
                        .text = fmt::format("{} of {}; the others known, not on the sheets", shown, words)};
}

/// Shots on lots that are given as others'.
std::vector<std::size_t> shots_next_door(const Site& site)
{
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < site.spots.size(); ++i) {
        if (std::ranges::any_of(site.neighbors, [&](const auto& lot) { return contains(lot, site.spots[i].at); })) {
            found.push_back(i);
        }
    }
    return found;
}

Filled adjoining(const Drawn& d)
{
    const auto next_door = shots_next_door(d.site());
    const auto shots = static_cast<std::size_t>(
        std::ranges::count_if(next_door, [&](std::size_t nth) { return d.shown.has(SheetThing::shot, nth); }));
    std::string text;
    const auto add = [&](const std::string& words) { text += (text.empty() || words.empty() ? "" : ", ") + words; };
    add(counted(d.shown.count(SheetThing::neighbor_building), "building", "buildings"));
    add(counted(shots, "ground shot", "ground shots"));
    add(d.shown.has(SheetThing::neighbor_contour) ? "contours" : "");
    if (!text.empty()) {
        return when(true, text);
    }
    add(counted(d.site().neighbor_buildings.size(), "building", "buildings"));
    add(counted(next_door.size(), "ground shot", "ground shots"));
    return known_only(text);
}

Filled trench_size(const Drawn& d)
{
    const bool drawn = d.shown.has(SheetThing::trench_table) && d.shown.has(SheetThing::pipe_note);
    return placed(drawn, d.outcome != nullptr, "table of trenches and notes");
}

Filled height_base(const Drawn& d)
{
    const auto& [mark, datum] = std::pair(d.sheet().benchmark, d.sheet().datum);
    const bool drawn = d.shown.has(SheetThing::benchmark) && d.shown.has(SheetThing::datum);
    return when(drawn, mark.empty() || datum.empty() ? "" : mark + "; " + datum);
}

Filled method(const Drawn& d)
{
    const std::string zones = d.shown.has(SheetThing::hand_zone) ? "hand-dig zones on the plan, " : "";
    return placed(d.shown.has(SheetThing::trench_table), d.outcome != nullptr,
                  zones + "lengths by hand in the table of trenches");
}

std::string contacts_text(const Drawn& drawn)
{
    std::string text;
    for (const auto& contact : drawn.sheet().contacts) {
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", contact.role, contact.name);
    }
    return text;
}

std::string legal_text(const Drawn& drawn)
{
    const auto id = parcel_text(drawn.plan.job.layers);
    const auto& legal = drawn.sheet().legal;
    return legal.empty() && !id.empty() ? "parcel " + id : legal;
}

std::string floor_text(const Drawn& drawn)
{
    const auto& floor = drawn.plan.job.floor_elev_m;
    return floor ? "inside floor " + elev_text(*floor, drawn.plan.job.rules.units) : "";
}

std::string pipe_text(const Drawn& drawn)
{
    return drawn.outcome == nullptr ? "" : drawn.plan.job.rules.pipe_name;
}

std::string north_text(const Drawn& drawn)
{
    return drawn.site().frame.wkt.empty() ? "axis of the tape, no true north" : "grid north";
}

Filled ties(const Drawn& d)
{
    const bool known = d.outcome != nullptr && !d.site().foundations.empty();
    return placed(d.shown.has(SheetThing::tie_table), known, "table of ties");
}

/// What the job states in words.
Fill stated(SheetThing thing, std::string SheetRecord::* words)
{
    return the(thing, [=](const Drawn& d) { return d.sheet().*words; });
}

Fill of_plans(SheetThing thing)
{
    return [=](const Drawn& d) { return placed(d.shown.has(thing), true, "on every sheet with a plan"); };
}

/// How each item that the program can judge is filled. Items without an entry only the job can speak for.
const std::map<std::string_view, Fill>& fills()
{
    using enum SheetThing;
    static const std::map<std::string_view, Fill> all{
        {"scale", of_plans(scale_bar)},
        {"buildings",
         [](const Drawn& d) {
             return many(d, foundation, d.site().foundations, std::identity(), "foundation", "foundations");
         }},
        {"lot_lines", lot_lines},
        {"utilities", utilities},
        {"elevations", elevations},
        {"right_of_way",
         [](const Drawn& d) {
             return many(d, right_of_way, d.site().right_of_way, std::identity(), "area on the plan",
                         "areas on the plan");
         }},
        {"surfaces",
         [](const Drawn& d) {
             return many(d, surface, d.site().surfaces, &SurfacePatch::area, "surface", "surfaces");
         }},
        {"adjoining", adjoining},
        {"easements",
         [](const Drawn& d) {
             return many(d, easement, d.site().easements, std::identity(), "easement", "easements");
         }},
        {"contacts", the(contacts, contacts_text)},
        {"north_arrow", the(north_arrow, north_text)},
        {"legal", the(legal, legal_text)},
        {"floor", the(floor_note, floor_text)},
        {"pipe_size", the(pipe_note, pipe_text)},
        {"pipe_material", the(pipe_note, pipe_text)},
        {"address", stated(address, &SheetRecord::address)},
        {"benchmark", height_base},
        {"trench_size", trench_size},
        {"slope", of_each_trench(profile_falls, "profile")},
        {"profile", of_each_trench(profile, "on the sheets")},
        {"discharge_location", of_trench(outlet, "on the plan")},
        {"legend", of_plans(legend)},
        {"inverts", of_each_trench(profile_inverts, "profile")},
        {"flow_arrows", of_trench(flow_arrow, "on the plan")},
        {"trees", [](const Drawn& d) { return many(d, tree, d.site().trees, &Tree::at, "tree", "trees"); }},
        {"start", stated(start_note, &SheetRecord::start)},
        {"surface_cut", of_trench(surfaces_cut_note, "notes")},
        {"bearings", lot_lines},
        {"restoration", stated(restoration_note, &SheetRecord::restoration)},
        {"method", method},
        {"one_call", stated(SheetThing::one_call, &SheetRecord::one_call)},
        {"building_ties", ties},
    };
    return all;
}

} // namespace

std::vector<ChecklistLine> checklist(const JobPlan& plan, const OutletOutcome* outcome, const DrawnThings& shown)
{
    const Drawn drawn{.plan = plan, .outcome = outcome, .shown = shown};
    const auto& asked = plan.job.rules.papers.checklist;
    const auto& elsewhere = plan.job.sheet.elsewhere;
    std::vector<ChecklistLine> lines;
    for (const auto& item : checklist_items()) {
        const auto wish = asked.find(std::string(item.key));
        ChecklistLine line{.item = &item, .asked = wish == asked.end() || wish->second, .filled = false, .text = {}};
        const auto fill = fills().find(item.key);
        const auto filled = fill == fills().end() ? Filled{} : fill->second(drawn);
        const auto told = elsewhere.find(std::string(item.key));
        const auto where = told == elsewhere.end() ? "" : told->second;
        line.text = filled.text + (filled.text.empty() || where.empty() ? "" : "; ") + where;
        line.filled = filled.drawn || !where.empty();
        lines.push_back(line);
    }
    return lines;
}

std::vector<std::string> lacking(const std::vector<ChecklistLine>& lines)
{
    std::vector<std::string> missing;
    for (const auto& line : lines) {
        if (line.asked && !line.filled) {
            missing.push_back(std::string(line.item->words) + (line.text.empty() ? "" : " (" + line.text + ")"));
        }
    }
    return missing;
}

} // namespace trenchwright
