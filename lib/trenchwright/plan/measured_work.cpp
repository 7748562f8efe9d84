#include "trenchwright/base/text.hpp"
#include "trenchwright/geom/along.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>
#include <utility>

namespace trenchwright {

namespace {

/// A range of cuts that is dug at one pace.
struct DepthBand {
    double from_m = 0;
    double to_m = 0;
    double hours_factor = 1;
    std::string words;
};

std::vector<DepthBand> bands_of(const RateBook& book, UnitSystem units)
{
    std::vector<DepthBand> bands{{.from_m = -std::numeric_limits<double>::infinity(),
                                  .to_m = std::numeric_limits<double>::infinity(),
                                  .hours_factor = 1,
                                  .words = ""}};
    for (const auto& step : book.depths) {
        bands.back().to_m = step.from_m;
        bands.push_back({.from_m = step.from_m,
                         .to_m = std::numeric_limits<double>::infinity(),
                         .hours_factor = step.hours_factor,
                         .words = fmt::format("{} and deeper", depth_text(step.from_m, units))});
    }
    return bands;
}

/// Where the cut lies in a band; between two breaks it runs straight, so the places it enters are exact.
std::vector<Interval> spans_in(const TrenchPlan& trench, const Interval& span, const DepthBand& band)
{
    const auto cut_at = [&](double station) { return cut_at_m(trench.laid.problem, trench.laid.profile, station); };
    std::vector<double> stations{span.from_m, span.to_m};
    const auto breaks = break_stations_m(trench.laid.problem, trench.laid.profile.points);
    for (std::size_t i = 1; i < breaks.size(); ++i) {
        const double rise = cut_at(breaks[i]) - cut_at(breaks[i - 1]);
        for (const double limit : {band.from_m, band.to_m}) {
            const double share = std::isfinite(limit) && rise != 0 ? (limit - cut_at(breaks[i - 1])) / rise : 0;
            stations.push_back(breaks[i - 1] + std::clamp(share, 0.0, 1.0) * (breaks[i] - breaks[i - 1]));
        }
    }
    std::erase_if(stations, [&](double s) { return s < span.from_m || s > span.to_m; });
    std::ranges::sort(stations);
    std::vector<Interval> inside;
    for (std::size_t i = 1; i < stations.size(); ++i) {
        const double cut = cut_at((stations[i - 1] + stations[i]) / 2);
        if (stations[i] > stations[i - 1] && cut >= band.from_m && cut < band.to_m) {
            inside.push_back({stations[i - 1], stations[i]});
        }
    }
    return merged(std::move(inside));
}

/// Collects the work of one trench.
class Trench {
  public:
    Trench(const PriceBasis& basis, const TrenchPlan& trench, Paving paving, std::vector<Measured>& work)
        : basis_(basis), trench_(trench), source_(basis.site.sources[trench.source]), work_(work)
    {
        if (paving == Paving::bored) {
            find_bored();
        }
    }

    void dig()
    {
        std::vector<Interval> by_hand;
        for (const auto& zone : trench_.measured.zones) {
            by_hand.push_back(zone.span);
        }
        by_hand = merged(by_hand);
        const auto by_machine = minus(minus({{0, trench_.measured.quantities.length_m}}, by_hand), bored_);
        dig_spans("machine_dig", "machine_length", by_machine, total_m(by_machine));
        add("sidewalk_bore", total_m(bored_), bored_);
        by_hand = minus(by_hand, trench_.safety.bored);
        dig_spans("hand_dig", "hand_length", by_hand, total_m(by_hand));
        add("root_bore", total_m(trench_.safety.bored), trench_.safety.bored);
        add("haul", trench_.measured.quantities.haul_loose_m3, {});
    }

    /// Sloped or shored sides, beside the trench itself.
    void protect()
    {
        for (const auto& stretch : trench_.safety.protection) {
            for (const auto& [key, volume_m3] :
                 {std::pair{"machine_dig", stretch.extra_machine_m3}, std::pair{"hand_dig", stretch.extra_hand_m3}}) {
                if (volume_m3 > 0) {
                    work_.push_back({.key = key,
                                     .detail = "side slopes",
                                     .trench = source_.id,
                                     .quantity = volume_m3,
                                     .stations = {stretch.cut.span}});
                }
            }
            add("shoring", stretch.face_m2, {stretch.cut.span});
        }
    }

