#include "draw/canvas.hpp"

#include "base/error.hpp"

#include <algorithm>
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <cmath>
#include <cstring>
#include <map>
#include <numbers>
#include <pango/pangocairo.h>
#include <png.h>
#include <string_view>
#include <tuple>
#include <utility>

namespace trenchwright {

namespace {

constexpr double points_per_in = 72;
constexpr std::uint32_t paper_rgb = 0xFFFFFF;

struct Freed {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const { cairo_destroy(context); }
    void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
    void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
    void operator()(PangoFontMap* map) const { g_object_unref(map); }
    void operator()(PangoContext* context) const { g_object_unref(context); }
    void operator()(PangoLayout* layout) const { g_object_unref(layout); }
};
template <class T> using Handle = std::unique_ptr<T, Freed>;

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length)
{
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

void check(cairo_status_t status)
{
    if (status != CAIRO_STATUS_SUCCESS) {
        throw Error(ErrorKind::internal, std::string("drawing failed: ") + cairo_status_to_string(status));
    }
}

cairo_surface_t* new_surface(Canvas::Form form, const PageSize& size, double dots_per_in, std::string& bytes)
{
    if (form == Canvas::Form::pdf) {
        auto* surface = cairo_pdf_surface_create_for_stream(append, &bytes, size.width_pt, size.height_pt);
        // From 1.5 on, newer releases of the library pack pages into streams, where none can be added to.
        cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_4);
        return surface;
    }
    if (form == Canvas::Form::svg) {
        auto* surface = cairo_svg_surface_create_for_stream(append, &bytes, size.width_pt, size.height_pt);
        cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PT);
        return surface;
    }
    if (form == Canvas::Form::trial) {
        return cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1);
    }
    const auto dots = [&](double length_pt) {
        return static_cast<int>(std::lround(length_pt * dots_per_in / points_per_in));
    };
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, dots(size.width_pt), dots(size.height_pt));
}

/// Glyphs are placed by their exact widths so both forms break and place text alike.
void fix_font_options(PangoContext* context)
{
    const Handle<cairo_font_options_t> options(cairo_font_options_create());
    cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options.get());
    pango_cairo_context_set_resolution(context, points_per_in);
    pango_context_set_round_glyph_positions(context, FALSE);
}

/// The library numbers its surfaces through the life of the process; one fixed name keeps the bytes the same.
std::string with_fixed_surface_name(std::string svg)
{
    constexpr std::string_view numbered = "id=\"surface";
    const auto at = svg.find(numbered);
    if (at != std::string::npos) {
        const auto first = at + numbered.size();
        svg.replace(first, svg.find('"', first) - first, "");
    }
    return svg;
}

/// The picture's dots, red, green and blue.
std::vector<std::uint8_t> dots_of(cairo_surface_t* surface)
{
    const auto rows = static_cast<std::size_t>(cairo_image_surface_get_height(surface));
    const auto cols = static_cast<std::size_t>(cairo_image_surface_get_width(surface));
    const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(surface));
    const unsigned char* data = cairo_image_surface_get_data(surface);
    std::vector<std::uint8_t> dots;
    dots.reserve(3 * rows * cols);
    for (std::size_t row = 0; row < rows; ++row) {
        for (std::size_t col = 0; col < cols; ++col) {
            std::uint32_t dot = 0;
            std::memcpy(&dot, data + row * stride + col * sizeof dot, sizeof dot);
            for (const int shift : {16, 8, 0}) {
                dots.push_back(static_cast<std::uint8_t>(dot >> shift));
            }
        }
    }
    return dots;
}

/// cairo writes the same picture, but packs it so hard that this takes longer than planning the trench.
std::string png_of(cairo_surface_t* surface)
{
    cairo_surface_flush(surface);
    const auto dots = dots_of(surface);
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    image.width = static_cast<png_uint_32>(cairo_image_surface_get_width(surface));
    image.height = static_cast<png_uint_32>(cairo_image_surface_get_height(surface));
    image.format = PNG_FORMAT_RGB;
    image.flags = PNG_IMAGE_FLAG_FAST;
    png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(image);
    std::string bytes(size, '\0');
    if (png_image_write_to_memory(&image, bytes.data(), &size, 0, dots.data(), 0, nullptr) == 0) {
        throw Error(ErrorKind::internal, std::string("drawing failed: ") + image.message);
    }
    bytes.resize(size);
    return bytes;
}

} // namespace

struct Canvas::State {
    Form form;
    PageSize page_size;
    std::size_t page = 0;
    std::string bytes; ///< outlives the surface, which writes into it until it is gone
    Handle<cairo_surface_t> surface;
    Handle<cairo_t> cairo;
    Handle<PangoFontMap> fonts;
    Handle<PangoContext> pango;
    std::vector<std::string> texts;
    std::vector<DrawnText> drawn;
    std::map<std::tuple<std::string, double, bool, bool, double, double>, PageSize> sizes;

