#pragma once

#include <cstddef>
#include <vector>

namespace trenchwright {

/// The least of straight lines offset + slope * y, looked up by rising y.
class Envelope {
  public:
    /// Slopes must come falling.
    void add(double slope, double offset);
    /// Infinity without lines. y must not fall from one call to the next.
    double at(double y);

  private:
    struct Line {
        double slope = 0;
        double offset = 0;
    };
    std::vector<Line> lines_; ///< each is the least somewhere, in the order of rising y
    std::size_t current_ = 0;
};

/// For every window of positions the position of the largest value in it; -1 for an empty window (low above high).
/// Of equal values the last.
///
/// The windows come as two families, in time linear in values and windows: first `nested` windows that hold
/// each the one before, then windows which, read backwards, move upward at both ends.
struct Window {
    long low = 0;
    long high = -1;
};
std::vector<long> window_maxima(const std::vector<double>& values, const std::vector<Window>& windows,
                                std::size_t nested);

} // namespace trenchwright
