#include "trenchwright/base/error.hpp"
#include "trenchwright/job/footing_record.hpp"
#include "trenchwright/rules/rules.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

/// @param lowest, highest  as a job file writes them
std::optional<double> length_in(const JobNode& table, const char* key, const char* lowest, const char* highest)
{
    const auto* node = table.find(key);
    if (node == nullptr) {
        return std::nullopt;
    }
    const auto text = node->kind == JobNode::Kind::number ? node->text : text_of(*node);
    double value = 0;
    try {
        value = parse_measure(Measure::length, text);
    } catch (const Error& error) {
        refuse(*node, error.what());
    }
    const bool inside =
        value >= parse_measure(Measure::length, lowest) && value <= parse_measure(Measure::length, highest);
    if (!inside) {
        refuse(*node, fmt::format("\"{}\" is out of range: {} to {}", text, lowest, highest));
    }
    return value;
}

} // namespace

FootingRecord footing_from(const JobNode& node)
{
    check_members(node, {"bottom", "below_floor", "below_ground", "outer_edge", "inner_edge"});
    FootingRecord record;
    record.bottom_elev_m = length_in(node, "bottom", "-9000 m", "9000 m");
    record.below_floor_m = length_in(node, "below_floor", "-10 ft", "30 ft");
    record.below_ground_m = length_in(node, "below_ground", "0 ft", "60 ft");
    const int stated =
        (record.bottom_elev_m ? 1 : 0) + (record.below_floor_m ? 1 : 0) + (record.below_ground_m ? 1 : 0);
    if (stated != 1) {
        refuse(node, "needs one of bottom, below_floor and below_ground: where the footing's bottom lies");
    }
    const auto outer = length_in(node, "outer_edge", "0 in", "6 ft");
    if (!outer) {
        refuse(node, "needs outer_edge = \"4 in\": how far the footing reaches out beyond the foundation's outline");
    }
    record.outer_edge_m = *outer;
    record.inner_edge_m = length_in(node, "inner_edge", "0 in", "6 ft");
    return record;
}

} // namespace trenchwright
