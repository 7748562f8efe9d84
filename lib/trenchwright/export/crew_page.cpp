#include "trenchwright/export/crew_page.hpp"

#include "trenchwright/base/inks.hpp"
#include "trenchwright/export/crew_parts.hpp"
#include "trenchwright/export/exchange/xml_text.hpp"
#include "trenchwright/export/filled_frame.hpp"
#include "trenchwright/export/json/json_value.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <cstdint>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

std::string ties_text(const CutRow& row, UnitSystem units)
{
    return tie_text(row.ties, units);
}

JsonObject row_json(const JobPlan& plan, const CutSheet& sheet, const CutRow& row)
{
    const auto units = plan.job.rules.units;
    return {{"trench", sheet.number},
            {"from", plan.site.sources[sheet.trench->source].id},
            {"station", station_text(row.station_m, units)},
            {"x_m", row.at.x_m},
            {"y_m", row.at.y_m},
            {"bottom_elev_m", row.bottom_elev_m},
            {"cut", depth_text(row.cut_m, units)},
            {"cover", depth_text(row.cover_m, units)},
            {"ground", elev_text(row.ground_elev_m, units)},
            {"invert", elev_text(row.invert_elev_m, units)},
            {"fall", fall_to_next_text(row, plan.job.rules.steep)},
            {"safety", row.alert},
            {"dig", dig_text(row.by_hand, "BY HAND")},
            {"expect", expected_text(plan.site, row, units)},
            {"fitting", row.fitting},
            {"ties", ties_text(row, units)}};
}

/// As a script may hold it: no end tag can occur in it.
std::string for_script(std::string json)
{
    for (auto at = json.find('<'); at != std::string::npos; at = json.find('<', at)) {
        json.replace(at, 1, "\\u003c");
    }
    return json;
}

/// A name for this very plan, so that another plan's ticks are not taken for its own. FNV-1a, 64 bits.
std::string fingerprint(const std::string& text)
{
    std::uint64_t hash = 14695981039346656037ULL;
    for (const char letter : text) {
        hash = (hash ^ static_cast<unsigned char>(letter)) * 1099511628211ULL;
    }
    return fmt::format("{:016x}", hash);
}

std::string data_json(const JobPlan& plan, const std::vector<CutSheet>& sheets)
{
    JsonList rows;
    for (const auto& sheet : sheets) {
        for (const auto& row : sheet.rows) {
            rows.emplace_back(row_json(plan, sheet, row));
        }
    }
    const auto name = fingerprint(json_text(JsonObject{{"job", plan.job.name}, {"rows", rows}}));
    return for_script(json_text(JsonObject{{"plan", name},
                                           {"units", plan.job.rules.units == UnitSystem::us ? "us" : "metric"},
                                           {"sight_elev_m", plan.job.cut_sheet.instrument_elev_m},
                                           {"rows", std::move(rows)}}));
}

/// A sample of a line's paint with its letters.
std::string paint_sample(const Mark& mark)
{
    const auto paint = crew_paint(mark.facility, mark.probable());
    const auto* const under = mark.probable() ? "" : "<polyline class=\"under\" points=\"0,0.7 6,0.7\"/>";
    return fmt::format("<svg class=\"sample\" viewBox=\"0 0 6 1.4\" aria-hidden=\"true\">{}<polyline class=\"mark\" "
                       "points=\"0,0.7 6,0.7\" stroke=\"{}\" stroke-dasharray=\"{}\"/><text class=\"letters\" x=\"3\" "
                       "y=\"0.7\">{}</text></svg>",
                       under, paint.color, paint.dashes, mark_letters(mark));
}

std::string crossing_item(const JobPlan& plan, const CutSheet& sheet, const Crossing& crossing, std::size_t number)
{
    const auto units = plan.job.rules.units;
    const auto& mark = plan.site.marks[crossing.mark];
    const auto depth = crossing.facility_top_elev_m
                           ? "top recorded at " + elev_text(*crossing.facility_top_elev_m, units)
                           : std::string("DEPTH UNKNOWN");
    const auto tie = tie_text(tape_ties(crossing.at, tape_corners(plan.site.foundations, plan.job.rules.ties),
                                        plan.site.foundations, plan.job.rules.ties),
                              units);
    return fmt::format("<li>{}<p><strong>{} {}: {}</strong><br>trench {} at {}, {}</p><p>By hand from {} to {}. "
                       "Ties: {}.</p><label class=\"tick\"><input type=\"checkbox\" data-tick=\"crossing-{}\"> "
                       "exposed by hand and measured</label></li>\n",
                       paint_sample(mark), mark_letters(mark),
                       xml_escaped(mark.probable() ? "no paint" : mark_code(mark.facility).color),
                       xml_escaped(mark_name_and_advice(mark)), sheet.number, station_text(crossing.station_m, units),
                       depth, station_text(crossing.hand_span.from_m, units),
                       station_text(crossing.hand_span.to_m, units), xml_escaped(tie), number);
}