    State(Form wanted, const PageSize& size, double dots_per_in, std::size_t pages) : form(wanted), page_size(size)
    {
        const auto stacked = form == Form::pdf ? 1 : static_cast<double>(pages);
        surface.reset(new_surface(form, {size.width_pt, size.height_pt * stacked}, dots_per_in, bytes));
        if (form == Form::pdf) { // the library would write the time of day
            cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
        }
        check(cairo_surface_status(surface.get()));
        cairo.reset(cairo_create(surface.get()));
        if (form == Form::png) {
            cairo_scale(cairo.get(), dots_per_in / points_per_in, dots_per_in / points_per_in);
        }
        fonts.reset(pango_cairo_font_map_new());
        pango.reset(pango_font_map_create_context(fonts.get()));
        fix_font_options(pango.get());
    }

    void ink(const Ink& ink) const
    {
        const auto part = [&](int shift) { return ((ink.rgb >> shift) & 0xFF) / 255.0; };
        cairo_set_source_rgba(cairo.get(), part(16), part(8), part(0), ink.opacity_ratio);
    }

    void path(const PageLine& points) const
    {
        for (std::size_t i = 0; i < points.size(); ++i) {
            (i == 0 ? cairo_move_to : cairo_line_to)(cairo.get(), points[i].x_pt, points[i].y_pt);
        }
    }

    void path(const PageRings& rings) const
    {
        cairo_new_path(cairo.get());
        cairo_set_fill_rule(cairo.get(), CAIRO_FILL_RULE_EVEN_ODD);
        for (const auto& ring : rings) {
            path(ring);
            cairo_close_path(cairo.get());
        }
    }

