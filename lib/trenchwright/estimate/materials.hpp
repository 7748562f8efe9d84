#pragma once

#include "trenchwright/dig/footing_drain.hpp"
#include "trenchwright/route/route.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// How material is bought. Every value is a setting.
struct MaterialRules {
    double stick_length_m = 0;
    double waste_ratio = 0; ///< pipe cut off and spoilt, over the pipe laid
    double stone_kg_per_m3 = 0;
    friend bool operator==(const MaterialRules&, const MaterialRules&) = default;
};

/// What the list takes from one trench.
struct MaterialTrench {
    std::string pipe; ///< name of its pipe
    double outside_diameter_m = 0;
    double pipe_length_m = 0; ///< along the slope
    std::vector<Bend> bends;
    std::optional<double> junction_angle_rad; ///< of the fitting by which it runs into another trench
    double trunk_outside_diameter_m = 0;      ///< of the trench it runs into
    std::string joint = {};                   ///< name of the piece that lets a pump's line spill; empty: none
    double joint_outside_diameter_m = 0;      ///< of the pump's line there
    std::size_t cleanouts = 0;
    std::size_t anchors = 0;
    std::string reduced_pipe = {}; ///< name of the smaller pipe it ends in; empty: none, and no reducer
    double reduced_diameter_m = 0; ///< outside
    double reduced_length_m = 0;   ///< of pipe_length_m
    double bedding_m3 = 0;
};

/// One line of the list.
struct MaterialItem {
    std::string name;
    double size_m = 0;                    ///< outside diameter of the pipe it belongs to; 0: none
    std::optional<double> angle_rad = {}; ///< of a bend or junction
    double branch_size_m = 0; ///< outside diameter of what runs into a junction, or of a reducer's smaller end; 0: none
    long long count = 0;      ///< whole pieces; 0 for what is bought in bulk
    std::string unit;         ///< "stick", "each", "bag", "bulk"
    double length_m = 0;      ///< of pipe laid, before waste
    double volume_m3 = 0;     ///< of stone as it lies
    double mass_kg = 0;       ///< of the same
    friend bool operator==(const MaterialItem&, const MaterialItem&) = default;
};

/// The list of all trenches of one outlet and the job inside. What is alike is summed first and rounded up once.
/// By kind: pipe, bends by rising angle, junctions, reducers, joints of pump lines, cleanouts, anchors, stone. What has
/// no quantity has no line.
/// @param footing_pipe  name of the pipe along the footing
/// @throws Error (internal) for a length, volume or rule out of range, NaN included
std::vector<MaterialItem> materials(const std::vector<MaterialTrench>& trenches,
                                    const std::optional<FootingWork>& footing, const std::string& footing_pipe,
                                    double footing_outside_diameter_m, const MaterialRules& rules);

/// Whole sticks for a length of pipe.
long long sticks(double length_m, const MaterialRules& rules);

} // namespace trenchwright
