#include "trenchwright/page/lettering.hpp"

#include <cmath>
#include <pango/pangocairo.h>

namespace trenchwright {

namespace {

struct Freed {
    void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
    void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};

/// Glyphs are placed by their exact widths so all forms break and place text alike.
void fix_font_options(PangoContext* context)
{
    const std::unique_ptr<cairo_font_options_t, Freed> options(cairo_font_options_create());
    cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options.get());
    pango_cairo_context_set_resolution(context, 72); // points
    pango_context_set_round_glyph_positions(context, FALSE);
}

bool is_digit(char letter)
{
    return letter >= '0' && letter <= '9';
}

/// The blank of "10 5/8" at this place, where a figure would be broken in two: 15'-10 5/8" must not read as 15'-10".
bool inside_a_figure(const std::string& text, std::size_t blank)
{
    if (text[blank] != ' ' || blank == 0 || !is_digit(text[blank - 1])) {
        return false;
    }
    auto next = blank + 1;
    while (next < text.size() && is_digit(text[next])) {
        ++next;
    }
    return next > blank + 1 && next + 1 < text.size() && text[next] == '/' && is_digit(text[next + 1]);
}

/// No line ends inside a figure in feet, inches and sixteenths.
void keep_figures_whole(PangoLayout* layout, const std::string& text)
{
    PangoAttrList* whole = pango_attr_list_new();
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (inside_a_figure(text, i)) {
            auto* kept = pango_attr_allow_breaks_new(FALSE);
            kept->start_index = static_cast<guint>(i - 1);
            kept->end_index = static_cast<guint>(i + 2);
            pango_attr_list_insert(whole, kept); // the list owns it
        }
    }
    pango_layout_set_attributes(layout, whole);
    pango_attr_list_unref(whole);
}

SetText laid_out(PangoContext* context, const std::string& text, const TextStyle& style)
{
    auto* layout = pango_layout_new(context);
    SetText made{.layout = {layout, g_object_unref}, .size = {}};
    const std::unique_ptr<PangoFontDescription, Freed> font(pango_font_description_new());
    pango_font_description_set_family_static(font.get(), "DejaVu Sans");
    pango_font_description_set_size(font.get(), static_cast<int>(std::lround(style.size_pt * PANGO_SCALE)));
    pango_font_description_set_weight(font.get(), style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_style(font.get(), style.italic ? PANGO_STYLE_OBLIQUE : PANGO_STYLE_NORMAL);
    pango_layout_set_font_description(layout, font.get());
    pango_layout_set_text(layout, text.data(), static_cast<int>(text.size()));
    pango_layout_set_line_spacing(layout, static_cast<float>(style.spread_ratio));
    if (style.wrap_pt > 0) {
        pango_layout_set_width(layout, static_cast<int>(std::floor(style.wrap_pt * PANGO_SCALE)));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        keep_figures_whole(layout, text);
    }
    int width = 0;
    int height = 0;
    pango_layout_get_size(layout, &width, &height);
    made.size = {static_cast<double>(width) / PANGO_SCALE, static_cast<double>(height) / PANGO_SCALE};
    return made;
}

} // namespace

Lettering::Lettering()
{
    // The thread's own font map: to find a font takes longer than to set a page with it.
    auto* context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    context_ = {context, g_object_unref};
    fix_font_options(context);
}

const SetText& Lettering::set(const std::string& text, const TextStyle& style)
{
    const Key key{text, style.size_pt, style.bold, style.italic, style.wrap_pt, style.spread_ratio};
    auto found = known_.find(key);
    if (found == known_.end()) {
        found = known_.emplace(key, laid_out(static_cast<PangoContext*>(context_.get()), text, style)).first;
    }
    return found->second;
}

} // namespace trenchwright
