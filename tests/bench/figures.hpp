#pragma once

#include <algorithm>
#include <chrono>
#include <utility>
#include <vector>

namespace trenchwright::test {

inline double seconds_of(auto work)
{
    const auto from = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

template <class Row, class Value> std::pair<double, double> median_and_worst(const std::vector<Row>& rows, Value value)
{
    std::vector<double> values;
    for (const auto& row : rows) {
        values.push_back(value(row));
    }
    std::sort(values.begin(), values.end());
    return {values[values.size() / 2], values.back()};
}

} // namespace trenchwright::test
