#pragma once

namespace trenchwright {

/// The trench's cross-section: what stays the same along one pipe.
///
/// The invert is the lowest inside point of the pipe, so the pipe's underside lies one wall
/// below it and the trench bottom one bedding depth below that.
struct TrenchSection {
    double width_m = 0; ///< bottom width, vertical sides
    double outside_diameter_m = 0;
    double wall_m = 0;
    double bedding_m = 0; ///< under the pipe

    /// Ground to trench bottom.
    [[nodiscard]] double cut_m(double ground_elev_m, double invert_elev_m) const
    {
        return ground_elev_m - invert_elev_m + wall_m + bedding_m;
    }
    /// Ground to top of pipe.
    [[nodiscard]] double cover_m(double ground_elev_m, double invert_elev_m) const
    {
        return ground_elev_m - invert_elev_m + wall_m - outside_diameter_m;
    }
    /// Highest invert that leaves the given cover.
    [[nodiscard]] double invert_for_cover_m(double ground_elev_m, double cover_m) const
    {
        return ground_elev_m - cover_m - outside_diameter_m + wall_m;
    }
    /// Lowest invert that keeps the cut within the given depth.
    [[nodiscard]] double invert_for_cut_m(double ground_elev_m, double cut_limit_m) const
    {
        return ground_elev_m - cut_limit_m + wall_m + bedding_m;
    }
    friend bool operator==(const TrenchSection&, const TrenchSection&) = default;
};

} // namespace trenchwright
