#pragma once

#include <algorithm>
#include <bit>
#include <cstdint>
#include <optional>
#include <vector>

namespace trenchwright {

/// A priority queue for bounded integer keys: items in buckets of equal width, emptied in order.
///
/// Within a bucket the order is last in, first out, so an item may be popped before a slightly smaller one. Callers
/// that relax (push again when a value improves, skip items whose key is no longer the value's) stay exact: nothing is
/// final before the queue is empty, and the last improvement of each value is always popped. A bucket no wider than the
/// least difference between a value and what it leads to costs no second look (Denardo and Fox 1979, from memory).
/// A key below the bucket being emptied joins that bucket, and one below 0 the first.
class BucketQueue {
  public:
    struct Item {
        std::int64_t key = 0;
        std::int32_t id = 0;
    };

    /// @param width  of a bucket, at least 1; taken down to a power of two, which costs no division
    explicit BucketQueue(std::int64_t width)
        : shift_(static_cast<int>(std::bit_width(static_cast<std::uint64_t>(width))) - 1)
    {
    }

    void push(std::int64_t key, std::int32_t id)
    {
        const auto bucket = std::max(current_, static_cast<std::size_t>(std::max<std::int64_t>(0, key) >> shift_));
        if (bucket >= buckets_.size()) {
            buckets_.resize(bucket + 1);
        }
        buckets_[bucket].push_back({key, id});
    }

    /// Nothing when empty.
    std::optional<Item> pop()
    {
        while (current_ < buckets_.size() && buckets_[current_].empty()) {
            buckets_[current_] = {};
            ++current_;
        }
        if (current_ >= buckets_.size()) {
            return std::nullopt;
        }
        const Item item = buckets_[current_].back();
        buckets_[current_].pop_back();
        return item;
    }

  private:
    int shift_;
    std::size_t current_ = 0;
    std::vector<std::vector<Item>> buckets_;
};

} // namespace trenchwright
