#include "trenchwright/estimate/materials.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace trenchwright {

namespace {

void require_in_range(const MaterialRules& rules)
{
    const bool fine = rules.stick_length_m > 0 && rules.waste_ratio >= 0 && rules.stone_kg_per_m3 > 0;
    if (!fine) {
        throw Error(ErrorKind::internal,
                    fmt::format("material list: stick {} m, waste {} or stone {} kg/m3 is out of range",
                                rules.stick_length_m, rules.waste_ratio, rules.stone_kg_per_m3));
    }
}

double not_negative(double amount_si, std::string_view what)
{
    const bool fine = amount_si >= 0 && std::isfinite(amount_si);
    if (!fine) {
        throw Error(ErrorKind::internal, fmt::format("material list: {} {} is out of range", what, amount_si));
    }
    return amount_si;
}

/// Angles that differ by a hundredth of a degree are one fitting.
bool alike(const MaterialItem& a, const MaterialItem& b)
{
    constexpr double same_angle_rad = 0.01 * std::numbers::pi / 180;
    constexpr double same_size_m = 1e-6;
    const bool angles = a.angle_rad.has_value() == b.angle_rad.has_value() &&
                        std::abs(a.angle_rad.value_or(0) - b.angle_rad.value_or(0)) < same_angle_rad;
    return a.name == b.name && a.unit == b.unit && std::abs(a.size_m - b.size_m) < same_size_m &&
           std::abs(a.branch_size_m - b.branch_size_m) < same_size_m && angles;
}

void add(std::vector<MaterialItem>& items, const MaterialItem& item)
{
    const auto same = std::ranges::find_if(items, [&](const MaterialItem& other) { return alike(other, item); });
    if (same == items.end()) {
        items.push_back(item);
        return;
    }
    same->count += item.count;
    same->length_m += item.length_m;
    same->volume_m3 += item.volume_m3;
    same->mass_kg += item.mass_kg;
}

MaterialItem pipe_item(const std::string& name, double size_m, double length_m)
{
    MaterialItem item{.name = name, .size_m = size_m, .angle_rad = {}, .unit = "stick"};
    item.length_m = not_negative(length_m, "pipe length");
    return item;
}

MaterialItem piece(const std::string& name, double size_m, std::optional<double> angle_rad, std::size_t count)
{
    return {
        .name = name, .size_m = size_m, .angle_rad = angle_rad, .count = static_cast<long long>(count), .unit = "each"};
}

std::vector<MaterialItem> pipes(const std::vector<MaterialTrench>& trenches, const MaterialRules& rules)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        add(items, pipe_item(trench.pipe, trench.outside_diameter_m, trench.pipe_length_m - trench.reduced_length_m));
        if (!trench.reduced_pipe.empty()) {
            add(items, pipe_item(trench.reduced_pipe, trench.reduced_diameter_m, trench.reduced_length_m));
        }
    }
    for (auto& item : items) {
        item.count = sticks(item.length_m, rules);
    }
    return items;
}

std::vector<MaterialItem> bends_of(const std::vector<MaterialTrench>& trenches)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        for (const auto& bend : trench.bends) {
            for (const double angle_rad : bend.fitting_angles_rad) {
                add(items, piece("Bend", trench.outside_diameter_m, angle_rad, 1));
            }
        }
    }
    std::ranges::stable_sort(items, {}, [](const MaterialItem& item) { return *item.angle_rad; });
    return items;
}

std::vector<MaterialItem> junctions(const std::vector<MaterialTrench>& trenches)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        if (trench.junction_angle_rad) {
            auto junction = piece("Wye", trench.trunk_outside_diameter_m, trench.junction_angle_rad, 1);
            junction.branch_size_m = trench.outside_diameter_m;
            add(items, junction);
        }
    }
    return items;
}

std::vector<MaterialItem> joints(const std::vector<MaterialTrench>& trenches)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        if (!trench.joint.empty()) {
            add(items, piece(trench.joint, trench.joint_outside_diameter_m, {}, 1));
        }
    }
    return items;
}

std::vector<MaterialItem> cleanout_pieces(const std::vector<MaterialTrench>& trenches)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        if (trench.cleanouts > 0) {
            add(items, piece("Cleanout with riser and cap", trench.outside_diameter_m, {}, trench.cleanouts));
        }
    }
    return items;
}

std::vector<MaterialItem> reducers(const std::vector<MaterialTrench>& trenches)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        if (!trench.reduced_pipe.empty()) {
            auto reducer = piece("Reducer", trench.outside_diameter_m, {}, 1);
            reducer.branch_size_m = trench.reduced_diameter_m;
            add(items, reducer);
        }
    }
    return items;
}

std::vector<MaterialItem> anchors_of(const std::vector<MaterialTrench>& trenches)
{
    std::vector<MaterialItem> items;
    for (const auto& trench : trenches) {
        if (trench.anchors > 0) {
            add(items, piece("Pipe anchor", trench.outside_diameter_m, {}, trench.anchors));
        }
    }
    return items;
}

std::vector<MaterialItem> stone(const std::vector<MaterialTrench>& trenches, const std::optional<FootingWork>& footing,
                                const MaterialRules& rules)
{
    std::vector<MaterialItem> items;
    MaterialItem bedding{.name = "Bedding stone", .angle_rad = {}, .unit = "bulk"};
    for (const auto& trench : trenches) {
        bedding.volume_m3 += not_negative(trench.bedding_m3, "bedding");
    }
    bedding.mass_kg = bedding.volume_m3 * rules.stone_kg_per_m3;
    if (bedding.volume_m3 > 0) {
        items.push_back(bedding);
    }
    if (footing) {
        MaterialItem bags{.name = "Footing drain stone", .angle_rad = {}, .count = footing->bags, .unit = "bag"};
        bags.volume_m3 = not_negative(footing->stone_m3, "stone");
        bags.mass_kg = footing->stone_kg;
        items.push_back(bags);
    }
    return items;
}

} // namespace

long long sticks(double length_m, const MaterialRules& rules)
{
    require_in_range(rules);
    const double needed = not_negative(length_m, "pipe length") * (1 + rules.waste_ratio) / rules.stick_length_m;
    // A stick is not bought for what rounding leaves over.
    return static_cast<long long>(std::ceil(needed - 1e-6));
}

std::vector<MaterialItem> materials(const std::vector<MaterialTrench>& trenches,
                                    const std::optional<FootingWork>& footing, const std::string& footing_pipe,
                                    double footing_outside_diameter_m, const MaterialRules& rules)
{
    require_in_range(rules);
    std::vector<MaterialItem> all = pipes(trenches, rules);
    if (footing) {
        auto pipe = pipe_item(footing_pipe, footing_outside_diameter_m, footing->length_m);
        pipe.count = sticks(pipe.length_m, rules);
        all.push_back(pipe);
    }
    for (const auto& more : {bends_of(trenches), junctions(trenches), reducers(trenches), joints(trenches),
                             cleanout_pieces(trenches), anchors_of(trenches), stone(trenches, footing, rules)}) {
        all.insert(all.end(), more.begin(), more.end());
    }
    return all;
}

} // namespace trenchwright
