#pragma once

#include "trenchwright/dig/cleanouts.hpp"
#include "trenchwright/dig/crossing_record.hpp"
#include "trenchwright/dig/footing_drain.hpp"
#include "trenchwright/dig/pipe_grades.hpp"
#include "trenchwright/dig/quantities.hpp"
#include "trenchwright/dig/shallow.hpp"
#include "trenchwright/dig/wall_core.hpp"
#include "trenchwright/estimate/estimate.hpp"
#include "trenchwright/estimate/materials.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/plan/choice.hpp"
#include "trenchwright/plan/cure.hpp"
#include "trenchwright/plan/drain_water.hpp"
#include "trenchwright/plan/outlet_uncertainty.hpp"
#include "trenchwright/plan/supplied_item.hpp"
#include "trenchwright/plan/trench_safety.hpp"
#include "trenchwright/profile/profile.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/site/site.hpp"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace trenchwright {

/// Where a trench ends on another one of the same drain.
struct Junction {
    std::size_t source = 0;         ///< whose trench it joins: index into Site::sources
    double station_m = 0;           ///< along that trench
    double angle_rad = 0;           ///< between the two, in flow direction
    double trunk_invert_elev_m = 0; ///< of that trench there
    Point at;
    friend bool operator==(const Junction&, const Junction&) = default;
};

/// Where a trench runs.
struct TrenchLine {
    Route route;
    LineFacts facts;
    std::vector<Bend> bends;
};

/// A smaller pipe from station 0 up, by which a trench ends in a curb.
struct ReducedEnd {
    double length_m = 0;
    std::string pipe; ///< its name
    double outside_diameter_m = 0;
    double wall_m = 0;
    friend bool operator==(const ReducedEnd&, const ReducedEnd&) = default;
};

/// How deep it lies.
struct TrenchLaid {
    ProfileProblem problem; ///< what the profile had to obey; holds the ground line
    Profile profile;
    TrenchGrades grades;                 ///< what its changes of grade and its steep stretches ask for
    std::vector<ShallowStretch> shallow; ///< under less than the cover wanted
    double extra_fall_m = 0;             ///< see extra_fall()
    double extra_fall_station_m = 0;
    std::vector<Cleanout> cleanouts;   ///< none on a pressure line
    std::optional<ReducedEnd> reduced; ///< of a trench that ends in a smaller pipe
    std::optional<WallCore> wall_core; ///< of a source whose pipe passes through the wall
};

/// What is dug and met there.
struct TrenchMeasured {
    Quantities quantities;
    std::vector<HandDigZone> zones;
    std::vector<Crossing> crossings;
    std::vector<CrossingRecord> records; ///< one for each crossing
    std::vector<ParallelRun> along;      ///< by mark and station
    std::vector<Depth> depths;
};

/// What flows in it.
struct TrenchWater {
    std::vector<Reach> reaches;      ///< by rising station; cover the whole trench
    std::optional<double> sent_m3ps; ///< what its own source sends; nothing: not known
    std::optional<PumpCheck> pump;   ///< of a pump with a table in the job
};

/// One source's own trench, to the outlet or to the trench it joins. Stations from 0+00 at its lower end, rising
/// upstream.
struct TrenchPlan {
    std::size_t source = 0;        ///< index into Site::sources
    std::size_t outlet = 0;        ///< index into Site::outlets
    std::optional<Junction> joins; ///< nothing: it runs to the outlet itself
    bool pressure = false;         ///< a pump's line, which climbs freely until it joins
    /// Whether its water runs down to the outlet, so that fall can be short.
    [[nodiscard]] bool needs_fall() const { return !pressure || joins.has_value(); }
    std::optional<FootingWedge> wedge_kept = {}; ///< what it was planned by beside our footing
    Permission permission = Permission::unstated;
    TrenchLine line;
    TrenchLaid laid;
    TrenchMeasured measured;
    TrenchWater water;
    TrenchSafety safety;
    std::vector<Finding> findings;
};

/// One line of the comparison: all sources to one outlet, in one drain with junctions or each in a trench of its own.
struct OutletOutcome {
    std::size_t outlet = 0;
    bool one_drain = false;          ///< one drain: every trench but one joins another
    std::string why_not_shared = {}; ///< in words, where several sources have trenches of their own
    std::vector<std::variant<TrenchPlan, Refusal>> by_source; ///< in the order of Site::sources
    bool works = false;                             ///< every source has a plan; whether that may be built: state_of
    Cents total_cents = 0;                          ///< likely sum of the estimate's lines
    std::string rank_reason;                        ///< the rule that put it where it stands
    std::optional<Estimate> estimate{};             ///< nothing when it does not work
    std::optional<OutletUncertainty> uncertainty{}; ///< nothing where the ground cannot say how far it may be off
    std::string why_no_uncertainty = {};            ///< in words, where it works by gravity and cannot say
    std::vector<RefusalHelp> help{};                ///< by source, beside its refusal; none when the outlet works
    std::vector<Cure> cures{};             ///< each alone lets every source reach it, best first; none when it works
    std::vector<MaterialItem> materials{}; ///< of all its trenches and the job inside; none when it does not work
};

/// Of the pipe at a station: that of the smaller one below a reducer.
TrenchSection section_at(const TrenchPlan& trench, double station_m);
/// Cover that the smaller pipe of a reduced end leaves beyond the trench's own section; 0 upstream of its reducer.
double reduced_cover_m(const TrenchPlan& trench, double station_m);

/// Its trenches in the order of the sources, without those refused; none for nullptr.
std::vector<const TrenchPlan*> trenches_of(const OutletOutcome* outcome);

/// The trench at whose lower end the water of another one leaves: the other one itself, or what it joins.
const TrenchPlan& trunk_of(const OutletOutcome& outcome, const TrenchPlan& trench);

/// What every outlet is planned from: the lot, and what was worked out before the first trench.
struct PlanBasis {
    Job job; ///< its rates are never empty: the settings' own book where the job names none
    Site site;
    Ground ground;
    std::optional<FootingWork> footing = std::nullopt;      ///< the job inside; nothing when there is no footing drain
    std::optional<FootingEdge> footing_edge = std::nullopt; ///< nothing: its depth is not known
};

/// The whole answer.
struct JobPlan : PlanBasis {
    std::vector<OutletOutcome> outcomes{}; ///< ranked, best first; refused ones last
    std::vector<Finding> findings{};       ///< of the site and the job
    YardWork yard{};
    std::vector<SuppliedItem> supplied{}; ///< what was asked for, and what is missing
    std::vector<std::string>
        no_marks_for{};            ///< facility kinds with no mark supplied: "no marks supplied", never "clear"
    std::vector<Choice> choices{}; ///< every outlet, as planned and by each variant
};

} // namespace trenchwright
