#pragma once

#include "trenchwright/page/page.hpp"
#include "trenchwright/rules/rules.hpp"

#include <string>

namespace trenchwright {

/// The paper a set of sheets is drawn on, landscape.
struct Paper {
    std::string name; ///< "tabloid, 17 x 11 in"
    PageSize size;
    bool iso = false; ///< of the A series; else of the American one
    double margin_pt = 0;
    [[nodiscard]] PageBox inner() const { return grown(box_at({}, size), -margin_pt); }
};

/// Sizes: ANSI/ASME Y14.1 (letter is A, tabloid is B) and ISO 216.
Paper paper_of(const Rules& rules);

} // namespace trenchwright
