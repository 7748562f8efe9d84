#pragma once

#include "trenchwright/base/point.hpp"
#include "trenchwright/base/units.hpp"
#include "trenchwright/page/page.hpp"

#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// How much smaller the paper is than the site.
struct DrawScale {
    double meters_per_pt = 0;
    std::string text; ///< "1 in = 20 ft" or "1:250"
};

/// The largest usual scale at which something of the given size fits the room.
DrawScale plan_scale(double width_m, double height_m, const PageSize& room, UnitSystem units);

/// Scales of a profile; the heights are stretched by a stated whole or simple factor.
struct ProfileScale {
    DrawScale along;
    DrawScale up;
    [[nodiscard]] double stretch_ratio() const { return along.meters_per_pt / up.meters_per_pt; }
    /// "heights stretched 10 times", "heights not stretched"
    [[nodiscard]] std::string stretch_words() const;
};
/// The same from lists of one's own, in feet to the inch or paper ratios, rising; nothing when none is small enough.
std::optional<DrawScale> scale_from(const std::vector<double>& list_ratio, double needed_m_per_pt, UnitSystem units);
ProfileScale profile_scale(double length_m, double height_m, const PageSize& room, UnitSystem units);

/// Site meters to the sheet, true to scale.
struct PlanTransform {
    double meters_per_pt = 1;
    Point center;          ///< of the site part shown
    PagePoint page_center; ///< where it lies on the sheet
    /// The site direction that points right on the sheet, as cosine and sine of its angle from east: north is up as
    /// long as nobody turns it.
    double right_x_ratio = 1;
    double right_y_ratio = 0;
    [[nodiscard]] PagePoint to_page(const Point& p) const
    {
        const double east_m = p.x_m - center.x_m;
        const double north_m = p.y_m - center.y_m;
        return {page_center.x_pt + (east_m * right_x_ratio + north_m * right_y_ratio) / meters_per_pt,
                page_center.y_pt - (north_m * right_x_ratio - east_m * right_y_ratio) / meters_per_pt};
    }
    [[nodiscard]] Point to_site(const PagePoint& p) const
    {
        const double right_m = (p.x_pt - page_center.x_pt) * meters_per_pt;
        const double up_m = (page_center.y_pt - p.y_pt) * meters_per_pt;
        return {center.x_m + right_m * right_x_ratio - up_m * right_y_ratio,
                center.y_m + right_m * right_y_ratio + up_m * right_x_ratio};
    }
    [[nodiscard]] double length_pt(double length_m) const { return length_m / meters_per_pt; }
};

/// A step 1, 2 or 5 times a power of ten that divides a span into at most the given number of parts.
double round_step_ratio(double span_ratio, int max_parts);

} // namespace trenchwright
