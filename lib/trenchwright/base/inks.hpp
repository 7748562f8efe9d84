#pragma once

#include <cstdint>

/// Inks of what is no mark of a buried line, 0xRRGGBB: one value each for sheets, crew page, KML and styles.
namespace trenchwright::inks {

inline constexpr std::uint32_t trench_rgb = 0x10141A;
inline constexpr std::uint32_t hand_dig_rgb = 0x6B2E12;
inline constexpr std::uint32_t stop_rgb = 0xB00000;
inline constexpr std::uint32_t words_rgb = 0x1C2430;
inline constexpr std::uint32_t paper_rgb = 0xFFFFFF;

} // namespace trenchwright::inks
