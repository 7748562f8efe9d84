#include "trenchwright/draw/profile_view.hpp"
#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace trenchwright {

namespace {

const TextStyle cell_style{.size_pt = 5.6};

std::string whole_station(double station_m, UnitSystem units)
{
    const auto text = station_text(station_m, units);
    return text.substr(0, text.find('.'));
}

double unit_m(const ProfileView& view)
{
    return view.plan.job.rules.units == UnitSystem::us ? ft_in_m : 1;
}

void draw_elevations(ProfileView& view)
{
    const double range = view.plot.height_pt() * view.scale.up.meters_per_pt / unit_m(view);
    const double step = round_step_ratio(range, static_cast<int>(view.plot.height_pt() / 16));
    const TextStyle style{.size_pt = 5.8, .ink = palette::soft_ink};
    for (double i = std::ceil(view.low_elev_m / unit_m(view) / step);; ++i) {
        const double y = view.to_page(0, i * step * unit_m(view)).y_pt;
        if (y < view.plot.top_pt) {
            return;
        }
        view.canvas.line({{view.plot.left_pt, y}, {view.plot.right_pt, y}}, {.ink = palette::rule, .width_pt = 0.4});
        const auto text = fmt::format("{:.{}f}", i * step, step < 0.1 ? 2 : step < 1 ? 1 : 0);
        const auto size = view.canvas.text_size(text, style);
        view.canvas.text({view.plot.left_pt - 3 - size.width_pt, y - size.height_pt / 2}, text, style);
    }
}

/// Draws one crossing's band; full height where the depth is unknown.
void draw_band(ProfileView& view, const Crossing& crossing, double x)
{
    const auto& mark = view.plan.site.marks[crossing.mark];
    const auto style = mark_style(mark.facility);
    if (crossing.facility_top_elev_m) {
        const double radius = std::max(mark.width_m.value_or(0) / 2 / view.scale.up.meters_per_pt, 2.4);
        const auto top = view.to_page(crossing.station_m, *crossing.facility_top_elev_m);
        const PagePoint center{x, top.y_pt + radius};
        view.canvas.disc(center, radius, palette::paper);
        view.canvas.circle(center, radius, {.ink = style.text, .width_pt = 1.4});
        view.labels.block(box_about(center, {2 * radius + 2, 2 * radius + 2}));
        view.canvas.line({{x, view.plot.top_pt}, {x, top.y_pt}}, {.ink = style.text, .width_pt = 0.5});
    } else {
        const double width =
            std::max(mark.width_m.value_or(0) / std::sin(crossing.angle_rad) / view.scale.along.meters_per_pt, 5.0);
        const PageBox band{x - width / 2, view.plot.top_pt, x + width / 2, view.plot.bottom_pt};
        view.canvas.fill(band, {.rgb = style.ink.rgb, .opacity_ratio = 0.20});
        draw_mark_line(view.canvas, {{x, view.plot.top_pt}, {x, view.plot.bottom_pt}}, mark.facility, mark.probable());
        view.labels.block(PageLine{{x, view.plot.top_pt}, {x, view.plot.bottom_pt}});
        view.legend.add({.kind = LegendKind::depth_unknown, .text = "profile: crossing, depth unknown"});
    }
}

std::string flag_text(const ProfileView& view, const Crossing& crossing, std::size_t number)
{
    const auto& mark = view.plan.site.marks[crossing.mark];
    const auto letters = mark_letters(mark);
    if (mark.probable()) {
        return fmt::format("{} {} probable, not marked", number, letters);
    }
    if (!crossing.facility_top_elev_m) {
        return fmt::format("{} {} depth unknown", number, letters);
    }
    return fmt::format("{} {} top {}, exposed", number, letters,
                       elev_text(*crossing.facility_top_elev_m, view.plan.job.rules.units));
}

struct Flag {
    double staff_pt = 0;
    PageBox box;
};

/// True when neither text nor staff of the two flags meet.
bool apart(const Flag& a, const Flag& b)
{
    const auto staff_hits = [](const Flag& staff, const Flag& text) {
        const auto box = grown(text.box, 0.5);
        return staff.box.top_pt < text.box.top_pt && staff.staff_pt > box.left_pt && staff.staff_pt < box.right_pt;
    };
    return !overlap(grown(a.box, 0.5), b.box) && !staff_hits(a, b) && !staff_hits(b, a);
}

/// The lowest row above the plot in which a flag meets no other; nothing when the rows are full.
std::optional<Flag> free_flag(const ProfileView& view, double x, const PageSize& size, const std::vector<Flag>& flags)
{
    const double left = std::min(x + 1.5, std::max(view.plot.right_pt + 24, view.slot_right_pt) - size.width_pt);
    Flag flag{.staff_pt = x, .box = {}};
    const double rows = std::floor(view.flags_pt / (size.height_pt + 0.6));
    for (double row = 0; row < rows; ++row) {
        flag.box = box_at({left, view.plot.top_pt - (row + 1) * (size.height_pt + 0.6)}, size);
        const bool ok = std::all_of(flags.begin(), flags.end(), [&](const Flag& other) { return apart(flag, other); });
        if (ok) {
            return flag;
        }
    }
    return std::nullopt;
}

/// Where the flags stand too close for the words, the number and the letters stay; the plan and the report say the
/// rest.
void draw_flag(ProfileView& view, const Crossing& crossing, std::size_t number, std::vector<Flag>& flags)
{
    const auto& mark = view.plan.site.marks[crossing.mark];
    const TextStyle style{.size_pt = 5.9, .bold = true, .ink = mark_style(mark.facility).text};
    const double x = view.to_page(crossing.station_m, 0).x_pt;
    const auto code = fmt::format("{} {}", number, mark_letters(mark));
    for (const auto& text : {flag_text(view, crossing, number), code}) {
        if (const auto flag = free_flag(view, x, view.canvas.text_size(text, style), flags)) {
            view.canvas.line({{x, view.plot.top_pt}, {x, flag->box.top_pt + 1}}, {.ink = style.ink, .width_pt = 0.6});
            view.canvas.text({flag->box.left_pt, flag->box.top_pt}, text, style);
            flags.push_back(*flag);
            return;
        }
    }
}

std::vector<std::string> cells_of(const ProfileView& view, const Depth& depth)
{
    const auto units = view.plan.job.rules.units;
    const bool whole = std::abs(std::remainder(depth.station_m, unit_m(view))) < 1e-6;
    return {whole ? whole_station(depth.station_m, units) : station_text(depth.station_m, units),
            bare_figure(elev_text(depth.ground_elev_m, units)), bare_figure(elev_text(depth.invert_elev_m, units)),
            bare_figure(depth_text(depth.cut_m, units)), bare_figure(depth_text(depth.cover_m, units))};
}

/// Stations worth a column: the ends, the grade breaks and the round stations, then the rest from the outlet up.
std::vector<ProfileColumn> columns(const ProfileView& view)
{
    const auto& all = view.trench.measured.depths;
    const auto is_end = [&](const Depth& depth) { return &depth == &all.front() || &depth == &all.back(); };
    const auto is_break = [&](const Depth& depth) {
        return std::any_of(view.trench.laid.profile.points.begin(), view.trench.laid.profile.points.end(),
                           [&](const GradePoint& p) { return std::abs(p.station_m - depth.station_m) < 1e-6; });
    };
    const double step = (view.plan.job.rules.units == UnitSystem::us ? 10 : 5) * unit_m(view);
    const auto is_round = [&](const Depth& depth) { return std::abs(std::remainder(depth.station_m, step)) < 1e-6; };
    std::vector<ProfileColumn> wanted;
    const auto take = [&](auto wants) {
        for (const auto& depth : all) {
            if (wants(depth)) {
                wanted.push_back({.station_m = depth.station_m, .cells = cells_of(view, depth)});
            }
        }
    };
    take(is_end);
    take(is_break);
    take(is_round);
    take([](const Depth&) { return true; });
    return wanted;
}

struct PlacedColumn {
    double x_pt = 0; ///< its middle
    double width_pt = 0;
    const ProfileColumn* column = nullptr;
};

std::vector<PlacedColumn> with_room(const ProfileView& view, const std::vector<ProfileColumn>& columns)
{
    std::vector<PlacedColumn> chosen;
    for (const auto& column : columns) {
        PlacedColumn placed{.x_pt = view.to_page(column.station_m, 0).x_pt, .width_pt = 0, .column = &column};
        for (const auto& cell : column.cells) {
            placed.width_pt = std::max(placed.width_pt, view.canvas.text_size(cell, cell_style).width_pt);
        }
        const auto near = [&](const PlacedColumn& other) {
            return std::abs(other.x_pt - placed.x_pt) < (other.width_pt + placed.width_pt) / 2 + 4;
        };
        if (std::none_of(chosen.begin(), chosen.end(), near)) {
            chosen.push_back(placed);
        }
    }
    return chosen;
}

void draw_table_heads(ProfileView& view, const std::vector<std::string>& heads, double top)
{
    const TextStyle head{.size_pt = 5.8, .bold = true, .ink = palette::soft_ink};
    const double left = view.plot.left_pt - profile_gutter_pt;
    for (std::size_t row = 0; row < heads.size(); ++row) {
        const double y = top + profile_row_pt * static_cast<double>(row);
        if (row % 2 == 0) {
            view.canvas.fill(PageBox{left, y, view.plot.right_pt + 22, y + profile_row_pt}, palette::band);
        }
        view.canvas.text({left + 2, y + 0.7}, heads[row], head);
    }
}

} // namespace

