#pragma once

#include <string>

namespace trenchwright {

/// Takes from this process, for good, the means to reach a network: every later call that opens a socket fails, in all
/// threads and whatever library makes it. On Linux by a filter in the kernel (seccomp).
///
/// To be called first. The library fetches nothing by itself; this holds for what an outside library might do.
/// @return empty, or why this system cannot
std::string close_network();

} // namespace trenchwright
