#include "trenchwright/draw/profile_view.hpp"

#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <limits>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double flag_row_pt = 8;
constexpr double head_pt = 12;      // the strip's own line
constexpr double min_slot_pt = 150; // narrower, titles and tables cannot be read
constexpr double between_pt = 14;
constexpr double spare_height_pt = 22; // in the plot, for labels
constexpr double right_margin_pt = 26; // the last invert's label and column need room

using Lift = double (*)(const TrenchPlan&, double);

double the_invert(const TrenchPlan& /*trench*/, double invert_elev_m)
{
    return invert_elev_m;
}

PageLine pipe_line(const ProfileView& view, Lift lift)
{
    PageLine line;
    for (const auto& point : view.trench.laid.profile.points) {
        line.push_back(view.to_page(point.station_m, lift(view.trench, point.invert_elev_m)));
    }
    return line;
}

/// With the step at a reducer.
PageLine pipe_top_line(const ProfileView& view)
{
    const auto& laid = view.trench.laid;
    PageLine line;
    const auto add = [&](double station_m, double sized_as_at_m) {
        const double invert_m = invert_at_m(laid.profile.points, station_m);
        line.push_back(view.to_page(station_m, pipe_top_elev_m(view.trench, sized_as_at_m, invert_m)));
    };
    bool to_come = laid.reduced.has_value();
    for (const auto& point : laid.profile.points) {
        if (to_come && point.station_m >= laid.reduced->length_m) {
            add(laid.reduced->length_m, 0);
            add(laid.reduced->length_m, laid.reduced->length_m);
            to_come = false;
        }
        add(point.station_m, point.station_m);
    }
    return line;
}

