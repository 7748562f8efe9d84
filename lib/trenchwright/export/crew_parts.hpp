#pragma once

#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/report/cut_sheet.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// The plan as SVG in site meters, y down; stations carry their number among all rows in data-row.
std::string crew_plan_svg(const JobPlan& plan, const std::vector<CutSheet>& sheets);

/// How a kind of line is drawn, as on every paper (mark_paint): color and stroke-dasharray in meters.
struct CrewPaint {
    std::string color;
    std::string dashes;
};
CrewPaint crew_paint(Facility facility, bool probable = false);

/// "#rrggbb"
std::string web_color(std::uint32_t rgb);

// The files of these names beside this header, as they are; CMakeLists.txt writes what returns them.
std::string_view crew_frame();  ///< crew.html, to be filled by filled_frame
std::string_view crew_style();  ///< crew.css
std::string_view crew_script(); ///< crew.js

} // namespace trenchwright
