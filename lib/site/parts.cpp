#include "site/layers.hpp"

namespace trenchwright {

const std::vector<SitePart>& site_parts()
{
    static const std::vector<SitePart> parts{
        {"parcel", "polygons", {"id"}, "our lot; of several lots the one named by [parcel] id or under the foundation"},
        {"foundation", "polygons", {"id"}, "outline of the house and other buildings at the ground"},
        {"neighbours", "polygons", {"id"}, "other lots: never entered"},
        {"right_of_way", "polygons", {"id"}, "public strip along the street"},
        {"utilities",
         "lines",
         {"id", "facility", "width", "exposed_depth", "quality", "accuracy", "date", "may_cross"},
         "marks of buried lines; depth only where exposed, quality A to D by ASCE 38"},
        {"surfaces", "polygons", {"kind"}, "what covers the ground: lawn, walk, drive, ...; later ones lie on top"},
        {"trees", "points", {"id", "trunk"}, "trunk is its diameter"},
        {"keep_outs", "polygons", {"id", "reason"}, "may never be entered"},
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
