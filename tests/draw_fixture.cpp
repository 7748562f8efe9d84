#include "draw_fixture.hpp"

#include "trenchwright/geom/along.hpp"
#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace trenchwright::test {

namespace {

constexpr double pi = std::numbers::pi;

Point ft(double x, double y)
{
    return {x * ft_in_m, y * ft_in_m};
}

Polyline ft_line(const std::vector<std::pair<double, double>>& places)
{
    Polyline line;
    for (const auto& [x, y] : places) {
        line.push_back(ft(x, y));
    }
    return line;
}

Polygon ft_area(const std::vector<std::pair<double, double>>& places)
{
    return {.outer = ft_line(places), .holes = {}};
}

/// Falls to the street, 3 % from the back, with a low north-east corner and a crowned yard.
double elev_ft(double x, double y)
{
    return 100.4 + 0.022 * y - 0.0105 * x + 0.35 * std::sin(x / 19) * std::cos(y / 31);
}

double elev_at_m(const Point& p)
{
    return elev_ft(p.x_m / ft_in_m, p.y_m / ft_in_m) * ft_in_m;
}

Mark mark(const std::string& id, Facility facility, const Polyline& line)
{
    return {.id = id,
            .facility = facility,
            .line = line,
            .width_m = 0.05,
            .exposed_depth_m = {},
            .quality = QualityLevel::d,
            .position_accuracy_m = 0,
            .date_marked = "2026-03-02",
            .origin = {}};
}

void add_marks(Site& site)
{
    site.marks = {
        mark("G1", Facility::gas, ft_line({{-30, -4}, {100, -4}})),
        mark("G2", Facility::gas, ft_line({{44, -4}, {44, 36}})),
        mark("W1", Facility::water, ft_line({{-30, -9}, {100, -9}})),
        mark("W2", Facility::water, ft_line({{25, -9}, {25, 38}})),
        mark("E1", Facility::electric, ft_line({{-2, 104}, {20, 74}, {22, 66}})),
        mark("C1", Facility::communication, ft_line({{-2, 102}, {6, 60}, {14, 58}})),
        mark("S1", Facility::sanitary_sewer, ft_line({{33, -20}, {33, 38}})),
    };
    site.marks[3].exposed_depth_m = 0.75;
    site.marks[3].quality = QualityLevel::a;
}

Outlet outlet(const std::string& id, const std::string& name, OutletKind kind, Permission sump)
{
    Outlet made;
    made.id = id;
    made.name = name;
    made.kind = kind;
    made.permission = {{Water::roof, Permission::yes}, {Water::sump, sump}};
    return made;
}

Source source(const std::string& id, SourceKind kind, Water water, const Point& at)
{
    Source made;
    made.id = id;
    made.kind = kind;
    made.water = water;
    made.at = at;
    return made;
}

void add_places(Site& site)
{
    auto curb = outlet("O1", "Curb, Larkspur Lane", OutletKind::curb, Permission::ask);
    curb.place = ft_line({{-30, -12}, {100, -12}});
    curb.permit = "curb opening";
    curb.fee_cents = 12500;
    auto garden = outlet("O2", "Back garden basin", OutletKind::popup, Permission::yes);
    garden.place = ft_area({{38, 82}, {54, 82}, {54, 94}, {38, 94}});
    auto inlet = outlet("O3", "Street inlet 14", OutletKind::inlet, Permission::no);
    inlet.place = ft(80, -11);
    site.outlets = {curb, garden, inlet};
    site.sources = {source("Downspout SE", SourceKind::downspout, Water::roof, ft(48, 37)),
                    source("Sump west", SourceKind::pump, Water::sump, ft(13, 48))};
}

Site yard_site()
{
    Site site;
    site.frame.name = "made-up grid (ftUS)";
    site.frame.wkt = "PROJCRS[\"made up\"]";
    site.parcel = {ft_area({{0, 0}, {60, 0}, {60, 100}, {0, 100}})};
    site.neighbors = {ft_area({{-60, 0}, {0, 0}, {0, 100}, {-60, 100}}),
                      ft_area({{60, 0}, {120, 0}, {120, 100}, {60, 100}}),
                      ft_area({{-60, 100}, {120, 100}, {120, 180}, {-60, 180}})};
    site.right_of_way = {ft_area({{-60, -12}, {120, -12}, {120, 0}, {-60, 0}})};
    site.foundations = {ft_area({{14, 38}, {47, 38}, {47, 66}, {31, 66}, {31, 58}, {14, 58}})};
    site.surfaces = {{.kind = "driveway", .area = ft_area({{2, -12}, {12, -12}, {12, 56}, {2, 56}}), .origin = {}},
                     {.kind = "sidewalk", .area = ft_area({{0, -5}, {60, -5}, {60, -1}, {0, -1}}), .origin = {}},
                     {.kind = "planting", .area = ft_area({{32, 66}, {47, 66}, {47, 71}, {32, 71}}), .origin = {}}};
    site.trees = {{.id = "T1", .at = ft(53, 18), .trunk_diameter_m = 0.36, .origin = {}},
                  {.id = "T2", .at = ft(16, 84), .trunk_diameter_m = 0.5, .origin = {}}};
    for (int x = -10; x <= 74; x += 14) {
        for (int y = -12; y <= 104; y += 19) {
            const auto p = ft(x + (y % 3), y);
            site.spots.push_back({.id = {}, .at = p, .elev_m = elev_at_m(p), .origin = {}});
        }
    }
    add_places(site);
    add_marks(site);
    return site;
}

Rules yard_rules(UnitSystem units)
{
    Rules rules;
    rules.units = units;
    rules.currency = "USD";
    rules.route.section = {.width_m = 0.3, .outside_diameter_m = 0.114, .wall_m = 0.006, .bedding_m = 0.1};
    rules.route.tolerance_m = 0.4572;
    rules.route.tree_factor = 12;
    rules.route.tree_keep_out_factor = 3;
    return rules;
}

std::vector<GroundPoint> ground_along(const Polyline& line)
{
    std::vector<GroundPoint> ground;
    const double length = length_m(line);
    for (int i = 0; i <= 20; ++i) {
        const double station = length * i / 20;
        ground.push_back({station, elev_at_m(point_at(line, station))});
    }
    return ground;
}

double line_at(const std::vector<GroundPoint>& ground, double station_m)
{
    const auto next = std::find_if(ground.begin() + 1, ground.end() - 1,
                                   [&](const GroundPoint& p) { return p.station_m >= station_m; });
    const auto& a = *(next - 1);
    return a.elev_m + (next->elev_m - a.elev_m) * (station_m - a.station_m) / (next->station_m - a.station_m);
}

double invert_at(const Profile& profile, double station_m)
{
    const auto& p = profile.points;
    const auto next =
        std::find_if(p.begin() + 1, p.end() - 1, [&](const GradePoint& q) { return q.station_m >= station_m; });
    const auto& a = *(next - 1);
    return a.invert_elev_m +
           (next->invert_elev_m - a.invert_elev_m) * (station_m - a.station_m) / (next->station_m - a.station_m);
}

/// Crossings by exact geometry; each asks for 2 ft by hand on both sides.
void add_crossings(TrenchPlan& trench, const Site& site)
{
    for (std::size_t index = 0; index < site.marks.size(); ++index) {
        for (const auto& found : crossings(trench.line.route.line, site.marks[index].line)) {
            Crossing crossing;
            crossing.mark = index;
            crossing.station_m = found.station_m;
            crossing.angle_rad = found.angle_rad;
            crossing.at = found.at;
            crossing.ground_elev_m = line_at(trench.laid.problem.ground, found.station_m);
            if (site.marks[index].exposed_depth_m) {
                crossing.facility_top_elev_m = crossing.ground_elev_m - *site.marks[index].exposed_depth_m;
            }
            crossing.hand_span = {std::max(0.0, found.station_m - 0.61), found.station_m + 0.61};
            trench.measured.crossings.push_back(crossing);
        }
    }
    std::sort(trench.measured.crossings.begin(), trench.measured.crossings.end(),
              [](const Crossing& a, const Crossing& b) { return a.station_m < b.station_m; });
    for (const auto& crossing : trench.measured.crossings) {
        const bool joins =
            !trench.measured.zones.empty() && trench.measured.zones.back().span.to_m >= crossing.hand_span.from_m;
        if (joins) {
            trench.measured.zones.back().span.to_m = crossing.hand_span.to_m;
        } else {
            trench.measured.zones.push_back({.span = crossing.hand_span, .marks = {}, .trees = {}});
        }
        trench.measured.zones.back().marks.push_back(crossing.mark);
    }
}

void add_depths(TrenchPlan& trench)
{
    const double length = trench.measured.quantities.length_m;
    std::vector<double> stations;
    for (double s = 0; s < length; s += 5 * ft_in_m) {
        stations.push_back(s);
    }
    for (const auto& point : trench.laid.profile.points) {
        stations.push_back(point.station_m);
    }
    std::sort(stations.begin(), stations.end());
    stations.erase(std::unique(stations.begin(), stations.end()), stations.end());
    for (const double s : stations) {
        const double ground = line_at(trench.laid.problem.ground, s);
        const double invert = invert_at(trench.laid.profile, s);
        trench.measured.depths.push_back({.station_m = s,
                                          .ground_elev_m = ground,
                                          .invert_elev_m = invert,
                                          .cut_m = ground - invert + 0.106,
                                          .cover_m = ground - invert - 0.108});
    }
}

TrenchPlan trench(std::size_t source, const Polyline& line, std::vector<GradePoint> grades)
{
    TrenchPlan made;
    made.source = source;
    made.line.route.line = line;
    made.line.route.end.at = line.front();
    made.laid.problem.section = yard_rules(UnitSystem::us).route.section;
    made.laid.problem.ground = ground_along(line);
    made.measured.quantities.length_m = length_m(line);
    grades.back().station_m = made.measured.quantities.length_m;
    made.laid.profile.points = std::move(grades);
    double station = 0;
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
        station += distance_m(line[i - 1], line[i]);
        made.line.bends.push_back({.station_m = station,
                                   .angle_rad = turn_rad(line[i - 1], line[i], line[i + 1]),
                                   .fitting_angles_rad = {pi / 4},
                                   .at = line[i]});
    }
    add_depths(made);
    made.measured.quantities.max_cut_m = 0.92;
    made.measured.quantities.mean_cut_m = 0.66;
    made.measured.quantities.hand_length_m = 4.1;
    made.measured.quantities.machine_cut_m3 = 2.31;
    made.measured.quantities.hand_cut_m3 = 0.84;
    made.measured.quantities.backfill_m3 = 2.6;
    made.measured.quantities.haul_loose_m3 = 0.7;
    made.laid.extra_fall_m = 0.094;
    return made;
}

