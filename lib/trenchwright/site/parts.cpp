#include "trenchwright/site/layers.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

std::string parcel_text(const SiteLayers& layers)
{
    return fmt::format("{}", fmt::join(layers.parcel_ids, ", "));
}

const std::vector<SitePart>& site_parts()
{
    static const std::vector<SitePart> parts{
        {"parcel",
         "polygons",
         {"id"},
         "our lot; of several lots those named by [parcel] id, else the one the sources stand on"},
        {"foundation", "polygons", {"id"}, "outline of the house and other buildings at the ground"},
        {"neighbors", "polygons", {"id"}, "other lots: never entered"},
        {"right_of_way",
         "polygons or lines",
         {"id", "width"},
         "public strip along the street; a line is the middle of one as wide as its width"},
        {"utilities",
         "lines",
         {"id", "facility", "width", "exposed_depth", "quality", "accuracy", "date", "may_cross", "ends_seen"},
         "marks of buried lines; depth only where exposed, quality A to D by ASCE 38"},
        {"ground_cover",
         "polygons",
         {"kind"},
         "what covers the ground: lawn, sidewalk, driveway, ...; later ones lie on top"},
        {"trees", "points", {"id", "trunk"}, "trunk is its diameter"},
        {"keep_outs", "polygons", {"id", "reason"}, "may never be entered"},
        {"wells",
         "points, lines or polygons",
         {"id", "x", "y", "wkt"},
         "wells: never entered, and a distance is kept from them"},
        {"septic",
         "points, lines or polygons",
         {"id", "x", "y", "wkt"},
         "tank and field of a septic system, never entered, and its lines: a distance is kept from them"},
        {"easements", "polygons", {"id", "holder"}, "land over which somebody else has a right"},
        {"spread_areas", "polygons", {"id"}, "where surplus soil may be spread"},
        {"proposed_spots",
         "points",
         {"id", "elev", "rod", "x", "y", "wkt"},
         "heights the yard is to have, as spots: compared with the ground as it is"},
        {"spots",
         "points",
         {"id", "elev", "rod", "x", "y", "wkt"},
         "ground heights: elev, or a rod reading under [instrument] height, or the point's own z"},
        {"breaklines", "lines", {"elev"}, "curbs, walls, banks with a height at every vertex"},
        {"dem", "grid", {}, "ground heights on a grid"},
        {"sources",
         "points",
         {"id", "kind", "water", "roof_area", "flow", "flow_gpm", "flow_lps", "highest_invert", "x", "y", "wkt"},
         "downspouts and pump discharges; flow carries its unit (gpm, l/s or m3/s)"},
        {"footing_drain", "lines", {"id"}, "pipe along the footing inside the foundation, down to the pump's pit"},
        {"outlets",
         "points, lines or polygons",
         {"id",
          "name",
          "kind",
          "roof",
          "sump",
          "footing",
          "sewer",
          "lowest_invert",
          "highest_invert",
          "gutter",
          "curb_top",
          "setback_foundation",
          "setback_lot_line",
          "setback_street",
          "permit",
          "fee",
          "lead_time_days",
          "source",
          "x",
          "y",
          "wkt"},
         "where water may go; any admissible point of a line or an area"},
    };
    return parts;
}

} // namespace trenchwright
