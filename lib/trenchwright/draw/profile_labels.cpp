#include "trenchwright/draw/profile_view.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

void draw_placed(ProfileView& view, const PlacedLabel& placed, const std::string& text, const TextStyle& style)
{
    if (placed.leader) {
        view.canvas.line(*placed.leader, {.ink = palette::soft_ink, .width_pt = 0.4});
    }
    view.canvas.text({placed.box.left_pt, placed.box.top_pt}, text, style);
}

/// One line where the zone is long enough, else three short ones.
std::string zone_text(const ProfileView& view, const Interval& span, const TextStyle& style)
{
    const auto from = station_text(span.from_m, view.plan.job.rules.units);
    const auto to = station_text(span.to_m, view.plan.job.rules.units);
    const auto line = fmt::format("hand {} to {}", from, to);
    const double zone_pt = (span.to_m - span.from_m) / view.scale.along.meters_per_pt;
    const bool fits = view.canvas.text_size(line, style).width_pt < zone_pt;
    return fits ? line : fmt::format("hand\n{}\nto {}", from, to);
}

struct Run {
    const GradePoint& low;
    const GradePoint& high;
    double fall_ratio = 0;
};

/// The fall as fully as a width allows; nothing when not even the percentage fits.
std::string fitting_fall(const ProfileView& view, const std::string& full, const TextStyle& style, double width_pt)
{
    for (const auto& text : {full, full.substr(0, full.find(" ("))}) {
        if (view.canvas.text_size(text, style).width_pt <= width_pt) {
            return text;
        }
    }
    return {};
}

/// Below the trench, with a leader from the middle of the run.
void label_short_run(ProfileView& view, const Run& run, const std::string& text)
{
    const TextStyle style{.size_pt = 5.8, .ink = palette::heading, .masked = true};
    const double elev_m = trench_bottom_elev_m(view.trench, (run.low.invert_elev_m + run.high.invert_elev_m) / 2);
    const auto at = view.to_page((run.low.station_m + run.high.station_m) / 2, elev_m);
    const auto size = view.canvas.text_size(text, style);
    if (const auto placed = view.labels.place({.at = at, .size = size, .gap_pt = 9, .reach_pt = 60})) {
        draw_placed(view, *placed, text, style);
    }
}

/// @param leader  where the row has no room, the fall stands in the plot
void label_run(ProfileView& view, const Run& run, double top_pt, bool leader)
{
    const TextStyle style{.size_pt = 5.6, .ink = palette::heading};
    const double left = view.to_page(run.low.station_m, 0).x_pt;
    const double right = view.to_page(run.high.station_m, 0).x_pt;
    const bool riser = std::abs(run.fall_ratio) > view.plan.job.rules.steep.drop_fall_ratio;
    const auto full = riser ? "riser" : fall_text(run.fall_ratio, view.plan.job.rules.units);
    const auto text = fitting_fall(view, full, style, right - left - 3);
    if (text.empty() && !leader) {
        return;
    }
    for (const double x : {left, right}) {
        view.canvas.line({{x, top_pt + 0.5}, {x, top_pt + profile_row_pt - 0.5}},
                         {.ink = palette::heading, .width_pt = 0.6});
    }
    if (text.empty()) {
        label_short_run(view, run, riser ? full : "fall " + full);
        return;
    }
    const auto size = view.canvas.text_size(text, style);
    view.canvas.text({(left + right - size.width_pt) / 2, top_pt + 0.8}, text, style);
}

double fall_row_top_pt(const ProfileView& view)
{
    return view.plot.bottom_pt + 2 + 5 * profile_row_pt;
}

/// One line in a width: the letters shrink first, then the end is left off.
void draw_fitted(Canvas& canvas, const PagePoint& at, std::string text, TextStyle style, double width_pt)
{
    while (canvas.text_size(text, style).width_pt > width_pt && style.size_pt > 5.2) {
        style.size_pt -= 0.1;
    }
    const auto whole = text;
    for (auto left = whole.size(); canvas.text_size(text, style).width_pt > width_pt && left > 0; --left) {
        const bool inside_a_letter = (static_cast<unsigned char>(whole[left - 1]) & 0xC0) == 0x80; // UTF-8
        text = inside_a_letter ? text : whole.substr(0, left - 1) + "...";
    }
    canvas.text(at, text, style);
}

/// Letters at the place, and a line in the sheet's list.
void key_invert(ProfileView& view, const GradePoint& point)
{
    if (view.keyed == nullptr) {
        return;
    }
    const TextStyle style{.size_pt = 6, .bold = true, .italic = true, .masked = true};
    auto letters = key_letters(view.keyed->size());
    const auto at = view.to_page(point.station_m, point.invert_elev_m);
    const auto size = view.canvas.text_size(letters, style);
    const auto placed = view.labels.place({.at = at, .size = size, .gap_pt = 4, .reach_pt = 80});
    if (placed) {
        draw_placed(view, *placed, letters, style);
    }
    view.keyed->push_back({.letters = placed ? std::move(letters) : "", .trench = view.number, .point = point});
}

} // namespace

