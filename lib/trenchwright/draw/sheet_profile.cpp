#include "trenchwright/draw/record_parts.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double between_pt = 14;
constexpr double head_pt = 12;
constexpr double spare_height_pt = 22; // in the plot, for labels
constexpr double own_width_pt = profile_gutter_pt + 26;

/// A line's points inside a span, with its ends on the span's ends.
template <class Point, class At> std::vector<Point> cut_line(const std::vector<Point>& line, Interval span, At at)
{
    std::vector<Point> part{at(span.from_m)};
    std::ranges::copy_if(line, std::back_inserter(part),
                         [&](const Point& p) { return p.station_m > span.from_m && p.station_m < span.to_m; });
    part.push_back(at(span.to_m));
    return part;
}

template <class Item> void keep_inside(std::vector<Item>& items, Interval span)
{
    std::erase_if(items, [&](const Item& item) { return item.station_m < span.from_m || item.station_m > span.to_m; });
}

/// A stretch of a trench that can be drawn like a whole one; stations stay what they are.
TrenchPlan stretch_of(const TrenchPlan& whole, Interval span)
{
    TrenchPlan part = whole;
    part.laid.problem.ground = cut_line(whole.laid.problem.ground, span, [&](double station_m) {
        return GroundPoint{station_m, ground_at_m(whole.laid.problem.ground, station_m)};
    });
    part.laid.profile.points = cut_line(whole.laid.profile.points, span, [&](double station_m) {
        return GradePoint{station_m, invert_at_m(whole.laid.profile.points, station_m)};
    });
    keep_inside(part.measured.crossings, span);
    keep_inside(part.measured.depths, span);
    keep_inside(part.laid.cleanouts, span);
    std::erase_if(part.measured.zones, [&](const HandDigZone& zone) {
        return zone.span.to_m <= span.from_m || zone.span.from_m >= span.to_m;
    });
    for (auto& zone : part.measured.zones) {
        zone.span = {std::max(zone.span.from_m, span.from_m), std::min(zone.span.to_m, span.to_m)};
    }
    return part;
}

/// Stretches of equal length, none wider on paper than the room.
std::vector<TrenchPlan> parts_of(const TrenchPlan& trench, const ProfileScale& scale, double room_pt)
{
    const double length_m = profile_length_m(trench);
    const double max_m = (room_pt - own_width_pt) * scale.along.meters_per_pt;
    const auto count = std::max(1.0, std::ceil(length_m / max_m - 1e-9));
    if (count == 1) {
        return {trench};
    }
    std::vector<TrenchPlan> parts;
    for (int i = 0; i < static_cast<int>(count); ++i) {
        parts.push_back(stretch_of(trench, {length_m * i / count, length_m * (i + 1) / count}));
    }
    return parts;
}

/// Packs the trenches, in their order, into strips.
std::vector<ProfileStrip> packed(const SheetSet& set, const ProfileScale& scale, double room_pt)
{
    std::vector<ProfileStrip> strips;
    double used = room_pt;
    std::size_t first_crossing = 1;
    for (std::size_t i = 0; i < set.trenches.size(); ++i) {
        for (auto& part : parts_of(*set.trenches[i], scale, room_pt)) {
            const double slot = profile_slot_pt(part, scale);
            if (strips.empty() || used + between_pt + slot > room_pt + 1e-6) {
                strips.emplace_back();
                used = -between_pt;
            }
            used += between_pt + slot;
            const auto crossings = part.measured.crossings.size();
            strips.back().parts.push_back(std::move(part));
            strips.back().numbers.push_back(i + 1);
            strips.back().first_crossings.push_back(first_crossing);
            first_crossing += crossings;
        }
    }
    return strips;
}

std::vector<const TrenchPlan*> parts_in(const ProfileStrip& strip)
{
    std::vector<const TrenchPlan*> parts;
    for (const auto& part : strip.parts) {
        parts.push_back(&part);
    }
    return parts;
}

