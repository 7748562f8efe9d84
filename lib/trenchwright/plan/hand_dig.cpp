#include "trenchwright/plan/hand_dig.hpp"

#include <fmt/format.h>

namespace trenchwright {

namespace {

HandDig sum_of(const Site& site, const std::vector<const TrenchPlan*>& trenches)
{
    HandDig sum{.known = !site.marks.empty()};
    for (const auto* trench : trenches) {
        const auto& q = trench->measured.quantities;
        sum.length_m += q.hand_length_m;
        sum.volume_m3 += q.hand_cut_m3;
        sum.machine_length_m += q.machine_length_m;
        sum.machine_volume_m3 += q.machine_cut_m3;
        sum.crossings += trench->measured.crossings.size();
    }
    return sum;
}

std::string at_least(const HandDig& dig, double figure, const std::string& text)
{
    return dig.known ? text : figure > 0 ? "at least " + text : "unknown";
}

std::string at_most(const HandDig& dig, const std::string& text)
{
    return dig.known ? text : "at most " + text;
}

} // namespace

HandDig hand_dig(const Site& site, const TrenchPlan& trench)
{
    return sum_of(site, {&trench});
}

HandDig hand_dig(const Site& site, const OutletOutcome& outcome)
{
    return sum_of(site, trenches_of(&outcome));
}

std::string hand_length_text(const HandDig& dig, UnitSystem units)
{
    return at_least(dig, dig.length_m, length_text(dig.length_m, units));
}

std::string hand_volume_text(const HandDig& dig, UnitSystem units)
{
    return at_least(dig, dig.volume_m3, volume_text(dig.volume_m3, units));
}

std::string machine_length_text(const HandDig& dig, UnitSystem units)
{
    return at_most(dig, length_text(dig.machine_length_m, units));
}

std::string machine_volume_text(const HandDig& dig, UnitSystem units)
{
    return at_most(dig, volume_text(dig.machine_volume_m3, units));
}

std::string crossings_text(const HandDig& dig)
{
    return dig.known ? std::to_string(dig.crossings) : "unknown";
}

std::string dig_text(bool by_hand, std::string_view hand_word)
{
    return by_hand ? std::string(hand_word) : fmt::format("machine ({})", machine_note);
}

} // namespace trenchwright
