#include "trenchwright/route/outlet_bar.hpp"

#include "trenchwright/geom/measure.hpp"

#include <algorithm>
#include <cctype>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr std::string_view sewer_rule =
    "clear water must not enter a sanitary or combined sewer (UPC 1101.2, IPC 1101.3)";

Refusal refusal_at(const Point& p, std::string text, std::optional<double> short_by_m = {})
{
    return {.kind = RefusalKind::unlawful_place,
            .text = std::move(text),
            .at = p,
            .station_m = std::nullopt,
            .short_by_m = short_by_m};
}

/// In small letters, everything else a single blank: " sewer cleanout 2 " of "Sewer_Cleanout-2".
std::string plain_words(std::string_view text)
{
    std::string plain = " ";
    for (const char letter : text) {
        const auto code = static_cast<unsigned char>(letter);
        if (std::isalnum(code) != 0 || code >= 128) {
            plain += static_cast<char>(std::tolower(code));
        } else if (plain.back() != ' ') {
            plain += ' ';
        }
    }
    return plain.back() == ' ' ? plain : plain + ' ';
}

/// The word of the list that a name holds, whole; empty: none.
std::string word_in(std::string_view name, const std::vector<std::string>& words)
{
    const auto plain = plain_words(name);
    const auto found = std::ranges::find_if(words, [&](const std::string& word) {
        const auto wanted = plain_words(word);
        return wanted != " " && plain.find(wanted) != std::string::npos;
    });
    return found == words.end() ? "" : *found;
}

std::optional<Refusal> refused_by_record(const Outlet& outlet, const Point& p, const RouteRules& rules)
{
    if (outlet.sewer == Sewer::sanitary || outlet.sewer == Sewer::combined) {
        return refusal_at(p, fmt::format("its record says that it leads into a {} sewer: {}. Lead the water to a storm "
                                         "inlet or another outlet",
                                         sewer_name(outlet.sewer), sewer_rule));
    }
    if (outlet.kind != OutletKind::inlet) {
        return std::nullopt;
    }
    for (const auto& [what, text] : {std::pair{"name", &outlet.name}, std::pair{"id", &outlet.id}}) {
        if (const auto word = word_in(*text, rules.sanitary_words); !word.empty()) {
            return refusal_at(p, fmt::format("its {} \"{}\" says \"{}\": {}. If it is a storm inlet, find that out, "
                                             "name it so and state sewer = \"storm\" in its record",
                                             what, *text, word, sewer_rule));
        }
    }
    return std::nullopt;
}

/// From the mark's outer edge.
double away_from_m(const Mark& mark, const Point& p)
{
    return std::max(0.0, distance_m(p, mark.line) - mark.width_m.value_or(0) / 2);
}

bool may_be_sanitary(Facility facility)
{
    return facility == Facility::sanitary_sewer || facility == Facility::sewer_unstated;
}

/// How near the mark may lie: a stated storm inlet only has to lie off a sanitary line, as well as its place is known.
double asked_from_m(const Mark& mark, const Outlet& outlet, const RouteRules& rules)
{
    if (outlet.sewer != Sewer::storm) {
        return rules.sewer_distance_m;
    }
    return mark.facility == Facility::sanitary_sewer ? rules.boundary_snap_m + mark.position_accuracy_m.value_or(0) : 0;
}

std::optional<Refusal> refused_by_mark(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules,
                                       UnitSystem units)
{
    if (outlet.kind != OutletKind::inlet) {
        return std::nullopt;
    }
    const Mark* nearest = nullptr;
    for (const auto& mark : supplied_marks(site)) {
        const bool near = may_be_sanitary(mark.facility) && away_from_m(mark, p) < asked_from_m(mark, outlet, rules);
        if (near && (nearest == nullptr || away_from_m(mark, p) < away_from_m(*nearest, p))) {
            nearest = &mark;
        }
    }
    if (nearest == nullptr) {
        return std::nullopt;
    }
    const double away = away_from_m(*nearest, p);
    const double asked = asked_from_m(*nearest, outlet, rules);
    const bool stated = nearest->facility == Facility::sanitary_sewer;
    const auto help = outlet.sewer == Sewer::storm
                          ? "Its record says storm: have the line and the inlet looked at, and correct what is wrong"
                          : "If it is a storm inlet, find that out and state sewer = \"storm\" in its record";
    return refusal_at(p,
                      fmt::format("lies {} from the {} mark {}{}, nearer than {}: {}. {}", length_text(away, units),
                                  stated ? "sanitary sewer" : "sewer", nearest->id,
                                  stated ? "" : ", which is not stated to be storm", length_text(asked, units),
                                  sewer_rule, help),
                      asked - away);
}

/// @param key  the setting of its distance
std::optional<Refusal> refused_by_reserve(const std::vector<Reserve>& reserves, std::string_view what,
                                          std::string_view key, const SetbackRule& rule, const Point& p,
                                          const RouteRules& rules, UnitSystem units)
{
    const double half_m = rules.section.width_m / 2;
    for (const auto& reserve : reserves) {
        const double away = place_distance_m(p, reserve.place);
        const double edge = away - half_m;
        if (!(away > 0)) {
            return refusal_at(
                p, fmt::format("lies in the {} {}, which no water and no trench may enter. Move it", what, reserve.id));
        }
        if (rule.hard && edge < rule.distance_m) {
            return refusal_at(p,
                              fmt::format("a trench to it comes within {} of the {} {}; {} is required ({}). Move it "
                                          "farther away",
                                          length_text(std::max(0.0, edge), units), what, reserve.id,
                                          length_text(rule.distance_m, units), key),
                              rule.distance_m - edge);
        }
    }
    return std::nullopt;
}

bool inside_any(const std::vector<Polygon>& areas, const Point& p)
{
    return std::ranges::any_of(areas, [&](const Polygon& area) { return contains(area, p); });
}

std::optional<Refusal> refused_by_neighbor(const Site& site, const Point& p, const RouteRules& rules, UnitSystem units)
{
    if (inside_any(site.parcel, p) || inside_any(site.right_of_way, p)) {
        return std::nullopt;
    }
    for (std::size_t i = 0; i < site.neighbors.size(); ++i) {
        const auto& lot = site.neighbors[i];
        const double inside_m = contains(lot, p) ? boundary_distance_m(p, lot) : 0;
        if (inside_m > rules.boundary_snap_m) {
            const auto id = i < site.neighbor_ids.size() ? site.neighbor_ids[i] : "";
            return refusal_at(p,
                              fmt::format("lies {} inside the neighbor's lot{}{}: no water is led onto other people's "
                                          "ground. Move it onto your own lot or the right-of-way",
                                          length_text(inside_m, units), id.empty() ? "" : " ", id),
                              inside_m);
        }
    }
    return std::nullopt;
}

} // namespace

std::optional<Refusal> outlet_bar(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules,
                                  UnitSystem units)
{
    if (auto refusal = refused_by_record(outlet, p, rules)) {
        return refusal;
    }
    if (auto refusal = refused_by_mark(site, outlet, p, rules, units)) {
        return refusal;
    }
    const auto& asked = rules.setbacks;
    if (auto refusal =
            refused_by_reserve(site.septic, "septic part", "setbacks.septic", asked.septic, p, rules, units)) {
        return refusal;
    }
    if (auto refusal = refused_by_reserve(site.wells, "well", "setbacks.well", asked.well, p, rules, units)) {
        return refusal;
    }
    return refused_by_neighbor(site, p, rules, units);
}

} // namespace trenchwright
