#include "export/world.hpp"

#include "base/error.hpp"

#include <cmath>

namespace trenchwright {

namespace {

double rounded_deg(double angle_deg)
{
    constexpr double steps_per_degree = 1e8;
    return std::round(angle_deg * steps_per_degree) / steps_per_degree;
}

} // namespace

World::World(const Frame& frame, const Point& near) : frame_(frame)
{
    if (frame.wkt.empty()) {
        why_not_ = "the lot was measured by tape and has no coordinate system";
        return;
    }
    try {
        way_.emplace(frame.wkt, system_facts("OGC:CRS84").wkt, to_native(frame, near));
        std::ignore = (*way_)(to_native(frame, near));
    } catch (const Error& error) {
        way_.reset();
        why_not_ = error.what();
    }
}

std::optional<NativePoint> World::operator()(const Point& at) const
{
    if (!way_) {
        return std::nullopt;
    }
    const auto place = (*way_)(to_native(frame_, at));
    return NativePoint{.x = rounded_deg(place.x), .y = rounded_deg(place.y)};
}

} // namespace trenchwright
