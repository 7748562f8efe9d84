#include "trenchwright/base/former_names.hpp"
#include "trenchwright/base/nearest_word.hpp"
#include "trenchwright/gis/validity.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>

namespace trenchwright {

namespace {

void add_named(std::vector<NamedArea>& to, const Row& row, std::vector<Polygon> areas)
{
    for (auto& area : areas) {
        to.push_back(
            {.id = row.raw("id").value_or(""), .area = std::move(area), .origin = row.origin(), .from_parcels = false});
    }
}

/// One of the kinds there are rules for.
std::string surface_kind(const Row& row, std::vector<FormerUse>& former)
{
    auto kind = row.word("kind");
    if (!kind) {
        row.stop_missing("kind");
    }
    if (const auto current = current_name(NameOf::ground_cover, *kind)) {
        const FormerUse use{row.layer().use->file.filename().string(), *kind, *current};
        if (std::ranges::find(former, use) == former.end()) {
            former.push_back(use);
        }
        kind = current;
    }
    const auto& known = row.layer().job->surface_kinds;
    if (known.empty() || std::find(known.begin(), known.end(), *kind) != known.end()) {
        return *kind;
    }
    const auto nearest = nearest_word(*kind, known);
    row.stop(fmt::format("there are no rules for ground cover \"{}\"{}; known kinds are {}. Translate the word under "
                         "`words`, or add a kind of your own under [rules]: ground_cover.{}.may_enter, .restore and "
                         ".min_cover",
                         *kind, nearest.empty() ? "" : fmt::format(", did you mean \"{}\"?", nearest),
                         fmt::join(known, ", "), *kind));
}

template <class Each> void for_each_row(const PartLayer& layer, Each each)
{
    for (const auto& feature : layer.placed.data.features) {
        each(Row(layer, feature));
    }
}

} // namespace

void read_lots(const PartLayer& layer, Notebook& notes)
{
    for_each_row(layer, [&](const Row& row) {
        const auto before = notes.warnings.size();
        Lot lot{.id = row.raw("id").value_or(""),
                .areas = mended_areas_of(row, notes.warnings),
                .fault = {},
                .origin = row.origin()};
        if (notes.warnings.size() > before) {
            lot.fault = notes.warnings.back().finding.text;
        }
        notes.lots.push_back(std::move(lot));
    });
}

void read_neighbors(const PartLayer& layer, Notebook& notes)
{
    for_each_row(layer, [&](const Row& row) { add_named(notes.neighbors, row, mended_areas_of(row, notes.warnings)); });
}

void read_foundations(const PartLayer& layer, Notebook& notes)
{
    for_each_row(layer, [&](const Row& row) { add_named(notes.buildings, row, areas_of(row)); });
}

void read_right_of_way(const PartLayer& layer, Notebook& notes)
{
    for_each_row(layer, [&](const Row& row) {
        if (!std::holds_alternative<std::vector<ShapeLine>>(row.feature().shape)) {
            add_named(notes.street, row, areas_of(row));
            return;
        }
        const auto width_m = row.size_m("width", believed::street_width_m);
        if (!width_m) {
            row.stop("is a line, the middle of a street, and has no width; name its field under `fields` or give one "
                     "value under `constants`");
        }
        for (const auto& line : lines_of(row)) {
            add_named(notes.strips, row, strip_along(line, *width_m / 2));
        }
    });
}

void read_surfaces(const PartLayer& layer, Site& site, Notebook& notes)
{
    std::vector<FormerUse> former;
    for_each_row(layer, [&](const Row& row) {
        const auto kind = surface_kind(row, former);
        for (auto& area : mended_areas_of(row, notes.warnings)) {
            site.surfaces.push_back({.kind = kind, .area = std::move(area), .origin = row.origin()});
        }
    });
    if (auto text = former_names_text(former); !text.empty()) {
        site.findings.push_back(finding(Severity::note, "ground_cover", std::move(text)));
    }
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
