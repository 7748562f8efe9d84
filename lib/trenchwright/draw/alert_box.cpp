#include "trenchwright/draw/alert_box.hpp"

#include "trenchwright/page/ink.hpp"

namespace trenchwright {

namespace {

constexpr double frame_pt = 2;
constexpr double inset_pt = 5;
constexpr double gap_pt = 1.6;

/// One line with its piece of the frame.
void add_line(ColumnText& column, const Canvas& canvas, const std::string& text, TextStyle style, bool first, bool last)
{
    style.wrap_pt = column.width_pt() - 2 * inset_pt;
    const double above_pt = first ? inset_pt : gap_pt;
    const double below_pt = last ? inset_pt : gap_pt;
    const double height_pt = canvas.text_size(text, style).height_pt + above_pt + below_pt;
    column.picture(height_pt, [=](Canvas& on, const PageBox& box) {
        const Stroke stroke{.ink = palette::stop, .width_pt = frame_pt};
        on.line({{box.left_pt, box.top_pt}, {box.left_pt, box.bottom_pt}}, stroke);
        on.line({{box.right_pt, box.top_pt}, {box.right_pt, box.bottom_pt}}, stroke);
        if (first) {
            on.line({{box.left_pt, box.top_pt}, {box.right_pt, box.top_pt}}, stroke);
        }
        if (last) {
            on.line({{box.left_pt, box.bottom_pt}, {box.right_pt, box.bottom_pt}}, stroke);
        }
        on.text({box.left_pt + inset_pt, box.top_pt + above_pt}, text, style);
    });
}

} // namespace

void alert_box(ColumnText& column, const Canvas& canvas, const std::vector<Alert>& lines, double text_pt)
{
    if (lines.empty()) {
        return;
    }
    add_line(column, canvas, std::string(alert_heading(lines)),
             {.size_pt = text_pt * 1.25, .bold = true, .ink = palette::stop}, true, false);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const bool grave = lines[i].severity == Severity::stop;
        add_line(column, canvas, lines[i].text,
                 {.size_pt = text_pt, .bold = grave, .ink = grave ? palette::stop : palette::ink}, false,
                 i + 1 == lines.size());
    }
}

} // namespace trenchwright
