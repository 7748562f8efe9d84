#pragma once

#include "trenchwright/gis/frame.hpp"

#include <memory>
#include <optional>
#include <string>

namespace trenchwright {

enum class SystemKind {
    geographic,
    projected,
    local ///< engineering or undefined: offsets from nowhere in particular
};

/// What a coordinate system says about itself. Heights are set aside: wkt is its horizontal part.
struct SystemFacts {
    SystemKind kind = SystemKind::local;
    std::string name;
    std::string wkt;              ///< WKT2:2019
    double meters_per_native = 1; ///< projected only
    LengthUnit native_unit = LengthUnit::meter;
    std::optional<double> z_unit_in_m; ///< of a compound or 3-D system
};

/// Reads any text PROJ understands offline and without another file (gis/system_text.hpp).
/// @throws Error (input) for an unknown system, one of another type (geocentric, vertical), axes that do not run east
///         and north, or a unit that is neither meter, foot nor US survey foot
SystemFacts system_facts(const std::string& text);

/// One exact way from one system to another, x to the right and y up (longitude first).
///
/// The operation is chosen once, at a place, so that all points of a site move alike. Ballpark operations
/// (datum shift unknown, taken as nothing) are refused.
class Transform {
  public:
    /// @throws Error (input) when no such operation is known here
    Transform(const std::string& from_wkt, const std::string& to_wkt, NativePoint at);
    Transform(Transform&&) noexcept;
    Transform& operator=(Transform&&) noexcept;
    ~Transform();

    /// @throws Error (input) for a point the operation does not reach
    [[nodiscard]] NativePoint operator()(NativePoint p) const;
    /// Stated accuracy of the datum shift in it; 0 without one.
    [[nodiscard]] double accuracy_m() const;
    [[nodiscard]] const std::string& name() const;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

/// How far a grid may stretch or squeeze lengths before it is refused as a frame. UTM zones and state-plane zones
/// stay within about 0.1 % by design (UTM: scale 0.9996 at the central meridian, 1.0010 at the zone's edge);
/// web Mercator at 42 degrees north is 35 % off.
inline constexpr double grid_stretch_limit_ratio = 0.002;

/// The frame of a site near a place, which is given in the same system: a projected system keeps its own grid, a
/// geographic one gets a transverse Mercator centerd there (scale 1, center rounded to 0.0001 degree).
/// @throws Error (input) as system_facts, and for a grid beyond grid_stretch_limit_ratio
Frame frame_in(const std::string& system, NativePoint near);

/// Offsets from a house corner.
Frame tape_frame(LengthUnit unit);

} // namespace trenchwright