TrenchPlan first_trench(const Site& site)
{
    auto made = trench(0, ft_line({{40, -12}, {40, 22}, {48, 37}}),
                       {{0, 99.15 * ft_in_m}, {34 * ft_in_m, 99.6 * ft_in_m}, {0, 100.2 * ft_in_m}});
    add_crossings(made, site);
    made.findings = {{.severity = Severity::warning,
                      .rule = "",
                      .text = "Crossing 3 (gas) has no exposed depth: expose it before the grade is fixed.",
                      .at = {},
                      .station_m = {}}};
    return made;
}

TrenchPlan second_trench(const Site& site)
{
    auto made = trench(1, ft_line({{30, -12}, {19, 31}, {13, 41}, {13, 48}}),
                       {{0, 99.3 * ft_in_m}, {42 * ft_in_m, 99.85 * ft_in_m}, {0, 100.5 * ft_in_m}});
    add_crossings(made, site);
    return made;
}

Refusal refusal(RefusalKind kind, const std::string& text)
{
    return {.kind = kind, .text = text, .at = {}, .station_m = {}, .short_by_m = {}};
}

/// Two trenches at so many cents each, and the permit.
Estimate estimate_of(const Site& site, Cents first, Cents second, Cents fee)
{
    RateBook book;
    book.items["pipe"].price = {.low = 0.01, .likely = 0.01, .high = 0.01};
    const auto work = [&](std::size_t source, Cents cents) -> Measured {
        return {.key = "pipe",
                .detail = "",
                .trench = site.sources.at(source).id,
                .quantity = static_cast<double>(cents),
                .stations = {}};
    };
    return estimate({work(0, first), work(1, second)}, book, fee);
}

