#pragma once

#include <cstdint>

namespace trenchwright {

/// A label that waits in a search's heap, or a whole way to an end.
struct Waiting {
    std::int64_t bound = 0;     ///< micros, with the least that is still to pay
    std::int32_t invert_um = 0; ///< at the label, or at the end
    std::int32_t label = 0;
    std::int32_t finish = -1; ///< index of the end, or -1
};

/// The heap's order: least bound first; then the higher invert; then the older label, so that runs repeat.
inline bool later(const Waiting& a, const Waiting& b)
{
    if (a.bound != b.bound) {
        return a.bound > b.bound;
    }
    if (a.invert_um != b.invert_um) {
        return a.invert_um < b.invert_um;
    }
    return a.label > b.label;
}

} // namespace trenchwright
