#include "trenchwright/export/words.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <numbers>

namespace trenchwright {

std::string_view severity_word(Severity severity)
{
    switch (severity) {
    case Severity::note: return "note";
    case Severity::warning: return "warning";
    case Severity::stop: return "stop";
    }
    return "";
}

std::string_view cure_word(CureKind kind)
{
    switch (kind) {
    case CureKind::opening_raised: return "opening_raised";
    case CureKind::less_fall: return "less_fall";
    case CureKind::less_cover: return "less_cover";
    case CureKind::less_slab_gap: return "less_slab_gap";
    case CureKind::smaller_pipe: return "smaller_pipe";
    case CureKind::less_gap: return "less_gap";
    case CureKind::less_side_gap: return "less_side_gap";
    case CureKind::outlet_lowered: return "outlet_lowered";
    case CureKind::outlet_moved: return "outlet_moved";
    case CureKind::setback_eased: return "setback_eased";
    case CureKind::ground_raised: return "ground_raised";
    case CureKind::cut_deepened: return "cut_deepened";
    case CureKind::surface_opened: return "surface_opened";
    case CureKind::objects_gone: return "objects_gone";
    case CureKind::pumped: return "pumped";
    }
    return "";
}

std::string_view obstacle_word(ObstacleKind kind)
{
    switch (kind) {
    case ObstacleKind::foundation: return "foundation";
    case ObstacleKind::neighbor_building: return "neighbor_building";
    case ObstacleKind::neighbor_lot: return "neighbor_lot";
    case ObstacleKind::keep_out: return "keep_out";
    case ObstacleKind::mark: return "mark";
    case ObstacleKind::tree: return "tree";
    case ObstacleKind::lot_line: return "lot_line";
    case ObstacleKind::street_edge: return "street_edge";
    case ObstacleKind::well: return "well";
    case ObstacleKind::septic: return "septic";
    case ObstacleKind::easement: return "easement";
    case ObstacleKind::closed_surface: return "closed_surface";
    case ObstacleKind::missing_ground: return "missing_ground";
    }
    return "";
}

std::string_view refusal_word(RefusalKind kind)
{
    switch (kind) {
    case RefusalKind::not_permitted: return "not_permitted";
    case RefusalKind::unlawful_place: return "unlawful_place";
    case RefusalKind::setback: return "setback";
    case RefusalKind::no_ground: return "no_ground";
    case RefusalKind::pipe_too_large: return "pipe_too_large";
    case RefusalKind::blocked: return "blocked";
    case RefusalKind::falls_short: return "falls_short";
    case RefusalKind::too_deep: return "too_deep";
    case RefusalKind::clearance: return "clearance";
    case RefusalKind::search_budget: return "search_budget";
    }
    return "";
}

std::string_view tie_fault_word(TieFault fault)
{
    switch (fault) {
    case TieFault::none: return "none";
    case TieFault::flat_arcs: return "flat_arcs";
    case TieFault::beyond_tape: return "beyond_tape";
    case TieFault::too_few_corners: return "too_few_corners";
    }
    return "";
}

std::string_view source_kind_word(SourceKind kind)
{
    return kind == SourceKind::pump ? "pump" : "downspout";
}

std::string_view unit_system_word(UnitSystem units)
{
    return units == UnitSystem::us ? "us" : "metric";
}

std::optional<double> known_depth_m(const Crossing& crossing)
{
    if (!crossing.facility_top_elev_m) {
        return std::nullopt;
    }
    return crossing.ground_elev_m - *crossing.facility_top_elev_m;
}

std::string_view depth_word(const Crossing& crossing)
{
    return crossing.facility_top_elev_m ? "exposed" : "unknown";
}

std::vector<std::string> mark_ids(const Site& site, const std::vector<std::size_t>& marks)
{
    std::vector<std::string> ids;
    std::ranges::transform(marks, std::back_inserter(ids), [&](std::size_t i) { return site.marks.at(i).id; });
    return ids;
}

std::vector<std::string> tree_ids(const Site& site, const std::vector<std::size_t>& trees)
{
    std::vector<std::string> ids;
    std::ranges::transform(trees, std::back_inserter(ids), [&](std::size_t i) { return site.trees.at(i).id; });
    return ids;
}

std::vector<std::string> facility_words(const Site& site, const std::vector<std::size_t>& marks)
{
    std::vector<std::string> words;
    for (const auto i : marks) {
        const std::string word(facility_name(site.marks.at(i).facility));
        if (std::ranges::find(words, word) == words.end()) {
            words.push_back(word);
        }
    }
    return words;
}

std::optional<Point> place_of(const Finding& finding, const Polyline& line)
{
    if (finding.at || !finding.station_m || line.empty()) {
        return finding.at;
    }
    return point_at(line, *finding.station_m);
}

std::optional<bool> known_by_hand(const Site& site, const Depth& depth)
{
    return depth.by_hand || !site.marks.empty() ? std::optional(depth.by_hand) : std::nullopt;
}

double angle_deg(double angle_rad)
{
    return angle_rad * 180 / std::numbers::pi;
}

} // namespace trenchwright
