#pragma once

#include "trenchwright/geom/shapes.hpp"

#include <memory>
#include <vector>

namespace trenchwright {

/// Boxes found again by where they lie: an R-tree, into which boxes may go and from which they may come at any time.
class BoxIndex {
  public:
    BoxIndex();
    BoxIndex(BoxIndex&&) noexcept;
    BoxIndex& operator=(BoxIndex&&) noexcept;
    ~BoxIndex();

    /// @param id  the caller's own; the same id may stand for several boxes
    void insert(int id, const Box& box);
    /// Takes out one box that was put in with this id; nothing happens when there is none.
    void erase(int id, const Box& box);

    /// Ids of all boxes that overlap or touch the one given, rising, an id as often as its boxes do.
    [[nodiscard]] std::vector<int> near(const Box& box) const;

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace trenchwright