PageLine ground_line(const ProfileView& view)
{
    PageLine line;
    for (const auto& point : view.trench.laid.problem.ground) {
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
    for (const auto& zone : view.trench.measured.zones) {
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
    const auto top = pipe_top_line(view);
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
    view.legend.add({.kind = LegendKind::ground_line, .text = "existing ground"});
    view.legend.add({.kind = LegendKind::pipe, .text = "profile: pipe, top and invert"});
    view.legend.add({.kind = LegendKind::trench_bottom, .text = "profile: trench bottom"});
}

std::string vertical_bend_text(const VerticalBend& vertical)
{
    std::string text;
    for (const double angle_rad : vertical.bend.fitting_angles_rad) {
        text += fmt::format("{}{:g}\u00b0", text.empty() ? "" : " + ", angle_rad * 180 / std::numbers::pi);
    }
    return text.empty() ? "no fitting" : text;
}

/// Cleanouts as risers from the pipe to the ground.
void draw_risers(ProfileView& view)
{
    for (const auto& cleanout : view.trench.laid.cleanouts) {
        const double ground_m = ground_at_m(view.trench.laid.problem.ground, cleanout.station_m);
        const double invert_m = invert_at_m(view.trench.laid.profile.points, cleanout.station_m);
        const auto foot = view.to_page(cleanout.station_m, pipe_top_elev_m(view.trench, cleanout.station_m, invert_m));
        const auto head = view.to_page(cleanout.station_m, ground_m);
        view.canvas.line({foot, head}, {.ink = palette::trench, .width_pt = 1.6});
        view.labels.block(PageLine{foot, head});
        const TextStyle style{.size_pt = 5.8, .bold = true, .masked = true};
        const auto size = view.canvas.text_size("CO", style);
        if (const auto placed = view.labels.place({.at = head, .size = size, .gap_pt = 2, .reach_pt = 24})) {
            view.canvas.text({placed->box.left_pt, placed->box.top_pt}, "CO", style);
        }
    }
}

/// Fittings that change the grade.
void draw_vertical_bends(ProfileView& view)
{
    for (const auto& vertical : view.trench.laid.grades.bends) {
        const auto at = view.to_page(vertical.bend.station_m,
                                     invert_at_m(view.trench.laid.profile.points, vertical.bend.station_m));
        draw_bend(view.canvas, at);
        view.labels.block(box_about(at, {6, 6}));
        view.legend.add({.kind = LegendKind::bend, .text = "profile: vertical bend"});
        const TextStyle style{.size_pt = 5.8, .bold = true, .masked = true};
        const auto text = vertical_bend_text(vertical);
        const auto size = view.canvas.text_size(text, style);
        if (const auto placed = view.labels.place({.at = at, .size = size, .gap_pt = 6, .reach_pt = 40})) {
            view.canvas.text({placed->box.left_pt, placed->box.top_pt}, text, style);
        }
    }
}

double row_width_pt(const std::vector<const TrenchPlan*>& trenches, const ProfileScale& scale)
{
    double width = -between_pt;
    for (const auto* trench : trenches) {
        width += profile_slot_pt(*trench, scale) + between_pt;
    }
    return width;
}

/// The largest usual scale at which the profiles, none narrower than can be read, stand side by side.
ProfileScale row_scale(const std::vector<const TrenchPlan*>& trenches, const ProfileReach& reach, const PageSize& room,
                       UnitSystem units)
{
    const double own_pt = profile_gutter_pt + right_margin_pt + between_pt;
    const PageSize plots{room.width_pt - static_cast<double>(trenches.size()) * own_pt + between_pt, room.height_pt};
    const double height_m = reach.high_elev_m - reach.low_elev_m;
    double along_m = reach.length_m;
    auto scale = profile_scale(along_m, height_m, plots, units);
    for (int tries = 0; tries < 40 && row_width_pt(trenches, scale) > room.width_pt; ++tries) {
        along_m *= 1.25;
        scale = profile_scale(along_m, height_m, plots, units);
    }
    return scale;
}

/// What holds for all profiles is said once, above them.
void draw_strip_head(Canvas& canvas, const PageBox& room, const ProfileScale& scale, std::size_t left_out)
{
    std::string text = "Profiles: 0+00 at the outlet or the wye (left); stations rise upstream to the source (right)";
    text += left_out > 0 ? fmt::format("; no room for the last {}, see report.txt", left_out) : "";
    canvas.text({room.left_pt + 2, room.top_pt}, text, {.size_pt = 6.6, .bold = left_out > 0});
    const auto note =
        fmt::format("Across {}, up {} at full sheet size; {}", scale.along.text, scale.up.text, scale.stretch_words());
    const TextStyle style{.size_pt = 6.6, .bold = true};
    canvas.text({room.right_pt - canvas.text_size(note, style).width_pt - 2, room.top_pt}, note, style);
}

} // namespace

ProfileReach profile_reach(const std::vector<const TrenchPlan*>& trenches)
{
    ProfileReach reach{.length_m = 0,
                       .low_elev_m = std::numeric_limits<double>::infinity(),
                       .high_elev_m = -std::numeric_limits<double>::infinity()};
    const auto take = [&](double elev_m) {
        reach.low_elev_m = std::min(reach.low_elev_m, elev_m);
        reach.high_elev_m = std::max(reach.high_elev_m, elev_m);
    };
    for (const auto* trench : trenches) {
        reach.length_m += profile_length_m(*trench);
        for (const auto& point : trench->laid.problem.ground) {
            take(point.elev_m);
        }
        for (const auto& point : trench->laid.profile.points) {
            take(trench_bottom_elev_m(*trench, point.invert_elev_m));
        }
        for (const auto& crossing : trench->measured.crossings) {
            if (crossing.facility_top_elev_m) {
                take(*crossing.facility_top_elev_m);
            }
        }
    }
    return reach;
}

double profile_length_m(const TrenchPlan& trench)
{
    return trench.laid.problem.ground.back().station_m - trench.laid.problem.ground.front().station_m;
}

double profile_slot_pt(const TrenchPlan& trench, const ProfileScale& scale)
{
    const double own_pt = profile_gutter_pt + right_margin_pt;
    return std::max(min_slot_pt, own_pt + profile_length_m(trench) / scale.along.meters_per_pt);
}

/// A row of flags for each crossing of the busiest trench, three at most.
double profile_flags_pt(const std::vector<const TrenchPlan*>& trenches)
{
    std::size_t most = 0;
    for (const auto* trench : trenches) {
        most = std::max(most, trench->measured.crossings.size());
    }
    return 3 + flag_row_pt * static_cast<double>(std::min<std::size_t>(most, 3));
}

void draw_profile(ProfileView& view)
{
    view.canvas.fill(view.plot, palette::plot);
    draw_profile_grid(view);
    draw_section(view);
    draw_profile_crossings(view);
    view.canvas.outline(corners(view.plot), {.ink = palette::faint_ink, .width_pt = 0.6});
    view.labels.block(PageLine{{view.plot.right_pt, view.plot.top_pt}, {view.plot.right_pt, view.plot.bottom_pt}});
    draw_risers(view);
    draw_vertical_bends(view);
    const auto in_table = draw_profile_table(view);
    label_profile_zones(view);
    label_profile_inverts(view, in_table);
    label_profile_falls(view);
    draw_profile_title(view);
}

double pipe_top_elev_m(const TrenchPlan& trench, double station_m, double invert_elev_m)
{
    const auto section = section_at(trench, station_m);
    return invert_elev_m - section.wall_m + section.outside_diameter_m;
}

double trench_bottom_elev_m(const TrenchPlan& trench, double invert_elev_m)
{
    return invert_elev_m - trench.laid.problem.section.wall_m - trench.laid.problem.section.bedding_m;
}

void draw_profiles(Canvas& canvas, const JobPlan& plan, const PageBox& room, Legend& legend)
{
    auto trenches = shown_trenches(plan);
    const auto most = static_cast<std::size_t>((room.width_pt() + between_pt) / (min_slot_pt + between_pt));
    const auto left_out = trenches.size() - std::min(trenches.size(), most);
    trenches.resize(trenches.size() - left_out);
    const auto reach = profile_reach(trenches);
    const double flags_pt = profile_flags_pt(trenches);
    const PageBox plots{room.left_pt, room.top_pt + head_pt + profile_title_pt + flags_pt, room.right_pt,
                        room.bottom_pt - profile_table_pt};
    const auto scale =
        row_scale(trenches, reach, {room.width_pt(), plots.height_pt() - spare_height_pt}, plan.job.rules.units);
    // More room below the trench than above the ground: the hand-dig labels stand there.
    const double spare_m = plots.height_pt() * scale.up.meters_per_pt - (reach.high_elev_m - reach.low_elev_m);
    double left = plots.left_pt;
    std::size_t first_crossing = 1;
    for (std::size_t i = 0; i < trenches.size(); ++i) {
        const double plot_left = left + profile_gutter_pt;
        const double slot_right = left + profile_slot_pt(*trenches[i], scale);
        const PageBox plot{plot_left, plots.top_pt,
                           plot_left + profile_length_m(*trenches[i]) / scale.along.meters_per_pt, plots.bottom_pt};
        const PageBox label_room{plot.left_pt + 1, plot.top_pt + 1, slot_right, plot.bottom_pt - 1};
        ProfileView view{canvas,
                         plan,
                         *trenches[i],
                         i + 1,
                         first_crossing,
                         plot,
                         slot_right,
                         flags_pt,
                         scale,
                         reach.low_elev_m - spare_m * 0.72,
                         LabelPlacer(label_room),
                         legend};
        draw_profile(view);
        first_crossing += trenches[i]->measured.crossings.size();
        left = slot_right + between_pt;
    }
    draw_strip_head(canvas, room, scale, left_out);
}

} // namespace trenchwright
