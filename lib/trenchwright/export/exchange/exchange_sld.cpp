#include "trenchwright/base/inks.hpp"
#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"
#include "trenchwright/export/exchange/xml_text.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/plan/hand_dig.hpp"
#include "trenchwright/site/mark_paint.hpp"

#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <functional>

namespace trenchwright {

namespace {

/// SLD 1.0.0 counts in pixels of 0.28 mm.
std::string pixels(double length_pt)
{
    constexpr double pixel_pt = 0.28 / 25.4 * 72;
    return fmt::format("{:.1f}", length_pt / pixel_pt);
}

std::string hex(std::uint32_t rgb)
{
    return fmt::format("#{:06X}", rgb);
}

struct Pen {
    std::uint32_t rgb = inks::words_rgb;
    double width_pt = 1;
    std::vector<double> dashes_pt = {};
};

Pen mark_pen(Facility facility)
{
    const auto paint = mark_paint(facility);
    return {.rgb = paint.rgb, .width_pt = paint.width_pt, .dashes_pt = paint.dashes_pt};
}

/// Which rows a rule is for; all where no field is named.
struct Where {
    std::string field = {};
    std::string value = {}; ///< empty: rows without a value there
};

/// Writes styles: a layer holds rules, a rule holds what is drawn.
class Styles {
  public:
    void begin(const std::string& title, const std::vector<std::string>& abstract)
    {
        xml_.open("StyledLayerDescriptor", {{"version", "1.0.0"},
                                            {"xmlns", "http://www.opengis.net/sld"},
                                            {"xmlns:ogc", "http://www.opengis.net/ogc"}});
        xml_.leaf("Name", "trench-styles")
            .leaf("Title", title)
            .leaf("Abstract", fmt::format("{}", fmt::join(abstract, "\n")));
    }
    void layer(const OutLayer& of)
    {
        xml_.open("NamedLayer").leaf("Name", of.name).open("UserStyle").leaf("Name", of.name);
        xml_.leaf("Abstract", of.description).open("FeatureTypeStyle");
    }
    void end_layer() { xml_.close().close().close(); }
    void rule(const std::string& title, const Where& where = {})
    {
        xml_.open("Rule").leaf("Title", title);
        if (!where.field.empty()) {
            xml_.open("ogc:Filter").open(where.value.empty() ? "ogc:PropertyIsNull" : "ogc:PropertyIsEqualTo");
            xml_.leaf("ogc:PropertyName", where.field);
            if (!where.value.empty()) {
                xml_.leaf("ogc:Literal", where.value);
            }
            xml_.close().close();
        }
    }
    void end_rule() { xml_.close(); }
    void line(const Pen& pen)
    {
        xml_.open("LineSymbolizer");
        stroke(pen);
        xml_.close();
    }
    /// A wash of the pen's color in its outline.
    void wash(const Pen& pen)
    {
        xml_.open("PolygonSymbolizer").open("Fill");
        parameter("fill", hex(pen.rgb));
        parameter("fill-opacity", "0.15");
        xml_.close();
        stroke(pen);
        xml_.close();
    }
    /// Crossed strokes: the standard has no slanted ones, but a pattern of its mark "x".
    void hatch(const Pen& pen)
    {
        xml_.open("PolygonSymbolizer").open("Fill").open("GraphicFill");
        graphic("x", {.rgb = pen.rgb, .width_pt = pen.width_pt / 2}, pen.rgb, 6);
        xml_.close().close();
        stroke(pen);
        xml_.close();
    }
    void point(const char* shape, const Pen& pen, std::uint32_t fill_rgb, double size_pt)
    {
        xml_.open("PointSymbolizer");
        graphic(shape, pen, fill_rgb, size_pt);
        xml_.close();
    }
    void label(const std::string& field, std::uint32_t rgb) { label_of("ogc:PropertyName", field, rgb); }
    /// The same words at every feature.
    void words(const std::string& text, std::uint32_t rgb) { label_of("ogc:Literal", text, rgb); }
    std::string finished() { return xml_.finished(); }

