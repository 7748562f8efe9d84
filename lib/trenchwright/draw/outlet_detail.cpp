#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

constexpr double picture_pt = 118;
constexpr double curb_width_m = 6 * inch_in_m; // how wide it is drawn; no layer says it

/// A section along the pipe at the outlet: x in meters upstream of its end, heights as they are.
struct Section {
    Canvas& canvas;
    const TrenchPlan& trench;
    const Outlet& outlet;
    UnitSystem units;
    PageBox box; ///< of the picture
    double meters_per_pt = 0;
    PagePoint end; ///< the pipe's end at its invert
    double invert_elev_m = 0;
    LabelPlacer labels;

    [[nodiscard]] PagePoint at(double upstream_m, double elev_m) const
    {
        return {end.x_pt + upstream_m / meters_per_pt, end.y_pt - (elev_m - invert_elev_m) / meters_per_pt};
    }
};

double pipe_bottom_m(const Section& section, double invert_m)
{
    return invert_m - section_at(section.trench, 0).wall_m;
}

/// The end of the pipe with its walls, straight as it is laid.
void draw_pipe(Section& section, double length_m)
{
    const double outside_m = section_at(section.trench, 0).outside_diameter_m;
    const double far_m = invert_at_m(section.trench.laid.profile.points, length_m);
    const double near_bottom = pipe_bottom_m(section, section.invert_elev_m);
    const double far_bottom = pipe_bottom_m(section, far_m);
    const PageLine ring{section.at(0, near_bottom), section.at(length_m, far_bottom),
                        section.at(length_m, far_bottom + outside_m), section.at(0, near_bottom + outside_m)};
    section.canvas.fill(PageRings{ring}, palette::pipe);
    section.canvas.outline(ring, {.ink = palette::trench, .width_pt = 1});
    section.labels.block(PageBox{ring[0].x_pt, ring[3].y_pt, ring[1].x_pt, ring[0].y_pt});
}

void draw_ground(Section& section, double from_m, double to_m)
{
    PageLine line{section.at(from_m, ground_at_m(section.trench.laid.problem.ground, std::max(from_m, 0.0)))};
    for (const auto& point : section.trench.laid.problem.ground) {
        if (point.station_m > from_m && point.station_m < to_m) {
            line.push_back(section.at(point.station_m, point.elev_m));
        }
    }
    line.push_back(section.at(to_m, ground_at_m(section.trench.laid.problem.ground, to_m)));
    section.canvas.line(line, {.ink = palette::ink, .width_pt = 1.4});
    section.labels.block(line);
}

/// A height with its figure, off to where there is room.
void note(Section& section, const PagePoint& at, const std::string& text)
{
    const TextStyle style{.size_pt = 6, .masked = true};
    const auto size = section.canvas.text_size(text, style);
    const auto placed = section.labels.place({.at = at, .size = size, .gap_pt = 5, .reach_pt = 70});
    section.canvas.disc(at, 1.2, palette::trench);
    if (!placed) {
        return;
    }
    if (placed->leader) {
        section.canvas.line(*placed->leader, {.ink = palette::soft_ink, .width_pt = 0.4});
    }
    section.canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
}

void draw_curb(Section& section)
{
    const double gutter_m = section.outlet.gutter_elev_m.value_or(section.invert_elev_m);
    const auto top = section.outlet.curb_top_elev_m;
    const double street_m = -0.6 * section.box.width_pt() * section.meters_per_pt;
    section.canvas.line({section.at(street_m, gutter_m), section.at(0, gutter_m)},
                        {.ink = palette::ink, .width_pt = 1.4});
    section.labels.block(PageLine{section.at(street_m, gutter_m), section.at(0, gutter_m)});
    if (!top) {
        return;
    }
    const double foot_m = gutter_m - 2 * curb_width_m;
    const PageLine ring{section.at(0, foot_m), section.at(0, *top), section.at(curb_width_m, *top),
                        section.at(curb_width_m, foot_m)};
    section.canvas.fill(PageRings{ring}, palette::building);
    section.canvas.outline(ring, {.ink = palette::ink, .width_pt = 1});
    section.labels.block(PageBox{ring[1].x_pt, ring[1].y_pt, ring[3].x_pt, ring[3].y_pt});
}

