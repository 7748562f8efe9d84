#include "trenchwright/rules/checklist_items.hpp"

#include <array>

namespace trenchwright {

namespace {

constexpr std::array<ChecklistItem, 34> items{{
    {"scale", "scale stated, with a bar", 14},
    {"buildings", "buildings and structures", 14},
    {"lot_lines", "property lines with lot dimensions", 13},
    {"utilities", "existing utilities", 13},
    {"elevations", "spot elevations or contours", 13},
    {"right_of_way", "right-of-way line", 11},
    {"surfaces", "curb, sidewalk, driveway and other surfaces", 10},
    {"contacts", "contact block: owner, contractor, preparer", 10},
    {"north_arrow", "north arrow", 9},
    {"legal", "legal description, lot or parcel number", 8},
    {"easements", "easements", 7},
    {"floor", "top of foundation or floor elevation", 7},
    {"pipe_size", "pipe size", 6},
    {"pipe_material", "pipe material", 6},
    {"address", "site address", 5},
    {"benchmark", "benchmark and datum", 5},
    {"trench_size", "trench length, width, depth and cover", 5},
    {"slope", "pipe slope", 4},
    {"profile", "profile", 4},
    {"discharge_location", "discharge location of roof or sump water", 4},
    {"adjoining", "ground or buildings on adjoining lots", 4},
    {"legend", "legend", 4},
    {"inverts", "inverts", 3},
    {"flow_arrows", "flow arrows", 3},
    {"trees", "trees", 3},
    {"traffic", "traffic or detour", 3},
    {"start", "start date and duration", 3},
    {"surface_cut", "pavement and surface cuts", 3},
    {"vicinity_map", "vicinity map", 3},
    {"bearings", "bearings and distances of the lot lines", 2},
    {"restoration", "restoration method", 2},
    {"method", "method: by machine or by hand", 2},
    {"one_call", "one-call notice line", 1},
    {"building_ties", "drain dimensioned from building corners", 1},
}};

} // namespace

std::span<const ChecklistItem> checklist_items()
{
    return items;
}

} // namespace trenchwright
