#include "draw/profile_view.hpp"

#include "draw/ink.hpp"
#include "draw/plan_view.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>

namespace trenchwright {

namespace {

constexpr double title_pt = 20;
constexpr double between_pt = 14;
constexpr double right_margin_pt = 26; // the last invert's label and column need room

using Lift = double (*)(const TrenchPlan&, double);

double the_invert(const TrenchPlan& /*trench*/, double invert_elev_m)
{
    return invert_elev_m;
}

PageLine pipe_line(const ProfileView& view, Lift lift)
{
    PageLine line;
    for (const auto& point : view.trench.profile.points) {
        line.push_back(view.to_page(point.station_m, lift(view.trench, point.invert_elev_m)));
    }
    return line;
}

PageLine ground_line(const ProfileView& view)
{
    PageLine line;
    for (const auto& point : view.trench.problem.ground) {
        line.push_back(view.to_page(point.station_m, point.elev_m));
    }
    return line;
}

PageLine ring_between(PageLine upper, const PageLine& lower)
{
    upper.insert(upper.end(), lower.rbegin(), lower.rend());
    return upper;
}

void draw_zones(ProfileView& view, const PageLine& ground, const PageLine& bottom)
{
    const auto trench_ring = ring_between(ground, bottom);
    for (const auto& zone : view.trench.zones) {
        const double left = view.to_page(zone.span.from_m, 0).x_pt;
        const double right = view.to_page(zone.span.to_m, 0).x_pt;
        view.canvas.clip({left, view.plot.top_pt, right, view.plot.bottom_pt});
        view.canvas.hatch({trench_ring}, hand_hatch());
        view.canvas.unclip();
        for (double x = left; x <= right; x += 6) { // text on the hatch is hard to read
            const PageBox slice{x, view.plot.top_pt, x + 0.5, view.plot.bottom_pt};
            const auto upper = clipped(ground, slice);
            const auto lower = clipped(bottom, slice);
            if (!upper.empty() && !lower.empty()) {
                view.labels.avoid({upper.front().front(), lower.front().front()});
            }
        }
        for (const double x : {left, right}) {
            view.canvas.line({{x, view.plot.top_pt}, {x, view.plot.bottom_pt}},
                             {.ink = palette::hand, .width_pt = 0.4, .dashes_pt = {1.5, 1.5}});
        }
        const PageBox bar{left, view.plot.bottom_pt - 3, right, view.plot.bottom_pt};
        view.canvas.fill(bar, palette::hand);
        view.labels.block(bar);
    }
}

void draw_section(ProfileView& view)
{
    const auto ground = ground_line(view);
    const auto bottom = pipe_line(view, trench_bottom_elev_m);
    const auto invert = pipe_line(view, the_invert);
    const auto top = pipe_line(view, pipe_top_elev_m);
    view.canvas.fill(PageRings{ring_between(ground, bottom)}, palette::soil);
    draw_zones(view, ground, bottom);
    view.canvas.fill(PageRings{ring_between(top, invert)}, palette::pipe);
    view.canvas.line(bottom, {.ink = palette::ink, .width_pt = 0.8, .dashes_pt = {4, 2}});
    view.canvas.line(top, {.ink = palette::trench, .width_pt = 0.7});
    view.canvas.line(invert, {.ink = palette::trench, .width_pt = 1.1});
    view.canvas.line(ground, {.ink = palette::ink, .width_pt = 1.4});
    for (const auto& line : {ground, bottom, top, invert}) {
        view.labels.block(line);
    }
    view.legend.add({.kind = LegendKind::ground_line, .text = "profile: ground"});
    view.legend.add({.kind = LegendKind::pipe, .text = "profile: pipe, top and invert"});
    view.legend.add({.kind = LegendKind::trench_bottom, .text = "profile: trench bottom"});
}

void label_grades(ProfileView& view)
{
    const auto units = view.plan.job.rules.units;
    const auto& points = view.trench.profile.points;
    for (const auto& point : points) {
        const auto at = view.to_page(point.station_m, point.invert_elev_m);
        view.canvas.disc(at, 1.7, palette::trench);
        const auto text = "inv " + elev_text(point.invert_elev_m, units);
        const TextStyle style{.size_pt = 6.2, .bold = true, .halo = true};
        const auto size = view.canvas.text_size(text, style);
        if (const auto placed = view.labels.place({.at = at, .size = size, .gap_pt = 5, .reach_pt = 50})) {
            if (placed->leader) {
                view.canvas.line(*placed->leader, {.ink = palette::soft_ink, .width_pt = 0.4});
            }
            view.canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
        }
    }
    for (std::size_t i = 1; i < points.size(); ++i) {
        const auto& low = points[i - 1];
        const auto& high = points[i];
        const double fall = (high.invert_elev_m - low.invert_elev_m) / (high.station_m - low.station_m);
        const auto at = view.to_page((low.station_m + high.station_m) / 2,
                                     trench_bottom_elev_m(view.trench, (low.invert_elev_m + high.invert_elev_m) / 2));
        const TextStyle style{.size_pt = 6.2, .ink = palette::heading, .halo = true};
        const auto text = "fall " + fall_text(fall, units);
        const auto size = view.canvas.text_size(text, style);
        const PagePoint below{at.x_pt, at.y_pt + 4 + size.height_pt / 2};
        if (const auto placed = view.labels.place({.at = below, .size = size, .reach_pt = 40, .centred = true})) {
            view.canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
        }
    }
}

void label_zones(ProfileView& view)
{
    const auto units = view.plan.job.rules.units;
    for (const auto& zone : view.trench.zones) {
        const auto text =
            fmt::format("hand {} to {}", station_text(zone.span.from_m, units), station_text(zone.span.to_m, units));
        const TextStyle style{.size_pt = 5.6, .ink = palette::hand, .halo = true};
        const auto size = view.canvas.text_size(text, style);
        const PagePoint at{view.to_page((zone.span.from_m + zone.span.to_m) / 2, 0).x_pt,
                           view.plot.bottom_pt - 5 - size.height_pt / 2};
        if (const auto placed = view.labels.place({.at = at, .size = size, .reach_pt = 40, .centred = true})) {
            view.canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
        }
    }
}

void draw_title(ProfileView& view)
{
    const auto& source = view.plan.site.sources[view.trench.source];
    const auto& outlet = view.plan.site.outlets[view.trench.outlet];
    const PagePoint at{view.plot.left_pt, view.plot.top_pt - profile_flags_pt - title_pt};
    const auto name = fmt::format("Trench {}: {} to {}", view.number, source.id, outlet.name);
    view.canvas.text(at, name, {.size_pt = 7.4, .bold = true, .ink = palette::heading});
    view.canvas.text({at.x_pt, at.y_pt + 10}, "0+00 at the outlet (left); stations rise upstream to the source (right)",
                     {.size_pt = 5.8, .ink = palette::soft_ink});
}

void draw_profile(ProfileView& view)
{
    view.canvas.fill(view.plot, {.rgb = 0xFBFCFC});
    draw_profile_grid(view);
    draw_section(view);
    draw_profile_crossings(view);
    label_grades(view);
    label_zones(view);
    view.canvas.outline(corners(view.plot), {.ink = palette::faint_ink, .width_pt = 0.6});
    draw_profile_table(view);
    draw_title(view);
}

struct Reach {
    double length_m = 0; ///< of all trenches together
    double low_elev_m = std::numeric_limits<double>::infinity();
    double high_elev_m = -std::numeric_limits<double>::infinity();
};

Reach reach_of(const std::vector<const TrenchPlan*>& trenches)
{
    Reach reach;
    const auto take = [&](double elev_m) {
        reach.low_elev_m = std::min(reach.low_elev_m, elev_m);
        reach.high_elev_m = std::max(reach.high_elev_m, elev_m);
    };
    for (const auto* trench : trenches) {
        reach.length_m += trench->problem.ground.back().station_m;
        for (const auto& point : trench->problem.ground) {
            take(point.elev_m);
        }
        for (const auto& point : trench->profile.points) {
            take(trench_bottom_elev_m(*trench, point.invert_elev_m));
        }
        for (const auto& crossing : trench->crossings) {
            if (crossing.facility_top_elev_m) {
                take(*crossing.facility_top_elev_m);
            }
        }
    }
    return reach;
}

std::string scale_note(const ProfileScale& scale)
{
    return fmt::format("Profile: across {}, up {} at full sheet size; heights stretched {:.3g} times", scale.along.text,
                       scale.up.text, scale.stretch_ratio());
}

} // namespace

double pipe_top_elev_m(const TrenchPlan& trench, double invert_elev_m)
{
    return invert_elev_m - trench.problem.section.wall_m + trench.problem.section.outside_diameter_m;
}

double trench_bottom_elev_m(const TrenchPlan& trench, double invert_elev_m)
{
    return invert_elev_m - trench.problem.section.wall_m - trench.problem.section.bedding_m;
}

void draw_profiles(Canvas& canvas, const JobPlan& plan, const PageBox& room, Legend& legend)
{
    const auto trenches = best_trenches(plan);
    const auto reach = reach_of(trenches);
    const double own_pt = profile_gutter_pt + right_margin_pt;
    const auto count = static_cast<double>(trenches.size());
    const PageBox plots{room.left_pt, room.top_pt + title_pt + profile_flags_pt, room.right_pt,
                        room.bottom_pt - profile_table_pt};
    const double height_m = reach.high_elev_m - reach.low_elev_m;
    const PageSize size{room.width_pt() - count * own_pt - (count - 1) * between_pt, plots.height_pt() - 34};
    const auto scale = profile_scale(reach.length_m, height_m, size, plan.job.rules.units);
    const double shown_m = plots.height_pt() * scale.up.metres_per_pt;
    double left = plots.left_pt;
    std::size_t first_crossing = 1;
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        const double length_pt = trenches[i]->problem.ground.back().station_m / scale.along.metres_per_pt;
        const PageBox plot{left + profile_gutter_pt, plots.top_pt, left + profile_gutter_pt + length_pt,
                           plots.bottom_pt};
        const PageBox label_room{plot.left_pt + 1, plot.top_pt + 1, plot.right_pt - 1, plot.bottom_pt - 1};
        // More room below the trench than above the ground: the grade labels stand there.
        ProfileView view{canvas,
                         plan,
                         *trenches[i],
                         i + 1,
                         first_crossing,
                         plot,
                         scale,
                         reach.low_elev_m - (shown_m - height_m) * 0.72,
                         LabelPlacer(label_room),
                         legend};
        draw_profile(view);
        first_crossing += trenches[i]->crossings.size();
        left = plot.right_pt + right_margin_pt + between_pt;
    }
    const auto note = scale_note(scale);
    const TextStyle style{.size_pt = 6.6, .bold = true};
    const double width = canvas.text_size(note, style).width_pt;
    canvas.text({room.right_pt - width - 2, room.top_pt}, note, style);
}

} // namespace trenchwright
