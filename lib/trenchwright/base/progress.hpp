#pragma once

#include <functional>
#include <string_view>

namespace trenchwright {

/// Told how far a long job is: what it is at, and how many of how many parts of that are done (0 of 0: not countable).
/// Called from any thread, one call at a time.
using Progress = std::function<void(std::string_view step, std::size_t done, std::size_t of)>;

} // namespace trenchwright