/// After everything is drawn, so that nothing covers a figure.
void note_curb(Section& section)
{
    const double gutter_m = section.outlet.gutter_elev_m.value_or(section.invert_elev_m);
    note(section, section.at(-2 * curb_width_m, gutter_m), "gutter " + elev_text(gutter_m, section.units));
    if (const auto top = section.outlet.curb_top_elev_m) {
        note(section, section.at(curb_width_m / 2, *top), "curb top " + elev_text(*top, section.units));
    }
}

void draw_lid(Section& section, double outside_m)
{
    const double ground_m = ground_at_m(section.trench.laid.problem.ground, 0);
    const double foot = pipe_bottom_m(section, section.invert_elev_m);
    const PageLine riser{section.at(-outside_m, foot), section.at(-outside_m, ground_m), section.at(0, ground_m),
                         section.at(0, foot)};
    section.canvas.fill(PageRings{riser}, palette::pipe);
    section.canvas.outline(riser, {.ink = palette::trench, .width_pt = 1});
    const auto left = section.at(-1.6 * outside_m, ground_m);
    const auto right = section.at(0.6 * outside_m, ground_m);
    section.canvas.line({left, right}, {.ink = palette::heading, .width_pt = 3});
    section.labels.block(PageBox{riser[1].x_pt, riser[1].y_pt, riser[3].x_pt, riser[3].y_pt});
}

void note_lid(Section& section, double outside_m)
{
    const double ground_m = ground_at_m(section.trench.laid.problem.ground, 0);
    const double foot = pipe_bottom_m(section, section.invert_elev_m);
    note(section, section.at(-outside_m / 2, ground_m), "lid at ground " + elev_text(ground_m, section.units));
    note(section, section.at(-outside_m / 2, foot), "weep hole over stone (usual practice)");
}

/// What the outlet's kind asks for, each with its figure at one trench.
std::vector<std::pair<std::string, std::string>> figures(const TrenchPlan& trench, const Outlet& outlet,
                                                         UnitSystem units)
{
    const double invert_m = trench.laid.profile.points.front().invert_elev_m;
    const double top_m = pipe_top_elev_m(trench, 0, invert_m);
    std::vector<std::pair<std::string, std::string>> pairs{{"Invert", elev_text(invert_m, units)},
                                                           {"Top of pipe", elev_text(top_m, units)}};
    if (outlet.kind == OutletKind::popup) {
        pairs.emplace_back("Lid above invert",
                           small_text(ground_at_m(trench.laid.problem.ground, 0) - invert_m, units));
    }
    if (outlet.curb_top_elev_m) {
        pairs.emplace_back("Curb above pipe", small_text(*outlet.curb_top_elev_m - top_m, units));
    }
    if (outlet.gutter_elev_m) {
        pairs.emplace_back("Invert over gutter", small_text(invert_m - *outlet.gutter_elev_m, units));
    }
    if (outlet.lowest_invert_elev_m && !outlet.gutter_elev_m) {
        pairs.emplace_back("Lowest it takes", elev_text(*outlet.lowest_invert_elev_m, units));
    }
    return pairs;
}

/// 1 in = 1 ft and its doubles, or 1:10 and its doubles: what shows the stretch from the outlet's lowest to its
/// highest height in the box.
DrawScale detail_scale(const TrenchPlan& trench, const Outlet& outlet, const PageBox& box, UnitSystem units)
{
    const double invert_m = trench.laid.profile.points.front().invert_elev_m;
    double low = pipe_top_elev_m(trench, 0, invert_m) - 2 * trench.laid.problem.section.outside_diameter_m;
    double high = std::max(ground_at_m(trench.laid.problem.ground, 0), pipe_top_elev_m(trench, 0, invert_m));
    for (const auto& height : {outlet.gutter_elev_m, outlet.curb_top_elev_m}) {
        low = std::min(low, height.value_or(low));
        high = std::max(high, height.value_or(high));
    }
    const double needed = (high - low) / (box.height_pt() - 40);
    double one = units == UnitSystem::us ? 1 : 10;
    while (!scale_from({one}, needed, units)) {
        one *= 2;
    }
    return *scale_from({one}, needed, units);
}

