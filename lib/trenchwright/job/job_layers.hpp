#pragma once

#include "trenchwright/job/job_node.hpp"
#include "trenchwright/site/layers.hpp"

namespace trenchwright {

/// The [layers] table of a job: by part, each one table or a list of tables.
/// @throws Error (input) naming file, line, key; unknown parts, keys and attributes name the nearest known one
std::map<std::string, std::vector<LayerUse>> layers_from(const JobNode& layers);

/// A unit of length named by a node. @throws Error (input)
LengthUnit unit_of(const JobNode& node);
/// A unit of area named by a node. @throws Error (input)
AreaUnit area_unit_of(const JobNode& node);

} // namespace trenchwright
