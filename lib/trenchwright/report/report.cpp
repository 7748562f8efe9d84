#include "trenchwright/report/report.hpp"

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/rank.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/first_table.hpp"
#include "trenchwright/report/refusal_text.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string money(const JobPlan& plan, Cents cents)
{
    return fmt::format("{} {}", money_text(cents), plan.job.rules.currency);
}

std::string reasons(const JobPlan& plan)
{
    std::string text;
    for (std::size_t i = 0; i < plan.outcomes.size(); ++i) {
        const auto& outcome = plan.outcomes[i];
        const auto& outlet = plan.site.outlets[outcome.outlet];
        text += fmt::format("{}. {}. {}.\n", i + 1, outlet.name, outcome.rank_reason);
        text += refusals_text(plan, outcome);
        for (const auto& line : graded_findings(outcome)) {
            if (outcome.works && line.finding->severity == Severity::stop) {
                text += wrapped("   " + line_text(line), page_width, 6) + "\n";
            }
        }
        if (!outlet.permit.empty() || outlet.fee_cents > 0) {
            text += fmt::format("   Permit: {}; fee {}.\n", outlet.permit.empty() ? "none stated" : outlet.permit,
                                money(plan, outlet.fee_cents));
        }
        if (!outlet.source_text.empty()) {
            text += wrapped(fmt::format("   Its record: {}", outlet.source_text), page_width, 6) + "\n";
        }
    }
    return text;
}

std::string findings_text(const JobPlan& plan)
{
    const auto at_the_top = not_supplied_lines(plan);
    std::string text;
    for (const auto& finding : plan.findings) {
        if (std::ranges::find(at_the_top, finding.text) == at_the_top.end()) {
            text += wrapped(fmt::format("{}: {}", display_name(finding.severity), finding.text), page_width, 4) + "\n";
        }
    }
    if (text.empty()) {
        text = "No findings from the data supplied.\n";
    }
    return at_the_top.empty() ? text : text + "What was not supplied stands at the top of this report.\n";
}

std::string layers_text(const JobPlan& plan)
{
    std::vector<std::vector<std::string>> rows{{"Part", "File", "Layer", "Features"}};
    for (const auto& layer : plan.site.layers) {
        rows.push_back({layer.part, std::filesystem::path(layer.file).filename().string(), layer.layer,
                        std::to_string(layer.features)});
    }
    return text_table(rows, {3});
}

std::string basis(const JobPlan& plan)
{
    const auto& rules = plan.job.rules;
    const auto& section = rules.route.section;
    const auto ground_error = plan.ground.leave_one_out_rms_m();
    std::string text = fmt::format(
        "Pipe: {}, outside diameter {}. Trench: {} wide ({}), {} bedding. Minimum fall {}. Maximum cut allowed {}.\n"
        "Hand-dig tolerance: {} each side of a facility's outer edge, plus its position accuracy. Width unknown is "
        "taken as 0.\nFrame: {}. Stations start at 0+00.00 at the outlet and rise upstream toward the house.\n",
        rules.pipe_name, diameter_text(section.outside_diameter_m, rules.units),
        small_text(section.width_m, rules.units), rules.width_preset, small_text(section.bedding_m, rules.units),
        fall_text(rules.route.min_fall_ratio, rules.units), depth_text(rules.route.deepest_cut_m, rules.units),
        small_text(rules.route.tolerance_m, rules.units), plan.site.frame.name);
    if (ground_error) {
        text += fmt::format("Ground: survey cross-check error {} (RMS, each shot against the surface of the others).\n",
                            small_text(*ground_error, rules.units));
    }
    return text;
}

std::string title(const JobPlan& plan)
{
    const auto& job = plan.job;
    std::string text = fmt::format("Discharge trench plan: {}\n", job.name);
    for (const auto& [label, value] : {std::pair{"Prepared for", job.prepared_for},
                                       std::pair{"Prepared by", job.prepared_by}, std::pair{"Date", job.date}}) {
        if (!value.empty()) {
            text += fmt::format("{}: {}\n", label, value);
        }
    }
    return text;
}

} // namespace

std::string summary_text(const JobPlan& plan)
{
    std::string text = title(plan);
    for (const auto& line : not_supplied_lines(plan)) {
        text += "\n" + wrapped(line, page_width, 2) + "\n";
    }
    return text + "\n" + first_table(plan) + "\n" + wrapped(short_caution(plan.job), page_width, 2) + "\n";
}

namespace {

/// @param sheets  their section; empty: there is none
std::string whole_report(const JobPlan& plan, const std::string& sheets)
{
    std::string text = summary_text(plan) + "\n" + heading("Why in this order") + reasons(plan);
    for (const auto& rule : ranking_rules()) {
        text += wrapped("   " + rule, page_width, 11) + "\n";
    }
    text += "\n" + heading("Choices side by side") + choices_text(plan);
    text += assumptions_text(plan);
    text += "\n" + heading("What the figures rest on") + basis(plan);
    text += "\n" + heading("Findings") + findings_text(plan);
    text += "\n" + heading("What was not supplied") + supplied_text(plan);
    text += inside_text(plan) + through_wall_text(plan) + yard_text(plan);
    for (const auto& outcome : plan.outcomes) {
        for (const auto& by : outcome.by_source) {
            if (const auto* trench = std::get_if<TrenchPlan>(&by)) {
                text += "\n" + trench_text(plan, *trench);
            }
        }
        text += potholes_text(plan, outcome);
        if (outcome.works) {
            text += "\n" + drain_water_text(plan, outcome);
        }
        text += estimate_text(plan, outcome) + materials_text(plan, outcome);
    }
    text += sheets.empty() ? "" : "\n" + heading("Sheets") + sheets;
    text += "\n" + heading("Layers read") + layers_text(plan);
    text += "\n" + heading("Cautions");
    for (const auto& caution : cautions()) {
        text += wrapped("- " + caution, page_width, 2) + "\n";
    }
    return text;
}

} // namespace

std::string report_text(const JobPlan& plan)
{
    return whole_report(plan, "");
}

std::string report_text(const JobPlan& plan, const DrawnThings& shown)
{
    return whole_report(plan, sheets_text(plan, shown));
}

} // namespace trenchwright
