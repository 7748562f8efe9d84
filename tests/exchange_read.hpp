#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <map>
#include <string>
#include <vector>

namespace trenchwright::test {

/// A row of a file as GDAL reads it: what it says by field, and its places.
struct ReadRow {
    std::string layer;
    std::map<std::string, std::string> values;
    std::string kind;           ///< "POINT", "LINESTRING", "POLYGON"
    std::vector<Point3> places; ///< of a point, a line or an outer ring, as the file has them
};

/// Every row of every layer, through one named driver of GDAL.
std::vector<ReadRow> rows_in(const std::string& bytes, const std::string& name, const char* driver);

/// Longitude and latitude (WGS 84) to a grid by the way that PROJ itself picks, place by place.
class GridOf {
  public:
    explicit GridOf(const char* grid);
    ~GridOf();
    GridOf(const GridOf&) = delete;
    GridOf& operator=(const GridOf&) = delete;
    GridOf(GridOf&&) = delete;
    GridOf& operator=(GridOf&&) = delete;
    [[nodiscard]] NativePoint operator()(double longitude, double latitude) const;

  private:
    struct State;
    State* state_;
};

/// A demo lot, planned.
JobPlan demo_plan(const std::string& lot);

/// Without line ends and doubled spaces, so that a wrapped text can be looked for.
std::string unwrapped(const std::string& text);

} // namespace trenchwright::test
