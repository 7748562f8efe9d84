#include "trenchwright/site/far.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/site/load.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// Vertices of all features of a part that pass the test.
template <class Test> std::vector<Point> corners(const std::vector<PartLayer>& layers, std::string_view part, Test test)
{
    std::vector<Point> points;
    for (const auto& layer : layers) {
        if (!part.empty() && layer.part->name != part) {
            continue;
        }
        for (const auto& feature : layer.placed.data.features) {
            if (test(Row(layer, feature))) {
                const auto more = vertices_of(feature.shape);
                points.insert(points.end(), more.begin(), more.end());
            }
        }
    }
    return points;
}

std::size_t lots_in(const std::vector<PartLayer>& layers)
{
    std::size_t count = 0;
    for (const auto& layer : layers) {
        count += layer.part->name == "parcel" ? layer.placed.data.features.size() : 0;
    }
    return count;
}

/// Corners that show where the lot is.
std::vector<Point> corners_of_lot(const std::vector<PartLayer>& layers, const SiteLayers& job)
{
    const auto any = [](const Row&) { return true; };
    const auto named = [&](const Row& row) { return is_one_of(row.raw("id").value_or(""), job.parcel_ids); };
    auto points = job.parcel_ids.empty() ? std::vector<Point>{} : corners(layers, "parcel", named);
    if (points.empty() && lots_in(layers) == 1) {
        points = corners(layers, "parcel", any);
    }
    for (const std::string_view part : {"foundation", "parcel", "sources", ""}) {
        points = points.empty() ? corners(layers, part, any) : points;
    }
    return points;
}

double median_m(std::vector<double> values_m)
{
    const auto mid = values_m.begin() + static_cast<std::ptrdiff_t>(values_m.size() / 2);
    std::nth_element(values_m.begin(), mid, values_m.end());
    return *mid;
}

Point middle_of(const std::vector<Point>& points)
{
    std::vector<double> xs;
    std::vector<double> ys;
    for (const auto& p : points) {
        xs.push_back(p.x_m);
        ys.push_back(p.y_m);
    }
    return {.x_m = median_m(std::move(xs)), .y_m = median_m(std::move(ys))};
}

Polyline line_of(const ShapeLine& vertices)
{
    Polyline line;
    std::ranges::transform(vertices, std::back_inserter(line),
                           [](const ShapePoint& p) { return Point{.x_m = p.x, .y_m = p.y}; });
    return line;
}

/// One layer against the distance.
class Limit {
  public:
    Limit(Point middle, double farthest_m, const PartLayer& layer)
        : middle_(middle), farthest_m_(farthest_m), layer_(&layer)
    {
    }

    /// Whether the shape lies beyond the distance as a whole. @throws Error for one vertex too far
    [[nodiscard]] bool beyond(const Feature& feature, const ShapePoint& p) const
    {
        const auto far = is_far(p);
        if (far && of_the_lot(*layer_->part)) {
            refuse(feature, p);
        }
        return far;
    }
    [[nodiscard]] bool beyond(const Feature& feature, const ShapeLine& line) const
    {
        return beyond(feature, line, [&] { return distance_m(middle_, line_of(line)); });
    }
    [[nodiscard]] bool beyond(const Feature& feature, const ShapeArea& area) const
    {
        const bool out = beyond(feature, area.outer, [&] {
            return distance_m(middle_, Polygon{.outer = line_of(area.outer), .holes = {}});
        });
        for (const auto& hole : area.holes) {
            const auto first = first_far(hole);
            if (!out && first != hole.end()) {
                refuse(feature, *first);
            }
        }
        return out;
    }

