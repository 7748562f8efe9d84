#include "trenchwright/export/exchange/world.hpp"
#include "trenchwright/export/gpkg_table.hpp"
#include "trenchwright/export/plan_layers.hpp"
#include "trenchwright/export/words.hpp"
#include "trenchwright/plan/potholes.hpp"

namespace trenchwright {

namespace {

/// A pothole on the map with its place in the order of digging.
struct ShownHole {
    const JobPlan* plan = nullptr;
    const Outlet* outlet = nullptr;
    long long rank = 0;
    long long order = 0;
    Pothole hole;
    std::optional<NativePoint> place; ///< longitude and latitude
    [[nodiscard]] const Mark& mark() const { return plan->site.marks.at(hole.at().mark); }
};

std::optional<double> conflict_m(const CrossingRecord& record, double Interval::* end)
{
    return record.conflict_depth_m.to_m > 0 ? std::optional(record.conflict_depth_m.*end) : std::nullopt;
}

std::optional<double> degrees(const ShownHole& shown, double NativePoint::* part)
{
    return shown.place ? std::optional((*shown.place).*part) : std::nullopt;
}

OutTable<ShownHole> holes_table()
{
    OutTable<ShownHole> table;
    table.column("outlet", [](const auto& shown) { return shown.outlet->id; })
        .column("rank", [](const auto& shown) { return shown.rank; })
        .column("dig_order", [](const auto& shown) { return shown.order; })
        .column("source", [](const auto& shown) { return shown.plan->site.sources.at(shown.hole.trench->source).id; })
        .column("station",
                [](const auto& shown) { return station_text(shown.hole.at().station_m, shown.plan->job.rules.units); })
        .column("station_m", [](const auto& shown) { return shown.hole.at().station_m; })
        .column("mark", [](const auto& shown) { return shown.mark().id; })
        .column("probable", [](const auto& shown) { return shown.mark().probable(); })
        .column("facility", [](const auto& shown) { return facility_name(shown.mark().facility); })
        .column("color", [](const auto& shown) { return mark_code(shown.mark().facility).color; })
        .column("letters", [](const auto& shown) { return mark_code(shown.mark().facility).letters; })
        .column("longitude_deg", [](const auto& shown) { return degrees(shown, &NativePoint::x); })
        .column("latitude_deg", [](const auto& shown) { return degrees(shown, &NativePoint::y); })
        .column("why", [](const auto& shown) { return exposing_text(shown.hole.record().exposing); })
        .column("conflict_from_m", [](const auto& shown) { return conflict_m(shown.hole.record(), &Interval::from_m); })
        .column("conflict_to_m", [](const auto& shown) { return conflict_m(shown.hole.record(), &Interval::to_m); })
        .column("ties",
                [](const auto& shown) { return tie_text(shown.hole.record().ties, shown.plan->job.rules.units); });
    return table;
}

} // namespace

OutLayer probable_runs_layer(const JobPlan& plan)
{
    OutTable<Mark> table;
    table.column("id", [](const Mark& run) { return run.id; })
        .column("continues", [](const Mark& run) { return run.continues; })
        .column("facility", [](const Mark& run) { return facility_name(run.facility); })
        .column("words", [](const Mark& run) { return mark_name_and_advice(run); });
    OutLayer layer{.name = "probable_runs",
                   .description = "No marks: straight on from marks that stop. Ask for a re-mark.",
                   .geometry = OutGeometry::line,
                   .fields = table.fields(),
                   .features = {}};
    for (const auto& mark : plan.site.marks) {
        if (mark.probable()) {
            layer.features.push_back({.shape = mark.line, .values = table.row(mark)});
        }
    }
    return layer;
}

OutLayer potholes_layer(const JobPlan& plan)
{
    const auto table = holes_table();
    OutLayer layer{.name = "potholes",
                   .description = "Dug by hand or vacuum before the grade is fixed, in order of digging.",
                   .geometry = OutGeometry::point,
                   .fields = table.fields(),
                   .features = {}};
    const auto world = site_world(plan);
    long long rank = 0;
    for (const auto& outcome : plan.outcomes) {
        ++rank;
        long long order = 0;
        for (const auto& hole : outcome.works ? potholes(outcome) : std::vector<Pothole>{}) {
            const ShownHole shown{.plan = &plan,
                                  .outlet = &plan.site.outlets.at(outcome.outlet),
                                  .rank = rank,
                                  .order = ++order,
                                  .hole = hole,
                                  .place = world(hole.at().at)};
            layer.features.push_back({.shape = hole.at().at, .values = table.row(shown)});
        }
    }
    return layer;
}

} // namespace trenchwright
