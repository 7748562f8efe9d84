#include "trenchwright/profile/passing.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/profile/problem.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace trenchwright {

namespace {

using Outcome = std::variant<LaidPast, NoWayPast, Refusal>;

void check_known(const KnownLine& known)
{
    const bool placed = known.span.from_m <= known.span.to_m && std::isfinite(known.span.from_m) &&
                        std::isfinite(known.span.to_m) && std::isfinite(known.station_m);
    const bool sized = known.bottom_elev_m <= known.top_elev_m && std::isfinite(known.bottom_elev_m) &&
                       std::isfinite(known.top_elev_m);
    const bool asked = known.gap_m >= 0 && std::isfinite(known.gap_m);
    if (!placed || !sized || !asked) {
        throw Error(ErrorKind::internal,
                    fmt::format("passing mark {}: station {} m, top {} m, bottom {} m, gap {} m", known.mark,
                                known.station_m, known.top_elev_m, known.bottom_elev_m, known.gap_m));
    }
}

InvertLimit over_limit(const TrenchSection& section, const KnownLine& known)
{
    return {.span = known.span, .lowest_elev_m = known.top_elev_m + known.gap_m + section.wall_m};
}

InvertLimit under_limit(const TrenchSection& section, const KnownLine& known)
{
    InvertLimit limit{.span = known.span};
    limit.highest_elev_m = known.bottom_elev_m - known.gap_m - section.outside_diameter_m + section.wall_m;
    return limit;
}

/// What the joints cost besides the dig; the same sum that lay_profile makes least.
double cost_of(const ProfileProblem& problem, const Profile& profile)
{
    const auto is_joint = [&](const GradePoint& point) {
        return std::none_of(problem.bend_stations_m.begin(), problem.bend_stations_m.end(),
                            [&](double bend) { return std::abs(bend - point.station_m) <= same_station_m; });
    };
    const auto& points = profile.points;
    const auto joints = std::count_if(points.begin() + 1, points.end() - 1, is_joint);
    return profile.dig_cost + static_cast<double>(joints) * problem.min_joint_saving;
}

/// Decides facility by facility; each call lays once and then tries both ways past the first one that is too near.
class PastLayer {
  public:
    explicit PastLayer(std::span<const KnownLine> known) : known_(known) {}

    [[nodiscard]] Outcome lay(const ProfileProblem& problem, std::vector<bool> decided) const
    {
        auto laid = lay_profile(problem);
        if (auto* refusal = std::get_if<Refusal>(&laid)) {
            return std::move(*refusal);
        }
        const auto near = first_too_near(problem, std::get<Profile>(laid), decided);
        if (!near) {
            return LaidPast{.profile = std::get<Profile>(std::move(laid)), .limits = problem.limits};
        }
        decided[*near] = true;
        const KnownLine& known = known_[*near];
        Outcome over = lay_with(problem, over_limit(problem.section, known), decided);
        Outcome under = lay_with(problem, under_limit(problem.section, known), decided);
        if (takes_under(problem, over, under)) {
            return under;
        }
        if (std::holds_alternative<LaidPast>(over)) {
            return over;
        }
        return known.hard ? no_way(*near, over, under) : lay(problem, std::move(decided));
    }

  private:
    [[nodiscard]] Outcome lay_with(ProfileProblem problem, const InvertLimit& limit,
                                   const std::vector<bool>& decided) const
    {
        problem.limits.push_back(limit);
        return lay(problem, decided);
    }

    /// Hard ones come first: a soft gap must not take the room of a hard one.
    [[nodiscard]] std::optional<std::size_t> first_too_near(const ProfileProblem& problem, const Profile& profile,
                                                            const std::vector<bool>& decided) const
    {
        for (const bool hard : {true, false}) {
            for (std::size_t i = 0; i < known_.size(); ++i) {
                const double gap = passing(problem.section, profile.points, known_[i]).gap_m;
                if (known_[i].hard == hard && !decided[i] && gap < known_[i].gap_m - gap_rounding_m) {
                    return i;
                }
            }
        }
        return std::nullopt;
    }

    /// Of the same price the way over is taken, which is the shallower.
    [[nodiscard]] static bool takes_under(const ProfileProblem& problem, const Outcome& over, const Outcome& under)
    {
        const auto* above = std::get_if<LaidPast>(&over);
        const auto* below = std::get_if<LaidPast>(&under);
        if (above == nullptr || below == nullptr) {
            return below != nullptr;
        }
        return cost_of(problem, below->profile) < cost_of(problem, above->profile);
    }

    /// A facility farther along may be what bars one of the ways; then it is the one to name.
    [[nodiscard]] static Outcome no_way(std::size_t known, const Outcome& over, const Outcome& under)
    {
        for (const auto* way : {&over, &under}) {
            if (const auto* other = std::get_if<NoWayPast>(way)) {
                return *other;
            }
        }
        return NoWayPast{.known = known,
                         .over_short_m = std::get<Refusal>(over).short_by_m.value_or(0),
                         .under_short_m = std::get<Refusal>(under).short_by_m.value_or(0)};
    }

    std::span<const KnownLine> known_;
};

} // namespace

PipeBand pipe_band(const TrenchSection& section, std::span<const GradePoint> pipe, const Interval& span)
{
    double lowest = std::min(invert_at_m(pipe, span.from_m), invert_at_m(pipe, span.to_m));
    double highest = std::max(invert_at_m(pipe, span.from_m), invert_at_m(pipe, span.to_m));
    for (const auto& point : pipe) {
        if (point.station_m > span.from_m && point.station_m < span.to_m) {
            lowest = std::min(lowest, point.invert_elev_m);
            highest = std::max(highest, point.invert_elev_m);
        }
    }
    return {.bottom_elev_m = lowest - section.wall_m,
            .top_elev_m = highest - section.wall_m + section.outside_diameter_m};
}

Passing passing(const TrenchSection& section, std::span<const GradePoint> pipe, const KnownLine& known)
{
    const auto band = pipe_band(section, pipe, known.span);
    const double over = band.bottom_elev_m - known.top_elev_m;
    const double under = known.bottom_elev_m - band.top_elev_m;
    return {.over = over >= under, .gap_m = std::max(over, under)};
}

std::variant<LaidPast, NoWayPast, Refusal> lay_past(const ProfileProblem& problem, std::span<const KnownLine> known)
{
    std::for_each(known.begin(), known.end(), check_known);
    return PastLayer(known).lay(problem, std::vector<bool>(known.size()));
}

} // namespace trenchwright