/// With the measured pipe, which may lie outside the planned trench.
ProfileReach reach_of(const SheetSet& set, const ProfileStrip& strip)
{
    auto reach = profile_reach(parts_in(strip));
    for (std::size_t i = 0; i < strip.parts.size() && set.record(); ++i) {
        for (const auto& one : set.measured[strip.numbers[i] - 1].inverts) {
            reach.low_elev_m = std::min(reach.low_elev_m, trench_bottom_elev_m(strip.parts[i], one.invert_elev_m));
            reach.high_elev_m =
                std::max(reach.high_elev_m, pipe_top_elev_m(strip.parts[i], one.station_m, one.invert_elev_m));
        }
    }
    return reach;
}

std::size_t part_count(const std::vector<ProfileStrip>& strips)
{
    std::size_t parts = 0;
    for (const auto& strip : strips) {
        parts += strip.parts.size();
    }
    return parts;
}

/// The largest accepted scale with everything in so few strips; else the largest that leaves every trench whole.
ProfileScale along_scale(const SheetSet& set, double room_pt, std::size_t max_strips)
{
    const auto& rules = set.plan.job.rules;
    const bool us = rules.units == UnitSystem::us;
    const auto& list = us ? rules.papers.plan_scales_us_ratio : rules.papers.plan_scales_metric_ratio;
    ProfileScale whole{.along = *scale_from({list.back()}, 0, rules.units), .up = {}};
    bool found = false;
    for (const double one : list) {
        const ProfileScale scale{.along = *scale_from({one}, 0, rules.units), .up = {}};
        const auto strips = packed(set, scale, room_pt);
        if (strips.size() <= max_strips && part_count(strips) == set.trenches.size()) {
            return scale;
        }
        if (!found && part_count(strips) == set.trenches.size()) {
            whole = scale;
            found = true;
        }
    }
    return whole;
}

double plot_height_pt(const ProfileStrip& strip, double room_pt)
{
    return room_pt - head_pt - profile_title_pt - profile_flags_pt(parts_in(strip)) - profile_table_pt;
}

/// Where no accepted scale is small enough, the last one's doubles are tried: the sheet states what was taken.
DrawScale up_scale(const SheetSet& set, const std::vector<ProfileStrip>& strips, double room_pt)
{
    const auto& rules = set.plan.job.rules;
    const bool us = rules.units == UnitSystem::us;
    auto list = us ? rules.papers.up_scales_us_ratio : rules.papers.up_scales_metric_ratio;
    double needed = 0;
    for (const auto& strip : strips) {
        const auto reach = reach_of(set, strip);
        needed = std::max(needed,
                          (reach.high_elev_m - reach.low_elev_m) / (plot_height_pt(strip, room_pt) - spare_height_pt));
    }
    for (auto scale = scale_from(list, needed, rules.units);; scale = scale_from(list, needed, rules.units)) {
        if (scale) {
            return *scale;
        }
        list.push_back(2 * list.back());
    }
}

/// Where a stretch goes on elsewhere.
struct Cut {
    double x_pt = 0;
    std::string text;
    PageBox box;
};

const TextStyle cut_style{.size_pt = 6, .bold = true, .masked = true, .sideways = true};

std::vector<Cut> cuts_of(const ProfileView& view, const TrenchPlan& whole)
{
    const auto& ground = view.trench.laid.problem.ground;
    const auto cut_at = [&](double station_m, bool at_left) {
        const double x = view.to_page(station_m, 0).x_pt;
        const auto text = fmt::format("match line {}", station_text(station_m, view.plan.job.rules.units));
        const auto size = view.canvas.text_size(text, cut_style);
        const PagePoint at{at_left ? x + 2 : x - 2 - size.width_pt, view.plot.bottom_pt - size.height_pt - 4};
        return Cut{.x_pt = x, .text = text, .box = box_at(at, size)};
    };
    std::vector<Cut> cuts;
    if (ground.front().station_m > whole.laid.problem.ground.front().station_m) {
        cuts.push_back(cut_at(ground.front().station_m, true));
    }
    if (ground.back().station_m < whole.laid.problem.ground.back().station_m) {
        cuts.push_back(cut_at(ground.back().station_m, false));
    }
    return cuts;
}

