#include "trenchwright/site/layers.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/raster.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/site/cut.hpp"
#include "trenchwright/site/far.hpp"
#include "trenchwright/site/read_parts.hpp"
#include "trenchwright/site/warnings.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>

namespace trenchwright {

namespace {

void require_known_parts(const SiteLayers& layers)
{
    for (const auto& [name, uses] : layers.parts) {
        const auto& parts = site_parts();
        if (std::none_of(parts.begin(), parts.end(), [&](const SitePart& part) { return part.name == name; })) {
            std::vector<std::string> known;
            std::transform(parts.begin(), parts.end(), std::back_inserter(known),
                           [](const SitePart& part) { return part.name; });
            throw Error(ErrorKind::input,
                        fmt::format("a site has no part \"{}\"; its parts are {}", name, fmt::join(known, ", ")));
        }
    }
}

/// A system and a place in it.
struct Anchor {
    std::string wkt;
    NativePoint at;
    std::string place; ///< for people: file and layer
};

std::string place_of(const LayerData& layer)
{
    return fmt::format("{}, layer {}", layer.file.string(), layer.layer);
}

/// The middle of a layer, or of the lots the job names.
std::optional<NativePoint> middle_of(const LoadedLayer& layer, const SiteLayers& job)
{
    if (layer.part->name != "parcel" || job.parcel_ids.empty()) {
        return middle(layer.data);
    }
    const auto column = layer.use->fields.find("id");
    LayerData own = layer.data;
    std::erase_if(own.features, [&](const Feature& feature) {
        const auto id = feature.values.find(column == layer.use->fields.end() ? "id" : column->second);
        return id == feature.values.end() || !is_one_of(id->second, job.parcel_ids);
    });
    const auto at = middle(own);
    return at ? at : middle(layer.data);
}

/// The site's middle by the named lot, else the house, else whatever comes first.
Anchor anchor_of(const std::vector<LoadedLayer>& loaded, const SiteLayers& job, bool needs_own_system)
{
    const std::string first = job.parcel_ids.empty() ? "foundation" : "parcel";
    const std::string second = job.parcel_ids.empty() ? "parcel" : "foundation";
    for (const auto& wanted : {first, second, std::string()}) {
        for (const auto& layer : loaded) {
            const bool named = wanted.empty() || layer.part->name == wanted;
            if (!named || layer.data.wkt.empty()) {
                continue;
            }
            require_degrees(layer.data);
            if (const auto at = middle_of(layer, job)) {
                return {.wkt = layer.data.wkt, .at = *at, .place = place_of(layer.data)};
            }
        }
    }
    throw Error(ErrorKind::input,
                needs_own_system
                    ? "no layer states a coordinate system; name one for the frame, or say that the site is "
                      "measured by tape and in which unit"
                    : "no layer with a coordinate system shows where the site is");
}

/// The system of the parcel layer, else of the first layer that has one.
TableSystem stated_system(const std::vector<LoadedLayer>& loaded, const Anchor& otherwise)
{
    for (const auto& layer : loaded) {
        if (!layer.data.wkt.empty()) {
            return {.wkt = layer.data.wkt, .from = place_of(layer.data)}; // site_parts() begins with the parcel
        }
    }
    return {.wkt = otherwise.wkt, .from = otherwise.place};
}

struct ChosenFrame {
    Frame frame;
    TableSystem tables;
};

Frame frame_at(const Anchor& anchor, const std::string& wkt)
{
    try {
        const Transform to_system(anchor.wkt, wkt, anchor.at);
        return frame_in(wkt, to_system(anchor.at));
    } catch (const Error& fault) {
        throw Error(fault.kind(), fmt::format("{}: {}", anchor.place, fault.what()));
    }
}

ChosenFrame choose_frame(const std::vector<LoadedLayer>& loaded, const SiteLayers& job)
{
    ChosenFrame chosen;
    if (job.frame.kind == FrameChoice::Kind::tape) {
        chosen.frame = tape_frame(job.frame.tape_unit);
    } else {
        const bool named = job.frame.kind == FrameChoice::Kind::named;
        const auto anchor = anchor_of(loaded, job, !named);
        chosen.tables = named ? TableSystem{.wkt = system_facts(job.frame.crs).wkt, .from = "[frame] crs"}
                              : stated_system(loaded, anchor);
        chosen.frame = frame_at(anchor, chosen.tables.wkt);
    }
    chosen.frame.elev_unit = job.elev_unit;
    return chosen;
}

std::vector<PartLayer> place(std::vector<LoadedLayer>& loaded, const SiteLayers& job, const ChosenFrame& chosen)
{
    std::vector<PartLayer> placed;
    for (auto& layer : loaded) {
        PartLayer next{.part = layer.part,
                       .use = layer.use,
                       .job = &job,
                       .placed = in_frame(std::move(layer.data), chosen.frame, chosen.tables)};
        check_names(next);
        placed.push_back(std::move(next));
    }
    return placed;
}

/// What is kept away from or belongs to somebody else in part.
using PartReader = void (*)(const PartLayer&, Site&, Notebook&);

std::vector<std::string>& ids_of(const PartLayer& layer, Notebook& notes)
{
    return notes.ids[layer.part->name];
}

/// One for each row of site_parts() but the grid, which is no layer.
const std::map<std::string, PartReader, std::less<>>& part_readers()
{
    using L = const PartLayer&;
    static const std::map<std::string, PartReader, std::less<>> readers{
        {"parcel", [](L layer, Site&, Notebook& notes) { read_lots(layer, notes); }},
        {"foundation", [](L layer, Site&, Notebook& notes) { read_foundations(layer, notes); }},
        {"neighbors", [](L layer, Site&, Notebook& notes) { read_neighbors(layer, notes); }},
        {"right_of_way", [](L layer, Site&, Notebook& notes) { read_right_of_way(layer, notes); }},
        {"utilities", [](L layer, Site& site, Notebook& notes) { read_marks(layer, site, ids_of(layer, notes)); }},
        {"ground_cover", [](L layer, Site& site, Notebook& notes) { read_surfaces(layer, site, notes); }},
        {"trees", [](L layer, Site& site, Notebook& notes) { read_trees(layer, site, ids_of(layer, notes)); }},
        {"keep_outs", [](L layer, Site& site, Notebook& notes) { read_keep_outs(layer, site, ids_of(layer, notes)); }},
        {"spots", [](L layer, Site& site, Notebook&) { read_spots(layer, site, site.spots); }},
        {"proposed_spots", [](L layer, Site& site, Notebook&) { read_spots(layer, site, site.proposed_spots); }},
        {"breaklines", [](L layer, Site& site, Notebook&) { read_breaklines(layer, site); }},
        {"sources", [](L layer, Site& site, Notebook& notes) { read_sources(layer, site, ids_of(layer, notes)); }},
        {"footing_drain",
         [](L layer, Site& site, Notebook& notes) { read_footing_drains(layer, site, ids_of(layer, notes)); }},
        {"outlets", [](L layer, Site& site, Notebook& notes) { read_outlets(layer, site, ids_of(layer, notes)); }},
        {"wells",
         [](L layer, Site& site, Notebook& notes) { read_reserves(layer, "well", site.wells, ids_of(layer, notes)); }},
        {"septic", [](L layer, Site& site,
                      Notebook& notes) { read_reserves(layer, "septic", site.septic, ids_of(layer, notes)); }},
        {"easements", [](L layer, Site& site, Notebook& notes) { read_easements(layer, site, ids_of(layer, notes)); }},
        {"spread_areas", [](L layer, Site& site, Notebook&) { read_spread_areas(layer, site); }},
    };
    return readers;
}

/// The lots and strips, known apart until now, and what is doubtful about them.
void settle_areas(const SiteLayers& job, const std::optional<Box>& near, Site& site, Notebook& notes)
{
    take_own_lot(job, site, notes);
    add_assumed_street(job, near, site, notes);
    take_own_buildings(job, site, notes);
    warning_lots_over_ours(site.parcel, notes, job.print_units);
    warning_street_over_lots(notes, job.print_units);
    for (auto& neighbor : notes.neighbors) {
        site.neighbors.push_back(std::move(neighbor.area));
        site.neighbor_ids.push_back(std::move(neighbor.id));
    }
    for (auto& strip : notes.street) {
        site.right_of_way.push_back(std::move(strip.area));
    }
    for (auto& finding : findings_of(notes.warnings, site, job.print_units)) {
        site.findings.push_back(std::move(finding));
    }
}

void require_believable(const Raster& raster, const LayerUse& use, const SiteLayers& job)
{
    const auto unit = elev_unit(use, job);
    for (const double elev_m : raster.elev_m) {
        const bool believable =
            std::isnan(elev_m) || (elev_m >= believed::elev_m.low && elev_m <= believed::elev_m.high);
        if (!believable) {
            const double unit_m = meters_per(unit);
            throw Error(ErrorKind::input,
                        fmt::format("{}: elevation {:.2f} {} is out of range: {}; if it stands for \"unknown\", "
                                    "declare it as nodata",
                                    use.file.string(), elev_m / unit_m, unit_word(unit),
                                    believed_text(
                                        {.low = believed::elev_m.low / unit_m, .high = believed::elev_m.high / unit_m},
                                        unit_word(unit))));
        }
    }
}

void read_dem(const SiteLayers& job, Site& site)
{
    const auto uses = job.parts.find("dem");
    if (uses == job.parts.end() || uses->second.empty()) {
        return;
    }
    if (uses->second.size() > 1) {
        throw Error(ErrorKind::input, fmt::format("{}: a second dem; a site has one", uses->second[1].file.string()));
    }
    const auto& use = uses->second.front();
    const auto window = surroundings(site);
    if (!window) {
        throw Error(ErrorKind::input,
                    "a dem needs a parcel, foundation, source or outlet to show which part of it is ours");
    }
    auto raster = read_raster({.file = use.file,
                               .crs = use.crs,
                               .unit_m = meters_per(elev_unit(use, job)),
                               .nodata = use.nodata,
                               .window = *window},
                              site.frame);
    require_believable(raster, use, job);
    site.layers.push_back({.part = "dem",
                           .file = use.file.filename().string(),
                           .layer = "",
                           .features = raster.elev_m.size(),
                           .in_file = raster.elev_m.size()});
    site.dem = std::move(raster);
}

} // namespace

bool has_reader(std::string_view part)
{
    return part_readers().contains(part);
}

Site read_site(const SiteLayers& layers)
{
    require_known_parts(layers);
    auto loaded = load_layers(layers);
    Site site;
    const auto chosen = choose_frame(loaded.layers, layers);
    site.frame = chosen.frame;
    auto placed = place(loaded.layers, layers, chosen);
    const auto near = cut_to_surroundings(loaded, site.frame, placed);
    site.findings = hold_to_the_lot(placed, layers);
    for (std::size_t i = 0; near && i < placed.size(); ++i) {
        const auto findings = none_near(placed[i], loaded.layers[i].all, *near);
        site.findings.insert(site.findings.end(), findings.begin(), findings.end());
    }
    std::ranges::move(datum_warnings(placed), std::back_inserter(site.findings));
    Notebook notes;
    for (const auto& layer : placed) {
        site.layers.push_back({.part = layer.part->name,
                               .file = layer.use->file.filename().string(),
                               .layer = layer.placed.data.layer,
                               .features = layer.placed.data.features.size(),
                               .in_file = layer.placed.data.in_file});
        require_places(layer);
        require_known_words(layer);
        const auto warnings = layer_warnings(layer);
        site.findings.insert(site.findings.end(), warnings.begin(), warnings.end());
        part_readers().at(layer.part->name)(layer, site, notes);
    }
    settle_areas(layers, near, site, notes);
    for (const auto& layer : placed) {
        const auto warnings = far_warnings(layer, site.parcel);
        site.findings.insert(site.findings.end(), warnings.begin(), warnings.end());
    }
    read_dem(layers, site);
    return site;
}

} // namespace trenchwright