void draw_profile_grid(ProfileView& view)
{
    draw_elevations(view);
    const auto& ground = view.trench.laid.problem.ground;
    const double base = view.plan.job.rules.units == UnitSystem::us ? 10 * ft_in_m : 5;
    for (double i = std::floor(ground.front().station_m / base) + 1; i * base < ground.back().station_m; ++i) {
        const double x = view.to_page(i * base, 0).x_pt;
        view.canvas.line({{x, view.plot.top_pt}, {x, view.plot.bottom_pt}}, {.ink = palette::rule, .width_pt = 0.4});
    }
}

void draw_profile_crossings(ProfileView& view)
{
    std::vector<Flag> flags;
    for (std::size_t i = view.trench.measured.crossings.size(); i-- > 0;) {
        const auto& crossing = view.trench.measured.crossings[i];
        draw_band(view, crossing, view.to_page(crossing.station_m, 0).x_pt);
        draw_flag(view, crossing, view.first_crossing + i, flags);
    }
}

std::string bare_figure(const std::string& text)
{
    const bool feet_and_inches = text.find('"') != std::string::npos;
    return feet_and_inches ? text : text.substr(0, text.find(' '));
}

std::vector<ProfileColumn> draw_profile_columns(ProfileView& view, const std::vector<std::string>& heads,
                                                const std::vector<ProfileColumn>& columns)
{
    const double top = view.plot.bottom_pt + 2;
    std::vector<ProfileColumn> drawn;
    draw_table_heads(view, heads, top);
    for (const auto& placed : with_room(view, columns)) {
        view.canvas.line({{placed.x_pt, view.plot.bottom_pt}, {placed.x_pt, view.plot.bottom_pt + 2.5}},
                         {.ink = palette::ink, .width_pt = 0.5});
        for (std::size_t row = 0; row < placed.column->cells.size(); ++row) {
            const auto& cell = placed.column->cells[row];
            const double x = placed.x_pt - view.canvas.text_size(cell, cell_style).width_pt / 2;
            view.canvas.text({x, top + profile_row_pt * static_cast<double>(row) + 0.8}, cell, cell_style);
        }
        drawn.push_back(*placed.column);
    }
    return drawn;
}

std::vector<ProfileColumn> draw_profile_table(ProfileView& view)
{
    const bool us = view.plan.job.rules.units == UnitSystem::us;
    return draw_profile_columns(view,
                                {"Station", us ? "Ground ft" : "Ground m", us ? "Invert ft" : "Invert m",
                                 us ? "Cut" : "Cut mm", us ? "Cover" : "Cover mm"},
                                columns(view));
}

} // namespace trenchwright
