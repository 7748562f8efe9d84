#include "trenchwright/draw/overview.hpp"

#include "trenchwright/draw/panel.hpp"
#include "trenchwright/draw/plan_view.hpp"
#include "trenchwright/draw/profile_view.hpp"
#include "trenchwright/draw/sheet.hpp"
#include "trenchwright/page/ink.hpp"
#include "trenchwright/page/print.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double margin_pt = 24;
constexpr double gap_pt = 12;
constexpr double min_profile_pt = 218;
constexpr double min_panel_pt = 500;
constexpr double min_plan_width_pt = 440;
constexpr double plan_rim_pt = 16; // shown around the part that must be seen
constexpr double png_dots_per_in = 150;

/// "Shown: Curb, second in the ranking of 4 outlets".
std::string shown_text(const JobPlan& plan)
{
    const auto* drawn = drawn_outlet(plan);
    if (drawn == nullptr) {
        const auto* refused = drawn_refusal(plan);
        const auto name = refused == nullptr ? "the site alone" : plan.site.outlets[refused->outlet].name;
        return plan.job.sheet.outlet.empty() ? fmt::format("Shown: {}, for no workable outlet", name)
                                             : fmt::format("Shown: {}, not workable; nothing to dig", name);
    }
    constexpr std::array<const char*, 6> words{"first", "second", "third", "fourth", "fifth", "sixth"};
    const auto rank = static_cast<std::size_t>(drawn - plan.outcomes.data());
    const auto place = rank < words.size() ? std::string(words.at(rank)) : fmt::format("number {}", rank + 1);
    const auto& outlet = plan.site.outlets[drawn->outlet];
    return fmt::format("Shown: {}, {} in the ranking", outlet.name.empty() ? outlet.id : outlet.name, place);
}

/// In one line below the title; the letters shrink until it fits. @return its lower end
double draw_shown(Canvas& canvas, const JobPlan& plan, double line_pt, double right_pt)
{
    const auto text = shown_text(plan);
    TextStyle style{.size_pt = 8.4, .bold = true, .ink = palette::heading};
    while (canvas.text_size(text, style).width_pt > right_pt - margin_pt && style.size_pt > 4) {
        style.size_pt -= 0.2;
    }
    return canvas.text({margin_pt, line_pt + 2}, text, style).bottom_pt - 4;
}

/// Title line; returns its lower end.
double draw_title(Canvas& canvas, const JobPlan& plan)
{
    const auto& job = plan.job;
    const double right = sheet_size.width_pt - margin_pt;
    const auto name = job.name.empty() ? std::string("Unnamed job") : job.name;
    const auto title = canvas.text({margin_pt, margin_pt - 6}, name, {.size_pt = 15, .bold = true});
    canvas.text({title.right_pt + 10, margin_pt}, "discharge trench: overview of plan and profile",
                {.size_pt = 8.5, .ink = palette::soft_ink});
    std::string facts = "Date stated: " + (job.date.empty() ? std::string("none") : job.date);
    facts += job.prepared_for.empty() ? "" : "   For: " + job.prepared_for;
    facts += job.prepared_by.empty() ? "" : "   By: " + job.prepared_by;
    facts += job.rules.units == UnitSystem::us ? "   Units: feet, inches" : "   Units: meters, millimeters";
    const TextStyle style{.size_pt = 7.4};
    const double width = canvas.text_size(facts, style).width_pt;
    canvas.text({right - width, margin_pt + 1}, facts, style);
    const double line = margin_pt + 16;
    canvas.line({{margin_pt, line}, {right, line}}, {.ink = palette::heading, .width_pt = 1.4});
    return draw_shown(canvas, plan, line, right);
}

struct SheetParts {
    PageBox plan;
    PageBox panel;
    PageBox profile;
    DrawScale scale;
};

/// The plan takes the largest scale that leaves room for profile and panel; what it does not use goes to them.
SheetParts divide(const JobPlan& plan, double top_pt)
{
    const bool with_profile = !shown_trenches(plan).empty();
    const PageBox all{margin_pt, top_pt + 8, sheet_size.width_pt - margin_pt, sheet_size.height_pt - margin_pt + 4};
    const double max_height = all.height_pt() - (with_profile ? min_profile_pt + gap_pt : 0);
    const double max_width = all.width_pt() - min_panel_pt - gap_pt;
    const Box part = shown_part(plan);
    const double width_m = part.max_x_m - part.min_x_m;
    const double height_m = part.max_y_m - part.min_y_m;
    SheetParts parts;
    parts.scale =
        plan_scale(width_m, height_m, {max_width - 2 * plan_rim_pt, max_height - 2 * plan_rim_pt - plan_strip_pt},
                   plan.job.rules.units);
    const double width =
        std::clamp(width_m / parts.scale.meters_per_pt + 6 * plan_rim_pt, min_plan_width_pt, max_width);
    const double min_height = with_profile ? max_height - 45 : max_height;
    const double height =
        std::clamp(height_m / parts.scale.meters_per_pt + 2 * plan_rim_pt + plan_strip_pt, min_height, max_height);
    parts.plan = box_at({all.left_pt, all.top_pt}, {width, height});
    const double panel_bottom = with_profile ? parts.plan.bottom_pt : all.bottom_pt;
    parts.panel = {parts.plan.right_pt + gap_pt, all.top_pt, all.right_pt, panel_bottom};
    parts.profile = {all.left_pt, parts.plan.bottom_pt + gap_pt, all.right_pt, all.bottom_pt};
    return parts;
}

} // namespace

void draw_sheet(Canvas& canvas, const JobPlan& plan)
{
    const auto parts = divide(plan, draw_title(canvas, plan));
    Legend legend;
    draw_plan_view(canvas, plan, parts.plan, parts.scale, legend);
    if (!shown_trenches(plan).empty()) {
        draw_profiles(canvas, plan, parts.profile, legend);
    }
    draw_panel(canvas, plan, legend, parts.panel);
}

OverviewFiles overview_files(const JobPlan& plan)
{
    Canvas canvas(sheet_size);
    draw_sheet(canvas, plan);
    return {.svg = svg_of(canvas), .png = png_of(canvas, png_dots_per_in)};
}

} // namespace trenchwright
