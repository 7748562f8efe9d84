#pragma once

#include "trenchwright/draw/legend.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/page/labels.hpp"
#include "trenchwright/page/scale.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// An invert with room neither in the plot nor in the table below it: it stands in a list of the sheet.
struct KeyedInvert {
    std::string letters; ///< beside its place in the plot; empty where even these have no room
    std::size_t trench = 0;
    GradePoint point;
};
std::string key_letters(std::size_t nth); ///< a to z, aa, ab, ...

/// One trench's profile being drawn: 0+00 at the left, at the outlet.
struct ProfileView {
    Canvas& canvas;
    const JobPlan& plan;
    const TrenchPlan& trench;
    std::size_t number = 0;         ///< of the trench, from 1
    std::size_t first_crossing = 1; ///< numbers run on through all trenches, as on the plan
    PageBox plot;
    double slot_right_pt = 0; ///< the next profile starts beyond
    double flags_pt = 0;      ///< height above the plot for the crossings' flags
    ProfileScale scale;
    double low_elev_m = 0; ///< at the plot's lower edge
    LabelPlacer labels;
    Legend& legend;
    std::vector<KeyedInvert>* keyed = nullptr; ///< nullptr: there is no list, such inverts are left out

    [[nodiscard]] PagePoint to_page(double station_m, double elev_m) const
    {
        const double first_m = trench.laid.problem.ground.front().station_m;
        return {plot.left_pt + (station_m - first_m) / scale.along.meters_per_pt,
                plot.bottom_pt - (elev_m - low_elev_m) / scale.up.meters_per_pt};
    }
};

/// One column of the table below a profile.
struct ProfileColumn {
    double station_m = 0;
    std::vector<std::string> cells; ///< one for each row
};
/// Rows with their heads and, in the order given, every column that no earlier one leaves too little room for.
/// @return those drawn
std::vector<ProfileColumn> draw_profile_columns(ProfileView& view, const std::vector<std::string>& heads,
                                                const std::vector<ProfileColumn>& columns);
/// The figure of a printed quantity; the row's head carries the unit.
std::string bare_figure(const std::string& text);
/// The table's last row: its head, and the fall of each run between points as far as there is room.
void draw_fall_head(ProfileView& view, const std::string& head);
void draw_fall_row(ProfileView& view, const std::vector<GradePoint>& points, bool leaders);

/// Elevations of the laid pipe's outside and the trench.
double pipe_top_elev_m(const TrenchPlan& trench, double station_m, double invert_elev_m);
double trench_bottom_elev_m(const TrenchPlan& trench, double invert_elev_m);

void draw_profile_grid(ProfileView& view);      ///< elevations and stations with their figures
void draw_profile_crossings(ProfileView& view); ///< bands, and flags above the plot
/// @return the columns drawn
std::vector<ProfileColumn> draw_profile_table(ProfileView& view); ///< ground, invert, cut and cover below the plot
void draw_profile_title(ProfileView& view);
void label_profile_zones(ProfileView& view); ///< from where to where to dig by hand
/// At the grade breaks. @param in_table  columns whose invert stands in the table
void label_profile_inverts(ProfileView& view, const std::vector<ProfileColumn>& in_table);
void label_profile_falls(ProfileView& view); ///< last row of the table; in the plot where a run is too short

/// One profile in its plot, with everything about it.
void draw_profile(ProfileView& view);

/// What several profiles take together.
struct ProfileReach {
    double length_m = 0;
    double low_elev_m = 0;
    double high_elev_m = 0;
};
ProfileReach profile_reach(const std::vector<const TrenchPlan*>& trenches);
double profile_length_m(const TrenchPlan& trench);
double profile_slot_pt(const TrenchPlan& trench, const ProfileScale& scale);
double profile_flags_pt(const std::vector<const TrenchPlan*>& trenches);

inline constexpr double profile_title_pt = 20;  ///< a trench's two lines above its flags
inline constexpr double profile_row_pt = 8.6;   ///< of the table
inline constexpr double profile_table_pt = 54;  ///< height taken by the table's six rows
inline constexpr double profile_gutter_pt = 56; ///< left of the plot

/// Profiles of all trenches side by side at one scale.
void draw_profiles(Canvas& canvas, const JobPlan& plan, const PageBox& room, Legend& legend);

} // namespace trenchwright
