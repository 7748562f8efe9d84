#include "trenchwright/page/scale.hpp"

#include <cmath>
#include <fmt/format.h>
#include <span>

namespace trenchwright {

namespace {

constexpr double pt_in_m = inch_in_m / 72;

// Usual drawing scales of the trade: feet to one inch, and paper ratios.
constexpr double plan_feet[] = {10, 20, 30, 40, 50, 60, 80, 100, 200, 300, 400, 500, 1000};
constexpr double plan_ratios[] = {100, 125, 200, 250, 300, 400, 500, 1000, 1250, 2000, 2500, 5000, 10000};
constexpr double along_feet[] = {5, 10, 20, 30, 40, 50, 60, 80, 100, 200, 500, 1000};
constexpr double up_feet[] = {0.5, 1, 2, 3, 4, 5, 8, 10, 20, 50, 100};
constexpr double along_ratios[] = {50, 75, 100, 125, 200, 250, 500, 1000, 2000, 5000, 10000};
constexpr double up_ratios[] = {10, 20, 25, 40, 50, 100, 200, 250, 500, 1000};

DrawScale feet_scale(double feet)
{
    return {.meters_per_pt = feet * ft_in_m / 72, .text = fmt::format("1 in = {:g} ft", feet)};
}

DrawScale ratio_scale(double ratio)
{
    return {.meters_per_pt = ratio * pt_in_m, .text = fmt::format("1:{:g}", ratio)};
}

/// First (largest) scale of the list that fits; past its end the last one is doubled until it does.
DrawScale first_fitting(double needed_m_per_pt, std::span<const double> list, UnitSystem units)
{
    const auto make = units == UnitSystem::us ? feet_scale : ratio_scale;
    for (const double value : list) {
        if (make(value).meters_per_pt >= needed_m_per_pt) {
            return make(value);
        }
    }
    double value = list.back();
    while (std::isfinite(needed_m_per_pt) && make(value).meters_per_pt < needed_m_per_pt) {
        value *= 2;
    }
    return make(value);
}

} // namespace

DrawScale plan_scale(double width_m, double height_m, const PageSize& room, UnitSystem units)
{
    const double needed = std::max(width_m / room.width_pt, height_m / room.height_pt);
    return units == UnitSystem::us ? first_fitting(needed, plan_feet, units)
                                   : first_fitting(needed, plan_ratios, units);
}

std::optional<DrawScale> scale_from(const std::vector<double>& list, double needed_m_per_pt, UnitSystem units)
{
    for (const double value : list) {
        auto scale = units == UnitSystem::us ? feet_scale(value) : ratio_scale(value);
        if (scale.meters_per_pt >= needed_m_per_pt) {
            return scale;
        }
    }
    return std::nullopt;
}

ProfileScale profile_scale(double length_m, double height_m, const PageSize& room, UnitSystem units)
{
    const bool us = units == UnitSystem::us;
    const auto fit = [&](double needed, std::span<const double> feet, std::span<const double> ratios) {
        return first_fitting(needed, us ? feet : ratios, units);
    };
    ProfileScale scale{.along = fit(length_m / room.width_pt, along_feet, along_ratios),
                       .up = fit(height_m / room.height_pt, up_feet, up_ratios)};
    if (scale.up.meters_per_pt > scale.along.meters_per_pt) {
        scale.along = scale.up; // never flatter than true
    }
    return scale;
}

double round_step_ratio(double span_ratio, int max_parts)
{
    const double least = span_ratio / max_parts;
    const double power = std::pow(10, std::floor(std::log10(least)));
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (factor * power >= least * (1 - 1e-9)) {
            return factor * power;
        }
    }
    return 10 * power;
}

std::string ProfileScale::stretch_words() const
{
    const double ratio = stretch_ratio();
    const bool true_to_nature = std::abs(ratio - 1) < 5e-4; // would be printed as 1
    return true_to_nature ? std::string("no vertical exaggeration")
                          : fmt::format("vertical exaggeration {:.3g}x", ratio);
}

} // namespace trenchwright
