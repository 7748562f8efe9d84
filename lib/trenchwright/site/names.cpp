#include "trenchwright/site/site.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <utility>

namespace trenchwright {

namespace {

constexpr std::array<std::pair<Facility, std::string_view>, 9> facilities{{
    {Facility::electric, "electric"},
    {Facility::gas, "gas"},
    {Facility::communication, "communication"},
    {Facility::water, "water"},
    {Facility::sanitary_sewer, "sanitary sewer"},
    {Facility::storm_sewer, "storm sewer"},
    {Facility::sewer_unstated, "sewer"},
    {Facility::reclaimed, "reclaimed water"},
    {Facility::unstated, "unstated"},
}};

} // namespace

std::string_view facility_name(Facility facility)
{
    for (const auto& [value, name] : facilities) {
        if (value == facility) {
            return name;
        }
    }
    return "unstated";
}

std::optional<Facility> facility_named(std::string_view word)
{
    for (const auto& [value, name] : facilities) {
        if (name == word) {
            return value;
        }
    }
    return std::nullopt;
}

MarkCode mark_code(Facility facility)
{
    switch (facility) {
    case Facility::electric: return {"red", "E"};
    case Facility::gas: return {"yellow", "G"};
    case Facility::communication: return {"orange", "C"};
    case Facility::water: return {"blue", "W"};
    case Facility::sanitary_sewer: return {"green", "S"};
    case Facility::storm_sewer: return {"green", "SD"};
    case Facility::sewer_unstated: return {"green", "S?"};
    case Facility::reclaimed: return {"purple", "R"};
    case Facility::unstated: break;
    }
    return {"color not stated", "?"};
}

std::string_view outlet_kind_name(OutletKind kind)
{
    switch (kind) {
    case OutletKind::curb: return "curb";
    case OutletKind::popup: return "popup";
    case OutletKind::inlet: return "inlet";
    case OutletKind::swale: return "swale";
    }
    return "";
}

std::string_view outlet_kind_words(OutletKind kind)
{
    return kind == OutletKind::popup ? "pop-up" : outlet_kind_name(kind);
}

std::string_view water_name(Water water)
{
    switch (water) {
    case Water::roof: return "roof";
    case Water::sump: return "sump";
    case Water::footing: return "footing";
    }
    return "";
}

std::string_view permission_name(Permission permission)
{
    switch (permission) {
    case Permission::yes: return "yes";
    case Permission::ask: return "ask";
    case Permission::no: return "no";
    case Permission::unstated: return "unstated";
    }
    return "";
}

std::string_view sewer_name(Sewer sewer)
{
    switch (sewer) {
    case Sewer::unstated: return "unstated";
    case Sewer::storm: return "storm";
    case Sewer::sanitary: return "sanitary";
    case Sewer::combined: return "combined";
    }
    return "";
}

std::string quality_word(const Mark& mark)
{
    if (mark.probable()) {
        return "not marked";
    }
    return mark.quality ? std::string(1, static_cast<char>('A' + static_cast<int>(*mark.quality))) : "not stated";
}

std::string mark_name(const Mark& mark)
{
    return mark.probable()
               ? fmt::format("probable run of {} {}, not marked", facility_name(mark.facility), mark.continues)
               : fmt::format("{} {}", facility_name(mark.facility), mark.id);
}

std::string mark_name_and_advice(const Mark& mark)
{
    return mark.probable() ? fmt::format("probable run of {} {} (not marked: ask for a re-mark)",
                                         facility_name(mark.facility), mark.continues)
                           : mark_name(mark);
}

std::string accuracy_words(const Mark& mark, UnitSystem units)
{
    return mark.position_accuracy_m.value_or(0) > 0
               ? fmt::format(" and the mark may be off by {}", small_text(*mark.position_accuracy_m, units))
               : std::string();
}

std::string paint_words(const Mark& mark, std::string_view between)
{
    const auto code = mark_code(mark.facility);
    return mark.probable() ? "no paint" : fmt::format("{}{}{}", code.color, between, code.letters);
}

std::string mark_letters(const Mark& mark)
{
    return std::string(mark_code(mark.facility).letters) + (mark.probable() ? "?" : "");
}

std::span<const Mark> supplied_marks(const Site& site)
{
    const auto first = std::ranges::find_if(site.marks, &Mark::probable);
    return {site.marks.begin(), first};
}

Permission permission_for(const Outlet& outlet, Water water)
{
    const auto found = outlet.permission.find(water);
    return found == outlet.permission.end() ? Permission::unstated : found->second;
}

std::set<Water> waters_of(const Site& site, const Source& source)
{
    std::set<Water> waters{source.water};
    if (source.kind == SourceKind::pump && !site.footing_drains.empty()) {
        waters.insert(Water::footing);
    }
    return waters;
}

std::set<Water> waters_of(const Site& site)
{
    std::set<Water> waters;
    for (const auto& source : site.sources) {
        waters.merge(waters_of(site, source));
    }
    return waters;
}

std::string waters_text(const Site& site, const Source& source)
{
    std::string text;
    for (const Water water : waters_of(site, source)) {
        text += fmt::format("{}{}", text.empty() ? "" : " and ", water_name(water));
    }
    return text;
}

Permission permission_for(const Site& site, const Outlet& outlet, const Source& source)
{
    constexpr std::array by_strength{Permission::no, Permission::unstated, Permission::ask, Permission::yes};
    const auto waters = waters_of(site, source);
    return *std::ranges::find_if(by_strength, [&](Permission permission) {
        return std::ranges::any_of(waters, [&](Water water) { return permission_for(outlet, water) == permission; });
    });
}

} // namespace trenchwright
