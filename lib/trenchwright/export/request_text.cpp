#include "trenchwright/export/exchange/world.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/locate_request.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <ranges>

namespace trenchwright {

namespace {

/// By the frame's own axes; nothing on a lot measured by tape, where nobody knows the north.
std::string heading_text(const Frame& frame, const Polyline& line)
{
    if (frame.wkt.empty()) {
        return "";
    }
    constexpr std::array<const char*, 8> names{"east", "north-east", "north", "north-west",
                                               "west", "south-west", "south", "south-east"};
    const double eighths = direction_rad(line.back(), line.front()) / (std::numbers::pi / 4);
    const auto index = static_cast<std::size_t>((std::lround(eighths) + 8) % 8);
    return fmt::format(", toward the {} of the grid", names.at(index));
}

/// Whole request in the office's words: a blank stays a blank line to fill in.
std::string fields_text(const JobPlan& plan)
{
    std::string text;
    std::string_view group;
    std::vector<std::vector<std::string>> rows;
    const auto flush = [&] {
        text += rows.empty() ? "" : "\n" + heading(std::string(group)) + text_table(rows, {});
        rows.clear();
    };
    for (const auto& field : request_fields()) {
        if (field.group != group) {
            flush();
            group = field.group;
        }
        const auto& stated = plan.job.request.fields;
        const auto found = std::ranges::find(stated, field.key, &std::pair<std::string, std::string>::first);
        rows.push_back(
            {std::string(field.words), found == stated.end() ? "____________________ (blank)" : found->second});
    }
    flush();
    return text;
}

std::string blanks_text(const JobPlan& plan)
{
    std::string blanks;
    for (const auto& field : request_fields()) {
        const auto& stated = plan.job.request.fields;
        if (std::ranges::find(stated, field.key, &std::pair<std::string, std::string>::first) == stated.end()) {
            blanks += fmt::format("{}{}", blanks.empty() ? "" : "; ", field.words);
        }
    }
    return blanks.empty()
               ? "Nothing is left blank.\n"
               : wrapped(fmt::format("Left blank, because the job file's [request] does not state it: {}.", blanks),
                         page_width, 4) +
                     "\n";
}

std::string place_text(const Frame& frame, const World& world, const Point& at)
{
    const auto native = to_native(frame, at);
    const auto place = world(at);
    return fmt::format("{:.2f}, {:.2f}{}", native.x, native.y,
                       place ? fmt::format("   lat {:.7f}, long {:.7f}", place->y, place->x) : "");
}

std::string ties_text(const Point& at, const std::vector<Polygon>& areas, std::size_t most, UnitSystem units,
                      const Frame& frame)
{
    std::string text;
    for (const auto& tie : nearest_corners(at, areas, most)) {
        const auto corner = to_native(frame, tie.corner);
        text += fmt::format("{}{} to ({:.2f}, {:.2f})", text.empty() ? "" : ", ", length_text(tie.distance_m, units),
                            corner.x, corner.y);
    }
    return text.empty() ? "none supplied" : text;
}

std::string end_text(const JobPlan& plan, const std::string& name, const Point& at)
{
    const auto& site = plan.site;
    const UnitSystem u = plan.job.rules.units;
    return wrapped(fmt::format("  {}: from house corners {}; from the nearest lot corner {}.", name,
                               ties_text(at, site.foundations, 2, u, site.frame),
                               ties_text(at, site.parcel, 1, u, site.frame)),
                   page_width, 4) +
           "\n";
}

std::string trench_lines(const JobPlan& plan, const TrenchPlan& trench, const World& world)
{
    const UnitSystem u = plan.job.rules.units;
    const auto& line = trench.line.route.line;
    const auto& source = plan.site.sources[trench.source].id;
    const auto end = trench.joins ? "where it joins the trench of " + plan.site.sources[trench.joins->source].id
                                  : plan.site.outlets[trench.outlet].name;
    std::string text =
        "\n" +
        wrapped(fmt::format("From {} to {}: {} long{}, trench {} wide, maximum depth {}.", source, end,
                            length_text(trench.measured.quantities.length_m, u), heading_text(plan.site.frame, line),
                            small_text(trench.laid.problem.section.width_m, u),
                            depth_text(trench.measured.quantities.max_cut_m, u)),
                page_width, 2) +
        "\n  Center line, bends from the house down:\n";
    for (const auto& at : std::views::reverse(line)) {
        text += fmt::format("    {}\n", place_text(plan.site.frame, world, at));
    }
    return text + end_text(plan, "Upper end", line.back()) + end_text(plan, "Lower end", line.front());
}

std::string extent_text(const JobPlan& plan, const std::vector<const TrenchPlan*>& trenches, const World& world)
{
    std::vector<Point> all;
    for (const auto* trench : trenches) {
        for (const auto& area : white_area(*trench, plan.job.rules)) {
            all.insert(all.end(), area.outer.begin(), area.outer.end());
        }
    }
    const auto box = bounds(all);
    const UnitSystem u = plan.job.rules.units;
    double deepest_m = 0;
    for (const auto* trench : trenches) {
        deepest_m = std::max(deepest_m, trench->measured.quantities.max_cut_m);
    }
    return fmt::format("White lines: {} beyond the trench on each side and at its lower end.\n"
                       "Extent: {} by {}, from\n    {}\n  to\n    {}\nMaximum depth of digging: {}.\n",
                       small_text(plan.job.rules.office.request_extra_width_m, u),
                       length_text(box.max_x_m - box.min_x_m, u), length_text(box.max_y_m - box.min_y_m, u),
                       place_text(plan.site.frame, world, {box.min_x_m, box.min_y_m}),
                       place_text(plan.site.frame, world, {box.max_x_m, box.max_y_m}), depth_text(deepest_m, u));
}

std::string outlet_text(const JobPlan& plan, const LocateRequest& request)
{
    return request.outcome == nullptr
               ? "Outlet: none, " + request.why + "."
               : fmt::format("Outlet: {} ({}).", plan.site.outlets[request.outcome->outlet].name, request.why);
}

std::string strip_text(const JobPlan& plan, const LocateRequest& request, const World& world)
{
    std::string text = "\n" + heading("Area to be marked (white-lined)");
    const auto trenches = trenches_of(request.outcome);
    if (trenches.empty()) {
        return text +
               wrapped(fmt::format("No white lines: {}. Describe the place to dig in words instead.", request.why),
                       page_width, 2) +
               "\n";
    }
    text += outlet_text(plan, request) + "\n" +
            wrapped("White lines are drawn for one outlet only, the one drawn on the sheets unless request.outlet in "
                    "the job file names another.",
                    page_width, 2) +
            "\n" + extent_text(plan, trenches, world);
    text +=
        wrapped(fmt::format("Places are x, y in {}, unit {}. {}", plan.site.frame.name,
                            unit_word(plan.site.frame.native_unit),
                            world.why_not().empty()
                                ? fmt::format("Latitude and longitude are WGS 84{}.",
                                              world.accuracy_m() > 0
                                                  ? fmt::format(", the datum shift good to {}",
                                                                length_text(world.accuracy_m(), plan.job.rules.units))
                                                  : "")
                                : "No latitude and longitude: " + world.why_not() + "."),
                page_width, 2) +
        "\n";
    for (const auto* trench : trenches) {
        text += trench_lines(plan, *trench, world);
    }
    return text;
}

/// What the locator is asked to look at again.
std::string remark_text(const JobPlan& plan)
{
    std::string text;
    for (const auto& mark : plan.site.marks) {
        if (mark.probable()) {
            const auto stop = to_native(plan.site.frame, mark.line.front());
            text += wrapped(fmt::format("Ask for a re-mark: the mark {} {} stops at {:.2f}, {:.2f}; its run from there "
                                        "is not marked.",
                                        facility_name(mark.facility), mark.continues, stop.x, stop.y),
                            page_width, 2) +
                    "\n";
        }
    }
    return text;
}

std::string stage_text(const JobPlan& plan)
{
    const auto& ticket = plan.job.ticket.number;
    const std::string marks = plan.site.marks.empty() ? "No marks supplied: this is the request stage."
                                                      : fmt::format("{} marks were supplied when this was planned.",
                                                                    supplied_marks(plan.site).size());
    std::string text = fmt::format(
        "{} {}\n", marks,
        ticket.empty() ? "No ticket number yet."
                       : fmt::format("Ticket in the job file: {}; expiry: {}.", ticket, ticket_life_text(plan.job)));
    text += remark_text(plan);
    for (const auto& line : not_supplied_lines(plan)) {
        text += wrapped(line, page_width, 2) + "\n";
    }
    return text;
}

} // namespace

std::string locate_request_text(const JobPlan& plan)
{
    const auto request = locate_request(plan);
    const auto world = site_world(plan);
    std::string text = fmt::format("Locate request: {}\n{}", plan.job.name,
                                   plan.job.date.empty() ? "" : fmt::format("Date: {}\n", plan.job.date));
    if (const auto warning = request_warning(plan, request); !warning.empty()) {
        text += "\n" + wrapped(warning, page_width, 0) + "\n\n";
    }
    text += outlet_text(plan, request) + "\n";
    text += wrapped("What a one-call center requires, filled in as far as the job knows it. This is not a ticket and "
                    "not permission to dig.",
                    page_width, 0) +
            "\n" + stage_text(plan) + fields_text(plan) + strip_text(plan, request, world) + "\n" + blanks_text(plan) +
            "\n" + heading("Cautions");
    for (const auto& caution : cautions()) {
        text += wrapped("- " + caution, page_width, 2) + "\n";
    }
    return text;
}

} // namespace trenchwright
