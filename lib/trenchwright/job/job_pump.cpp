#include "trenchwright/base/error.hpp"
#include "trenchwright/job/pump_record.hpp"
#include "trenchwright/rules/rules.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

/// What a key of the table measures, and between which figures it makes sense; texts as a job file writes them.
struct Bound {
    Measure measure;
    std::string_view lowest;
    std::string_view highest;
};
constexpr Bound elevation{Measure::length, "-9000 m", "9000 m"};
constexpr Bound pit_size{Measure::length, "4 in", "20 ft"};
constexpr Bound wall{Measure::length, "0 in", "12 in"};
constexpr Bound level{Measure::length, "0 in", "20 ft"};
constexpr Bound pipe_length{Measure::length, "0 ft", "300 ft"};
constexpr Bound head{Measure::length, "0 ft", "500 ft"};
constexpr Bound flow{Measure::flow, "0 gpm", "2000 gpm"};
constexpr Bound weight{Measure::weight, "0 lb", "20000 lb"};
constexpr Bound ballast_volume{Measure::volume, "0 ft3", "1000 ft3"};
constexpr Bound ballast_density{Measure::density, "10 lb/ft3", "800 lb/ft3"};
constexpr Bound count{Measure::count, "0", "100"};

double amount(const JobNode& node, const Bound& bound)
{
    const auto text = node.kind == JobNode::Kind::number ? node.text : text_of(node);
    double value = 0;
    try {
        value = parse_measure(bound.measure, text);
    } catch (const Error& error) {
        refuse(node, error.what());
    }
    const bool inside =
        value >= parse_measure(bound.measure, bound.lowest) && value <= parse_measure(bound.measure, bound.highest);
    if (!inside) {
        refuse(node, fmt::format("\"{}\" is out of range: {} to {}", text, bound.lowest, bound.highest));
    }
    return value;
}

const JobNode& needed(const JobNode& table, std::string_view key, std::string_view instance)
{
    const auto* node = table.find(key);
    if (node == nullptr) {
        refuse(table, fmt::format("needs {} = {}", key, instance));
    }
    return *node;
}

std::optional<double> optional_amount(const JobNode& table, std::string_view key, const Bound& bound)
{
    const auto* node = table.find(key);
    return node == nullptr ? std::nullopt : std::optional(amount(*node, bound));
}

bool yes_no(const JobNode& table, std::string_view key)
{
    const auto& node = needed(table, key, R"("yes" or "no")");
    const auto word = node.kind == JobNode::Kind::truth ? node.text : text_of(node);
    if (word != "yes" && word != "no") {
        refuse(node, fmt::format("\"{}\" must be one of: yes|no", word));
    }
    return word == "yes";
}

std::size_t count_in(const JobNode& table, std::string_view key)
{
    return static_cast<std::size_t>(optional_amount(table, key, count).value_or(0));
}

PumpFittings fittings_from(const JobNode* table)
{
    if (table == nullptr) {
        return {};
    }
    check_members(*table, {"elbows_90", "elbows_45", "tees_through", "tees_branch", "gate_valves"});
    return {.elbows_90 = count_in(*table, "elbows_90"),
            .elbows_45 = count_in(*table, "elbows_45"),
            .tees_through = count_in(*table, "tees_through"),
            .tees_branch = count_in(*table, "tees_branch"),
            .gate_valves = count_in(*table, "gate_valves")};
}

/// In the words of the file; flow/pump_line.hpp asks the same.
void check_curve(const JobNode& node, const std::vector<CurvePoint>& curve)
{
    if (curve.size() < 2) {
        refuse(node, R"(needs two points or more: [["0 gpm", "24 ft"], ["40 gpm", "10 ft"]])");
    }
    for (std::size_t i = 1; i < curve.size(); ++i) {
        const bool falls = curve[i].flow_m3ps > curve[i - 1].flow_m3ps && curve[i].head_m < curve[i - 1].head_m;
        if (!falls) {
            const auto text = [&](std::size_t point) {
                const auto& pair = node.items[point].items;
                return fmt::format("({}, {})", pair[0].text, pair[1].text);
            };
            refuse(node, fmt::format("flows must rise and heads must fall; {} follows {}", text(i), text(i - 1)));
        }
    }
}

