#pragma once

#include "trenchwright/page/canvas.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace trenchwright {

/// Something that is not broken across columns.
struct Piece {
    double height_pt = 0;
    std::function<void(Canvas&, const PageBox&)> draw; ///< into a box of the column's width and this height
    bool with_next = false;                            ///< never the last of a column: a heading
    std::shared_ptr<const Piece> head{};               ///< of its table: repeated where a column begins with this row
};
using Pieces = std::vector<Piece>;

/// Builds pieces for columns of one width.
class ColumnText {
  public:
    ColumnText(const Canvas& canvas, double width_pt, double table_text_pt = 6.4)
        : canvas_(canvas), width_pt_(width_pt), table_text_pt_(table_text_pt)
    {
    }

    void heading(const std::string& text);
    void paragraph(const std::string& text, const TextStyle& style);
    /// Cells beside each other, each broken in its own share of the width; the first row is the head.
    void table(const std::vector<std::vector<std::string>>& rows, const std::vector<double>& shares_ratio);
    void picture(double height_pt, std::function<void(Canvas&, const PageBox&)> draw);
    /// What the piece added last shows: noted on the canvas once that piece is drawn.
    void shows(SheetThing thing, std::size_t nth = 0);
    [[nodiscard]] double width_pt() const { return width_pt_; }
    [[nodiscard]] Pieces take() { return std::move(pieces_); }

  private:
    void row(const std::vector<std::string>& cells, const std::vector<double>& shares_ratio, bool head, bool shaded);

    const Canvas& canvas_;
    double width_pt_;
    double table_text_pt_;
    Pieces pieces_;
};

/// Draws pieces from one on while they fit below each other. A table broken over columns repeats its head.
/// @return the first that did not
std::size_t draw_column(Canvas& canvas, const Pieces& pieces, std::size_t from, const PageBox& box);

} // namespace trenchwright
