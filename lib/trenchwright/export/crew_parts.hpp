#pragma once

#include "trenchwright/report/cut_sheet.hpp"
#include "trenchwright/plan/plan.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// The plan as SVG in site metres, y down; stations carry their number among all rows in data-row.
std::string crew_plan_svg(const JobPlan& plan, const std::vector<CutSheet>& sheets);

/// How a kind of line is drawn, as on every paper (mark_paint): colour and stroke-dasharray in metres.
struct CrewPaint {
    std::string colour;
    std::string dashes;
};
CrewPaint crew_paint(Facility facility);

std::string_view crew_style();
std::string_view crew_script();

} // namespace trenchwright
