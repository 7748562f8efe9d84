#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/plan/not_supplied.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double title_height_pt = 62;
constexpr double line_height_pt = 13; // the one-call line above it
constexpr double min_text_pt = 4.8;

struct Cell {
    std::string head;
    std::vector<std::string> lines; ///< the first is written large
    double share_ratio = 0;
};

/// Breaks and shrinks until it fits; nothing is cut off.
double draw_fitted(Canvas& canvas, const PageBox& room, const std::string& text, TextStyle style)
{
    style.wrap_pt = room.width_pt();
    while (style.size_pt > min_text_pt && canvas.text_size(text, style).height_pt > room.height_pt()) {
        style.size_pt -= 0.2;
    }
    return canvas.text({room.left_pt, room.top_pt}, text, style).bottom_pt;
}

void draw_cell(Canvas& canvas, const PageBox& box, const Cell& cell)
{
    canvas.outline(corners(box), {.ink = palette::ink, .width_pt = 0.7});
    const PageBox inner{box.left_pt + 4, box.top_pt + 2, box.right_pt - 4, box.bottom_pt - 2};
    double top =
        canvas.text({inner.left_pt, inner.top_pt}, cell.head, {.size_pt = 5.4, .ink = palette::soft_ink}).bottom_pt;
    for (std::size_t i = 0; i < cell.lines.size(); ++i) {
        const auto rest = static_cast<double>(cell.lines.size() - i);
        const PageBox line{inner.left_pt, top, inner.right_pt, top + (inner.bottom_pt - top) / rest};
        top = draw_fitted(canvas, line, cell.lines[i], {.size_pt = i == 0 ? 8.4 : 6.6, .bold = i == 0});
    }
}

std::string or_missing(const std::string& text, const std::string& what)
{
    return text.empty() ? what + ": not supplied" : text;
}

std::string with_name(const std::string& name, const std::string& text)
{
    return text.empty() ? "" : name + " " + text;
}

std::vector<std::string> filled(const std::vector<std::string>& lines)
{
    std::vector<std::string> some;
    std::ranges::copy_if(lines, std::back_inserter(some), [](const auto& line) { return !line.empty(); });
    return some;
}

/// Benchmark and datum stand as the job states them, in whatever unit.
std::string units_line(UnitSystem units)
{
    return units == UnitSystem::us ? "Heights drawn are in feet (1 ft = 0.3048 m)"
                                   : "Heights drawn are in meters (1 ft = 0.3048 m)";
}

std::vector<Cell> cells_of(const SheetSet& set, const std::string& sheet, const std::vector<std::string>& shown)
{
    const auto& job = set.plan.job;
    const auto& record = job.sheet;
    const auto legal = record.legal.empty() ? with_name("Parcel", parcel_text(job.layers)) : record.legal;
    std::vector<std::string> drain{"No workable outlet"};
    if (set.refused != nullptr) {
        const auto& outlet = set.plan.site.outlets[set.refused->outlet];
        const auto name = outlet.name.empty() ? outlet.id : outlet.name;
        drain = {job.sheet.outlet.empty() ? "No workable outlet" : "To " + name + ": not workable",
                 "Do not dig from this sheet"};
    }
    if (set.outcome != nullptr) {
        const auto& outlet = set.plan.site.outlets[set.outcome->outlet];
        drain = filled({"To " + (outlet.name.empty() ? outlet.id : outlet.name),
                        outlet.permit.empty() ? "" : outlet.permit + with_name(", no.", record.permit_number),
                        record.authority});
    }
    return {
        {set.record() ? "Record of the drain as laid, plan and profile" : "Discharge trench, plan and profile",
         filled({job.name, or_missing(record.address, "Site address"), legal}), 0.24},
        {"Outlet and permit", drain, 0.2},
        {"Prepared",
         filled({or_missing(with_name("For", job.prepared_for), "Owner"),
                 or_missing(with_name("By", job.prepared_by), "Preparer"),
                 or_missing(with_name("Date", job.date), "Date")}),
         0.17},
        {"Benchmark and datum",
         {or_missing(record.benchmark, "Benchmark"), or_missing(record.datum, "Datum"), units_line(job.rules.units)},
         0.19},
        {set.paper.name, shown, 0.2 - 0.06},
        {"Sheet", {sheet}, 0.06},
    };
}

/// Stands on every sheet, which may be parted from the others.
std::string one_call_line(const SheetSet& set)
{
    const auto& ticket = set.plan.job.ticket.number;
    const auto missing = missing_marks_short(set.plan);
    return fmt::format("Before you dig call {}; {}. This sheet is not permission to dig.{}{}",
                       one_call_words(set.plan.job), ticket.empty() ? "ticket: not supplied" : "ticket " + ticket,
                       missing.empty() ? "" : " ", missing);
}

/// What the title block holds of what a reviewer looks for.
void note_title(Canvas& canvas, const Job& job)
{
    const auto& record = job.sheet;
    const auto note = [&](SheetThing thing, const std::string& text) {
        if (!text.empty()) {
            canvas.shows(thing);
        }
    };
    note(SheetThing::address, record.address);
    note(SheetThing::legal, record.legal + parcel_text(job.layers));
    note(SheetThing::benchmark, record.benchmark);
    note(SheetThing::datum, record.datum);
    note(SheetThing::one_call, record.one_call);
}

} // namespace

SheetRoom sheet_room(const Paper& paper)
{
    const auto inner = paper.inner();
    const double title_top = inner.bottom_pt - title_height_pt;
    const PageBox body{inner.left_pt, inner.top_pt, inner.right_pt, title_top - line_height_pt - 4};
    const double column_left = body.right_pt - sheet_column_pt;
    return {.drawing = {body.left_pt, body.top_pt, column_left - sheet_gap_pt, body.bottom_pt},
            .column = {column_left, body.top_pt, body.right_pt, body.bottom_pt},
            .title = {inner.left_pt, title_top, inner.right_pt, inner.bottom_pt}};
}

void draw_sheet_title(Canvas& canvas, const SheetSet& set, std::size_t sheet, const std::vector<std::string>& shown)
{
    const auto room = sheet_room(set.paper).title;
    const TextStyle style{.size_pt = 8, .bold = true, .ink = palette::hand};
    draw_fitted(canvas, {room.left_pt + 2, room.top_pt - line_height_pt, room.right_pt, room.top_pt},
                one_call_line(set), style);
    note_title(canvas, set.plan.job);
    double left = room.left_pt;
    for (const auto& cell : cells_of(set, fmt::format("{} of {}", sheet + 1, canvas.pages().size()), shown)) {
        const double right = left + cell.share_ratio * room.width_pt();
        draw_cell(canvas, {left, room.top_pt, right, room.bottom_pt}, cell);
        left = right;
    }
}

} // namespace trenchwright