std::vector<OutletOutcome> yard_outcomes(const Site& site)
{
    auto garden = second_trench(site);
    garden.laid.extra_fall_m = 0.021;
    OutletOutcome curb{.outlet = 0,
                       .by_source = {first_trench(site), second_trench(site)},
                       .works = true,
                       .total_cents = 400740,
                       .rank_reason = "lowest price of those that work",
                       .estimate = estimate_of(site, 184250, 203990, 12500)};
    OutletOutcome yard{.outlet = 1,
                       .by_source = {garden, garden},
                       .works = true,
                       .total_cents = 502000,
                       .rank_reason = "dearer than the one above",
                       .estimate = estimate_of(site, 251000, 251000, 0)};
    for (auto& one : yard.by_source) {
        std::get<TrenchPlan>(one).line.route.end.at = ft(46, 88);
        std::get<TrenchPlan>(one).outlet = 1;
    }
    OutletOutcome inlet{
        .outlet = 2,
        .by_source = {refusal(
                          RefusalKind::falls_short,
                          "falls short by 3.2 in at 0+41.30: ground there is 0.9 ft above the outlet's lowest invert."),
                      refusal(RefusalKind::not_permitted, "sump water is not permitted here.")},
        .works = false,
        .rank_reason = {}};
    return {curb, yard, inlet};
}