std::string key_letters(std::size_t nth)
{
    constexpr std::size_t alphabet = 26;
    const std::string last(1, static_cast<char>('a' + nth % alphabet));
    return nth < alphabet ? last : key_letters(nth / alphabet - 1) + last;
}

void draw_profile_title(ProfileView& view)
{
    const auto& source = view.plan.site.sources[view.trench.source];
    const auto& outlet = view.plan.site.outlets[view.trench.outlet];
    const PagePoint at{view.plot.left_pt - profile_gutter_pt + 2, view.plot.top_pt - view.flags_pt - profile_title_pt};
    const double width_pt = view.slot_right_pt - at.x_pt;
    draw_fitted(view.canvas, at, fmt::format("Trench {}: {}", view.number, source.id),
                {.size_pt = 7.4, .bold = true, .ink = palette::heading}, width_pt);
    view.canvas.shows(SheetThing::profile, view.number - 1);
    const auto& joins = view.trench.joins;
    const auto& name = outlet.name.empty() ? outlet.id : outlet.name;
    const std::string end = joins
                                ? fmt::format("joins the trench of {} at {}", view.plan.site.sources[joins->source].id,
                                              station_text(joins->station_m, view.plan.job.rules.units))
                                : "to " + name;
    draw_fitted(view.canvas, {at.x_pt, at.y_pt + 9.5}, end, {.size_pt = 6.4, .ink = palette::heading}, width_pt);
}

void label_profile_zones(ProfileView& view)
{
    const TextStyle style{.size_pt = 5.6, .ink = palette::hand, .masked = true};
    for (const auto& zone : view.trench.measured.zones) {
        const auto text = zone_text(view, zone.span, style);
        const auto size = view.canvas.text_size(text, style);
        const PagePoint at{view.to_page((zone.span.from_m + zone.span.to_m) / 2, 0).x_pt,
                           view.plot.bottom_pt - 5 - size.height_pt / 2};
        const LabelWish wish{.at = at, .size = size, .gap_pt = 3, .reach_pt = 45, .centerd = true, .clearance_pt = 0.8};
        if (const auto placed = view.labels.place(wish)) {
            draw_placed(view, *placed, text, style);
        }
    }
}

void label_profile_inverts(ProfileView& view, const std::vector<ProfileColumn>& in_table)
{
    const TextStyle style{.size_pt = 6.2, .bold = true, .masked = true};
    const auto& points = view.trench.laid.profile.points;
    if (!in_table.empty()) {
        view.canvas.shows(SheetThing::profile_inverts, view.number - 1);
    }
    for (const auto& point : points) {
        // A pressure line follows the ground and has a point at every break of it.
        const bool end = &point == &points.front() || &point == &points.back();
        if (view.trench.pressure && !end) {
            continue;
        }
        const auto at = view.to_page(point.station_m, point.invert_elev_m);
        view.canvas.disc(at, 1.7, palette::trench);
        const auto text = "inv " + elev_text(point.invert_elev_m, view.plan.job.rules.units);
        const auto size = view.canvas.text_size(text, style);
        // Farther off it would be read as the invert of another point.
        if (const auto placed = view.labels.place({.at = at, .size = size, .gap_pt = 5, .reach_pt = 34})) {
            draw_placed(view, *placed, text, style);
            view.canvas.shows(SheetThing::profile_inverts, view.number - 1);
        } else if (std::ranges::none_of(in_table, [&](const ProfileColumn& one) {
                       return std::abs(one.station_m - point.station_m) < 1e-6;
                   })) {
            key_invert(view, point);
        }
    }
}

void draw_fall_head(ProfileView& view, const std::string& head)
{
    view.canvas.text({view.plot.left_pt - profile_gutter_pt + 2, fall_row_top_pt(view) + 0.7}, head,
                     {.size_pt = 5.8, .bold = true, .ink = palette::soft_ink});
}

void label_profile_falls(ProfileView& view)
{
    view.canvas.shows(SheetThing::profile_falls, view.number - 1);
    draw_fall_head(view, "Fall");
    if (view.trench.pressure) {
        view.canvas.text({view.plot.left_pt, fall_row_top_pt(view) + 0.8}, "force main, laid at the minimum cover",
                         {.size_pt = 5.6, .ink = palette::heading});
        return;
    }
    draw_fall_row(view, view.trench.laid.profile.points, true);
}

void draw_fall_row(ProfileView& view, const std::vector<GradePoint>& points, bool leaders)
{
    for (std::size_t i = 1; i < points.size(); ++i) {
        const auto& low = points[i - 1];
        const auto& high = points[i];
        const double fall = (high.invert_elev_m - low.invert_elev_m) / (high.station_m - low.station_m);
        label_run(view, {.low = low, .high = high, .fall_ratio = fall}, fall_row_top_pt(view), leaders);
    }
}

} // namespace trenchwright
