#pragma once

#include "trenchwright/base/point.hpp"

#include <array>
#include <cstddef>
#include <string>
#include <vector>

namespace trenchwright {

/// What of the site a plan shows, and where on its page: in points from the page's lower left corner.
struct PlanOnPaper {
    std::size_t page = 0; ///< from 0
    double left_pt = 0;
    double lower_pt = 0;
    double right_pt = 0;
    double upper_pt = 0;
    std::array<Point, 4> corners{}; ///< of the frame: lower left, upper left, upper right, lower right
};

/// A PDF and the plans in it, at most one a page.
struct PlacedPdf {
    std::string bytes;
    std::vector<PlanOnPaper> plans{};
};

} // namespace trenchwright