std::string crossing_list(const JobPlan& plan, const std::vector<CutSheet>& sheets)
{
    std::string items;
    std::size_t number = 0;
    for (const auto& sheet : sheets) {
        for (const auto& crossing : sheet.trench->measured.crossings) {
            items += crossing_item(plan, sheet, crossing, ++number);
        }
    }
    if (items.empty()) {
        return plan.site.marks.empty()
                   ? "<p>Crossings: unknown, no marks supplied. That does not mean that there are no "
                     "lines.</p>\n"
                   : "<p>The trench crosses none of the marks supplied. Lines that nobody marked "
                     "may lie in it.</p>\n";
    }
    return "<ol class=\"crossings\">\n" + items + "</ol>\n";
}

std::string table_heads()
{
    std::string html;
    for (const auto* const head : {"Trench", "Station", "Safety", "Cut", "Grade rod at trench bottom", "Dig", "Expect",
                                   "Fitting", "Invert", "Slope downstream", "Tape ties"}) {
        html += fmt::format("<th scope=\"col\">{}</th>", head);
    }
    return html;
}

std::string table_rows(const JobPlan& plan, const std::vector<CutSheet>& sheets)
{
    const auto units = plan.job.rules.units;
    std::string html;
    std::size_t number = 0;
    for (const auto& sheet : sheets) {
        for (const auto& row : sheet.rows) {
            html += fmt::format(
                "<tr{}><td>{}</td><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td data-rod=\"{}\"></td>"
                "<td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
                row.alert.empty() ? "" : " class=\"alert\"", sheet.number, station_text(row.station_m, units),
                xml_escaped(row.alert), depth_text(row.cut_m, units), number++, row.by_hand ? "BY HAND" : "machine *",
                xml_escaped(expected_text(plan.site, row, units)), xml_escaped(row.fitting),
                elev_text(row.invert_elev_m, units), fall_to_next_text(row, plan.job.rules.steep),
                xml_escaped(ties_text(row, units)));
        }
    }
    return html;
}

std::string alert_items(const std::vector<Alert>& alerts)
{
    std::string items = "<ul>\n";
    for (const auto& alert : alerts) {
        const bool grave = alert.severity == Severity::stop;
        items += fmt::format("<li{}>{}</li>\n", grave ? " class=\"stop\"" : "", xml_escaped(alert.text));
    }
    return items + "</ul>\n";
}

/// STOPs, ladders and protection, before anything else on the page; in short, so that the plan is not pushed away.
std::string alert_box(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto alerts = short_alerts(plan, outcome);
    if (alerts.empty()) {
        return "";
    }
    return fmt::format("<section class=\"alerts\" role=\"alert\" aria-labelledby=\"alert-head\">\n"
                       "<h2 id=\"alert-head\">{}</h2>\n{}<details><summary>In full</summary>\n{}</details>\n"
                       "</section>\n",
                       alert_heading(alerts), alert_items(alerts), alert_items(full_alerts(plan, outcome)));
}

std::string not_supplied_items(const JobPlan& plan)
{
    std::string html;
    for (const auto& line : not_supplied_lines(plan)) {
        html += fmt::format("<p class=\"warn\">{}</p>\n", xml_escaped(line));
    }
    return html;
}

std::string caution_items()
{
    std::string html;
    for (const auto& caution : cautions()) {
        html += "<li>" + xml_escaped(caution) + "</li>\n";
    }
    return html;
}

/// What crew.html wants to know of every job.
FrameTexts texts_of_any(const JobPlan& plan)
{
    return {{"title", xml_escaped(plan.job.name)},       {"style", std::string(crew_style())},
            {"trench_ink", web_color(inks::trench_rgb)}, {"hand_dig_ink", web_color(inks::hand_dig_rgb)},
            {"stop_ink", web_color(inks::stop_rgb)},     {"one_call", xml_escaped(one_call_words(plan.job))},
            {"not_supplied", not_supplied_items(plan)},  {"cautions", caution_items()}};
}

/// And what it wants to know where an outlet is drawn.
FrameTexts texts_of_drawn(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto sheets = cut_sheets(plan, outcome);
    const auto& outlet = plan.site.outlets[outcome.outlet];
    return {{"outlet", xml_escaped(outlet.name.empty() ? outlet.id : outlet.name)},
            {"alerts", alert_box(plan, outcome)},
            {"plan", crew_plan_svg(plan, sheets)},
            {"crossings", crossing_list(plan, sheets)},
            {"heads", table_heads()},
            {"stations", table_rows(plan, sheets)},
            {"machine", std::string(machine_note)},
            {"data", data_json(plan, sheets)},
            {"script", std::string(crew_script())}};
}

} // namespace

std::string crew_page(const JobPlan& plan)
{
    auto texts = texts_of_any(plan);
    const auto* outcome = drawn_outlet(plan);
    if (outcome == nullptr) {
        texts.emplace("no_trench", xml_escaped(no_trench_text(plan)));
        return filled_frame(crew_frame(), "none", texts);
    }
    texts.merge(texts_of_drawn(plan, *outcome));
    return filled_frame(crew_frame(), "drawn", texts);
}

} // namespace trenchwright
