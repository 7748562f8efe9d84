#include "export_fixture.hpp"

#include "trenchwright/gis/system.hpp"

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <numbers>
#include <stdexcept>

namespace trenchwright::test {

namespace {

constexpr double pi = std::numbers::pi;

Mark mark(const std::string& id, Facility facility, const Polyline& line)
{
    Mark made;
    made.id = id;
    made.facility = facility;
    made.line = line;
    made.quality = QualityLevel::d;
    made.position_accuracy_m = 0.15;
    made.date_marked = "2026-03-02";
    return made;
}

Site sample_site()
{
    Site site;
    site.frame = frame_in("EPSG:2229", {.x = 6500100.5, .y = 1800200.25});
    site.frame.elev_unit = LengthUnit::us_survey_foot;
    site.layers = {{.part = "parcel", .file = "lots.geojson", .layer = "lots", .features = 3}};
    site.marks = {mark("G1", Facility::gas, {{-5, 3}, {5, 3}}), mark("W1", Facility::water, {{-5, 8}, {5, 8}})};
    site.marks[1].width_m = 0.05;
    site.marks[1].exposed_depth_m = 0.9;
    site.marks[1].quality = QualityLevel::a;
    site.foundations = {{.outer = {{-4, 14}, {4, 14}, {4, 20}, {-4, 20}}, .holes = {}}};
    site.trees.resize(1);
    site.trees[0].id = "T1";
    site.sources.resize(2);
    site.sources[0].id = "downspout east";
    site.sources[0].at = {3, 12};
    site.sources[0].highest_invert_elev_m = 30.9;
    site.sources[0].roof_area_m2 = 61;
    site.sources[1].id = "sump";
    site.sources[1].kind = SourceKind::pump;
    site.sources[1].water = Water::sump;
    site.sources[1].at = {-4, 13};
    site.sources[1].pump_flow_m3ps = 0.002;
    site.footing_drains = {{.id = "FD-1", .line = {{4, 18}, {-4, 18}, {-4, 14}}, .origin = {}}};
    site.outlets.resize(2);
    site.outlets[0].id = "inlet";
    site.outlets[0].name = "Street inlet 7";
    site.outlets[0].kind = OutletKind::inlet;
    site.outlets[1].id = "curb";
    site.outlets[1].name = "Curb, Tansy Row";
    site.outlets[1].kind = OutletKind::curb;
    site.outlets[1].permission = {{Water::roof, Permission::yes}, {Water::sump, Permission::ask}};
    site.outlets[1].permit = "curb opening";
    site.outlets[1].fee_cents = 12500;
    site.outlets[1].lead_time_days = 14;
    site.outlets[1].source_text = "town rule 7, as read in March";
    return site;
}

void add_facts(TrenchPlan& made)
{
    made.line.facts.surface = {{{0, 2}, "sidewalk"}, {{2, 13}, "lawn"}};
    made.line.facts.tree = {{9, 10}};
    made.line.facts.parallel = {{6, 6.5}};
    made.line.bends = {{.station_m = 8,
                        .angle_rad = pi / 4,
                        .fitting_angles_rad = {pi / 8, pi / 8},
                        .deflection_rad = pi / 180,
                        .price = 17.5,
                        .at = {0, 8}}};
    made.measured.zones = {{.span = {2.3, 3.7}, .marks = {0}, .trees = {}, .volume_m3 = 0.21},
                           {.span = {7.2, 9.1}, .marks = {1}, .trees = {0}, .volume_m3 = 0.34}};
    Crossing gas;
    gas.mark = 0;
    gas.station_m = 3;
    gas.angle_rad = pi / 2;
    gas.at = {0, 3};
    gas.ground_elev_m = 30.5;
    gas.trench_bottom_elev_m = 29.7;
    gas.pipe_top_elev_m = 29.95;
    gas.hand_span = {2.35, 3.65};
    gas.formula_length_m = 1.31;
    Crossing water = gas;
    water.mark = 1;
    water.station_m = 8;
    water.angle_rad = pi / 3;
    water.at = {0, 8};
    water.facility_top_elev_m = 29.6;
    made.measured.crossings = {gas, water};
    CrossingRecord record;
    record.hand_length_m = 1.3;
    record.hand_volume_m3 = 0.19;
    record.gap_required_m = 0.305;
    record.gap_hard = true;
    record.width_taken = true;
    record.conflict_depth_m = {0.25, 1.1};
    record.ties = {.ties = {{.corner = "A", .length_m = 11.7}, {.corner = "B", .length_m = 12.1}},
                   .crossing_rad = pi / 3,
                   .fault = TieFault::none};
    made.measured.records = {record, record};
    made.measured.records[1].exposing = Exposing::recorded;
    made.measured.records[1].passing = Passing{.over = true, .gap_m = 0.31};
    made.measured.along = {{.mark = 0, .span = {6, 6.5}, .gap_m = 0.4, .in_zone = true, .too_near = true}};
    made.measured.depths = {
        {.station_m = 0, .ground_elev_m = 30.2, .invert_elev_m = 29.7, .cut_m = 0.606, .cover_m = 0.392},
        {.station_m = 8,
         .ground_elev_m = 30.6,
         .invert_elev_m = 29.86,
         .cut_m = 0.846,
         .cover_m = 0.632,
         .fall_ratio = 0.02,
         .by_hand = true}};
}

Quantities sample_quantities()
{
    Quantities q;
    q.length_m = 13;
    q.pipe_length_m = 13.003;
    q.machine_length_m = 9.7;
    q.hand_length_m = 3.3;
    q.min_cut_m = 0.55;
    q.max_cut_m = 0.92;
    q.mean_cut_m = 0.71;
    q.max_cut_station_m = 11;
    q.machine_cut_m3 = 2.31;
    q.hand_cut_m3 = 0.55;
    q.bedding_m3 = 0.39;
    q.pipe_m3 = 0.133;
    q.backfill_m3 = 2.337;
    q.haul_loose_m3 = 0.67;
    q.restore_m2 = {{"lawn", 6.6}, {"sidewalk", 1.2}};
    return q;
}

/// A reach in 4 in pipe with room to spare, and one that is too full and needs the 6 in.
void add_reaches(TrenchPlan& made)
{
    const ReachFlow easy{.pipe = 0,
                         .depth_ratio = 0.4,
                         .velocity_mps = 0.7,
                         .full_velocity_mps = 0.8,
                         .capacity_m3ps = 0.006,
                         .spare_m3ps = 0.004,
                         .verdicts = {}};
    ReachFlow full = easy;
    full.pipe.reset();
    full.depth_ratio = 1;
    full.spare_m3ps = -0.001;
    full.verdicts = {FlowVerdict::too_full};
    ReachFlow larger = easy;
    larger.pipe = 2;
    made.water.reaches = {
        {.span = {0, 5}, .min_fall_ratio = 0.02, .flow_m3ps = 0.007, .as_planned = full, .sized = larger},
        {.span = {5, 13}, .min_fall_ratio = 0.0375, .as_planned = easy}};
}

PumpCheck sample_pump()
{
    PumpCheck check;
    check.off_level_elev_m = 27.6;
    check.highest_elev_m = 30.1;
    check.highest_station_m = 13;
    check.line.length_m = 16;
    check.line.static_lift_m = 2.5;
    check.line.fittings = {{.name = "elbow of 90 deg", .count = 3, .equivalent_length_m = 1.25}};
    check.between_levels_m3 = 0.033;
    check.duty = PumpDuty{};
    check.duty->point = {.place = DutyPlace::on_curve, .flow_m3ps = 0.002, .head_m = 3.5};
    check.duty->velocity_mps = 1.5;
    check.duty->worst = {.inflow_m3ps = 0.001, .cycle = {.state = PitState::cycles, .fill_s = 33, .run_s = 33}};
    check.duty->verdicts = {PumpVerdict::too_fast};
    check.uplift.displaced_kg = 100;
    check.uplift.holding_kg = 12;
    check.uplift.holds = false;
    return check;
}

WallCore sample_core()
{
    return {.invert_elev_m = 30.2,
            .center_elev_m = 30.25,
            .above_floor_m = 0.45,
            .above_ground_m = -0.65,
            .elbow_depth_m = 0.8,
            .drop_m = 0.1,
            .stated = true,
            .place = WallPlace{.at = {-4, 13.1},
                               .off_wall_m = 0.1,
                               .left_corner = {6, 13.1},
                               .right_corner = {-6, 13.1},
                               .to_left_m = 10,
                               .to_right_m = 2}};
}

FootingWork sample_footing()
{
    return {.pits = {{.at = {-4, 14},
                      .source = 1,
                      .to_source_m = 1,
                      .length_m = 12,
                      .farthest = {4, 18},
                      .longest_run_m = 11,
                      .fall_m = 0.11,
                      .trench_depth_m = 0.32,
                      .inlet_depth_m = 0.26}},
            .length_m = 12,
            .cut_m3 = 0.65,
            .stone_m3 = 0.37,
            .stone_kg = 593,
            .bags = 27,
            .pipe_m3 = 0.108,
            .refill_m3 = 0.172,
            .spoil_m3 = 0.455,
            .spoil_loose_m3 = 0.569,
            .spoil_stays = true};
}

std::vector<MaterialItem> sample_materials()
{
    MaterialItem pipe{.name = "Pipe", .size_m = 0.114, .count = 9, .unit = "stick"};
    pipe.length_m = 26.006;
    MaterialItem bend{.name = "Bend", .size_m = 0.114, .angle_rad = pi / 8, .count = 4, .unit = "each"};
    MaterialItem bags{.name = "Footing drain stone", .count = 27, .unit = "bag"};
    bags.volume_m3 = 0.37;
    bags.mass_kg = 593;
    return {pipe, bend, bags};
}

/// One of everything; figures at random.
TrenchSafety sample_safety()
{
    const ExceedingSpan over{.span = {9, 12}, .max_m = 0.2, .max_station_m = 11};
    const std::vector<Encroachment> reached{{.name = "sidewalk", .over = over}};
    TrenchSafety safety;
    safety.exits = {over};
    safety.wedge = {over};
    safety.protection = {{.cut = over,
                          .shored = false,
                          .top_width_m = 2.1,
                          .extra_machine_m3 = 1.5,
                          .extra_hand_m3 = 0.5,
                          .face_m2 = 3,
                          .reached = reached}};
    safety.spoil = {.left = {.taken = reached, .taken_m = 3},
                    .right = {.taken = reached, .taken_m = 2},
                    .on_left = false,
                    .widest_m = 0.9,
                    .widest_station_m = 11};
    safety.trees = {{.tree = 0,
                     .nearest_m = 0.8,
                     .station_m = 9,
                     .circle_m = 1.5,
                     .inside = {{8, 10}},
                     .inside_m = 2,
                     .near_hold = true}};
    safety.bored_m = 2;
    safety.setbacks = {{.kind = "well",
                        .id = "W-1",
                        .rule = {.distance_m = 3, .hard = true},
                        .nearest_m = 2.5,
                        .nearest_station_m = 4,
                        .too_near = {{3, 5}}}};
    safety.street = AreaInside{.id = "right-of-way", .holder = {}, .spans = {{0, 2}}, .length_m = 2, .opened_m2 = 1.2};
    safety.easements = {
        {.id = "E-1", .holder = "the water district", .spans = {{2, 3}}, .length_m = 1, .opened_m2 = 0.6}};
    safety.aim = OutletAim{
        .way = {.points = {{0, 0, 30}, {0, -4, 29.8}}, .end = FallEnd::edge_of_ground},
        .target = AimTarget::neighbor,
        .neighbor = "07-3",
        .length_m = 4,
        .leaves_at = Point{.x_m = 0, .y_m = -4},
        .walks = {"sidewalk"},
        .fall_ratio = 0.05,
        .to_neighbor =
            NeighborWater{
                .sources = 1, .unknown_sources = 1, .flow_m3ps = std::nullopt, .counted_m3ps = 0.002, .required_m = 3},
        .buildings = {{.ours = true, .id = "house", .away_m = 1}},
        .reserves = {{.kind = "septic part", .id = "field", .away_m = 0, .required_m = 3, .enters = true}},
        .neighbor_away_m = 3.5};
    return safety;
}

YardWork sample_yard()
{
    YardWork yard;
    yard.grading = CutFill{.cut_m3 = 3, .fill_m3 = 2, .cut_m2 = 30, .fill_m2 = 20};
    yard.walls = {{.from = {6, 13}, .to = {-6, 13}, .min_fall_m = 0.1, .min_at = {0, 13}},
                  {.from = {-6, 13}, .to = {-6, 20}, .min_fall_m = {}, .min_at = {-6, 13}}};
    yard.walls_proposed = true;
    yard.spread_m2 = 40;
    yard.inside_checked = true;
    yard.inside_wedge = {{.at = {0, 18}, .over_m = 0.05}};
    return yard;
}

/// Round figures: 4 hours a cubic meter at 40, pipe at 19.5 a meter.
RateBook sample_book()
{
    RateBook book;
    book.file = "sample-rates.toml";
    book.trades["laborer"] = {.per_hour = {.low = 40, .likely = 40, .high = 40}, .date = "2026-01-15"};
    auto& dig = book.items["hand_dig"];
    dig.hours = {.low = 2.5, .likely = 4, .high = 6.25};
    dig.crew["laborer"] = 1;
    dig.date = "2026-01-15";
    book.items["pipe"].price = {.low = 15, .likely = 19.5, .high = 24};
    book.overhead_share = 0.1;
    book.margin_share = 0.2;
    book.tax_share = 0.06;
    book.min_charge = 260;
    book.day_hours = 8;
    return book;
}

/// Likely: 0.55 m3 at 160 is 88.00 for one trench, 13 m at 19.5 is 253.50 for the other; overhead 34.15, margin 75.13,
/// tax 0.06 x 253.50 = 15.21, fee 125.00: 590.99.
Estimate sample_estimate()
{
    return estimate(
        {{.key = "hand_dig", .detail = "", .trench = "downspout east", .quantity = 0.55, .stations = {{2.3, 3.7}}},
         {.key = "pipe", .detail = "", .trench = "sump", .quantity = 13, .stations = {}},
         {.key = "restore.patio", .detail = "patio", .trench = "sump", .quantity = 2, .stations = {}}},
        sample_book(), 12500);
}

OutletUncertainty sample_uncertainty()
{
    FallUncertainty fall{.spare_m = 0.094, .error_m = 0.031, .drains_share = 0.93, .uncertainty_share = 0.0651};
    fall.next = NextShot{.place = 0, .uncertainty_after_share = 0.0126};
    FallPlace place;
    place.at = {0, 5};
    place.station_m = 5;
    place.spare_m = 0.094;
    return {.fall = fall, .next_place = place};
}

Choice sample_choice()
{
    Choice choice;
    choice.outlet = 1;
    choice.variant = "as planned";
    choice.works = true;
    choice.price = {.low = 21113, .likely = 24169, .high = 30733};
    choice.has_hours = true;
    choice.crew_hours = {.low = 1.25, .likely = 2.5, .high = 3.75};
    choice.permission_step = 1;
    choice.lead_time_days = 14;
    choice.length_m = 26;
    choice.hand_m = 6.6;
    choice.spare_m = 0.094;
    choice.error_m = 0.031;
    choice.drains_share = 0.93;
    choice.warnings = 2;
    return choice;
}

/// From (0, 0) north to (0, 8), then on a 3-4-5 slant to (3, 12): 8 + 5 = 13 m.
TrenchPlan sample_trench(std::size_t source)
{
    TrenchPlan made;
    made.source = source;
    made.outlet = 1;
    made.line.route.line = {{0, 0}, {0, 8}, {3, 12}};
    made.line.route.end = {.at = {0, 0}, .lowest_invert_elev_m = 29.65, .highest_invert_elev_m = 29.8};
    made.line.route.lattice_cost = 913.25;
    made.line.route.lattice_true_cost = 911.5;
    made.line.route.cost = 899.75;
    made.line.route.proven_gap = 1.5;
    made.line.route.orientation_rad = pi / 6;
    made.line.route.labels = 40321;
    made.line.route.cells = 65536;
    made.laid.problem.section = {.width_m = 0.3, .outside_diameter_m = 0.114, .wall_m = 0.006, .bedding_m = 0.1};
    made.laid.problem.ground = {{0, 30.2}, {13, 30.9}};
    made.laid.profile.points = {{0, 29.7}, {5, 29.8}, {13, 30.1}};
    made.measured.quantities = sample_quantities();
    made.permission = source == 0 ? Permission::yes : Permission::ask;
    made.laid.extra_fall_m = 0.094;
    made.laid.extra_fall_station_m = 6;
    made.safety = sample_safety();
    made.laid.cleanouts = {{.station_m = 8, .at = {0, 8}, .reason = CleanoutReason::bends},
                           {.station_m = 13, .at = {3, 12}, .reason = CleanoutReason::upper_end}};
    if (source == 1) {
        made.laid.wall_core = sample_core();
        made.joins =
            Junction{.source = 0, .station_m = 5, .angle_rad = pi / 4, .trunk_invert_elev_m = 30, .at = {0, 5}};
    }
    made.findings = {
        {.severity = Severity::warning, .rule = "dig.tolerance", .text = "Expose it.", .at = {}, .station_m = 10.5}};
    add_facts(made);
    add_reaches(made);
    if (source == 1) {
        made.water.pump = sample_pump();
    }
    return made;
}

} // namespace

JobPlan sample_plan()
{
    const Refusal short_of_fall{.kind = RefusalKind::falls_short,
                                .text = "falls short by 3.2 in at 0+41.30",
                                .at = Point{4, 5},
                                .station_m = 12.59,
                                .short_by_m = 0.081};
    const Refusal not_permitted{
        .kind = RefusalKind::not_permitted, .text = "no sump water", .at = {}, .station_m = {}, .short_by_m = {}};
    Job job;
    job.file = "/jobs/tansy.toml";
    job.name = "3 Tansy Row, Fennick Hollow";
    job.prepared_for = "R. Ostrander";
    job.prepared_by = "the yard desk";
    job.date = "2026-03-14";
    job.rules = default_rules();
    job.floor_elev_m = 29.8;
    job.rates = sample_book();
    const std::vector<Point3> corners{{-20, -20, 30}, {20, -20, 30}, {0, 30, 31}};
    JobPlan plan{{.job = job,
                  .site = sample_site(),
                  .ground = Ground::from_spots(corners, {}),
                  .footing = sample_footing(),
                  .footing_edge = FootingEdge{.bottom_elev_m = 29.5, .outer_edge_m = 0.1, .inner_edge_m = 0.3}}};
    plan.outcomes = {
        {.outlet = 1,
         .by_source = {sample_trench(0), sample_trench(1)},
         .works = true,
         .total_cents = 59099,
         .rank_reason = "lowest price of those that work",
         .estimate = sample_estimate(),
         .uncertainty = sample_uncertainty(),
         .materials = sample_materials()},
        {.outlet = 0, .by_source = {short_of_fall, not_permitted}, .works = false, .rank_reason = "refused"}};
    const ClosingObject pool{
        .kind = ObstacleKind::keep_out, .name = "keep-out K1 (pool)", .shape = Point{4, 6}, .at = Point{4, 5}};
    Cure gone;
    gone.kind = CureKind::objects_gone;
    gone.gone = {pool};
    gone.price = CentSpread{.low = 1, .likely = 2, .high = 3};
    gone.text = "leave to pass the keep-out K1 (pool)";
    plan.outcomes.back().cures = {gone};
    plan.outcomes.back().help = {{.closed_by = {pool}, .cures = {gone}, .nearest_line = {{4, 5}, {4, 9}}}, {}};
    plan.findings = {{.severity = Severity::note, .rule = "spots", .text = "Odd.", .at = Point{1, 2}, .station_m = {}},
                     {.severity = Severity::note, .rule = "", .text = "No place.", .at = {}, .station_m = {}}};
    plan.choices = {sample_choice()};
    plan.supplied = {{.group = "marks",
                      .item = "gas",
                      .supplied = false,
                      .state = "no marks supplied",
                      .effect = "Such a line may be there."}};
    plan.no_marks_for = {"electric", "storm sewer"};
    plan.yard = sample_yard();
    return plan;
}

TrenchPlan& first_trench(JobPlan& plan)
{
    return std::get<TrenchPlan>(plan.outcomes.at(0).by_source.at(0));
}

TestFolder::TestFolder()
{
    auto name = (std::filesystem::temp_directory_path() / "export-test-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) {
        throw std::runtime_error("no temporary folder");
    }
    path = name;
}

TestFolder::~TestFolder()
{
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
}

std::string bytes_of(const std::filesystem::path& file)
{
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

void put(const std::filesystem::path& file, const std::string& bytes)
{
    std::ofstream(file, std::ios::binary) << bytes;
}

} // namespace trenchwright::test
