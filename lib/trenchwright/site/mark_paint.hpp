#pragma once

#include "trenchwright/site/site.hpp"

#include <cstdint>
#include <vector>

namespace trenchwright {

/// How a kind of buried line is drawn on paper: the code's color and a pattern of its own, so that it can be told
/// apart in grey print and by color-blind readers. A kind that nobody stated is dark gray and dashed.
///
/// Source: the hues are those of the APWA uniform color code, the values within them our own. In the code pink is
/// temporary survey marking and stands for no utility.
struct MarkPaint {
    std::uint32_t rgb = 0;         ///< 0xRRGGBB, dark enough to stand on white paper
    std::vector<double> dashes_pt; ///< pen down, pen up, ...; empty: solid
    double width_pt = 0;
    std::uint32_t letters_rgb = 0; ///< a darker shade of it, for letters and words
};
MarkPaint mark_paint(Facility facility);

/// Of a probable run: short strokes far apart, which no mark has.
std::vector<double> probable_dashes_pt();

/// Every kind, in the order of the enumeration.
const std::vector<Facility>& all_facilities();

} // namespace trenchwright
