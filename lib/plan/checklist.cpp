#include "plan/checklist.hpp"

#include "plan/drawn_outlet.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <functional>

namespace trenchwright {

namespace {

constexpr std::array<ChecklistItem, 34> items{{
    {"scale", "scale stated, with a bar", 14},
    {"buildings", "buildings and structures", 14},
    {"lot_lines", "property lines with lot dimensions", 13},
    {"utilities", "existing utilities", 13},
    {"elevations", "spot elevations or contours", 13},
    {"right_of_way", "right-of-way line", 11},
    {"surfaces", "curb, walk, drive and other surfaces", 10},
    {"contacts", "contact block: owner, contractor, preparer", 10},
    {"north_arrow", "north arrow", 9},
    {"legal", "legal description, lot or parcel number", 8},
    {"easements", "easements", 7},
    {"floor", "top of foundation or floor elevation", 7},
    {"pipe_size", "pipe size", 6},
    {"pipe_material", "pipe material", 6},
    {"address", "site address", 5},
    {"benchmark", "benchmark and datum", 5},
    {"trench_size", "trench length, width, depth and cover", 5},
    {"slope", "pipe slope", 4},
    {"profile", "profile", 4},
    {"discharge_place", "place of the roof or sump discharge", 4},
    {"adjoining", "ground or buildings on adjoining lots", 4},
    {"legend", "legend", 4},
    {"inverts", "inverts", 3},
    {"flow_arrows", "flow arrows", 3},
    {"trees", "trees", 3},
    {"traffic", "traffic or detour", 3},
    {"start", "start date and duration", 3},
    {"surface_cut", "surface that is cut", 3},
    {"vicinity_map", "vicinity map", 3},
    {"bearings", "bearings and distances of the lot lines", 2},
    {"restoration", "restoration method", 2},
    {"method", "method: by machine or by hand", 2},
    {"one_call", "one-call notice line", 1},
    {"building_ties", "drain dimensioned from building corners", 1},
}};

/// What is known of one drawing.
struct Drawn {
    const JobPlan& plan;
    const OutletOutcome* outcome;
    [[nodiscard]] const Site& site() const { return plan.site; }
    [[nodiscard]] const SheetRecord& sheet() const { return plan.job.sheet; }
};

/// The words beside an item that is there; empty for one that is not.
using Fill = std::function<std::string(const Drawn&)>;

std::string said_when(bool there, const std::string& words)
{
    return there ? words : "";
}

std::string counted(std::size_t count, const std::string& one, const std::string& many)
{
    return count == 0 ? "" : fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string both(const std::string& a, const std::string& b)
{
    return a.empty() || b.empty() ? "" : a + "; " + b;
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
    const auto& id = drawn.plan.job.layers.parcel_id;
    const auto& legal = drawn.sheet().legal;
    return legal.empty() && !id.empty() ? "parcel " + id : legal;
}

std::string of_trench(const Drawn& drawn, const std::string& words)
{
    return said_when(drawn.outcome != nullptr, words);
}

/// How each item that the program can judge is filled. Items without an entry only the job can speak for.
const std::map<std::string_view, Fill>& fills()
{
    static const std::map<std::string_view, Fill> all{
        {"scale", [](const Drawn&) { return "on every sheet with a plan"; }},
        {"buildings", [](const Drawn& d) { return counted(d.site().foundations.size(), "foundation", "foundations"); }},
        {"lot_lines", [](const Drawn& d) { return said_when(!d.site().parcel.empty(), "on the plan"); }},
        {"utilities", [](const Drawn& d) { return counted(d.site().marks.size(), "line", "lines"); }},
        {"elevations",
         [](const Drawn& d) { return said_when(!d.site().spots.empty() || d.site().dem, "ground as surveyed"); }},
        {"right_of_way", [](const Drawn& d) { return said_when(!d.site().right_of_way.empty(), "on the plan"); }},
        {"surfaces", [](const Drawn& d) { return counted(d.site().surfaces.size(), "surface", "surfaces"); }},
        {"adjoining",
         [](const Drawn& d) { return counted(d.site().neighbour_buildings.size(), "building", "buildings"); }},
        {"easements", [](const Drawn& d) { return counted(d.site().easements.size(), "easement", "easements"); }},
        {"contacts", contacts_text},
        {"north_arrow",
         [](const Drawn& d) { return d.site().frame.wkt.empty() ? "axis of the tape, no true north" : "grid north"; }},
        {"legal", legal_text},
        {"floor",
         [](const Drawn& d) {
             const auto& floor = d.plan.job.floor_elev_m;
             return floor ? "inside floor " + elev_text(*floor, d.plan.job.rules.units) : std::string();
         }},
        {"pipe_size", [](const Drawn& d) { return of_trench(d, d.plan.job.rules.pipe_name); }},
        {"pipe_material", [](const Drawn& d) { return of_trench(d, d.plan.job.rules.pipe_name); }},
        {"address", [](const Drawn& d) { return d.sheet().address; }},
        {"benchmark", [](const Drawn& d) { return both(d.sheet().benchmark, d.sheet().datum); }},
        {"trench_size", [](const Drawn& d) { return of_trench(d, "notes and profile"); }},
        {"slope", [](const Drawn& d) { return of_trench(d, "profile"); }},
        {"profile", [](const Drawn& d) { return of_trench(d, "on the sheets"); }},
        {"discharge_place", [](const Drawn& d) { return of_trench(d, "on the plan"); }},
        {"legend", [](const Drawn&) { return "on every sheet with a plan"; }},
        {"inverts", [](const Drawn& d) { return of_trench(d, "profile"); }},
        {"flow_arrows", [](const Drawn& d) { return of_trench(d, "on the plan"); }},
        {"trees", [](const Drawn& d) { return counted(d.site().trees.size(), "tree", "trees"); }},
        {"start", [](const Drawn& d) { return d.sheet().start; }},
        {"surface_cut", [](const Drawn& d) { return of_trench(d, "notes"); }},
        {"bearings", [](const Drawn& d) { return said_when(!d.site().parcel.empty(), "on the plan"); }},
        {"restoration", [](const Drawn& d) { return d.sheet().restoration; }},
        {"method",
         [](const Drawn& d) { return of_trench(d, "hand-dig zones on plan and profile, the rest by machine"); }},
        {"one_call", [](const Drawn& d) { return d.sheet().one_call; }},
        {"building_ties",
         [](const Drawn& d) {
             return said_when(d.outcome != nullptr && !d.site().foundations.empty(), "table of ties");
         }},
    };
    return all;
}

} // namespace

std::span<const ChecklistItem> checklist_items()
{
    return items;
}

std::vector<ChecklistLine> checklist(const JobPlan& plan, const OutletOutcome* outcome)
{
    const Drawn drawn{.plan = plan, .outcome = outcome};
    const auto& asked = plan.job.rules.papers.checklist;
    const auto& elsewhere = plan.job.sheet.elsewhere;
    std::vector<ChecklistLine> lines;
    for (const auto& item : items) {
        const auto wish = asked.find(std::string(item.key));
        ChecklistLine line{.item = &item, .asked = wish == asked.end() || wish->second, .filled = false, .text = {}};
        const auto fill = fills().find(item.key);
        line.text = fill == fills().end() ? "" : fill->second(drawn);
        if (const auto told = elsewhere.find(std::string(item.key)); told != elsewhere.end()) {
            line.text += (line.text.empty() ? "" : "; ") + told->second;
        }
        line.filled = !line.text.empty();
        lines.push_back(line);
    }
    return lines;
}

std::vector<std::string> lacking(const std::vector<ChecklistLine>& lines)
{
    std::vector<std::string> missing;
    for (const auto& line : lines) {
        if (line.asked && !line.filled) {
            missing.emplace_back(line.item->words);
        }
    }
    return missing;
}

} // namespace trenchwright