Ground yard_ground(const Site& site)
{
    std::vector<Point3> points;
    for (const auto& spot : site.spots) {
        points.push_back({spot.at.x_m, spot.at.y_m, spot.elev_m});
    }
    return Ground::from_spots(points, {});
}

Job yard_job(UnitSystem units)
{
    Job job;
    job.name = "14 Larkspur Lane, Fennick Hollow";
    job.prepared_for = "R. Ostrander";
    job.prepared_by = "Drainage desk";
    job.date = "2026-03-14";
    job.rules = yard_rules(units);
    return job;
}

} // namespace

JobPlan yard_plan(UnitSystem units)
{
    auto site = yard_site();
    auto outcomes = yard_outcomes(site);
    auto ground = yard_ground(site);
    JobPlan plan{{.job = yard_job(units), .site = site, .ground = std::move(ground)}};
    plan.outcomes = outcomes;
    plan.findings = {{.severity = Severity::note,
                      .rule = "",
                      .text = "Spot 12 lies 0.4 ft above the surface through its neighbors: check it.",
                      .at = {},
                      .station_m = {}}};
    plan.no_marks_for = {"storm sewer", "reclaimed water"};
    return plan;
}

JobPlan refused_plan()
{
    auto plan = yard_plan(UnitSystem::us);
    for (auto& outcome : plan.outcomes) {
        outcome.works = false;
        outcome.by_source = {
            refusal(
                RefusalKind::falls_short,
                "falls short by 5.1 in at 0+33.00: ground there is 1.2 ft above the lowest invert the outlet takes."),
            refusal(RefusalKind::blocked, "the way is closed by the foundation and the lot to the west.")};
    }
    return plan;
}

JobPlan unmarked_plan()
{
    auto plan = yard_plan(UnitSystem::us);
    plan.site.marks.clear();
    for (auto& outcome : plan.outcomes) {
        for (auto& one : outcome.by_source) {
            if (auto* made = std::get_if<TrenchPlan>(&one)) {
                made->measured.crossings.clear();
                made->measured.zones.clear();
            }
        }
    }
    plan.no_marks_for = {"electric",       "gas",         "communication",  "water",
                         "sanitary sewer", "storm sewer", "reclaimed water"};
    return plan;
}

} // namespace trenchwright::test

/// Asked by the leak check of the asan preset: fontconfig keeps its configuration (288 bytes) until the process ends.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions()
{
    return "leak:libfontconfig";
}