    /// Without any mark nobody knows how many lines the trench crosses.
    void expose()
    {
        if (basis_.site.marks.empty()) {
            work_.push_back({.key = "expose", .detail = "", .trench = source_.id, .stations = {}, .known = false});
            return;
        }
        std::vector<Interval> at;
        for (const auto& crossing : trench_.measured.crossings) {
            at.push_back({crossing.station_m, crossing.station_m});
        }
        const auto count = static_cast<double>(at.size());
        add("expose", count, std::move(at));
    }

    void lay()
    {
        const auto& q = trench_.measured.quantities;
        add(pipe_item(basis_.rules), q.length_m, {});
        add("bedding", q.bedding_m3, {});
        bends("", trench_.line.bends);
        bends("vertical", vertical());
        anchors();
        const double end_m = trench_.laid.reduced ? trench_.laid.reduced->length_m : 0;
        add("reducer", trench_.laid.reduced ? 1 : 0, {{end_m, end_m}});
        shallow();
        if (trench_.joins) {
            add("wye", 1, {{0, 0}});
        }
        std::vector<Interval> at;
        for (const auto& cleanout : trench_.laid.cleanouts) {
            at.push_back({cleanout.station_m, cleanout.station_m});
        }
        add("cleanout", static_cast<double>(trench_.laid.cleanouts.size()), std::move(at));
        const bool pump = source_.kind == SourceKind::pump;
        add(pump ? "pump_connection" : "adapter", 1, {{q.length_m, q.length_m}});
        add("wall_core", passes_wall(source_) ? 1 : 0, {{q.length_m, q.length_m}});
    }

    void put_back()
    {
        for (const auto& [kind, area_m2] : trench_.measured.quantities.restore_m2) {
            std::vector<Interval> spans;
            for (const auto& [span, what] : trench_.line.facts.surface) {
                if (what == kind) {
                    spans.push_back(span);
                }
            }
            const double all_m = total_m(merged(spans));
            spans = minus(merged(spans), bored_);
            const double share = all_m > 0 ? total_m(spans) / all_m : 1;
            if (area_m2 * share > 0) {
                work_.push_back({.key = "restore." + kind,
                                 .detail = display_name(kind),
                                 .trench = source_.id,
                                 .quantity = area_m2 * share,
                                 .stations = std::move(spans)});
            }
        }
    }

  private:
    void find_bored()
    {
        for (const auto& [span, kind] : trench_.line.facts.surface) {
            const bool marked = std::ranges::any_of(trench_.measured.zones, [&, at = span](const HandDigZone& zone) {
                return zone.span.from_m < at.to_m && zone.span.to_m > at.from_m;
            });
            if (!marked && (kind == "sidewalk" || kind == "public_sidewalk")) {
                bored_.push_back(span);
            }
        }
        bored_ = merged(bored_);
    }

    void add(const std::string& key, double quantity, std::vector<Interval> stations, const std::string& detail = "")
    {
        if (quantity > 0) {
            work_.push_back({.key = key,
                             .detail = detail,
                             .trench = source_.id,
                             .quantity = quantity,
                             .stations = std::move(stations)});
        }
    }

    void dig_spans(const std::string& by_volume, const std::string& by_length, const std::vector<Interval>& spans,
                   double length_m)
    {
        for (const auto& band : bands_of(basis_.book, basis_.rules.units)) {
            Measured part{.key = by_volume,
                          .detail = band.words,
                          .trench = source_.id,
                          .quantity = 0,
                          .stations = {},
                          .depth_hours_factor = band.hours_factor};
            for (const auto& span : spans) {
                for (const auto& inside :
                     basis_.book.depths.empty() ? std::vector{span} : spans_in(trench_, span, band)) {
                    part.quantity += trench_volume_m3(trench_.laid.problem, trench_.laid.profile, inside);
                    part.stations.push_back(inside);
                }
            }
            if (part.quantity > 0) {
                work_.push_back(std::move(part));
            }
        }
        if (basis_.book.items.contains(by_length)) { // one of two ways to price a dig: left out it is not missing
            add(by_length, length_m, spans);
        }
    }

    [[nodiscard]] std::vector<Bend> vertical() const
    {
        std::vector<Bend> bends;
        for (const auto& one : trench_.laid.grades.bends) {
            bends.push_back(one.bend);
        }
        return bends;
    }

