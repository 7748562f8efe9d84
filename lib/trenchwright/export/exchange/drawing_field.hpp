#pragma once

#include "trenchwright/gis/dxf.hpp"

#include <vector>

namespace trenchwright {

/// Where texts of a drawing still find room. Letters count as 0.85 of their height wide (common for plain lettering, no
/// source: every program draws them in a type of its own).
class LabelField {
  public:
    /// @param buildings  inside which no text is put
    explicit LabelField(std::vector<Polygon> buildings) : buildings_(std::move(buildings)) {}
    void block(const DrawingText& text, double height_m);
    /// A line with room beside it.
    void block(const Polyline& line, double beside_m);
    [[nodiscard]] bool is_free(const DrawingText& text, double height_m) const;
    /// Buildings do not count.
    [[nodiscard]] bool is_free_of_others(const DrawingText& text, double height_m) const;

  private:
    struct Taken {
        Point at;
        double radius_m = 0;
    };
    std::vector<Polygon> buildings_;
    std::vector<Taken> taken_;
};

} // namespace trenchwright
