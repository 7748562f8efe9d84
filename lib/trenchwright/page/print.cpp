#include "trenchwright/page/print.hpp"

#include "trenchwright/base/error.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cmath>
#include <cstring>
#include <memory>
#include <numbers>
#include <pango/pangocairo.h>
#include <png.h>
#include <string_view>
#include <variant>
#include <vector>

namespace trenchwright {

namespace {

constexpr double points_per_in = 72;

struct Freed {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};
template <class T> using Handle = std::unique_ptr<T, Freed>;

void set_ink(cairo_t* cairo, const Ink& ink)
{
    const auto part = [&](int shift) { return ((ink.rgb >> shift) & 0xFF) / 255.0; };
    cairo_set_source_rgba(cairo, part(16), part(8), part(0), ink.opacity_ratio);
}

void add_path(cairo_t* cairo, const PageLine& points)
{
    for (std::size_t i = 0; i < points.size(); ++i) {
        (i == 0 ? cairo_move_to : cairo_line_to)(cairo, points[i].x_pt, points[i].y_pt);
    }
}

void set_path(cairo_t* cairo, const PageRings& rings)
{
    cairo_new_path(cairo);
    for (const auto& ring : rings) {
        add_path(cairo, ring);
        cairo_close_path(cairo);
    }
}

void set_circle(cairo_t* cairo, const PagePoint& center, double radius_pt)
{
    cairo_new_path(cairo);
    cairo_arc(cairo, center.x_pt, center.y_pt, radius_pt, 0, 2 * std::numbers::pi);
}

void fill(cairo_t* cairo, const Ink& ink)
{
    set_ink(cairo, ink);
    cairo_fill(cairo);
}

void stroke(cairo_t* cairo, const Stroke& stroke)
{
    set_ink(cairo, stroke.ink);
    cairo_set_line_width(cairo, stroke.width_pt);
    cairo_set_dash(cairo, stroke.dashes_pt.data(), static_cast<int>(stroke.dashes_pt.size()), 0);
    cairo_set_line_cap(cairo, stroke.round_ends ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cairo);
}

/// Prints what is drawn on a canvas.
struct Printer {
    cairo_t* cairo;

    void operator()(const PageArea& item) const
    {
        set_path(cairo, item.rings);
        fill(cairo, item.ink);
    }

    void operator()(const PageHatch& item) const
    {
        const auto& hatch = item.hatch;
        cairo_save(cairo);
        set_path(cairo, item.rings);
        PageBox box;
        cairo_path_extents(cairo, &box.left_pt, &box.top_pt, &box.right_pt, &box.bottom_pt);
        cairo_clip(cairo);
        const PagePoint direction{std::cos(hatch.angle_rad), std::sin(hatch.angle_rad)};
        const double reach = std::hypot(box.width_pt(), box.height_pt()) / 2;
        const auto center = box.center();
        const auto count = std::ceil(reach / hatch.spacing_pt);
        for (double i = -count; i <= count; ++i) {
            const double off = i * hatch.spacing_pt;
            const PagePoint on{center.x_pt - direction.y_pt * off, center.y_pt + direction.x_pt * off};
            cairo_move_to(cairo, on.x_pt - direction.x_pt * reach, on.y_pt - direction.y_pt * reach);
            cairo_line_to(cairo, on.x_pt + direction.x_pt * reach, on.y_pt + direction.y_pt * reach);
        }
        stroke(cairo, {.ink = hatch.ink, .width_pt = hatch.width_pt});
        cairo_restore(cairo);
    }

    void operator()(const PageStroke& item) const
    {
        cairo_new_path(cairo);
        add_path(cairo, item.points);
        if (item.closed) {
            cairo_close_path(cairo);
        }
        stroke(cairo, item.stroke);
    }

    void operator()(const PageDisc& item) const
    {
        set_circle(cairo, item.center, item.radius_pt);
        fill(cairo, item.ink);
    }

    void operator()(const PageCircle& item) const
    {
        set_circle(cairo, item.center, item.radius_pt);
        stroke(cairo, item.stroke);
    }

    void operator()(const PageText& item) const
    {
        const auto& size = item.text.size;
        cairo_save(cairo);
        cairo_new_path(cairo);
        cairo_translate(cairo, item.box.center().x_pt, item.box.center().y_pt);
        cairo_rotate(cairo, item.style.sideways ? item.style.turn_rad - std::numbers::pi / 2 : item.style.turn_rad);
        cairo_translate(cairo, -size.width_pt / 2, -size.height_pt / 2);
        if (item.style.masked) {
            cairo_rectangle(cairo, 0, 0, size.width_pt, size.height_pt);
            fill(cairo, {.rgb = paper_ink.rgb, .opacity_ratio = 0.85});
        }
        cairo_move_to(cairo, 0, 0);
        set_ink(cairo, item.style.ink);
        pango_cairo_show_layout(cairo, static_cast<PangoLayout*>(item.text.layout.get()));
        cairo_restore(cairo);
    }

