#include "trenchwright/asbuilt/as_built.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/report.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string table_text(const MeasuredTrench& measured, UnitSystem units)
{
    std::vector<std::vector<std::string>> rows{
        {"Station", "Planned invert", "As built", "Difference", "Cover", "Slope downstream", "Water stands"}};
    for (const auto& row : as_built_rows(measured)) {
        const double off_m = row.invert_elev_m - row.planned_elev_m;
        rows.push_back({station_text(row.station_m, units), elev_text(row.planned_elev_m, units),
                        elev_text(row.invert_elev_m, units), small_text(off_m, units), depth_text(row.cover_m, units),
                        row.fall_ratio ? fmt::format("{:.2f} %", *row.fall_ratio * 100) : "",
                        measured.trench->pressure ? "" : small_text(row.standing_m, units)});
    }
    return text_table(rows, {0, 1, 2, 3, 4, 5, 6});
}

std::string trench_section(const JobPlan& plan, const MeasuredTrench& measured)
{
    auto text = fmt::format("\nTrench {}: {}\n\n", measured.number, plan.site.sources[measured.trench->source].id);
    if (measured.inverts.empty()) {
        return text + "Not measured: nothing is said of it.\n";
    }
    text += table_text(measured, plan.job.rules.units) + "\n";
    for (const auto& finding : record_findings(plan, measured)) {
        text += wrapped(fmt::format("{}: {}", display_name(finding.severity), finding.text), page_width, 4) + "\n";
    }
    return text;
}

} // namespace

std::string as_built_text(const JobPlan& plan, const std::vector<MeasuredTrench>& measured)
{
    auto text = fmt::format("As built: {}\n\n", plan.job.name);
    text +=
        wrapped(fmt::format("Only measured places are judged, and the pipe between two of them not more than {} apart, "
                            "which is taken as straight. A record from levels at points says nothing of what lies "
                            "between them. Cover and the depth of marks count from the ground of the plan.",
                            length_text(plan.job.rules.papers.measured_spacing_m, plan.job.rules.units)),
                page_width, 0) +
        "\n";
    for (const auto& one : measured) {
        text += trench_section(plan, one);
    }
    text += "\nCautions\n";
    for (const auto& caution : cautions()) {
        text += wrapped("- " + caution, page_width, 2) + "\n";
    }
    return text;
}

} // namespace trenchwright
