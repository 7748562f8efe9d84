#include "trenchwright/ground/surface_uncertainty.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/geom/measure.hpp"
#include "trenchwright/ground/leave_one_out.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace trenchwright {

namespace {

double rise_m2(const Point& a, const Point& b, double exponent_factor)
{
    return std::pow(distance_m(a, b), exponent_factor);
}

} // namespace

std::optional<SurfaceUncertainty> SurfaceUncertainty::of(const Ground& ground, const std::vector<bool>& chosen,
                                                         const UncertaintyRules& rules)
{
    SurfaceUncertainty uncertainty(ground, rules);
    double errors_m2 = 0;
    double shots_m2 = 0;
    double shapes_m2 = 0;
    for (const auto& spot : left_out(ground.points(), ground.triangles(), chosen)) {
        const auto& points = ground.points();
        const auto corner = [&](std::size_t i) { return flat(points[static_cast<std::size_t>(spot.corners.at(i))]); };
        const Stencil stencil{.places = {flat(points[spot.spot]), corner(0), corner(1), corner(2)},
                              .weights = {1, -spot.shares[0], -spot.shares[1], -spot.shares[2]},
                              .corners = spot.corners};
        Missed missed{.at = stencil.places[0],
                      .by_m2 = spot.error_m * spot.error_m,
                      .shape_m2 = uncertainty.shape_m2(stencil, stencil)};
        for (const double weight : stencil.weights) {
            missed.shots_m2 += weight * weight * rules.shot_error_m * rules.shot_error_m;
        }
        errors_m2 += missed.by_m2;
        shapes_m2 += missed.shape_m2;
        shots_m2 += missed.shots_m2;
        uncertainty.missed_.push_back(missed);
    }
    if (!(shapes_m2 > 0)) {
        return std::nullopt;
    }
    uncertainty.squared_rise_m2_ = std::max(0.0, (errors_m2 - shots_m2) / shapes_m2);
    return uncertainty;
}

RoughnessCheck SurfaceUncertainty::beside(std::span<const Polyline> lines) const
{
    RoughnessCheck check;
    double missed_m2 = 0;
    double rough_m2 = 0;
    double shots_m2 = 0;
    for (const auto& missed : missed_) {
        const auto near = [&](const Polyline& line) { return distance_m(missed.at, line) <= rules_.beside_m; };
        if (std::ranges::any_of(lines, near)) {
            ++check.shots;
            missed_m2 += missed.by_m2;
            rough_m2 += squared_rise_m2_ * missed.shape_m2;
            shots_m2 += missed.shots_m2;
        }
    }
    constexpr std::size_t fewest = 3;
    if (check.shots < fewest) {
        return check;
    }
    const auto count = static_cast<double>(check.shots);
    check.missed_m = std::sqrt(missed_m2 / count);
    check.expected_m = std::sqrt((rough_m2 + shots_m2) / count);
    const double factor = rules_.fit_factor;
    const bool smoother = check.missed_m * factor < check.expected_m && rough_m2 > shots_m2;
    check.fits = !smoother && check.missed_m <= check.expected_m * factor;
    return check;
}

std::vector<double> SurfaceUncertainty::covariance_m2(std::span<const Point> places) const
{
    std::vector<Stencil> stencils;
    for (const auto& place : places) {
        stencils.push_back(stencil_at(place));
    }
    const double shot_m2 = rules_.shot_error_m * rules_.shot_error_m;
    std::vector<double> covariance(places.size() * places.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
        for (std::size_t k = 0; k <= i; ++k) {
            double shared = 0; // shots that both lean on
            for (std::size_t a = 0; a < 3; ++a) {
                for (std::size_t b = 0; b < 3; ++b) {
                    if (stencils[i].corners.at(a) == stencils[k].corners.at(b)) {
                        shared += stencils[i].weights.at(a + 1) * stencils[k].weights.at(b + 1);
                    }
                }
            }
            const double both = squared_rise_m2_ * shape_m2(stencils[i], stencils[k]) + shot_m2 * shared;
            covariance[i * places.size() + k] = both;
            covariance[k * places.size() + i] = both;
        }
    }
    return covariance;
}

SurfaceUncertainty::Stencil SurfaceUncertainty::stencil_at(const Point& place) const
{
    const auto& points = ground_->points();
    // Far more than rounding puts a place beside the hull, and its reach, in which the hull's own triangles are the
    // best there is.
    const double beside_m = 1e-3 + 1.01 * ground_->edge_reach_m();
    if (ground_->outside_by_m(place) > beside_m) {
        throw Error(ErrorKind::internal, "doubt of the ground asked for outside of it");
    }
    Stencil best;
    double best_least = -std::numeric_limits<double>::infinity();
    for (const auto& t : ground_->triangles()) {
        const std::array<int, 3> corners{t.a, t.b, t.c};
        const auto a = flat(points[static_cast<std::size_t>(t.a)]);
        const auto b = flat(points[static_cast<std::size_t>(t.b)]);
        const auto c = flat(points[static_cast<std::size_t>(t.c)]);
        const auto shares = shares_in(place, a, b, c);
        const double least = std::min({shares[0], shares[1], shares[2]});
        if (least > best_least) {
            best_least = least;
            best = {.places = {place, a, b, c}, .weights = {1, -shares[0], -shares[1], -shares[2]}, .corners = corners};
        }
        if (least >= 0) {
            return best;
        }
    }
    return best;
}

double SurfaceUncertainty::shape_m2(const Stencil& a, const Stencil& b) const
{
    double sum = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        for (std::size_t k = 0; k < 4; ++k) {
            sum -= a.weights.at(i) * b.weights.at(k) *
                   rise_m2(a.places.at(i), b.places.at(k), rules_.roughness_factor) / 2;
        }
    }
    return sum;
}

} // namespace trenchwright
