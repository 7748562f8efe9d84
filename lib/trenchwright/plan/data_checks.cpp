#include "trenchwright/plan/data_checks.hpp"

#include "trenchwright/geom/measure.hpp"
#include "trenchwright/plan/spot_outliers.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <map>

namespace trenchwright {

namespace {

double median(std::vector<double> values)
{
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

/// The checks share what they look at and where they write.
class Checks {
  public:
    Checks(const Site& site, const Ground* ground, const Rules& rules)
        : site_(site), ground_(ground), rules_(rules), checks_(rules.reading.checks)
    {
    }
    std::vector<DataFault> run();

  private:
    void add(DataFault fault) { faults_.push_back(std::move(fault)); }
    void spots_off_neighbors();
    void zero_heights();
    void layers_in_other_units();
    void outlet_heights();
    void outlet_height(const Outlet& outlet, const char* name, std::optional<double> elev_m);
    void outlets_above_everything();
    void outlets_on_neighbors();
    void sources_off_walls();
    void lines_given_twice();
    void texts_in_another_encoding();
    [[nodiscard]] std::optional<double> ground_at(const Point& p) const
    {
        return ground_ == nullptr ? std::nullopt : ground_->elev_m(p);
    }
    /// Whether two heights stand to each other as the same height in feet and in meters.
    [[nodiscard]] bool as_feet_to_meters(double one_m, double other_m) const
    {
        const double ratio = std::abs(one_m) > checks_.zero_height_m ? other_m / one_m : 0;
        return std::abs(ratio * ft_in_m - 1) < checks_.unit_ratio || std::abs(ratio / ft_in_m - 1) < checks_.unit_ratio;
    }
    [[nodiscard]] std::string elev(double elev_m) const { return elev_text(elev_m, rules_.units); }
    [[nodiscard]] std::string length(double length_m) const { return length_text(length_m, rules_.units); }

    const Site& site_;
    const Ground* ground_;
    const Rules& rules_;
    const CheckRules& checks_;
    std::vector<DataFault> faults_;
};

Point middle_of(const std::variant<Point, Polyline, Polygon>& place)
{
    if (const auto* p = std::get_if<Point>(&place)) {
        return *p;
    }
    if (const auto* line = std::get_if<Polyline>(&place)) {
        return point_at(*line, length_m(*line) / 2);
    }
    return std::get<Polygon>(place).outer.front();
}

void Checks::spots_off_neighbors()
{
    for (const auto& outlier :
         spot_outliers(site_.spots, {.min_off_m = checks_.spot_off_m, .usual_factor = checks_.spot_off_factor})) {
        const auto& spot = site_.spots[outlier.spot];
        add({.grade = FaultGrade::grave,
             .check = "spot off its neighbors",
             .origin = spot.origin,
             .at = spot.at,
             .value = elev(spot.elev_m),
             .what = fmt::format("The shot {} is {}, and the shots around it put the ground there at {}: {} {}",
                                 spot.id, elev(spot.elev_m), elev(spot.elev_m - outlier.off_m),
                                 length(std::abs(outlier.off_m)), outlier.off_m > 0 ? "lower" : "higher"),
             .why = "A wrong height bends the ground, the depths and the price of every trench near it",
             .advice =
                 "Look at the field book: a digit, a rod reading, a point on a roof or a wall. Take it out or put "
                 "it right"});
    }
}

/// Layers pad a height they do not have with 0.
void Checks::zero_heights()
{
    std::map<std::pair<std::string, std::string>, std::vector<const Spot*>> zero;
    std::vector<double> others;
    for (const auto& spot : site_.spots) {
        if (spot.elev_m == 0) {
            zero[{spot.origin.file, spot.origin.layer}].push_back(&spot);
        } else {
            others.push_back(spot.elev_m);
        }
    }
    if (others.empty() || !(std::abs(median(others)) > checks_.zero_height_m)) {
        return;
    }
    for (const auto& [layer, spots] : zero) {
        add({.grade = FaultGrade::grave,
             .check = "height 0 for unknown",
             .origin = spots.front()->origin,
             .at = spots.front()->at,
             .value = elev(0),
             .what = fmt::format("{} shots have the height 0, the first is {}; the others lie about {}", spots.size(),
                                 spots.front()->id, elev(median(others))),
             .why = "Missing heights are often written as 0, and 0 is then taken for the ground",
             .advice = "If 0 stands for \"unknown\", write nodata = 0 in the layer's table"});
    }
}

/// Two layers of heights of one lot whose middles stand to each other as feet to meters.
void Checks::layers_in_other_units()
{
    std::map<std::pair<std::string, std::string>, std::vector<double>> by_layer;
    std::map<std::pair<std::string, std::string>, Origin> first;
    const auto take = [&](const Origin& origin, double elev_m) {
        by_layer[{origin.file, origin.layer}].push_back(elev_m);
        first.try_emplace({origin.file, origin.layer}, origin);
    };
    for (const auto& spot : site_.spots) {
        take(spot.origin, spot.elev_m);
    }
    for (const auto& breakline : site_.breaklines) {
        for (const auto& p : breakline.line) {
            take(breakline.origin, p.elev_m);
        }
    }
    for (auto a = by_layer.begin(); a != by_layer.end(); ++a) {
        for (auto b = std::next(a); b != by_layer.end(); ++b) {
            const double one_m = median(a->second);
            const double other_m = median(b->second);
            if (as_feet_to_meters(one_m, other_m)) {
                auto origin = first.at(b->first);
                origin.feature_id = -1;
                add({.grade = FaultGrade::grave,
                     .check = "heights in another unit",
                     .origin = origin,
                     .at = {},
                     .value = elev(other_m),
                     .what = fmt::format("Its heights lie about {}, those of {}, layer {}, about {}: as feet to meters",
                                         elev(other_m), a->first.first, a->first.second, elev(one_m)),
                     .why = "Every depth and fall between the two is wrong",
                     .advice = "State the unit of each layer: elevations = \"ft\" or \"m\" in its table"});
            }
        }
    }
}

void Checks::outlet_height(const Outlet& outlet, const char* name, std::optional<double> elev_m)
{
    const auto at = middle_of(outlet.place);
    const auto ground_m = ground_at(at);
    if (!elev_m || !ground_m) {
        return;
    }
    const double off_m = *elev_m - *ground_m;
    const bool feet = as_feet_to_meters(*ground_m, *elev_m);
    const bool surface = std::string_view(name) == "gutter" || std::string_view(name) == "curb_top";
    const bool off = (surface && std::abs(off_m) > checks_.curb_off_m) || (!surface && off_m > checks_.curb_off_m);
    if (!feet && !off) {
        return;
    }
    add({.grade = feet ? FaultGrade::grave : FaultGrade::doubtful,
         .check = feet ? "heights in another unit" : "outlet off the ground",
         .origin = outlet.origin,
         .at = at,
         .value = elev(*elev_m),
         .what = fmt::format("{} of the outlet {} is {}, the ground there {}: {} {} it{}", name, outlet.id,
                             elev(*elev_m), elev(*ground_m), length(std::abs(off_m)), off_m > 0 ? "above" : "under",
                             feet ? ", as feet to meters" : ""),
         .why = "The fall to the outlet is wrong by as much",
         .advice =
             feet ? "State the unit of the layer: elevations = \"ft\" or \"m\" in its table"
                  : "Two surveys may count from different datums: shoot the outlet once more from the same setup"});
}

void Checks::outlet_heights()
{
    for (const auto& outlet : site_.outlets) {
        outlet_height(outlet, "gutter", outlet.gutter_elev_m);
        outlet_height(outlet, "curb_top", outlet.curb_top_elev_m);
        outlet_height(outlet, "lowest_invert", outlet.lowest_invert_elev_m);
        outlet_height(outlet, "highest_invert", outlet.highest_invert_elev_m);
    }
}

/// An outlet higher than the ground at every source drains none of them by gravity.
void Checks::outlets_above_everything()
{
    double highest_m = -std::numeric_limits<double>::infinity();
    for (const auto& source : site_.sources) {
        const auto ground_m = ground_at(source.at);
        if (!ground_m) {
            return;
        }
        highest_m = std::max({highest_m, *ground_m, source.highest_invert_elev_m.value_or(*ground_m)});
    }
    for (const auto& outlet : site_.outlets) {
        const auto at = middle_of(outlet.place);
        const auto lowest_m = outlet.lowest_invert_elev_m ? outlet.lowest_invert_elev_m
                              : outlet.gutter_elev_m      ? outlet.gutter_elev_m
                                                          : ground_at(at);
        const bool named = std::ranges::any_of(faults_, [&](const DataFault& fault) {
            return fault.origin == outlet.origin && fault.check == "heights in another unit";
        });
        if (site_.sources.empty() || !lowest_m || !(*lowest_m > highest_m) || named) {
            continue;
        }
        add({.grade = FaultGrade::doubtful,
             .check = "outlet above everything",
             .origin = outlet.origin,
             .at = at,
             .value = elev(*lowest_m),
             .what = fmt::format("The outlet {} takes water at {} or higher, and the highest source stands at {}",
                                 outlet.id, elev(*lowest_m), elev(highest_m)),
             .why = "No source can drain to it by gravity",
             .advice = "Look at its height and unit; if they are right, only a pump can reach it"});
    }
}

void Checks::outlets_on_neighbors()
{
    for (const auto& outlet : site_.outlets) {
        const auto at = middle_of(outlet.place);
        for (std::size_t i = 0; i < site_.neighbors.size(); ++i) {
            const bool theirs = contains(site_.neighbors[i], at) &&
                                boundary_distance_m(at, site_.neighbors[i]) > rules_.route.boundary_snap_m;
            const bool ours = std::ranges::any_of(site_.parcel, [&](const Polygon& lot) { return contains(lot, at); });
            if (theirs && !ours) {
                add({.grade = FaultGrade::grave,
                     .check = "outlet on a neighbor's lot",
                     .origin = outlet.origin,
                     .at = at,
                     .value = {},
                     .what = fmt::format("The outlet {} lies on the neighbor's lot {}", outlet.id,
                                         i < site_.neighbor_ids.size() ? site_.neighbor_ids[i] : ""),
                     .why = "No trench may enter a neighbor's lot",
                     .advice = "Look at its place and its coordinate system"});
            }
        }
    }
}

void Checks::sources_off_walls()
{
    for (const auto& source : site_.sources) {
        double away_m = std::numeric_limits<double>::infinity();
        for (const auto& house : site_.foundations) {
            away_m = std::min(away_m, boundary_distance_m(source.at, house));
        }
        if (!std::isfinite(away_m) || !(away_m > checks_.source_off_wall_m)) {
            continue;
        }
        add({.grade = FaultGrade::doubtful,
             .check = "source off every wall",
             .origin = source.origin,
             .at = source.at,
             .value = length(away_m),
             .what =
                 fmt::format("The source {} stands {} from the nearest wall of our house", source.id, length(away_m)),
             .why = "Downspouts and pump lines come out at a wall; the trench would begin elsewhere",
             .advice = "Look at its place, and at the outline of the house"});
    }
}

bool same(const Polyline& a, const Polyline& b, double within_m)
{
    return a.size() == b.size() &&
           std::ranges::equal(a, b, [&](const Point& p, const Point& q) { return distance_m(p, q) <= within_m; });
}

void Checks::lines_given_twice()
{
    const auto marks = supplied_marks(site_);
    for (std::size_t i = 0; i < marks.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
            const Polyline backward(marks[j].line.rbegin(), marks[j].line.rend());
            const bool as_it_is = same(marks[i].line, marks[j].line, checks_.same_place_m);
            if (!as_it_is && !same(marks[i].line, backward, checks_.same_place_m)) {
                continue;
            }
            add({.grade = FaultGrade::doubtful,
                 .check = "line given twice",
                 .origin = marks[i].origin,
                 .at = marks[i].line.front(),
                 .value = {},
                 .what = fmt::format("The mark {} lies where the mark {} ({}) lies{}", marks[i].id, marks[j].id,
                                     place_text(marks[j].origin), as_it_is ? "" : ", drawn the other way round"),
                 .why = "Its crossing is counted, dug by hand and priced twice",
                 .advice = "Take one of them out, unless two lines really share the trench"});
            break;
        }
    }
}

/// U+FFFD stands where a program could not read a letter; "A tilde" before a sign is UTF-8 read as Latin-1.
bool looks_misread(std::string_view text)
{
    static constexpr std::array<std::string_view, 2> signs{"\xEF\xBF\xBD", "\xC3\x83\xC2"};
    return std::ranges::any_of(signs, [&](std::string_view sign) { return text.find(sign) != std::string_view::npos; });
}

void Checks::texts_in_another_encoding()
{
    const auto look = [&](const std::string& text, const Origin& origin) {
        if (looks_misread(text)) {
            add({.grade = FaultGrade::doubtful,
                 .check = "letters misread",
                 .origin = origin,
                 .at = {},
                 .value = text,
                 .what = fmt::format("\"{}\" holds letters that were read in another encoding", text),
                 .why = "Names and ids do not match those of other files",
                 .advice = "Export the file as UTF-8; a shapefile says its encoding in a .cpg file"});
        }
    };
    for (const auto& outlet : site_.outlets) {
        look(outlet.id, outlet.origin);
        look(outlet.name, outlet.origin);
    }
    for (const auto& source : site_.sources) {
        look(source.id, source.origin);
    }
    for (const auto& mark : supplied_marks(site_)) {
        look(mark.id, mark.origin);
    }
}

std::vector<DataFault> Checks::run()
{
    layers_in_other_units();
    zero_heights();
    spots_off_neighbors();
    outlet_heights();
    outlets_on_neighbors();
    outlets_above_everything();
    sources_off_walls();
    lines_given_twice();
    texts_in_another_encoding();
    std::ranges::stable_sort(faults_, {}, &DataFault::grade);
    return std::move(faults_);
}

} // namespace

std::vector<DataFault> data_faults(const Site& site, const Ground* ground, const Rules& rules)
{
    return Checks(site, ground, rules).run();
}

std::string place_text(const Origin& origin)
{
    if (origin.file.empty()) {
        return "";
    }
    const auto layer = fmt::format("{}, layer {}", origin.file, origin.layer);
    return origin.feature_id < 0 ? layer : fmt::format("{}, feature {}", layer, origin.feature_id);
}

Finding finding_of(const DataFault& fault)
{
    return finding(Severity::warning, "check",
                   fmt::format("{}: {}. {}. {}.", place_text(fault.origin), fault.what, fault.why, fault.advice),
                   fault.at);
}

} // namespace trenchwright
