#include "trenchwright/ground/facets.hpp"

#include "trenchwright/geom/triangulation.hpp"

#include <array>
#include <cmath>

namespace trenchwright {

namespace {

std::size_t at(int index)
{
    return static_cast<std::size_t>(index);
}

/// Counter-clockwise, and nothing for one without area.
void add(Facets& facets, GroundTriangle t)
{
    const int side =
        turn_sign(flat(facets.points[at(t.a)]), flat(facets.points[at(t.b)]), flat(facets.points[at(t.c)]));
    if (side < 0) {
        std::swap(t.b, t.c);
    }
    if (side != 0) {
        facets.triangles.push_back(t);
    }
}

} // namespace

Facets facets_of(const Ground& ground)
{
    Facets facets{.points = ground.points(), .triangles = {}};
    for (const auto& triangle : ground.triangles()) {
        add(facets, triangle);
    }
    return facets;
}

Facets facets_of(const Raster& raster)
{
    Facets facets;
    const auto corner = [&](double col, double row, double elev_m) {
        return Point3{.x_m = raster.origin.x_m + col * raster.step_col.x_m + row * raster.step_row.x_m,
                      .y_m = raster.origin.y_m + col * raster.step_col.y_m + row * raster.step_row.y_m,
                      .elev_m = elev_m};
    };
    for (int row = 0; row < raster.rows; ++row) {
        for (int col = 0; col < raster.cols; ++col) {
            facets.points.push_back(corner(col, row, raster.elev_m[at(row * raster.cols + col)]));
        }
    }
    for (int row = 0; row + 1 < raster.rows; ++row) {
        for (int col = 0; col + 1 < raster.cols; ++col) {
            const int first = row * raster.cols + col;
            const std::array<int, 4> ring{first, first + 1, first + raster.cols + 1, first + raster.cols};
            double sum = 0;
            for (const int i : ring) {
                sum += facets.points[at(i)].elev_m;
            }
            if (!std::isfinite(sum)) {
                continue;
            }
            const int middle = static_cast<int>(facets.points.size());
            facets.points.push_back(corner(col + 0.5, row + 0.5, sum / 4));
            for (std::size_t i = 0; i < 4; ++i) {
                add(facets, {.a = ring[i], .b = ring[(i + 1) % 4], .c = middle});
            }
        }
    }
    return facets;
}

} // namespace trenchwright
