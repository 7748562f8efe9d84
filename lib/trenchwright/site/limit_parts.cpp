#include "trenchwright/site/read_parts.hpp"

#include <iterator>

namespace trenchwright {

void read_reserves(const PartLayer& layer, std::string_view noun, std::vector<Reserve>& reserves,
                   std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto id = id_of(row, noun, ids.size() + 1);
        require_new_id(row, id, ids);
        const auto places = places_of(row);
        for (std::size_t i = 0; i < places.size(); ++i) {
            reserves.push_back(
                {.id = part_id(id, i, places.size()), .place = places[i], .holder = {}, .origin = row.origin()});
        }
    }
}

void read_easements(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto id = id_of(row, "easement", ids.size() + 1);
        require_new_id(row, id, ids);
        const auto areas = areas_of(row);
        for (std::size_t i = 0; i < areas.size(); ++i) {
            site.easements.push_back({.id = part_id(id, i, areas.size()),
                                      .place = areas[i],
                                      .holder = row.word("holder").value_or(""),
                                      .origin = row.origin()});
        }
    }
}

void read_spread_areas(const PartLayer& layer, Site& site)
{
    for (const auto& feature : layer.placed.data.features) {
        auto areas = areas_of(Row(layer, feature));
        site.spread_areas.insert(site.spread_areas.end(), std::make_move_iterator(areas.begin()),
                                 std::make_move_iterator(areas.end()));
    }
}

} // namespace trenchwright
