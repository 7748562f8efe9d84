#pragma once

#include "trenchwright/site/load.hpp"
#include "trenchwright/site/row.hpp"

/// Layers cut to what lies near our lot. Internal to the module.
namespace trenchwright {

/// The box that was read, in site meters. Every layer that was not measured on the lot is left with those parts of its
/// features that meet it, by their shapes and not their boxes, so that the same is left of every format. Nothing, and
/// nothing cut, where every layer was read as a whole.
std::optional<Box> cut_to_surroundings(const Loaded& read, const Frame& frame, std::vector<PartLayer>& layers);

/// A warning for a layer that has features and none near.
/// @param all  around all features of the file, as LoadedLayer has it
/// @throws Error (input) when they lie farther off than ReadingRules::farthest_m: in another system or unit
std::vector<Finding> none_near(const PartLayer& layer, const std::optional<NativeBox>& all, const Box& near);

} // namespace trenchwright
