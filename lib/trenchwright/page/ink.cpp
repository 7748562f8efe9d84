#include "trenchwright/page/ink.hpp"

#include "trenchwright/site/mark_paint.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace trenchwright {

namespace {

constexpr double eighth_turn_rad = std::numbers::pi / 4;

TextStyle letter_style(Facility facility)
{
    return {.size_pt = 6.2, .bold = true, .ink = mark_style(facility).text};
}

std::string letters_text(Facility facility, bool probable)
{
    return std::string(mark_code(facility).letters) + (probable ? "?" : "");
}

PageLine ring_at(const PagePoint& at, const PageLine& shape)
{
    PageLine ring;
    for (const auto& p : shape) {
        ring.push_back({at.x_pt + p.x_pt, at.y_pt + p.y_pt});
    }
    return ring;
}

/// Outline by kind of outlet; popup is round and drawn apart.
PageLine outlet_shape(OutletKind kind)
{
    const double r = symbol_radius_pt;
    switch (kind) {
    case OutletKind::curb: return {{0, r}, {-r, -r * 0.7}, {r, -r * 0.7}};
    case OutletKind::inlet: return {{-r, -r}, {r, -r}, {r, r}, {-r, r}};
    case OutletKind::swale: return {{-r * 1.2, 0}, {0, -r * 0.8}, {r * 1.2, 0}, {0, r * 0.8}};
    case OutletKind::popup: break;
    }
    return {};
}

} // namespace

MarkStyle mark_style(Facility facility)
{
    const auto paint = mark_paint(facility);
    return {.ink = {.rgb = paint.rgb},
            .text = {.rgb = paint.letters_rgb},
            .dashes_pt = paint.dashes_pt,
            .width_pt = paint.width_pt};
}

void draw_mark_line(Canvas& canvas, const PageLine& line, Facility facility, bool probable)
{
    const auto style = mark_style(facility);
    if (probable) {
        canvas.line(line, {.ink = style.text, .width_pt = 1, .dashes_pt = probable_dashes_pt()});
        return;
    }
    if (facility == Facility::gas) { // yellow alone vanishes on paper
        canvas.line(line, {.ink = {.rgb = 0x5C4500}, .width_pt = style.width_pt + 0.7, .dashes_pt = style.dashes_pt});
    }
    canvas.line(line, {.ink = style.ink, .width_pt = style.width_pt, .dashes_pt = style.dashes_pt});
}

PageSize letters_size(const Canvas& canvas, Facility facility, bool probable)
{
    const auto size = canvas.text_size(letters_text(facility, probable), letter_style(facility));
    return {size.width_pt + 2, size.height_pt - 0.5};
}

void draw_letters(Canvas& canvas, const PagePoint& center, Facility facility, bool probable)
{
    const auto box = box_about(center, letters_size(canvas, facility, probable));
    canvas.fill(box, palette::paper);
    canvas.text({box.left_pt + 1, box.top_pt - 0.25}, letters_text(facility, probable), letter_style(facility));
}

void draw_surface(Canvas& canvas, const PageRings& rings, std::size_t nth)
{
    static constexpr std::array<Ink, 4> tones{
        {{.rgb = 0xECECEA}, {.rgb = 0xE3E6E0}, {.rgb = 0xE6E6EC}, {.rgb = 0xF0EBE3}}};
    canvas.fill(rings, tones[nth % tones.size()]);
    const Hatch strokes{.ink = {.rgb = 0xC9CBC8}, .angle_rad = 0, .spacing_pt = 5, .width_pt = 0.35};
    const std::array<double, 4> angles_rad{0, eighth_turn_rad, 2 * eighth_turn_rad, 3 * eighth_turn_rad};
    auto turned = strokes;
    turned.angle_rad = angles_rad[nth % angles_rad.size()];
    // From the fifth kind on the strokes lie closer, from the ninth wider, so that no two kinds in use look alike.
    static constexpr std::array<double, 3> spacings_pt{5, 2.4, 9};
    turned.spacing_pt = spacings_pt[nth / angles_rad.size() % spacings_pt.size()];
    canvas.hatch(rings, turned);
    for (const auto& ring : rings) {
        canvas.outline(ring, {.ink = {.rgb = 0xB4B8BB}, .width_pt = 0.5, .dashes_pt = {}});
    }
}

void draw_keep_out(Canvas& canvas, const PageRings& rings)
{
    for (const double angle_rad : {eighth_turn_rad, -eighth_turn_rad}) {
        canvas.hatch(rings, {.ink = palette::faint_ink, .angle_rad = angle_rad, .spacing_pt = 4, .width_pt = 0.45});
    }
    for (const auto& ring : rings) {
        canvas.outline(ring, {.ink = palette::ink, .width_pt = 0.8});
    }
}

void draw_outlet(Canvas& canvas, const PagePoint& at, OutletKind kind, bool refused)
{
    const Ink body = refused ? palette::paper : palette::heading;
    const Stroke rim{.ink = refused ? palette::refused : palette::heading, .width_pt = 1.1, .dashes_pt = {}};
    if (kind == OutletKind::popup) {
        canvas.disc(at, symbol_radius_pt, body);
        canvas.circle(at, symbol_radius_pt, rim);
        canvas.circle(at, symbol_radius_pt * 0.45,
                      {.ink = refused ? palette::refused : palette::paper, .width_pt = 0.9, .dashes_pt = {}});
    } else {
        const auto ring = ring_at(at, outlet_shape(kind));
        canvas.fill(PageRings{ring}, body);
        canvas.outline(ring, rim);
        if (kind == OutletKind::inlet) {
            const auto bars = refused ? palette::refused : palette::paper;
            canvas.hatch({ring}, {.ink = bars, .angle_rad = 2 * eighth_turn_rad, .spacing_pt = 2.6, .width_pt = 0.7});
        }
    }
    if (refused) {
        const double r = symbol_radius_pt * 1.3;
        canvas.line({{at.x_pt - r, at.y_pt + r}, {at.x_pt + r, at.y_pt - r}}, rim);
    }
}