  private:
    void label_of(const char* element, const std::string& text, std::uint32_t rgb)
    {
        xml_.open("TextSymbolizer").open("Label").leaf(element, text).close();
        xml_.open("Font");
        parameter("font-family", "sans-serif");
        parameter("font-size", pixels(8));
        xml_.close().open("LabelPlacement").open("PointPlacement").open("Displacement");
        xml_.leaf("DisplacementX", pixels(5)).leaf("DisplacementY", pixels(5)).close().close().close();
        xml_.open("Halo").leaf("Radius", "1").open("Fill");
        parameter("fill", hex(inks::paper_rgb));
        xml_.close().close().open("Fill");
        parameter("fill", hex(rgb));
        xml_.close().close();
    }
    void parameter(const char* name, const std::string& value) { xml_.leaf("CssParameter", value, {{"name", name}}); }
    void stroke(const Pen& pen)
    {
        xml_.open("Stroke");
        parameter("stroke", hex(pen.rgb));
        parameter("stroke-width", pixels(pen.width_pt));
        if (!pen.dashes_pt.empty()) {
            std::vector<std::string> dashes;
            for (const double dash_pt : pen.dashes_pt) {
                dashes.push_back(pixels(dash_pt));
            }
            parameter("stroke-dasharray", fmt::format("{}", fmt::join(dashes, " ")));
        }
        xml_.close();
    }
    void graphic(const char* shape, const Pen& pen, std::uint32_t fill_rgb, double size_pt)
    {
        xml_.open("Graphic").open("Mark").leaf("WellKnownName", shape).open("Fill");
        parameter("fill", hex(fill_rgb));
        xml_.close();
        stroke(pen);
        xml_.close().leaf("Size", pixels(size_pt)).close();
    }
    XmlText xml_;
};

std::string mark_title(Facility facility)
{
    const auto code = mark_code(facility);
    return fmt::format("{} ({} {})", facility_name(facility), code.color, code.letters);
}

/// One rule a facility, by the field that names it.
void by_facility(Styles& styles, const std::string& field, const std::function<void(Facility)>& draw)
{
    for (const auto facility : all_facilities()) {
        styles.rule(mark_title(facility), {.field = field, .value = std::string(facility_name(facility))});
        draw(facility);
        styles.end_rule();
    }
}

void whole(Styles& styles, const std::string& title, const std::function<void()>& draw)
{
    styles.rule(title);
    draw();
    styles.end_rule();
}

void stations(Styles& styles)
{
    const Pen thin{.rgb = inks::trench_rgb, .width_pt = 0.8};
    styles.rule("by hand", {.field = "by_hand", .value = "1"});
    styles.point("square", thin, inks::hand_dig_rgb, 4);
    styles.label("station", inks::words_rgb);
    styles.end_rule();
    for (const auto& [title, by_hand] : {std::pair{fmt::format("by machine: {}", machine_note), "0"},
                                         std::pair{std::string("how to dig is unknown: no marks supplied"), ""}}) {
        styles.rule(title, {.field = "by_hand", .value = by_hand});
        styles.point("circle", thin, inks::paper_rgb, 4);
        styles.label("station", inks::words_rgb);
        styles.end_rule();
    }
}

void findings(Styles& styles)
{
    const std::vector<std::pair<std::string, const char*>> shapes{
        {"warning", "triangle"}, {"note", "circle"}, {"refused", "x"}};
    styles.rule("stop", {.field = "severity", .value = "stop"});
    styles.point("star", {.rgb = inks::stop_rgb, .width_pt = 1.4}, inks::stop_rgb, 12);
    styles.words("STOP", inks::stop_rgb);
    styles.end_rule();
    for (const auto& [severity, shape] : shapes) {
        styles.rule(severity, {.field = "severity", .value = severity});
        styles.point(shape, {.rgb = inks::words_rgb, .width_pt = 0.8}, inks::paper_rgb, 8);
        styles.label("rule", inks::words_rgb);
        styles.end_rule();
    }
}

void crossings(Styles& styles, const char* shape, double size_pt)
{
    by_facility(styles, "facility", [&](Facility facility) {
        styles.point(shape, {.rgb = inks::words_rgb, .width_pt = 0.8}, mark_paint(facility).rgb, size_pt);
        styles.label("letters", inks::words_rgb);
    });
}

/// By the layer's name.
void draw_layer(Styles& styles, const std::string& name)
{
    if (name == "route") {
        whole(styles, "discharge trench", [&] { styles.line({.rgb = inks::trench_rgb, .width_pt = 2.2}); });
    } else if (name == "stations") {
        stations(styles);
    } else if (name == "zones") {
        whole(styles, "hand tools or vacuum only", [&] {
            styles.line({.rgb = inks::hand_dig_rgb, .width_pt = 4, .dashes_pt = {2, 2}});
        });
    } else if (name == "zone_areas") {
        whole(styles, "hand tools or vacuum only", [&] { styles.hatch({.rgb = inks::hand_dig_rgb, .width_pt = 1}); });
    } else if (name == "mark_areas") {
        by_facility(styles, "facilities", [&](Facility facility) { styles.wash(mark_pen(facility)); });
    } else if (name == "crossings") {
        crossings(styles, "circle", 8);
    } else if (name == "probable_runs") {
        by_facility(styles, "facility", [&](Facility facility) {
            styles.line({.rgb = mark_paint(facility).rgb, .width_pt = 1.4, .dashes_pt = probable_dashes_pt()});
        });
    } else if (name == "potholes") {
        crossings(styles, "square", 12);
    } else if (name == "cleanouts") {
        whole(styles, "cleanout",
              [&] { styles.point("cross", {.rgb = inks::trench_rgb, .width_pt = 1}, inks::paper_rgb, 8); });
    } else if (name == "footing_drain") {
        whole(styles, "footing drain inside", [&] {
            styles.line({.rgb = inks::words_rgb, .width_pt = 1.1, .dashes_pt = {0.5, 2.4}});
        });
    } else if (name == "findings") {
        findings(styles);
    }
}

} // namespace

std::string plan_styles_sld(const JobPlan& plan)
{
    Styles styles;
    styles.begin("Styles for plan.gpkg: " + plan.job.name, exchange_cautions(plan));
    for (const auto& layer : plan_layers(plan)) {
        if (layer.geometry != OutGeometry::none) {
            styles.layer(layer);
            draw_layer(styles, layer.name);
            styles.end_layer();
        }
    }
    return styles.finished();
}

} // namespace trenchwright
