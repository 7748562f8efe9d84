#pragma once

#include "trenchwright/dig/clearance.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/dig/tape_ties.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace trenchwright {

/// Whether a crossing has to be exposed before the grade is fixed, and why.
enum class Exposing {
    depth_unknown,   ///< yes
    not_by_exposure, ///< yes: a depth is stated, but not as measured on the exposed line
    gap_too_small,   ///< yes: by its recorded depth the gap is not kept
    recorded         ///< no: its depth was measured; it is exposed again when the trench gets there
};
bool before_grade(Exposing why);
std::string_view exposing_text(Exposing why);

/// What crew and office must know about one crossing besides where it is.
struct CrossingRecord {
    double hand_length_m = 0;  ///< of its own hand-dig stretch
    double hand_volume_m3 = 0; ///< in place
    Exposing exposing = Exposing::depth_unknown;
    double gap_required_m = 0;
    bool gap_hard = false;
    bool width_taken = false;       ///< clearance.unknown_width stands in
    std::optional<Passing> passing; ///< only where the depth is known by exposure
    Interval conflict_depth_m;      ///< ground to top of facility: between these the gap is not kept; both 0: nowhere
    TapeTies ties;
    friend bool operator==(const CrossingRecord&, const CrossingRecord&) = default;
};

/// What the records are made by.
struct RecordRules {
    ClearanceRules clearances;
    TieRules ties;
    friend bool operator==(const RecordRules&, const RecordRules&) = default;
};

/// One for each crossing, in their order. The band of conflict comes from the laid pipe, its lowest and highest place
/// over the facility: a top at one of its ends leaves just the gap.
std::vector<CrossingRecord> crossing_records(const Site& site, const ProfileProblem& problem, const Profile& profile,
                                             const std::vector<Crossing>& crossings, const RecordRules& rules);

} // namespace trenchwright
