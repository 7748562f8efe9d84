#include "trenchwright/draw/sheet_parts.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/report/refusal_text.hpp"

#include <fmt/format.h>

namespace trenchwright {

void refusal_notes(ColumnText& column, const SheetSet& set)
{
    if (set.refused == nullptr) {
        return;
    }
    const TextStyle body{.size_pt = 6.6};
    column.heading("Why it is not workable");
    for (std::size_t i = 0; i < set.refused->by_source.size(); ++i) {
        if (const auto* refusal = std::get_if<Refusal>(&set.refused->by_source[i])) {
            column.paragraph(fmt::format("{}: {}.", set.plan.site.sources[i].id, refusal->text), body);
        }
    }
    const auto lines = cure_lines(set.plan, *set.refused);
    if (lines.empty()) {
        return;
    }
    column.heading("What would make it work");
    column.paragraph(cure_terms(*set.refused) + ":", body);
    for (const auto& line : lines) {
        column.paragraph("- " + line + ".", body);
    }
}

} // namespace trenchwright