std::vector<CurvePoint> curve_from(const JobNode& node)
{
    std::vector<CurvePoint> curve;
    for (const auto& item : node.items) {
        if (item.kind != JobNode::Kind::list || item.items.size() != 2) {
            refuse(item, R"(each point is a pair of flow and head: ["20 gpm", "18 ft"])");
        }
        curve.push_back({.flow_m3ps = amount(item.items[0], flow), .head_m = amount(item.items[1], head)});
    }
    check_curve(node, curve);
    return curve;
}

std::vector<Ballast> ballast_from(const JobNode* node)
{
    std::vector<Ballast> ballast;
    if (node == nullptr) {
        return ballast;
    }
    if (node->kind != JobNode::Kind::list) {
        refuse(*node, R"(must be a list of tables: [{volume = "1.5 ft3", density = "150 lb/ft3"}])");
    }
    for (const auto& item : node->items) {
        check_members(item, {"volume", "density"});
        ballast.push_back({.volume_m3 = amount(needed(item, "volume", "\"1.5 ft3\""), ballast_volume),
                           .density_kg_per_m3 = amount(needed(item, "density", "\"150 lb/ft3\""), ballast_density)});
    }
    return ballast;
}

void check_levels(const JobNode& table, const PumpRecord& pump)
{
    const bool ordered = pump.on_below_rim_m < pump.off_below_rim_m && pump.off_below_rim_m <= pump.pit_depth_m;
    if (!ordered) {
        refuse(table, "levels are measured down from the rim: on_level must be above off_level, and off_level not "
                      "below pit_depth");
    }
}

PumpRecord pump_from(const JobNode& table)
{
    check_members(table, {"source", "curve", "rim", "pit_diameter", "pit_depth", "pit_wall", "on_level", "off_level",
                          "inside_length", "fittings", "check_valve", "perforated", "inflow", "pit_weight", "ballast"});
    PumpRecord pump;
    pump.where = where(table);
    pump.source = text_in(table, "source");
    pump.curve = curve_from(needed(table, "curve", R"([["0 gpm", "24 ft"], ["40 gpm", "10 ft"]])"));
    pump.rim_elev_m = amount(needed(table, "rim", "\"98.4 ft\""), elevation);
    pump.pit_diameter_m = amount(needed(table, "pit_diameter", "\"18 in\""), pit_size);
    pump.pit_depth_m = amount(needed(table, "pit_depth", "\"24 in\""), pit_size);
    pump.pit_wall_m = optional_amount(table, "pit_wall", wall);
    pump.on_below_rim_m = amount(needed(table, "on_level", "\"10 in\""), level);
    pump.off_below_rim_m = amount(needed(table, "off_level", "\"18 in\""), level);
    pump.inside_length_m = amount(needed(table, "inside_length", "\"8 ft\""), pipe_length);
    pump.fittings = fittings_from(table.find("fittings"));
    pump.check_valve = yes_no(table, "check_valve");
    pump.perforated = yes_no(table, "perforated");
    pump.inflow_m3ps = optional_amount(table, "inflow", flow);
    pump.pit_weight_kg = optional_amount(table, "pit_weight", weight).value_or(0);
    pump.ballast = ballast_from(table.find("ballast"));
    check_levels(table, pump);
    return pump;
}

} // namespace

std::vector<PumpRecord> pumps_from(const JobNode& node)
{
    if (node.kind == JobNode::Kind::table) {
        return {pump_from(node)};
    }
    if (node.kind != JobNode::Kind::list) {
        refuse(node, "must be a table [pump] or a list of them [[pump]]");
    }
    std::vector<PumpRecord> pumps;
    for (const auto& item : node.items) {
        pumps.push_back(pump_from(item));
    }
    return pumps;
}

} // namespace trenchwright
