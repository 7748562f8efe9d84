#pragma once

#include "trenchwright/estimate/estimate.hpp"
#include "trenchwright/route/closing.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// The one thing that is changed; in the order in which papers list them: what costs the ground nothing comes first.
enum class CureKind {
    opening_raised, ///< the opening in the wall lies higher
    less_fall,      ///< the minimum fall
    less_cover,     ///< over one kind of surface
    less_slab_gap,  ///< under every slab
    smaller_pipe,
    less_gap,       ///< to one kind of facility, over or under it
    less_side_gap,  ///< to one kind of facility, beside it
    setback_eased,  ///< that the outlet's record requires
    outlet_lowered, ///< its lowest invert
    outlet_moved,   ///< to another place
    cut_deepened,   ///< the maximum cut
    ground_raised,  ///< over a stretch of the way
    surface_opened, ///< a kind of surface that may not be entered
    objects_gone,   ///< what closes the way
    pumped          ///< lifted by a pump at the source
};

/// A single change with which a refused source reaches the outlet by the rules of the job, planned again with it.
/// Whoever decides about it must still agree. Figures are there as far as the kind has them.
struct Cure {
    CureKind kind = CureKind::less_cover;
    std::string of; ///< kind of surface, name of a pipe, facility
    std::optional<double> from_m{};
    std::optional<double> to_m{};
    std::optional<double> from_ratio{};
    std::optional<double> to_ratio{};
    std::optional<Point> at{};         ///< where the change lies, as far as it has one place
    std::vector<ClosingObject> gone{}; ///< objects_gone
    std::optional<CentSpread> price{}; ///< of the trenches of the sources refused today; nothing: not known
    std::string text{};                ///< the change in one sentence, in the job's unit system
};

/// What is known besides of one source's refusal.
struct RefusalHelp {
    std::vector<ClosingObject> closed_by{}; ///< the fewest things whose removal opens a way; none but for `blocked`
    std::vector<Cure> cures{};              ///< each alone lets this source reach the outlet, best first
    Polyline nearest_line{};                ///< that comes nearest to working, from the outlet; empty: none is known
};

} // namespace trenchwright
