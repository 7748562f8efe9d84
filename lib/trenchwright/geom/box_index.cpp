#include "trenchwright/geom/box_index.hpp"

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/index/rtree.hpp>
#include <iterator>
#include <utility>

namespace trenchwright {

namespace {

namespace bg = boost::geometry;
using Corner = bg::model::point<double, 2, bg::cs::cartesian>;
using Bounds = bg::model::box<Corner>;
using Entry = std::pair<Bounds, int>;

Bounds bounds_of(const Box& box)
{
    return {{box.min_x_m, box.min_y_m}, {box.max_x_m, box.max_y_m}};
}

} // namespace

struct BoxIndex::State {
    bg::index::rtree<Entry, bg::index::quadratic<16>> tree;
};

BoxIndex::BoxIndex() : state_(std::make_unique<State>()) {}
BoxIndex::BoxIndex(BoxIndex&&) noexcept = default;
BoxIndex& BoxIndex::operator=(BoxIndex&&) noexcept = default;
BoxIndex::~BoxIndex() = default;

void BoxIndex::insert(int id, const Box& box)
{
    state_->tree.insert({bounds_of(box), id});
}

void BoxIndex::erase(int id, const Box& box)
{
    state_->tree.remove({bounds_of(box), id});
}

std::vector<int> BoxIndex::near(const Box& box) const
{
    std::vector<int> ids;
    for (auto it = state_->tree.qbegin(bg::index::intersects(bounds_of(box))); it != state_->tree.qend(); ++it) {
        ids.push_back(it->second);
    }
    std::ranges::sort(ids);
    return ids;
}

} // namespace trenchwright
