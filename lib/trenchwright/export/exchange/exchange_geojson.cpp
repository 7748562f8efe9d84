#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"
#include "trenchwright/export/json/json_value.hpp"
#include "trenchwright/export/plan_layers.hpp"

namespace trenchwright {

namespace {

/// RFC 7946 wants heights above the ellipsoid, which nobody measured: places are flat, heights stand in the properties.
struct Geometry {
    const World& world;

    [[nodiscard]] JsonList place(const Point& at) const
    {
        const auto lon_lat = world(at);
        return {lon_lat->x, lon_lat->y};
    }
    [[nodiscard]] JsonList places(const Polyline& line) const
    {
        return json_list(line, [&](const Point& at) -> JsonValue { return place(at); });
    }
    [[nodiscard]] static JsonValue made(const char* type, JsonList coordinates)
    {
        return JsonObject{{"type", type}, {"coordinates", std::move(coordinates)}};
    }
    JsonValue operator()(std::monostate /*nothing*/) const { return {}; }
    JsonValue operator()(const Point& at) const { return made("Point", place(at)); }
    JsonValue operator()(const Point3& at) const { return made("Point", place(flat(at))); }
    JsonValue operator()(const Polyline& line) const { return made("LineString", places(line)); }
    JsonValue operator()(const std::vector<Point3>& line) const { return (*this)(flat(line)); }
    JsonValue operator()(const Polygon& area) const
    {
        JsonList rings{JsonValue(places(wound(area.outer, true)))};
        for (const auto& hole : area.holes) {
            rings.emplace_back(places(wound(hole, false)));
        }
        return made("Polygon", std::move(rings));
    }
};

struct Property {
    JsonValue operator()(std::monostate /*nothing*/) const { return {}; }
    JsonValue operator()(const auto& value) const { return value; }
};

JsonValue feature_json(const OutLayer& layer, const OutFeature& feature, const World& world)
{
    JsonObject properties{{"part", layer.name}, {"title", title_of(layer, feature)}};
    for (std::size_t i = 0; i < layer.fields.size(); ++i) {
        properties.emplace_back(layer.fields[i].name, std::visit(Property(), feature.values[i]));
    }
    return JsonObject{{"type", "Feature"},
                      {"geometry", std::visit(Geometry{.world = world}, feature.shape)},
                      {"properties", std::move(properties)}};
}

/// The cautions come first, as rows without a place: most programs show the features alone.
std::vector<OutLayer> shown_layers(const JobPlan& plan)
{
    auto layers = plan_layers(plan);
    std::erase_if(layers, [](const OutLayer& layer) { return layer.geometry == OutGeometry::none; });
    layers.insert(layers.begin(), {cautions_layer(plan), marks_layer(plan)});
    return layers;
}

} // namespace

std::string trench_geojson(const JobPlan& plan)
{
    const auto world = site_world(plan);
    JsonList features;
    for (const auto& layer : shown_layers(plan)) {
        for (const auto& feature : layer.features) {
            features.push_back(feature_json(layer, feature, world));
        }
    }
    return json_text(
        JsonObject{{"type", "FeatureCollection"},
                   {"name", plan.job.name},
                   {"marks_supplied", supplied_marks(plan.site).size()},
                   {"notes", json_list(world_notes(plan), [](const std::string& text) { return JsonValue(text); })},
                   {"features", std::move(features)}});
}

} // namespace trenchwright
