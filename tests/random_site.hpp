#pragma once

#include "trenchwright/rules/rules.hpp"
#include "trenchwright/site/site.hpp"

#include <algorithm>
#include <cmath>
#include <random>

/// Random lots of one source and one outlet, for comparing whole plans.
namespace trenchwright::test {

/// A draw of what stands on a lot; the same seed gives the same lot on every machine (no std distribution is used).
class Draws {
  public:
    explicit Draws(unsigned seed) : random_(seed) {}
    double between(double low, double high)
    {
        return low + (high - low) * static_cast<double>(random_()) / static_cast<double>(std::mt19937::max());
    }
    int below(int count) { return static_cast<int>(between(0, count - 1e-9)); }

  private:
    std::mt19937 random_;
};

inline Ring rectangle(double x, double y, double width, double height)
{
    return {{.x_m = x, .y_m = y},
            {.x_m = x + width, .y_m = y},
            {.x_m = x + width, .y_m = y + height},
            {.x_m = x, .y_m = y + height}};
}

/// The ground: two planes that meet in a level line across the lot, so that any triangulation gives the same surface.
struct CreasedGround {
    double crease_y_m = 0;
    double crease_elev_m = 0;
    double slope_below = 0; ///< rise per meter of y, toward the street
    double slope_above = 0;
    [[nodiscard]] double elev_m(const Point& p) const
    {
        const double up = p.y_m - crease_y_m;
        return crease_elev_m + up * (up < 0 ? slope_below : slope_above);
    }
};

struct RandomLot {
    Site site;
    CreasedGround ground;
};

inline RandomLot random_lot(unsigned seed)
{
    constexpr double wide = 24;
    constexpr double deep = 36;
    Draws draw(seed);
    RandomLot lot;
    Site& site = lot.site;
    site.parcel = {{.outer = rectangle(0, 0, wide, deep), .holes = {}}};
    const double left = draw.between(5, 8);
    const double front = draw.between(20, 23);
    const double width = draw.between(8, 10);
    site.foundations = {{.outer = rectangle(left, front, width, 9), .holes = {}}};
    lot.ground = {.crease_y_m = draw.between(8, 16),
                  .crease_elev_m = 30,
                  .slope_below = draw.between(0.012, 0.04),
                  .slope_above = draw.between(0.005, 0.03)};
    for (const double y : {0.0, lot.ground.crease_y_m, deep}) {
        for (const double x : {0.0, wide}) {
            const Point at{.x_m = x, .y_m = y};
            site.spots.push_back({.id = "", .at = at, .elev_m = lot.ground.elev_m(at), .origin = {}});
        }
    }
    site.breaklines.push_back({.line = {{.x_m = 0, .y_m = lot.ground.crease_y_m, .elev_m = 30},
                                        {.x_m = wide, .y_m = lot.ground.crease_y_m, .elev_m = 30}},
                               .origin = {}});
    const int beds = 1 + draw.below(3);
    for (int i = 0; i < beds; ++i) {
        site.surfaces.push_back({.kind = draw.below(2) == 0 ? "planting" : "sidewalk",
                                 .area = {.outer = rectangle(draw.between(2, 18), draw.between(4, 16),
                                                             draw.between(1.2, 5), draw.between(1, 3)),
                                          .holes = {}},
                                 .origin = {}});
    }
    const int marks = draw.below(3);
    for (int i = 0; i < marks; ++i) {
        const double slant = draw.between(-4, 4);
        const double at = draw.between(5, 19);
        Mark mark;
        mark.id = "M" + std::to_string(i);
        mark.facility = i == 0 ? Facility::gas : Facility::electric;
        const bool along = draw.below(2) == 0;
        mark.line = along ? Polyline{{.x_m = at, .y_m = 0}, {.x_m = std::clamp(at + slant, 2.0, 22.0), .y_m = front}}
                          : Polyline{{.x_m = 0, .y_m = at}, {.x_m = wide, .y_m = std::clamp(at + slant, 2.0, 19.0)}};
        site.marks.push_back(mark);
    }
    const int trees = draw.below(3);
    for (int i = 0; i < trees; ++i) {
        site.trees.push_back({.id = "T" + std::to_string(i),
                              .at = {.x_m = draw.between(3, 21), .y_m = draw.between(4, 17)},
                              .trunk_diameter_m = draw.between(0.1, 0.35),
                              .origin = {}});
    }
    if (draw.below(3) == 0) {
        site.keep_outs.push_back(
            {.id = "K",
             .reason = "pond",
             .area = {.outer = rectangle(draw.between(3, 16), draw.between(6, 15), 3, 2), .holes = {}},
             .origin = {}});
    }
    Source source;
    source.id = "DS-1";
    const bool side = draw.below(3) == 0;
    source.at = side ? Point{.x_m = left + width, .y_m = front + draw.between(1, 6)}
                     : Point{.x_m = left + draw.between(0.3, width - 0.3), .y_m = front};
    source.roof_area_m2 = 60;
    site.sources = {source};
    Outlet outlet;
    outlet.id = "out";
    outlet.name = "Pop-up";
    outlet.kind = OutletKind::popup;
    const double x = draw.between(3, 20);
    const double y = draw.between(2, 7);
    switch (draw.below(3)) {
    case 0: outlet.place = Point{.x_m = x, .y_m = y}; break;
    case 1: outlet.place = Polyline{{.x_m = x, .y_m = y}, {.x_m = std::min(x + 4, 22.0), .y_m = y + 1}}; break;
    default: outlet.place = Polygon{.outer = rectangle(std::min(x, 18.0), y, 4, 2), .holes = {}}; break;
    }
    outlet.permission = {{Water::roof, Permission::yes}};
    site.outlets = {outlet};
    return lot;
}

} // namespace trenchwright::test
