#pragma once

#include "trenchwright/route/lattice.hpp"

#include <array>
#include <cstdint>

/// What every search over the lattice does alike: step, turn, pay for depth.
namespace trenchwright {

/// How much a step in each heading adds to a cell's number. Says nothing of the edge of the lattice: use it where a
/// step is known to be there.
inline std::array<int, 16> cell_offsets(const Lattice& lattice)
{
    std::array<int, 16> offsets{};
    for (int h = 0; h < lattice.headings; ++h) {
        const auto [col, row] = heading_offset(h, lattice.headings);
        offsets[static_cast<std::size_t>(h)] = row * lattice.cols + col;
    }
    return offsets;
}

/// Calls each(turn, other heading) for what lies up to a right angle off a heading on either side.
template <class Each> void for_turned(int headings, int heading, Each each)
{
    for (int turn = 1; turn <= headings / 4; ++turn) {
        each(static_cast<std::size_t>(turn), (heading + turn) & (headings - 1)); // a power of two
        each(static_cast<std::size_t>(turn), (heading + headings - turn) & (headings - 1));
    }
}

/// Cost of depth over a straight piece: its rate per meter of cut at the mean of the cuts at its two ends.
///
/// The division drops the fraction, toward 0, and so never turns the order of two cuts round: of two inverts the
/// higher is never the dearer, and a bound taken at the highest inverts stays one to the last millionth.
inline std::int64_t dig_cost_micro(std::int64_t cost_micro_per_m, std::int64_t twice_cut_um)
{
    constexpr std::int64_t twice_um_per_m = 2'000'000;
    return cost_micro_per_m * twice_cut_um / twice_um_per_m;
}

} // namespace trenchwright