void draw_section(Canvas& canvas, const PageBox& box, const SheetSet& set, const TrenchPlan& trench)
{
    const auto units = set.plan.job.rules.units;
    const auto& outlet = set.plan.site.outlets[trench.outlet];
    const PageBox frame{box.left_pt, box.top_pt + 2, box.right_pt, box.bottom_pt - 12};
    const auto scale = detail_scale(trench, outlet, frame, units);
    Section section{.canvas = canvas,
                    .trench = trench,
                    .outlet = outlet,
                    .units = units,
                    .box = frame,
                    .meters_per_pt = scale.meters_per_pt,
                    .end = {frame.left_pt + frame.width_pt() * 0.42, frame.top_pt + frame.height_pt() * 0.66},
                    .invert_elev_m = trench.laid.profile.points.front().invert_elev_m,
                    .labels = LabelPlacer(grown(frame, -2))};
    const double upstream_m =
        std::min({(frame.right_pt - section.end.x_pt) * scale.meters_per_pt, profile_length_m(trench),
                  trench.laid.reduced ? trench.laid.reduced->length_m : profile_length_m(trench)});
    canvas.clip(frame);
    canvas.fill(frame, palette::paper);
    if (outlet.kind == OutletKind::curb) {
        draw_curb(section);
    }
    draw_pipe(section, upstream_m);
    draw_ground(section, outlet.kind == OutletKind::curb ? curb_width_m : -0.5, upstream_m);
    if (outlet.kind == OutletKind::popup) {
        draw_lid(section, trench.laid.problem.section.outside_diameter_m);
    }
    if (outlet.kind == OutletKind::curb) {
        note_curb(section);
    }
    if (outlet.kind == OutletKind::popup) {
        note_lid(section, trench.laid.problem.section.outside_diameter_m);
    }
    note(section, section.at(0, section.invert_elev_m), "invert " + elev_text(section.invert_elev_m, units));
    canvas.unclip();
    canvas.outline(corners(frame), {.ink = palette::soft_ink, .width_pt = 0.6});
    canvas.text({frame.left_pt, frame.bottom_pt + 1.5},
                fmt::format("Section along the pipe, {}, no vertical exaggeration", scale.text),
                {.size_pt = 5.8, .bold = true});
}

} // namespace

void outlet_detail(ColumnText& column, const SheetSet& set)
{
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < set.trenches.size(); ++i) {
        const auto* trench = set.trenches[i];
        if (trench->joins) {
            continue;
        }
        const auto& outlet = set.plan.site.outlets[trench->outlet];
        if (rows.empty()) {
            column.heading("Outlet: " + (outlet.name.empty() ? outlet.id : outlet.name));
            column.picture(picture_pt, [&set, trench](Canvas& canvas, const PageBox& box) {
                draw_section(canvas, box, set, *trench);
            });
            rows.push_back({"Trench"});
        }
        rows.push_back({std::to_string(i + 1)});
        for (const auto& [name, figure] : figures(*trench, outlet, set.plan.job.rules.units)) {
            if (rows.size() == 2) {
                rows.front().push_back(name);
            }
            rows.back().push_back(figure);
        }
    }
    if (rows.empty()) {
        return;
    }
    std::vector<double> shares(rows.front().size(), 0.86 / static_cast<double>(rows.front().size() - 1));
    shares.front() = 0.14;
    column.table(rows, shares);
    if (set.plan.site.outlets[set.outcome->outlet].kind == OutletKind::curb) {
        column.paragraph(fmt::format("The curb's width is not supplied; it is drawn {} wide.",
                                     small_text(curb_width_m, set.plan.job.rules.units)),
                         {.size_pt = 6, .italic = true});
    }
}

} // namespace trenchwright