    void operator()(const PageClip& item) const
    {
        cairo_save(cairo);
        set_path(cairo, {corners(item.box)});
        cairo_clip(cairo);
    }

    void operator()(const PageUnclip& /*item*/) const { cairo_restore(cairo); }
};

/// Blank paper, then what was drawn.
void print_page(cairo_t* cairo, const PageSize& size, const std::vector<PageItem>& items)
{
    cairo_set_fill_rule(cairo, CAIRO_FILL_RULE_EVEN_ODD);
    set_path(cairo, {corners(box_at({}, size))});
    fill(cairo, paper_ink);
    for (const auto& item : items) {
        std::visit(Printer{cairo}, item);
    }
}

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

PageSize stacked_size(const Canvas& canvas)
{
    const auto one = canvas.page_size();
    return {one.width_pt, one.height_pt * static_cast<double>(canvas.pages().size())};
}

/// All pages below each other.
void print_stacked(const Canvas& canvas, cairo_surface_t* surface, double dots_per_pt)
{
    check(cairo_surface_status(surface));
    const Handle<cairo_t> cairo(cairo_create(surface));
    cairo_scale(cairo.get(), dots_per_pt, dots_per_pt);
    for (const auto& items : canvas.pages()) {
        print_page(cairo.get(), canvas.page_size(), items);
        cairo_translate(cairo.get(), 0, canvas.page_size().height_pt);
    }
    check(cairo_status(cairo.get()));
}

void finish(cairo_surface_t* surface)
{
    cairo_surface_finish(surface);
    check(cairo_surface_status(surface));
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
    std::vector<std::uint8_t> dots(3 * rows * cols);
    auto* next = dots.data();
    for (std::size_t row = 0; row < rows; ++row) {
        for (std::size_t col = 0; col < cols; ++col, next += 3) {
            std::uint32_t dot = 0;
            std::memcpy(&dot, data + row * stride + col * sizeof dot, sizeof dot);
            next[0] = static_cast<std::uint8_t>(dot >> 16);
            next[1] = static_cast<std::uint8_t>(dot >> 8);
            next[2] = static_cast<std::uint8_t>(dot);
        }
    }
    return dots;
}

/// cairo writes the same picture, but packs it so hard that this takes longer than planning the trench.
std::string packed(cairo_surface_t* surface)
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

std::string svg_of(const Canvas& canvas)
{
    std::string bytes;
    const auto size = stacked_size(canvas);
    const Handle<cairo_surface_t> surface(
        cairo_svg_surface_create_for_stream(append, &bytes, size.width_pt, size.height_pt));
    cairo_svg_surface_set_document_unit(surface.get(), CAIRO_SVG_UNIT_PT);
    print_stacked(canvas, surface.get(), 1);
    finish(surface.get());
    return with_fixed_surface_name(std::move(bytes));
}

std::string png_of(const Canvas& canvas, double dots_per_in)
{
    const auto size = stacked_size(canvas);
    const double dots_per_pt = dots_per_in / points_per_in;
    const Handle<cairo_surface_t> surface(
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(size.width_pt * dots_per_pt)),
                                   static_cast<int>(std::lround(size.height_pt * dots_per_pt))));
    print_stacked(canvas, surface.get(), dots_per_pt);
    return packed(surface.get());
}

std::string pdf_of(const Canvas& canvas, const std::string& title)
{
    std::string bytes;
    const auto size = canvas.page_size();
    const Handle<cairo_surface_t> surface(
        cairo_pdf_surface_create_for_stream(append, &bytes, size.width_pt, size.height_pt));
    // From 1.5 on, newer releases of the library pack pages into streams, where none can be added to.
    cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_4);
    // The library would write the time of day.
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "");
    cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    check(cairo_surface_status(surface.get()));
    const Handle<cairo_t> cairo(cairo_create(surface.get()));
    for (const auto& items : canvas.pages()) {
        print_page(cairo.get(), size, items);
        cairo_show_page(cairo.get());
    }
    check(cairo_status(cairo.get()));
    finish(surface.get());
    return bytes;
}

} // namespace trenchwright
