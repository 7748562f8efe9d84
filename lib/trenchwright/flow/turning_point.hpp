#pragma once

namespace trenchwright {

/// The last number from `low` on for which `holds` is true, to the last bit, when `holds` turns from true to false
/// once between `low` and `high`. `low` when it never holds, the number before `high` when it always does.
template <class Number, class Holds> Number last_that_holds(Number low, Number high, Holds holds)
{
    for (Number middle = low + (high - low) / 2; middle > low && middle < high; middle = low + (high - low) / 2) {
        (holds(middle) ? low : high) = middle;
    }
    return low;
}

} // namespace trenchwright