void draw_cut(ProfileView& view, const Cut& cut)
{
    view.canvas.line({{cut.x_pt, view.plot.top_pt}, {cut.x_pt, view.plot.bottom_pt}},
                     {.ink = palette::ink, .width_pt = 1.1, .dashes_pt = {16, 4, 5, 4}});
    view.canvas.text({cut.box.left_pt, cut.box.top_pt}, cut.text, cut_style);
}

/// In one line; the letters shrink until it fits.
void draw_head(Canvas& canvas, const PageBox& room, const ProfileScale& scale)
{
    const auto text = fmt::format("Profile H {}, V {}, {}; stations rise from the "
                                  "outlet or the wye",
                                  scale.along.text, scale.up.text, scale.stretch_words());
    TextStyle style{.size_pt = 6.8, .bold = true};
    while (canvas.text_size(text, style).width_pt > room.width_pt() - 4) {
        style.size_pt -= 0.1;
    }
    canvas.text({room.left_pt + 2, room.top_pt}, text, style);
}

} // namespace

ProfileStrips profile_strips(const SheetSet& set, const PageSize& room, std::size_t max_strips)
{
    ProfileStrips strips;
    if (set.trenches.empty()) {
        return strips;
    }
    strips.scale = along_scale(set, room.width_pt, max_strips);
    strips.strips = packed(set, strips.scale, room.width_pt);
    strips.scale.up = up_scale(set, strips.strips, room.height_pt);
    return strips;
}

void draw_profile_strip(Canvas& canvas, const SheetSet& set, const ProfileStrips& strips, std::size_t index,
                        const PageBox& room, Legend& legend, std::vector<KeyedInvert>& keyed)
{
    const auto& strip = strips.strips[index];
    const auto parts = parts_in(strip);
    const double flags_pt = profile_flags_pt(parts);
    const double top = room.top_pt + head_pt + profile_title_pt + flags_pt;
    const PageBox plots{room.left_pt, top, room.right_pt, room.bottom_pt - profile_table_pt};
    const auto reach = reach_of(set, strip);
    const double spare_m = plots.height_pt() * strips.scale.up.meters_per_pt - (reach.high_elev_m - reach.low_elev_m);
    double left = plots.left_pt;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const double plot_left = left + profile_gutter_pt;
        const double slot_right = left + profile_slot_pt(*parts[i], strips.scale);
        const double plot_right = plot_left + profile_length_m(*parts[i]) / strips.scale.along.meters_per_pt;
        const PageBox plot{plot_left, plots.top_pt, plot_right, plots.bottom_pt};
        ProfileView view{.canvas = canvas,
                         .plan = set.plan,
                         .trench = *parts[i],
                         .number = strip.numbers[i],
                         .first_crossing = strip.first_crossings[i],
                         .plot = plot,
                         .slot_right_pt = slot_right,
                         .flags_pt = flags_pt,
                         .scale = strips.scale,
                         .low_elev_m = reach.low_elev_m - spare_m * 0.72,
                         .labels = LabelPlacer({plot.left_pt + 1, plot.top_pt + 1, slot_right, plot.bottom_pt - 1}),
                         .legend = legend,
                         .keyed = &keyed};
        const auto cuts = cuts_of(view, *set.trenches[strip.numbers[i] - 1]);
        for (const auto& cut : cuts) {
            view.labels.block(cut.box);
        }
        if (set.record()) {
            draw_record_profile(view, set);
        } else {
            draw_profile(view);
        }
        for (const auto& cut : cuts) {
            draw_cut(view, cut);
        }
        left = slot_right + between_pt;
    }
    draw_head(canvas, room, strips.scale);
}

} // namespace trenchwright
