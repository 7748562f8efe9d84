#pragma once

#include "trenchwright/gis/system.hpp"
#include "trenchwright/plan/job_plan.hpp"

#include <memory>
#include <optional>
#include <string>

namespace trenchwright {

/// Longitude and latitude (WGS 84) of places of a site, where its frame allows. Stays on the thread that made it.
class World {
  public:
    /// @param near  a place of the site; picks the datum shift
    World(const Frame& frame, const Point& near);
    /// Why there are none; empty where there are.
    [[nodiscard]] const std::string& why_not() const { return why_not_; }
    /// What the datum shift may be off by; 0 without a shift.
    [[nodiscard]] double accuracy_m() const { return way_ ? way_->accuracy_m() : 0; }
    /// Longitude as x, latitude as y, in degrees rounded to 1e-8 (1 mm); nothing when why_not() says why.
    [[nodiscard]] std::optional<NativePoint> operator()(const Point& at) const;

  private:
    Frame frame_;
    std::shared_ptr<const Transform> way_;
    std::string why_not_;
};

/// Longitudes and latitudes for the whole site, by one datum shift.
World site_world(const JobPlan& plan);

} // namespace trenchwright