    void anchors()
    {
        std::vector<Interval> spans;
        std::size_t count = 0;
        for (const auto& stretch : trench_.laid.grades.anchored) {
            spans.push_back(stretch.span);
            count += stretch.anchors;
        }
        add("anchor", static_cast<double>(count), std::move(spans));
    }

    void shallow()
    {
        std::vector<Interval> spans;
        for (const auto& stretch : trench_.laid.shallow) {
            spans.push_back(stretch.span);
        }
        spans = merged(std::move(spans));
        const double length_m = total_m(spans);
        add("shallow_cover", length_m, std::move(spans));
    }

    void bends(const std::string& detail, const std::vector<Bend>& all)
    {
        constexpr std::array<const char*, 4> keys{"bend_11", "bend_22", "bend_45", "bend_90"};
        constexpr std::array<double, 4> degrees{11.25, 22.5, 45, 90};
        for (std::size_t i = 0; i < keys.size(); ++i) {
            std::vector<Interval> at;
            for (const auto& bend : all) {
                for (const double angle_rad : bend.fitting_angles_rad) {
                    if (std::abs(angle_rad * 180 / std::numbers::pi - degrees.at(i)) < 0.01) {
                        at.push_back({bend.station_m, bend.station_m});
                    }
                }
            }
            const auto count = static_cast<double>(at.size());
            add(keys.at(i), count, std::move(at), detail);
        }
        std::vector<Interval> at;
        for (const auto& bend : all) {
            if (bend.fitting_angles_rad.empty() && bend.price > 0) {
                at.push_back({bend.station_m, bend.station_m});
            }
        }
        const auto count = static_cast<double>(at.size());
        add("coupling", count, std::move(at), detail);
    }

    const PriceBasis& basis_;
    const TrenchPlan& trench_;
    const Source& source_;
    std::vector<Measured>& work_;
    std::vector<Interval> bored_;
};

bool enters_street(const Site& site, const std::vector<const TrenchPlan*>& trenches)
{
    return std::ranges::any_of(trenches, [&](const TrenchPlan* trench) {
        return std::ranges::any_of(site.right_of_way, [&](const Polygon& strip) {
            return total_m(spans_inside(trench->line.route.line, strip)) > 0;
        });
    });
}

const char* outlet_key(OutletKind kind)
{
    switch (kind) {
    case OutletKind::curb: return "outlet_curb";
    case OutletKind::popup: return "outlet_popup";
    case OutletKind::inlet: return "outlet_inlet";
    case OutletKind::swale: return "outlet_swale";
    }
    return "outlet_popup";
}

/// What comes once for a job.
void add_job_work(std::vector<Measured>& work, const PriceBasis& basis, const std::vector<const TrenchPlan*>& trenches,
                  std::size_t outlet)
{
    const auto once = [&](const std::string& key, double quantity) {
        if (quantity > 0) {
            work.push_back({.key = key, .detail = "", .trench = "", .quantity = quantity, .stations = {}});
        }
    };
    const auto ends = std::ranges::count_if(trenches, [](const TrenchPlan* trench) { return !trench->joins; });
    once(outlet_key(basis.site.outlets[outlet].kind), static_cast<double>(ends));
    once("private_locate", 1);
    once("irrigation_repair", 1);
    once("traffic_control", enters_street(basis.site, trenches) ? 1 : 0);
    once("as_built", 1);
    once("mobilization", 1);
    if (basis.footing) {
        once("inside_dig", basis.footing->cut_m3);
        once("inside_stone", basis.footing->stone_m3);
        once("inside_pipe", basis.footing->length_m);
    }
}

} // namespace

std::vector<Measured> trench_work(const PriceBasis& basis, const std::vector<const TrenchPlan*>& trenches,
                                  Paving paving)
{
    std::vector<Measured> work;
    using Step = void (Trench::*)();
    for (const Step step : {&Trench::dig, &Trench::protect, &Trench::expose, &Trench::lay, &Trench::put_back}) {
        for (const auto* trench : trenches) {
            (Trench(basis, *trench, paving, work).*step)();
        }
    }
    return work;
}

std::vector<Measured> measured_work(const PriceBasis& basis, const OutletOutcome& outcome, Paving paving)
{
    const auto trenches = trenches_of(&outcome);
    auto work = trench_work(basis, trenches, paving);
    add_job_work(work, basis, trenches, outcome.outlet);
    return work;
}

} // namespace trenchwright
