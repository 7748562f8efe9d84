#pragma once

namespace trenchwright {

/// A distance that a trench keeps from something, by its edge.
struct SetbackRule {
    double distance_m = 0;
    bool hard = false; ///< no route comes nearer; else it is a warning
    friend bool operator==(const SetbackRule&, const SetbackRule&) = default;
};

/// Distances of the trench itself. An outlet's record may ask for more of the outlet.
struct SetbackRules {
    SetbackRule lot_line;    ///< our lot's edge where it is not along the right-of-way
    SetbackRule foundation;  ///< a warning only: the hard one is foundation_clearance_m
    SetbackRule street_line; ///< our lot's edge along the right-of-way; a warning only, outlets may lie beyond it
    SetbackRule well;
    SetbackRule septic;
    SetbackRule easement;
    friend bool operator==(const SetbackRules&, const SetbackRules&) = default;
};

} // namespace trenchwright
