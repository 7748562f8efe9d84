#pragma once

#include "trenchwright/ground/ground.hpp"

#include <vector>

namespace trenchwright {

/// A surface as flat triangles, corners counter-clockwise. What has to be followed or cut exactly is done on these.
struct Facets {
    std::vector<Point3> points = {};
    std::vector<GroundTriangle> triangles = {};
};

/// The triangles of a surface over spots; none for a grid.
Facets facets_of(const Ground& ground);

/// A grid's squares with data as four triangles each, about the middle at the mean of the corners: the middle and the
/// edges lie on the bilinear surface, and the volume under it is the same (checked in tests/safety_ground_test.cpp).
Facets facets_of(const Raster& raster);

} // namespace trenchwright