  private:
    [[nodiscard]] bool is_far(const ShapePoint& p) const
    {
        return !(distance_m(middle_, {.x_m = p.x, .y_m = p.y}) <= farthest_m_);
    }
    [[nodiscard]] ShapeLine::const_iterator first_far(const ShapeLine& line) const
    {
        return std::ranges::find_if(line, [&](const ShapePoint& p) { return is_far(p); });
    }
    template <class Away> [[nodiscard]] bool beyond(const Feature& feature, const ShapeLine& outline, Away away_m) const
    {
        const auto first = first_far(outline);
        if (first == outline.end()) {
            return false;
        }
        // Between far vertices an edge may still pass by the lot.
        const bool all = std::ranges::all_of(outline, [&](const ShapePoint& p) { return is_far(p); });
        if (!all || of_the_lot(*layer_->part) || !(away_m() > farthest_m_)) {
            refuse(feature, *first);
        }
        return true;
    }
    [[noreturn]] void refuse(const Feature& feature, const ShapePoint& p) const
    {
        const Point at{.x_m = p.x, .y_m = p.y};
        const double away_m = distance_m(middle_, at);
        const auto units = layer_->job->print_units;
        const bool sayable = away_m < 1e7;
        throw Error(ErrorKind::input,
                    fmt::format("{}: the vertex at {} lies {} from the lot, and nothing farther than {} is believed. "
                                "Look for a digit, a sign or a swapped pair; if the place is right, set "
                                "reading.farthest larger",
                                where(layer_->placed.data, feature.id), place_in_file(layer_->placed, at),
                                sayable ? length_text(away_m, units) : "farther than the other side of the earth",
                                length_text(farthest_m_, units)));
    }

    Point middle_;
    double farthest_m_;
    const PartLayer* layer_;
};

/// Takes out of a feature what lies beyond; true when nothing of it is left.
bool all_taken_out(Feature& feature, const Limit& limit)
{
    const auto thin = [&]<class Part>(std::vector<Part>& parts) {
        std::vector<Part> kept;
        std::ranges::copy_if(parts, std::back_inserter(kept),
                             [&](const Part& part) { return !limit.beyond(feature, part); });
        if (kept.empty()) {
            return true;
        }
        parts = std::move(kept);
        return false;
    };
    if (auto* points = std::get_if<std::vector<ShapePoint>>(&feature.shape)) {
        return thin(*points);
    }
    if (auto* lines = std::get_if<std::vector<ShapeLine>>(&feature.shape)) {
        return thin(*lines);
    }
    auto* areas = std::get_if<std::vector<ShapeArea>>(&feature.shape);
    return areas != nullptr && thin(*areas);
}

Finding left_out(const PartLayer& layer, std::size_t count, long long first_id)
{
    const auto& data = layer.placed.data;
    return {.severity = Severity::warning,
            .rule = "site.far_outside",
            .text = fmt::format("{}, layer {}: {} of {} features lie more than {} from the lot and are left out, the "
                                "first is feature {}",
                                layer.use->file.filename().string(), data.layer, count, data.features.size(),
                                length_text(layer.job->reading.farthest_m, layer.job->print_units), first_id),
            .at = {},
            .station_m = {}};
}

} // namespace

void refuse_all(const PartLayer& layer)
{
    const auto& data = layer.placed.data;
    throw Error(ErrorKind::input,
                fmt::format("{}, layer {}: none of its {} features lies within {} of the lot; look at its coordinate "
                            "system and its unit, or set reading.farthest larger",
                            data.file.string(), data.layer, std::max(data.features.size(), data.in_file),
                            length_text(layer.job->reading.farthest_m, layer.job->print_units)));
}

std::vector<Finding> hold_to_the_lot(std::vector<PartLayer>& layers, const SiteLayers& job)
{
    const auto points = corners_of_lot(layers, job);
    std::vector<Finding> findings;
    if (points.empty()) {
        return findings;
    }
    const auto middle = middle_of(points);
    for (auto& layer : layers) {
        const Limit limit(middle, job.reading.farthest_m, layer);
        auto& features = layer.placed.data.features;
        const auto out = std::stable_partition(features.begin(), features.end(),
                                               [&](Feature& feature) { return !all_taken_out(feature, limit); });
        const auto count = static_cast<std::size_t>(features.end() - out);
        if (count > 0 && count == features.size()) {
            refuse_all(layer);
        }
        if (count > 0) {
            findings.push_back(left_out(layer, count, out->id));
            features.erase(out, features.end());
        }
    }
    return findings;
}

} // namespace trenchwright
