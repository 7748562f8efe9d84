#include "trenchwright/export/crew_parts.hpp"
#include "trenchwright/export/exchange/xml_text.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double rim_m = 2.5; // around the trenches and the house
constexpr double letters_every_m = 5;

std::string xy(const Point& p)
{
    return fmt::format("{:.2f},{:.2f}", p.x_m, 0.0 - p.y_m);
}

std::string points(const std::vector<Point>& line)
{
    std::string text;
    for (const auto& p : line) {
        text += (text.empty() ? "" : " ") + xy(p);
    }
    return text;
}

std::string area(const Polygon& polygon, std::string_view kind, const std::string& name)
{
    std::string path;
    auto rings = polygon.holes;
    rings.insert(rings.begin(), polygon.outer);
    for (const auto& ring : rings) {
        path += "M" + points(ring) + "Z";
    }
    return fmt::format("<path class=\"{}\" d=\"{}\"><title>{}</title></path>\n", kind, path, xml_escaped(name));
}

std::string word(const Point& at, std::string_view kind, const std::string& text)
{
    return fmt::format("<text class=\"{}\" x=\"{:.2f}\" y=\"{:.2f}\">{}</text>\n", kind, at.x_m, -at.y_m,
                       xml_escaped(text));
}

Box shown_box(const JobPlan& plan, const std::vector<CutSheet>& sheets)
{
    std::vector<Point> all;
    for (const auto& house : plan.site.foundations) {
        all.insert(all.end(), house.outer.begin(), house.outer.end());
    }
    for (const auto& source : plan.site.sources) {
        all.push_back(source.at);
    }
    for (const auto& sheet : sheets) {
        const auto& line = sheet.trench->line.route.line;
        all.insert(all.end(), line.begin(), line.end());
    }
    return grown(bounds(all), rim_m);
}

std::string ground(const Site& site)
{
    std::string svg;
    for (const auto& strip : site.right_of_way) {
        svg += area(strip, "way", "right-of-way");
    }
    for (const auto& patch : site.surfaces) {
        svg += area(patch.area, "surface", patch.kind);
    }
    for (const auto& keep_out : site.keep_outs) {
        svg += area(keep_out.area, "keep", "keep out: " + keep_out.reason);
    }
    for (const auto& lot : site.parcel) {
        svg += area(lot, "lot", "lot line");
    }
    for (const auto& house : site.neighbor_buildings) {
        svg += area(house, "lot", "neighbor's building");
    }
    for (const auto& house : site.foundations) {
        svg += area(house, "house", "house");
    }
    return svg;
}

std::string trees(const JobPlan& plan)
{
    std::string svg;
    for (const auto& tree : plan.site.trees) {
        svg += fmt::format("<circle class=\"tree\" cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{:.2f}\"><title>tree {}: by hand "
                           "inside</title></circle>\n",
                           tree.at.x_m, -tree.at.y_m, tree.trunk_diameter_m * plan.job.rules.route.tree_factor,
                           xml_escaped(tree.id));
    }
    return svg;
}

/// The strip in which only hands dig, the line in its paint, and its letters along it.
std::string mark(const JobPlan& plan, const Mark& mark)
{
    const auto paint = crew_paint(mark.facility, mark.probable());
    const auto line = points(mark.line);
    const double strip_m = 2 * hand_dig_reach_m(mark, plan.job.rules.route);
    auto svg = fmt::format("<polyline class=\"strip\" points=\"{}\" stroke=\"{}\" stroke-width=\"{:.2f}\"/>\n", line,
                           paint.color, strip_m);
    svg += mark.probable() ? "" : fmt::format("<polyline class=\"under\" points=\"{}\"/>", line);
    svg += fmt::format("<polyline class=\"{}\" points=\"{}\" stroke=\"{}\" "
                       "stroke-dasharray=\"{}\"><title>{}</title></polyline>\n",
                       mark.probable() ? "mark probable" : "mark", line, paint.color, paint.dashes,
                       xml_escaped(mark_name_and_advice(mark)));
    const double length = length_m(mark.line);
    const auto count = std::max(1.0, std::floor(length / letters_every_m));
    for (double i = 0; i < count; ++i) {
        const auto at = point_at(mark.line, length * (i + 0.5) / count);
        svg += word(at, "letters", mark_letters(mark));
    }
    return svg;
}

