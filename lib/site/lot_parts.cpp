#include "site/read_parts.hpp"

#include <fmt/format.h>
#include <iterator>

namespace trenchwright {

namespace {

void append(std::vector<Polygon>& to, std::vector<Polygon> from)
{
    to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
}

template <class Each> void for_each_row(const PartLayer& layer, Each each)
{
    for (const auto& feature : layer.placed.data.features) {
        each(Row(layer, feature));
    }
}

} // namespace

void read_lots(const PartLayer& layer, std::vector<Lot>& lots, std::vector<Finding>& findings)
{
    for_each_row(layer, [&](const Row& row) {
        const auto before = findings.size();
        Lot lot{.id = row.raw("id").value_or(""),
                .areas = mended_areas_of(row, findings),
                .fault = {},
                .origin = row.origin()};
        if (findings.size() > before) {
            lot.fault = findings.back().text;
        }
        lots.push_back(std::move(lot));
    });
}

void read_neighbours(const PartLayer& layer, Site& site)
{
    for_each_row(layer, [&](const Row& row) { append(site.neighbours, mended_areas_of(row, site.findings)); });
}

void read_foundations(const PartLayer& layer, Site& site)
{
    for_each_row(layer, [&](const Row& row) { append(site.foundations, areas_of(row)); });
}

void read_right_of_way(const PartLayer& layer, Site& site)
{
    for_each_row(layer, [&](const Row& row) { append(site.right_of_way, areas_of(row)); });
}

void read_surfaces(const PartLayer& layer, Site& site)
{
    for_each_row(layer, [&](const Row& row) {
        const auto kind = row.word("kind");
        if (!kind) {
            row.stop_missing("kind");
        }
        for (auto& area : mended_areas_of(row, site.findings)) {
            site.surfaces.push_back({.kind = *kind, .area = std::move(area), .origin = row.origin()});
        }
    });
}

void read_keep_outs(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for_each_row(layer, [&](const Row& row) {
        const auto id = id_of(row, "keep-out", ids.size() + 1);
        require_new_id(row, id, ids);
        const auto areas = areas_of(row);
        for (std::size_t i = 0; i < areas.size(); ++i) {
            site.keep_outs.push_back({.id = part_id(id, i, areas.size()),
                                      .reason = row.word("reason").value_or("keep-out"),
                                      .area = areas[i],
                                      .origin = row.origin()});
        }
    });
}

} // namespace trenchwright
