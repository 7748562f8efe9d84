#pragma once

#include "trenchwright/site/site.hpp"

namespace trenchwright {

/// When an end of a mark is an end, and when the paint only stops.
struct MarkEndRules {
    double reach_m = 0;              ///< from an end to what explains it, at most; > 0
    double off_lot_m = 0;            ///< how far off our lot an end counts whose run comes onto it
    double snap_m = 0;               ///< a run that comes no deeper than this onto our lot is nothing to us
    bool irrigation_runs_on = false; ///< else only a note says where a mark of it ends: its heads stand anywhere
    friend bool operator==(const MarkEndRules&, const MarkEndRules&) = default;
};

/// The site with the runs that nobody marked: a lost signal is no end of a line.
///
/// An end of a mark is explained by a building, a lot line or the edge of the right-of-way, a well, a part of a septic
/// system, an inlet, or another mark of the same kind that leads on, within the reach. Any other end on our lot gets a
/// warning, and so does one near it and off the neighbors' lots whose straight run comes onto ours. The run goes on in
/// the line's own direction (taken over the last reach of it) to the first building or mark of its kind; where it meets
/// none, to the nearest wall of our buildings, or only to the lot line for a line that comes from a building. It
/// becomes a mark with `continues` set, behind all that were supplied: searched, dug and priced like a mark, and never
/// called one.
Site with_probable_runs(Site site, const MarkEndRules& rules, UnitSystem units);

} // namespace trenchwright
