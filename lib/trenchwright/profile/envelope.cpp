#include "trenchwright/profile/envelope.hpp"

#include <limits>

namespace trenchwright {

void Envelope::add(double slope, double offset)
{
    if (!lines_.empty() && lines_.back().slope == slope) {
        if (lines_.back().offset <= offset) {
            return;
        }
        lines_.pop_back();
    }
    // The middle of three lines is never the least when the outer two meet before the middle one takes over.
    while (lines_.size() >= 2) {
        const auto& a = lines_[lines_.size() - 2];
        const auto& b = lines_.back();
        if ((offset - a.offset) * (a.slope - b.slope) > (b.offset - a.offset) * (a.slope - slope)) {
            break;
        }
        lines_.pop_back();
    }
    lines_.push_back({.slope = slope, .offset = offset});
}

double Envelope::at(double y)
{
    if (lines_.empty()) {
        return std::numeric_limits<double>::infinity();
    }
    const auto value = [&](std::size_t i) { return lines_[i].offset + lines_[i].slope * y; };
    while (current_ + 1 < lines_.size() && value(current_ + 1) <= value(current_)) {
        ++current_;
    }
    return value(current_);
}

namespace {

double value_of(const std::vector<double>& values, long at)
{
    return values[static_cast<std::size_t>(at)];
}

void maxima_of_nested(std::vector<long>& best, const std::vector<double>& values, const std::vector<Window>& windows,
                      std::size_t nested)
{
    long low = 0;
    long high = -1;
    long top = -1;
    const auto take = [&](long at) {
        const bool better = top < 0 || value_of(values, at) > value_of(values, top) ||
                            (value_of(values, at) == value_of(values, top) && at > top);
        top = better ? at : top;
    };
    for (std::size_t i = 0; i < nested; ++i) {
        if (windows[i].low > windows[i].high) {
            continue;
        }
        if (top < 0) {
            low = windows[i].low;
            high = low - 1;
        }
        while (high < windows[i].high) {
            take(++high);
        }
        while (low > windows[i].low) {
            take(--low);
        }
        best[i] = top;
    }
}

void maxima_of_moving(std::vector<long>& best, const std::vector<double>& values, const std::vector<Window>& windows,
                      std::size_t nested)
{
    std::vector<long> falling; // candidates from `front` on, values strictly falling
    falling.reserve(values.size());
    std::size_t front = 0;
    long seen = -1;
    for (std::size_t i = windows.size(); i-- > nested;) {
        for (; seen < windows[i].high; ++seen) {
            while (falling.size() > front && value_of(values, falling.back()) <= value_of(values, seen + 1)) {
                falling.pop_back();
            }
            falling.push_back(seen + 1);
        }
        while (falling.size() > front && falling[front] < windows[i].low) {
            ++front;
        }
        if (windows[i].low <= windows[i].high && falling.size() > front) {
            best[i] = falling[front];
        }
    }
}

} // namespace

std::vector<long> window_maxima(const std::vector<double>& values, const std::vector<Window>& windows,
                                std::size_t nested)
{
    std::vector<long> best(windows.size(), -1);
    maxima_of_nested(best, values, windows, nested);
    maxima_of_moving(best, values, windows, nested);
    return best;
}

} // namespace trenchwright
