#include "trenchwright/base/nearest_word.hpp"

#include <algorithm>
#include <vector>

namespace trenchwright {

namespace {

/// Insertions, deletions, changes and swaps of neighbors that turn one word into the other.
std::size_t edit_distance(std::string_view a, std::string_view b)
{
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> above(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        above[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({above[j] + 1, row[j - 1] + 1, change});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) {
                row[j] = std::min(row[j], before[j - 2] + 1);
            }
        }
        before.swap(above);
        above.swap(row);
    }
    return above[b.size()];
}

} // namespace

std::string nearest_word(std::string_view word, std::span<const std::string> known)
{
    std::string nearest;
    // A third of the letters wrong is still a slip; more is another word.
    auto least = std::max<std::size_t>(2, word.size() / 3) + 1;
    for (const auto& candidate : known) {
        const auto distance = edit_distance(word, candidate);
        // A short word could be turned into any other one.
        if (distance < least && distance < std::max<std::size_t>(1, candidate.size())) {
            least = distance;
            nearest = candidate;
        }
    }
    return nearest;
}

} // namespace trenchwright
