#include "trenchwright/plan/potholes.hpp"
#include "trenchwright/report/report.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

std::string depth_known_text(const CrossingRecord& record, UnitSystem units)
{
    if (!record.passing) {
        return "unknown";
    }
    const auto& [over, gap_m] = *record.passing;
    return gap_m < 0 ? "would meet"
                     : fmt::format("{}, clearance {}", over ? "over" : "under", depth_text(gap_m, units));
}

std::string conflict_text(const CrossingRecord& record, UnitSystem units)
{
    const auto& [from, to] = record.conflict_depth_m;
    return to > 0 ? fmt::format("{} to {}", depth_text(from, units), depth_text(to, units)) : "-";
}

std::string coordinates(const Frame& frame, const Point& at)
{
    const auto native = to_native(frame, at);
    return fmt::format("{:.2f}, {:.2f}", native.x, native.y);
}

std::vector<std::string> record_row(const TrenchPlan& trench, std::size_t i, const Site& site, UnitSystem units)
{
    const auto& crossing = trench.measured.crossings[i];
    const auto& record = trench.measured.records[i];
    const auto& mark = site.marks[crossing.mark];
    return {std::to_string(i + 1),
            mark_name(mark),
            length_text(record.hand_length_m, units),
            volume_text(record.hand_volume_m3, units),
            depth_known_text(record, units),
            fmt::format("{}{}", depth_text(record.gap_required_m, units), record.gap_hard ? ", hard" : ""),
            conflict_text(record, units),
            before_grade(record.exposing) ? "yes" : "re-pothole"};
}

std::string corners_text(const JobPlan& plan)
{
    std::string text;
    for (const auto& corner : tape_corners(plan.site.foundations, plan.job.rules.ties)) {
        text +=
            fmt::format("{}{} ({})", text.empty() ? "" : ", ", corner.name, coordinates(plan.site.frame, corner.at));
    }
    return text.empty() ? "" : wrapped(fmt::format("Corners of the foundation: {}.", text), page_width, 4) + "\n";
}

} // namespace

std::string crossing_records_text(const JobPlan& plan, const TrenchPlan& trench)
{
    if (trench.measured.records.empty()) {
        return "";
    }
    const UnitSystem units = plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{{"Crossing", "Facility", "By hand", "Excavation", "Crosses",
                                                "Clearance required", "Conflict if top of utility is",
                                                "Pothole first"}};
    for (std::size_t i = 0; i < trench.measured.records.size(); ++i) {
        rows.push_back(record_row(trench, i, plan.site, units));
    }
    return "\n" + text_table(rows, {2, 3}) +
           wrapped(
               "Clearances are outside to outside, the conflict is ground to top of utility by the pipe as laid. \"By "
               "hand\" is each mark's own stretch; stretches that touch are one zone above.",
               page_width, 0) +
           "\n";
}

std::string potholes_text(const JobPlan& plan, const OutletOutcome& outcome)
{
    const auto holes = potholes(outcome);
    if (holes.empty()) {
        return "";
    }
    const UnitSystem units = plan.job.rules.units;
    std::vector<std::vector<std::string>> rows{
        {"Pothole", "Trench of", "Station", "Facility", "Paint", "Place", "Tape ties from corners of the foundation"}};
    for (std::size_t i = 0; i < holes.size(); ++i) {
        const auto& crossing = holes[i].at();
        const auto& mark = plan.site.marks[crossing.mark];
        rows.push_back({std::to_string(i + 1), plan.site.sources[holes[i].trench->source].id,
                        station_text(crossing.station_m, units), mark_name(mark), paint_words(mark, " "),
                        coordinates(plan.site.frame, crossing.at), tie_text(holes[i].record().ties, units)});
    }
    const std::string title =
        fmt::format("Potholes for {}, in order of digging", plan.site.outlets[outcome.outlet].name);
    return fmt::format("\n{}\n{}\n", title, std::string(title.size(), '-')) +
           wrapped("Dug by hand or vacuum before the grade is fixed: at each of these the depth is unknown, or the gap "
                   "is not kept by the depth on record.",
                   page_width, 0) +
           "\n" + text_table(rows, {2}) + corners_text(plan);
}

} // namespace trenchwright