    void stroke(const Stroke& stroke) const
    {
        ink(stroke.ink);
        cairo_set_line_width(cairo.get(), stroke.width_pt);
        cairo_set_dash(cairo.get(), stroke.dashes_pt.data(), static_cast<int>(stroke.dashes_pt.size()), 0);
        cairo_set_line_cap(cairo.get(), stroke.round_ends ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
        cairo_set_line_join(cairo.get(), CAIRO_LINE_JOIN_ROUND);
        cairo_stroke(cairo.get());
    }

    /// Of the text as it reads, not turned. Labels try many places, so what was measured is kept.
    [[nodiscard]] PageSize level_size(const std::string& text, const TextStyle& style)
    {
        const auto key = std::tuple(text, style.size_pt, style.bold, style.italic, style.wrap_pt, style.spread_ratio);
        if (const auto known = sizes.find(key); known != sizes.end()) {
            return known->second;
        }
        int width = 0;
        int height = 0;
        pango_layout_get_size(layout(text, style).get(), &width, &height);
        const PageSize size{static_cast<double>(width) / PANGO_SCALE, static_cast<double>(height) / PANGO_SCALE};
        return sizes.emplace(key, size).first->second;
    }

    [[nodiscard]] Handle<PangoLayout> layout(const std::string& text, const TextStyle& style) const
    {
        Handle<PangoLayout> made(pango_layout_new(pango.get()));
        const Handle<PangoFontDescription> font(pango_font_description_from_string("DejaVu Sans"));
        pango_font_description_set_size(font.get(), static_cast<int>(std::lround(style.size_pt * PANGO_SCALE)));
        pango_font_description_set_weight(font.get(), style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
        pango_font_description_set_style(font.get(), style.italic ? PANGO_STYLE_OBLIQUE : PANGO_STYLE_NORMAL);
        pango_layout_set_font_description(made.get(), font.get());
        pango_layout_set_text(made.get(), text.data(), static_cast<int>(text.size()));
        pango_layout_set_line_spacing(made.get(), static_cast<float>(style.spread_ratio));
        if (style.wrap_pt > 0) {
            pango_layout_set_width(made.get(), static_cast<int>(std::floor(style.wrap_pt * PANGO_SCALE)));
            pango_layout_set_wrap(made.get(), PANGO_WRAP_WORD_CHAR);
        }
        return made;
    }
};

Canvas::Canvas(Form form, const PageSize& size, double dots_per_in, std::size_t pages)
    : state_(std::make_unique<State>(form, size, dots_per_in, pages))
{
    fill(box_at({}, size), {.rgb = paper_rgb});
}

void Canvas::next_page()
{
    ++state_->page;
    if (state_->form == Form::pdf) {
        cairo_show_page(state_->cairo.get());
    } else {
        cairo_translate(state_->cairo.get(), 0, state_->page_size.height_pt);
    }
    fill(box_at({}, state_->page_size), {.rgb = paper_rgb});
}

void Canvas::describe(const std::string& title)
{
    if (state_->form == Form::pdf) {
        cairo_pdf_surface_set_metadata(state_->surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    }
}

Canvas::~Canvas() = default;

void Canvas::fill(const PageRings& rings, const Ink& ink)
{
    state_->path(rings);
    state_->ink(ink);
    cairo_fill(state_->cairo.get());
}

void Canvas::fill(const PageBox& box, const Ink& ink)
{
    fill(PageRings{corners(box)}, ink);
}

void Canvas::hatch(const PageRings& rings, const Hatch& hatch)
{
    auto* cairo = state_->cairo.get();
    cairo_save(cairo);
    state_->path(rings);
    double left = 0;
    double top = 0;
    double right = 0;
    double bottom = 0;
    cairo_path_extents(cairo, &left, &top, &right, &bottom);
    cairo_clip(cairo);
    const PagePoint direction{std::cos(hatch.angle_rad), std::sin(hatch.angle_rad)};
    const double reach = std::hypot(right - left, bottom - top) / 2;
    const PagePoint centre{(left + right) / 2, (top + bottom) / 2};
    const auto count = std::ceil(reach / hatch.spacing_pt);
    for (double i = -count; i <= count; ++i) {
        const double off = i * hatch.spacing_pt;
        const PagePoint on{centre.x_pt - direction.y_pt * off, centre.y_pt + direction.x_pt * off};
        state_->path(PageLine{{on.x_pt - direction.x_pt * reach, on.y_pt - direction.y_pt * reach},
                              {on.x_pt + direction.x_pt * reach, on.y_pt + direction.y_pt * reach}});
    }
    state_->stroke({.ink = hatch.ink, .width_pt = hatch.width_pt, .dashes_pt = {}});
    cairo_restore(cairo);
}

void Canvas::line(const PageLine& points, const Stroke& stroke)
{
    cairo_new_path(state_->cairo.get());
    state_->path(points);
    state_->stroke(stroke);
}

void Canvas::outline(const PageLine& ring, const Stroke& stroke)
{
    state_->path(PageRings{ring});
    state_->stroke(stroke);
}

void Canvas::disc(const PagePoint& centre, double radius_pt, const Ink& ink)
{
    cairo_new_path(state_->cairo.get());
    cairo_arc(state_->cairo.get(), centre.x_pt, centre.y_pt, radius_pt, 0, 2 * std::numbers::pi);
    state_->ink(ink);
    cairo_fill(state_->cairo.get());
}

void Canvas::circle(const PagePoint& centre, double radius_pt, const Stroke& stroke)
{
    cairo_new_path(state_->cairo.get());
    cairo_arc(state_->cairo.get(), centre.x_pt, centre.y_pt, radius_pt, 0, 2 * std::numbers::pi);
    state_->stroke(stroke);
}

void Canvas::clip(const PageBox& box)
{
    cairo_save(state_->cairo.get());
    state_->path(PageRings{corners(box)});
    cairo_clip(state_->cairo.get());
}

void Canvas::unclip()
{
    cairo_restore(state_->cairo.get());
}

PageSize Canvas::text_size(const std::string& text, const TextStyle& style) const
{
    const auto level = state_->level_size(text, style);
    return style.sideways ? PageSize{level.height_pt, level.width_pt} : level;
}

PageBox Canvas::text(const PagePoint& top_left, const std::string& text, const TextStyle& style)
{
    auto* cairo = state_->cairo.get();
    const auto level = state_->level_size(text, style);
    const auto box = box_at(top_left, text_size(text, style));
    cairo_save(cairo);
    cairo_new_path(cairo);
    cairo_translate(cairo, box.centre().x_pt, box.centre().y_pt);
    cairo_rotate(cairo, style.sideways ? style.turn_rad - std::numbers::pi / 2 : style.turn_rad);
    cairo_translate(cairo, -level.width_pt / 2, -level.height_pt / 2);
    if (style.masked) {
        cairo_rectangle(cairo, 0, 0, level.width_pt, level.height_pt);
        state_->ink({.rgb = paper_rgb, .opacity_ratio = 0.85});
        cairo_fill(cairo);
    }
    cairo_move_to(cairo, 0, 0);
    state_->ink(style.ink);
    pango_cairo_show_layout(cairo, state_->layout(text, style).get());
    cairo_restore(cairo);
    state_->texts.push_back(text);
    state_->drawn.push_back({.text = text, .corners = turned(box, style.turn_rad), .page = state_->page});
    return box;
}

const std::vector<DrawnText>& Canvas::drawn_texts() const
{
    return state_->drawn;
}

const std::vector<std::string>& Canvas::texts() const
{
    return state_->texts;
}

std::string Canvas::finish()
{
    check(cairo_status(state_->cairo.get()));
    if (state_->form == Form::png) {
        state_->bytes = png_of(state_->surface.get());
    }
    cairo_surface_finish(state_->surface.get());
    check(cairo_surface_status(state_->surface.get()));
    return state_->form == Form::svg ? with_fixed_surface_name(std::move(state_->bytes)) : std::move(state_->bytes);
}

} // namespace trenchwright
