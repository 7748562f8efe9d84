#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace trenchwright {

namespace {

Facility facility_of(const Row& row)
{
    const auto word = row.word("facility");
    if (!word) {
        return Facility::unstated;
    }
    const auto facility = facility_named(*word);
    if (!facility) {
        std::string known;
        for (int i = 0; i <= static_cast<int>(Facility::unstated); ++i) {
            known += i == 0 ? "" : ", ";
            known += facility_name(static_cast<Facility>(i));
        }
        row.stop(fmt::format("facility \"{}\" is not one of {}; translate it under `words`", *word, known));
    }
    return *facility;
}

/// "2026-05-31", with or without a time behind it.
std::string date_of(const Row& row)
{
    const auto text = row.raw("date");
    if (!text) {
        return "";
    }
    const auto date = text->substr(0, 10);
    const auto digits = [&](std::size_t from, std::size_t count) {
        return std::all_of(date.begin() + static_cast<std::ptrdiff_t>(from),
                           date.begin() + static_cast<std::ptrdiff_t>(from + count),
                           [](char c) { return c >= '0' && c <= '9'; });
    };
    const bool shaped = date.size() == 10 && date[4] == '-' && date[7] == '-' && digits(0, 4) && digits(5, 2) &&
                        digits(8, 2) && (text->size() == 10 || (*text)[10] == 'T' || (*text)[10] == ' ');
    const bool real = shaped && date.substr(5, 2) >= "01" && date.substr(5, 2) <= "12" && date.substr(8) >= "01" &&
                      date.substr(8) <= "31";
    if (!real) {
        row.stop(fmt::format("date \"{}\" is not written YYYY-MM-DD", *text));
    }
    return date;
}

bool yes_or_no(const Row& row, std::string_view attribute, bool otherwise)
{
    static constexpr std::array<std::string_view, 6> words{"yes", "true", "1", "no", "false", "0"};
    const auto said = row.choice(attribute, words);
    return said ? *said < 3 : otherwise;
}

} // namespace

void read_marks(const PartLayer& layer, Site& site, std::vector<std::string>& ids)
{
    static constexpr std::array<std::string_view, 8> letters{"A", "B", "C", "D", "a", "b", "c", "d"};
    for (const auto& feature : layer.placed.data.features) {
        const Row row(layer, feature);
        Mark mark;
        const auto id = id_of(row, "mark", ids.size() + 1);
        require_new_id(row, id, ids);
        mark.facility = facility_of(row);
        mark.width_m = row.size_m("width", believed::width_m);
        mark.exposed_depth_m = row.size_m("exposed_depth", believed::depth_m);
        if (const auto quality = row.choice("quality", letters)) {
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