std::string zones(const TrenchPlan& trench)
{
    std::string svg;
    for (const auto& zone : trench.measured.zones) {
        std::vector<Point> part{point_at(trench.line.route.line, zone.span.from_m)};
        double passed = 0;
        for (std::size_t i = 1; i < trench.line.route.line.size(); ++i) {
            passed += distance_m(trench.line.route.line[i - 1], trench.line.route.line[i]);
            if (passed > zone.span.from_m && passed < zone.span.to_m) {
                part.push_back(trench.line.route.line[i]);
            }
        }
        part.push_back(point_at(trench.line.route.line, zone.span.to_m));
        svg += fmt::format("<polyline class=\"hand\" points=\"{}\"><title>by hand</title></polyline>\n", points(part));
    }
    return svg;
}

std::string stations(const std::vector<CutSheet>& sheets)
{
    std::string svg;
    std::size_t number = 0;
    for (const auto& sheet : sheets) {
        for (const auto& row : sheet.rows) {
            bool crosses = false;
            for (const auto& one : row.expected) {
                crosses = crosses || one.crosses;
            }
            svg += fmt::format("<circle class=\"station{}{}\" data-row=\"{}\" cx=\"{:.2f}\" cy=\"{:.2f}\" "
                               "r=\"{}\"/>\n",
                               row.by_hand ? " by-hand" : "", crosses ? " crossing" : "", number++, row.at.x_m,
                               -row.at.y_m, crosses ? "0.34" : "0.22");
        }
    }
    return svg;
}

} // namespace

CrewPaint crew_paint(Facility facility, bool probable)
{
    auto paint = mark_paint(facility);
    if (probable) {
        paint.dashes_pt = probable_dashes_pt();
    }
    constexpr double meters_per_pt = 0.1; // the plan's own unit is the meter
    std::string dashes;
    for (const double part_pt : paint.dashes_pt) {
        dashes += fmt::format("{}{:.2f}", dashes.empty() ? "" : " ", part_pt * meters_per_pt);
    }
    return {web_color(paint.rgb), dashes.empty() ? "none" : dashes};
}

std::string web_color(std::uint32_t rgb)
{
    return fmt::format("#{:06x}", rgb);
}

std::string crew_plan_svg(const JobPlan& plan, const std::vector<CutSheet>& sheets)
{
    const auto box = shown_box(plan, sheets);
    auto svg = fmt::format("<svg id=\"plan\" viewBox=\"{:.2f} {:.2f} {:.2f} {:.2f}\" tabindex=\"0\" role=\"img\" "
                           "aria-label=\"Plan of the trench. Arrow keys move it, plus and minus zoom. Every station is "
                           "in the list below.\">\n",
                           box.min_x_m, -box.max_y_m, box.max_x_m - box.min_x_m, box.max_y_m - box.min_y_m);
    svg += ground(plan.site) + trees(plan);
    for (const auto& one : plan.site.marks) {
        svg += mark(plan, one);
    }
    for (const auto& sheet : sheets) {
        svg += fmt::format("<polyline class=\"trench\" points=\"{}\"/>\n", points(sheet.trench->line.route.line));
        svg += zones(*sheet.trench);
    }
    svg += stations(sheets);
    for (const auto& corner : tape_corners(plan.site.foundations, plan.job.rules.ties)) {
        svg += word(corner.at, "corner", corner.name);
    }
    for (const auto& sheet : sheets) {
        const auto& line = sheet.trench->line.route.line;
        svg += word(line.back(), "end", plan.site.sources[sheet.trench->source].id);
    }
    return svg + "<circle id=\"here\" r=\"0.55\" cx=\"0\" cy=\"0\"/>\n</svg>\n";
}

} // namespace trenchwright
