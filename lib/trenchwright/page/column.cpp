#include "trenchwright/page/column.hpp"

#include "trenchwright/page/ink.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace trenchwright {

namespace {

constexpr double cell_gap_pt = 4;
constexpr double paragraph_gap_pt = 2.2;
constexpr double heading_gap_pt = 6;
constexpr std::size_t max_rows_together = 12; // a short table is not broken

double longest_word_pt(const Canvas& canvas, const std::string& cell, const TextStyle& style)
{
    double width = 0;
    std::istringstream words(cell);
    for (std::string word; words >> word;) {
        width = std::max(width, canvas.text_size(word, style).width_pt);
    }
    return width;
}

/// No column narrower than its longest word, so that none is broken: the others give what they have to spare.
std::vector<double> holding_words(std::vector<double> shares_ratio, const std::vector<double>& needed_ratio)
{
    double lacking = 0;
    double spare = 0;
    for (std::size_t i = 0; i < shares_ratio.size(); ++i) {
        const double over = shares_ratio[i] - needed_ratio[i];
        (over < 0 ? lacking : spare) += std::abs(over);
    }
    if (lacking > spare) {
        return shares_ratio;
    }
    for (std::size_t i = 0; i < shares_ratio.size() && lacking > 0; ++i) {
        const double over = shares_ratio[i] - needed_ratio[i];
        shares_ratio[i] = over < 0 ? needed_ratio[i] : shares_ratio[i] - over * lacking / spare;
    }
    return shares_ratio;
}

} // namespace

void ColumnText::heading(const std::string& text)
{
    const TextStyle style{.size_pt = 8.2, .bold = true, .ink = palette::heading};
    const double height = canvas_.text_size(text, style).height_pt;
    pieces_.push_back({.height_pt = heading_gap_pt + height + 4,
                       .draw =
                           [=](Canvas& canvas, const PageBox& box) {
                               const auto drawn = canvas.text({box.left_pt, box.top_pt + heading_gap_pt}, text, style);
                               canvas.line({{box.left_pt, drawn.bottom_pt + 1}, {box.right_pt, drawn.bottom_pt + 1}},
                                           {.ink = palette::heading, .width_pt = 0.8});
                           },
                       .with_next = true});
}

void ColumnText::paragraph(const std::string& text, const TextStyle& style)
{
    auto wrapped = style;
    wrapped.wrap_pt = width_pt_;
    pieces_.push_back({.height_pt = canvas_.text_size(text, wrapped).height_pt + paragraph_gap_pt,
                       .draw = [=](Canvas& canvas, const PageBox& box) {
                           canvas.text({box.left_pt, box.top_pt}, text, wrapped);
                       }});
}

void ColumnText::row(const std::vector<std::string>& cells, const std::vector<double>& shares_ratio, bool head,
                     bool shaded)
{
    std::vector<TextStyle> styles;
    double height = 0;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        styles.push_back({.size_pt = table_text_pt_,
                          .bold = head,
                          .ink = head ? palette::soft_ink : palette::ink,
                          .wrap_pt = shares_ratio[i] * width_pt_ - cell_gap_pt});
        height = std::max(height, canvas_.text_size(cells[i], styles.back()).height_pt);
    }
    const auto draw = [=](Canvas& canvas, const PageBox& box) {
        if (shaded) {
            canvas.fill(box, palette::band);
        }
        double left = box.left_pt;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            canvas.text({left + 1, box.top_pt + 0.5}, cells[i], styles[i]);
            left += shares_ratio[i] * box.width_pt();
        }
    };
    pieces_.push_back({.height_pt = height + 1.5, .draw = draw});
}

void ColumnText::table(const std::vector<std::vector<std::string>>& rows, const std::vector<double>& wanted_ratio)
{
    std::vector<double> needed_ratio(wanted_ratio.size());
    for (const auto& cells : rows) {
        const TextStyle style{.size_pt = table_text_pt_, .bold = &cells == &rows.front()};
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const double width_pt = longest_word_pt(canvas_, cells[i], style) + cell_gap_pt + 0.5;
            needed_ratio[i] = std::max(needed_ratio[i], width_pt / width_pt_);
        }
    }
    const auto shares_ratio = holding_words(wanted_ratio, needed_ratio);
    std::shared_ptr<const Piece> head;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        row(rows[i], shares_ratio, i == 0, i % 2 == 1);
        pieces_.back().head = head;
        head = i == 0 ? std::make_shared<const Piece>(pieces_.back()) : head;
        const bool together = rows.size() <= max_rows_together && i + 1 < rows.size();
        pieces_.back().with_next = together || i == 0;
    }
}

void ColumnText::picture(double height_pt, std::function<void(Canvas&, const PageBox&)> draw)
{
    pieces_.push_back({.height_pt = height_pt, .draw = std::move(draw)});
}

void ColumnText::shows(SheetThing thing, std::size_t nth)
{
    pieces_.back().draw = [draw = pieces_.back().draw, thing, nth](Canvas& canvas, const PageBox& box) {
        draw(canvas, box);
        canvas.shows(thing, nth);
    };
}

std::size_t draw_column(Canvas& canvas, const Pieces& pieces, std::size_t from, const PageBox& box)
{
    double top = box.top_pt;
    if (from < pieces.size() && pieces[from].head) {
        const auto& head = *pieces[from].head;
        head.draw(canvas, {box.left_pt, top, box.right_pt, top + head.height_pt});
        top += head.height_pt;
    }
    const double first_pt = top;
    while (from < pieces.size()) {
        // A heading is only begun where what follows it fits too.
        double needed = 0;
        std::size_t last = from;
        for (; last < pieces.size(); ++last) {
            needed += pieces[last].height_pt;
            if (!pieces[last].with_next) {
                break;
            }
        }
        if (top + needed > box.bottom_pt && top > first_pt) {
            return from;
        }
        const bool too_high = top + needed > box.bottom_pt; // for any column: it is broken all the same
        for (const auto end = std::min(last + 1, pieces.size()); from < end; ++from) {
            if (too_high && top > first_pt && top + pieces[from].height_pt > box.bottom_pt) {
                return from;
            }
            const PageBox place{box.left_pt, top, box.right_pt, top + pieces[from].height_pt};
            pieces[from].draw(canvas, place);
            top = place.bottom_pt;
        }
        if (top > box.bottom_pt) {
            return from; // higher than any column: drawn all the same, nothing is lost
        }
    }
    return from;
}

} // namespace trenchwright