void draw_source(Canvas& canvas, const PagePoint& at, SourceKind kind)
{
    const bool pump = kind == SourceKind::pump;
    const auto box = box_about(at, {7.6, 7.6});
    if (pump) {
        canvas.fill(box, palette::trench);
    } else {
        canvas.disc(at, 4.2, palette::trench);
    }
    const TextStyle style{.size_pt = 5.6, .bold = true, .ink = palette::paper};
    const std::string letter = pump ? "P" : "D";
    const auto size = canvas.text_size(letter, style);
    canvas.text({at.x_pt - size.width_pt / 2, at.y_pt - size.height_pt / 2}, letter, style);
}

void draw_bend(Canvas& canvas, const PagePoint& at)
{
    const auto ring = ring_at(at, {{-2.6, 0}, {0, -2.6}, {2.6, 0}, {0, 2.6}});
    canvas.fill(PageRings{ring}, palette::paper);
    canvas.outline(ring, {.ink = palette::trench, .width_pt = 0.9, .dashes_pt = {}});
}

void draw_crossing(Canvas& canvas, const PagePoint& at, Facility facility)
{
    canvas.disc(at, 2.6, palette::paper);
    canvas.circle(at, 2.6, {.ink = mark_style(facility).text, .width_pt = 1.1, .dashes_pt = {}});
}

void draw_refused_place(Canvas& canvas, const PagePoint& at)
{
    const Stroke stroke{.ink = palette::stop, .width_pt = 1.1, .dashes_pt = {}};
    canvas.disc(at, 3.8, palette::paper);
    canvas.circle(at, 3.8, stroke);
    canvas.line({{at.x_pt - 2.2, at.y_pt - 2.2}, {at.x_pt + 2.2, at.y_pt + 2.2}}, stroke);
    canvas.line({{at.x_pt - 2.2, at.y_pt + 2.2}, {at.x_pt + 2.2, at.y_pt - 2.2}}, stroke);
}

Stroke nearest_stroke()
{
    return {.ink = palette::stop, .width_pt = 1.1, .dashes_pt = {1.5, 2.5}};
}

void draw_spot(Canvas& canvas, const PagePoint& at)
{
    const Stroke stroke{.ink = palette::soft_ink, .width_pt = 0.5, .dashes_pt = {}};
    canvas.line({{at.x_pt - 1.6, at.y_pt}, {at.x_pt + 1.6, at.y_pt}}, stroke);
    canvas.line({{at.x_pt, at.y_pt - 1.6}, {at.x_pt, at.y_pt + 1.6}}, stroke);
}

void draw_flow(Canvas& canvas, const PagePoint& at, const PagePoint& direction)
{
    const PagePoint side{-direction.y_pt, direction.x_pt};
    const auto point = [&](double ahead_pt, double aside_pt) {
        return PagePoint{at.x_pt + direction.x_pt * ahead_pt + side.x_pt * aside_pt,
                         at.y_pt + direction.y_pt * ahead_pt + side.y_pt * aside_pt};
    };
    const PageLine ring{point(4.2, 0), point(-2.2, 2.7), point(-0.8, 0), point(-2.2, -2.7)};
    canvas.fill(PageRings{ring}, palette::trench);
}

Stroke lot_line_stroke()
{
    return {.ink = palette::ink, .width_pt = 1.1, .dashes_pt = {14, 2.5, 3, 2.5, 3, 2.5}};
}

void draw_cleanout(Canvas& canvas, const PagePoint& at)
{
    canvas.disc(at, 3, palette::paper);
    canvas.circle(at, 3, {.ink = palette::trench, .width_pt = 1, .dashes_pt = {}});
    canvas.line({{at.x_pt - 3, at.y_pt}, {at.x_pt + 3, at.y_pt}},
                {.ink = palette::trench, .width_pt = 0.8, .dashes_pt = {}});
}

void draw_pothole(Canvas& canvas, const PagePoint& at)
{
    canvas.outline(corners(box_about(at, {12, 12})), {.ink = palette::hand, .width_pt = 1, .dashes_pt = {3, 1.5}});
}

void draw_junction(Canvas& canvas, const PagePoint& at)
{
    const auto ring = ring_at(at, {{-3.2, 2.4}, {0, -3.4}, {3.2, 2.4}});
    canvas.fill(PageRings{ring}, palette::paper);
    canvas.outline(ring, {.ink = palette::trench, .width_pt = 1, .dashes_pt = {}});
}

void draw_pit(Canvas& canvas, const PagePoint& at)
{
    canvas.disc(at, 4, palette::paper);
    canvas.circle(at, 4, {.ink = palette::trench, .width_pt = 1, .dashes_pt = {}});
    canvas.circle(at, 2, {.ink = palette::trench, .width_pt = 0.7, .dashes_pt = {}});
}

Stroke footing_stroke()
{
    return {.ink = palette::ink, .width_pt = 1.1, .dashes_pt = {0.5, 2.4}, .round_ends = true};
}

Stroke trench_stroke()
{
    return {.ink = palette::trench, .width_pt = 2.2, .dashes_pt = {}};
}

Hatch hand_hatch()
{
    return {.ink = palette::hand, .angle_rad = -eighth_turn_rad, .spacing_pt = 2.3, .width_pt = 0.55};
}

} // namespace trenchwright
