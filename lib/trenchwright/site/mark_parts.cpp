#include "trenchwright/base/city_date.hpp"
#include "trenchwright/site/read_parts.hpp"

namespace trenchwright {

namespace {

std::string date_of(const Row& row)
{
    const auto text = row.raw("date");
    const auto date = text ? city_date(*text) : CityDate{};
    if (!date.fault.empty()) {
        row.stop("date " + date.fault);
    }
    return date.iso;
}

bool yes_or_no(const Row& row, std::string_view attribute, bool otherwise)
{
    const auto said = row.choice(attribute);
    return said ? *said < 3 : otherwise;
}

} // namespace

void read_marks(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        Mark mark;
        const auto id = id_of(row, "mark", ids.size() + 1);
        require_new_id(row, id, ids);
        mark.facility =
            static_cast<Facility>(row.choice("facility").value_or(static_cast<std::size_t>(Facility::unstated)));
        mark.width_m = row.size_m("width", believed::width_m);
        mark.exposed_depth_m = row.size_m("exposed_depth", believed::depth_m);
        if (const auto quality = row.choice("quality")) {
            mark.quality = static_cast<QualityLevel>(*quality % 4);
        }
        mark.position_accuracy_m = row.size_m("accuracy", believed::accuracy_m);
        mark.date_marked = date_of(row);
        mark.may_cross = yes_or_no(row, "may_cross", true);
        mark.ends_seen = yes_or_no(row, "ends_seen", false);
        mark.origin = row.origin();
        const auto lines = lines_of(row);
        for (std::size_t i = 0; i < lines.size(); ++i) {
            mark.id = part_id(id, i, lines.size());
            mark.line = lines[i];
            site.marks.push_back(mark);
        }
    }
}

void read_trees(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        const auto id = id_of(row, "tree", ids.size() + 1);
        require_new_id(row, id, ids);
        const auto trunk_m = row.size_m("trunk", believed::trunk_m);
        if (!trunk_m) {
            row.stop_missing("trunk");
        }
        const auto places = points_of(row);
        for (std::size_t i = 0; i < places.size(); ++i) {
            site.trees.push_back({.id = part_id(id, i, places.size()),
                                  .at = {.x_m = places[i].x, .y_m = places[i].y},
                                  .trunk_diameter_m = *trunk_m,
                                  .origin = row.origin()});
        }
    }
}

} // namespace trenchwright
