#include "trenchwright/base/inks.hpp"
#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"
#include "trenchwright/export/exchange/xml_text.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

std::string style_id(Facility facility)
{
    std::string id = "mark-" + std::string(facility_name(facility));
    std::ranges::replace(id, ' ', '-');
    return id;
}

/// KML writes alpha, blue, green, red.
std::string color(std::uint32_t rgb, std::uint32_t alpha)
{
    return fmt::format("{:02x}{:02x}{:02x}{:02x}", alpha, rgb & 0xFFU, rgb >> 8U & 0xFFU, rgb >> 16U & 0xFFU);
}

void add_style(XmlText& kml, const std::string& id, std::uint32_t rgb, const char* line_width)
{
    constexpr std::uint32_t opaque = 0xFF;
    constexpr std::uint32_t glass = 0x59;
    kml.open("Style", {{"id", id}})
        .open("IconStyle")
        .leaf("color", color(rgb, opaque))
        .leaf("scale", "0.6")
        .close()
        .open("LineStyle")
        .leaf("color", color(rgb, opaque))
        .leaf("width", line_width)
        .close()
        .open("PolyStyle")
        .leaf("color", color(rgb, glass))
        .close()
        .close();
}

std::string style_of(const OutLayer& layer, const OutFeature& feature)
{
    const auto facility = facility_of(layer, feature);
    if (facility && layer.name != "zones" && layer.name != "zone_areas") {
        return "#" + style_id(*facility);
    }
    return layer.name.starts_with("zone") ? "#hand-dig" : "#trench";
}

/// Shapes without heights, so that they lie on the viewer's ground: KML counts heights from sea level, the job from its
/// own datum.
struct Placed {
    XmlText& kml;
    const World& world;

    [[nodiscard]] std::string lon_lat(const Point& at) const
    {
        const auto place = world(at);
        return fmt::format("{:.8f},{:.8f}", place->x, place->y);
    }
    [[nodiscard]] std::string lon_lats(const Polyline& line) const
    {
        std::vector<std::string> places;
        for (const auto& at : line) {
            places.push_back(lon_lat(at));
        }
        return fmt::format("{}", fmt::join(places, " "));
    }
    void operator()(std::monostate /*nothing*/) const {}
    void operator()(const Point& at) const { kml.open("Point").leaf("coordinates", lon_lat(at)).close(); }
    void operator()(const Point3& at) const { (*this)(flat(at)); }
    void operator()(const Polyline& line) const
    {
        kml.open("LineString").leaf("tessellate", "1").leaf("coordinates", lon_lats(line)).close();
    }
    void operator()(const std::vector<Point3>& line) const { (*this)(flat(line)); }
    void ring(const char* side, const Ring& ring, bool anticlockwise) const
    {
        kml.open(side).open("LinearRing").leaf("coordinates", lon_lats(wound(ring, anticlockwise))).close().close();
    }
    void operator()(const Polygon& area) const
    {
        kml.open("Polygon").leaf("tessellate", "1");
        ring("outerBoundaryIs", area.outer, true);
        for (const auto& hole : area.holes) {
            ring("innerBoundaryIs", hole, false);
        }
        kml.close();
    }
};

void add_placemark(XmlText& kml, const OutLayer& layer, const OutFeature& feature, const World& world)
{
    kml.open("Placemark").leaf("name", title_of(layer, feature)).leaf("styleUrl", style_of(layer, feature));
    kml.open("ExtendedData");
    for (const auto& field : layer.fields) {
        if (const auto value = value_text(layer, feature, field.name); !value.empty()) {
            kml.open("Data", {{"name", field.name}}).leaf("value", value).close();
        }
    }
    kml.close();
    std::visit(Placed{.kml = kml, .world = world}, feature.shape);
    kml.close();
}

} // namespace

std::string trench_kml(const JobPlan& plan)
{
    auto layers = of_drawn_outlet(plan_layers(plan), plan);
    layers.insert(layers.begin(), marks_layer(plan));
    auto notes = world_notes(plan);
    notes.insert(notes.begin(), drawn_text(plan));
    XmlText kml;
    kml.open("kml", {{"xmlns", "http://www.opengis.net/kml/2.2"}}).open("Document");
    kml.leaf("name", "Discharge trench: " + plan.job.name)
        .leaf("description", fmt::format("{}", fmt::join(notes, "\n")));
    for (const auto facility : all_facilities()) {
        add_style(kml, style_id(facility), mark_paint(facility).rgb, "3");
    }
    add_style(kml, "trench", inks::trench_rgb, "4");
    add_style(kml, "hand-dig", inks::hand_dig_rgb, "7");
    const auto world = site_world(plan);
    for (const auto& layer : layers) {
        if (layer.geometry == OutGeometry::none || layer.features.empty()) {
            continue;
        }
        kml.open("Folder").leaf("name", layer.name).leaf("description", layer.description);
        for (const auto& feature : layer.features) {
            add_placemark(kml, layer, feature, world);
        }
        kml.close();
    }
    return kml.finished();
}

} // namespace trenchwright
