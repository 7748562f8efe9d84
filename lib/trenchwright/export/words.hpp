#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// Words and ids as plan.json and plan.gpkg both write them; part of the schema (docs/plan-json.md).
std::string_view severity_word(Severity severity);
std::string_view refusal_word(RefusalKind kind);
std::string_view cure_word(CureKind kind);
std::string_view obstacle_word(ObstacleKind kind);
std::string_view source_kind_word(SourceKind kind);
std::string_view unit_system_word(UnitSystem units);

std::string_view tie_fault_word(TieFault fault);

/// Depth of a crossed facility: ground to its top where it was exposed, otherwise nothing, which is "unknown".
std::optional<double> known_depth_m(const Crossing& crossing);
std::string_view depth_word(const Crossing& crossing);

/// Ids of the marks, and the facilities they carry, each once, in the order of the indices.
std::vector<std::string> mark_ids(const Site& site, const std::vector<std::size_t>& marks);
std::vector<std::string> tree_ids(const Site& site, const std::vector<std::size_t>& trees);
std::vector<std::string> facility_words(const Site& site, const std::vector<std::size_t>& marks);

/// The place of a finding: its own, or its station on the line it belongs to; nothing without either.
std::optional<Point> place_of(const Finding& finding, const Polyline& line);

/// Whether a station is dug by hand; nothing outside the zones known where no mark of any kind is supplied.
std::optional<bool> known_by_hand(const Site& site, const Depth& depth);

double angle_deg(double angle_rad);

} // namespace trenchwright
