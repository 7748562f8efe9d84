#include "trenchwright/export/exchange/world.hpp"

#include "trenchwright/base/error.hpp"

#include <cmath>
#include <tuple>
#include <utility>

namespace trenchwright {

namespace {

double rounded_deg(double angle_deg)
{
    constexpr double steps_per_degree = 1e8;
    return std::round(angle_deg * steps_per_degree) / steps_per_degree;
}

/// PROJ looks through its whole list of operations for one, and every output of a job asks for the same: the last one
/// stays.
std::shared_ptr<const Transform> way_to_world(const std::string& wkt, const NativePoint& near)
{
    struct Known {
        std::string wkt;
        NativePoint near;
        std::shared_ptr<const Transform> way;
    };
    thread_local Known last;
    if (!last.way || last.wkt != wkt || last.near.x != near.x || last.near.y != near.y) {
        auto way = std::make_shared<const Transform>(wkt, system_facts("OGC:CRS84").wkt, near);
        std::ignore = (*way)(near);
        last = {.wkt = wkt, .near = near, .way = std::move(way)};
    }
    return last.way;
}

} // namespace

World::World(const Frame& frame, const Point& near) : frame_(frame)
{
    if (frame.wkt.empty()) {
        why_not_ = "the lot was measured by tape and has no coordinate system";
        return;
    }
    try {
        way_ = way_to_world(frame.wkt, to_native(frame, near));
    } catch (const Error& error) {
        why_not_ = error.what();
    }
}

World site_world(const JobPlan& plan)
{
    return {plan.site.frame, plan.site.sources.front().at};
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
