#pragma once

#include "trenchwright/ground/ground.hpp"
#include "trenchwright/route/route.hpp"
#include "trenchwright/rules/rules.hpp"
#include "trenchwright/site/site.hpp"

#include <cmath>
#include <functional>
#include <sstream>
#include <string>
#include <vector>

namespace trenchwright::test {

/// A site drawn in the test: one letter a meter, blanks and indentation ignored, first line at the top.
/// H house, X keep-out, D drive, S source, O outlet, T tree; letters G E C W stand for pieces of one straight mark from
/// the first to the last place of that letter; anything else is lawn. Lot and ground reach 3 m beyond the drawing.
struct DrawnYard {
    Site site;
    Ground ground;
    RouteRules rules;
};

inline Polygon square_m(double x, double y, double size)
{
    return {.outer = {{.x_m = x, .y_m = y},
                      {.x_m = x + size, .y_m = y},
                      {.x_m = x + size, .y_m = y + size},
                      {.x_m = x, .y_m = y + size}},
            .holes = {}};
}

inline std::vector<std::string> rows_of(const std::string& drawing)
{
    std::vector<std::string> rows;
    std::istringstream stream(drawing);
    for (std::string line; std::getline(stream, line);) {
        std::erase(line, ' ');
        if (!line.empty()) {
            rows.push_back(line);
        }
    }
    return rows;
}

/// Rules with every default, small clearances so that small drawings have room.
inline RouteRules yard_rules()
{
    RouteRules rules = default_rules().route;
    rules.foundation_clearance_m = 0.1;
    rules.wall_exit_length_m = 0.8;
    rules.keep_out_clearance_m = 0.1;
    return rules;
}

inline void add_letter(Site& site, char letter, const Point& at, std::map<char, Polyline>& marks)
{
    switch (letter) {
    case 'H': site.foundations.push_back(square_m(at.x_m - 0.5, at.y_m - 0.5, 1)); break;
    case 'X':
        site.keep_outs.push_back(
            {.id = "K", .reason = "test", .area = square_m(at.x_m - 0.5, at.y_m - 0.5, 1), .origin = {}});
        break;
    case 'D':
        site.surfaces.push_back({.kind = "driveway", .area = square_m(at.x_m - 0.5, at.y_m - 0.5, 1), .origin = {}});
        break;
    case 'T': site.trees.push_back({.id = "T", .at = at, .trunk_diameter_m = 0.1, .origin = {}}); break;
    case 'S':
        site.sources.push_back({});
        site.sources.back().id = "S";
        site.sources.back().at = at;
        break;
    case 'O':
        site.outlets.push_back({});
        site.outlets.back().id = "O";
        site.outlets.back().name = "O";
        site.outlets.back().place = at;
        break;
    case 'G':
    case 'E':
    case 'C':
    case 'W': marks[letter].push_back(at); break;
    default: break;
    }
}

/// @param elev_m  ground at any place; shot on an irregular net so that no diagonal is preferred
inline Ground shot_ground(double width_m, double height_m, const std::function<double(Point)>& elev_m)
{
    std::vector<Point3> spots;
    for (int i = -2; i <= 10; ++i) {
        for (int k = -2; k <= 10; ++k) {
            const double shake = (i == -2 || i == 10 || k == -2 || k == 10) ? 0 : 0.2 * std::sin(7.0 * i + 3.0 * k);
            const Point p{.x_m = -4 + (i + 2) * (width_m + 8) / 12 + shake,
                          .y_m = -4 + (k + 2) * (height_m + 8) / 12 - shake};
            spots.push_back({.x_m = p.x_m, .y_m = p.y_m, .elev_m = elev_m(p)});
        }
    }
    return Ground::from_spots(spots, {});
}

inline DrawnYard draw_yard(const std::string& drawing, const std::function<double(Point)>& elev_m)
{
    const auto rows = rows_of(drawing);
    const auto height = static_cast<double>(rows.size());
    const auto width = static_cast<double>(rows.front().size());
    Site site;
    std::map<char, Polyline> marks;
    for (std::size_t r = 0; r < rows.size(); ++r) {
        for (std::size_t c = 0; c < rows[r].size(); ++c) {
            const Point at{.x_m = static_cast<double>(c) + 0.5, .y_m = height - static_cast<double>(r) - 0.5};
            add_letter(site, rows[r][c], at, marks);
        }
    }
    for (const auto& [letter, places] : marks) {
        Mark mark;
        mark.id = std::string(1, letter);
        mark.facility = letter == 'G'   ? Facility::gas
                        : letter == 'E' ? Facility::electric
                        : letter == 'C' ? Facility::communication
                                        : Facility::water;
        mark.line = {places.front(), places.back()};
        site.marks.push_back(mark);
    }
    site.parcel.push_back({.outer = {{.x_m = -3, .y_m = -3},
                                     {.x_m = width + 3, .y_m = -3},
                                     {.x_m = width + 3, .y_m = height + 3},
                                     {.x_m = -3, .y_m = height + 3}},
                           .holes = {}});
    for (auto& outlet : site.outlets) {
        const double ground = elev_m(std::get<Point>(outlet.place));
        outlet.lowest_invert_elev_m = ground - 0.6;
    }
    return {.site = std::move(site), .ground = shot_ground(width, height, elev_m), .rules = yard_rules()};
}

inline std::variant<Route, Refusal> routed(const DrawnYard& yard)
{
    const auto prep = prepare_routes(yard.site, yard.ground, yard.rules);
    return plan_route(*prep, yard.site, yard.ground, yard.site.sources.at(0), yard.site.outlets.at(0), yard.rules,
                      UnitSystem::metric);
}

} // namespace trenchwright::test
