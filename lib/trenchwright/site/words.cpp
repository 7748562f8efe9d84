#include "trenchwright/base/error.hpp"
#include "trenchwright/base/former_names.hpp"
#include "trenchwright/site/read_parts.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>

namespace trenchwright {

namespace {

std::vector<std::string> facility_words()
{
    std::vector<std::string> words;
    for (int i = 0; i <= static_cast<int>(Facility::unstated); ++i) {
        words.emplace_back(facility_name(static_cast<Facility>(i)));
    }
    return words;
}

const std::vector<std::string>* words_for(std::string_view part, std::string_view attribute)
{
    const auto row = std::ranges::find_if(
        site_words(), [&](const SiteWords& words) { return words.part == part && words.attribute == attribute; });
    return row == site_words().end() ? nullptr : &row->words;
}

/// A word no attribute takes, with the features that have it.
struct Unknown {
    std::size_t features = 0;
    long long first = 0;
};
using Unknowns = std::map<std::pair<std::string, std::string>, Unknown>; ///< by attribute and word

void look_at(const PartLayer& layer, const std::string& attribute, const std::vector<std::string>& known,
             Unknowns& unknown)
{
    for (const auto& feature : layer.placed.data.features) {
        const auto word = Row(layer, feature).word(attribute);
        if (word && std::ranges::find(known, *word) == known.end()) {
            auto& found = unknown[{attribute, *word}];
            found.first = found.features++ == 0 ? feature.id : found.first;
        }
    }
}

/// The kinds there are rules for, and their names of before.
std::vector<std::string> ground_kinds(const PartLayer& layer, const Unknowns& so_far)
{
    auto kinds = layer.job->surface_kinds;
    for (const auto& [key, found] : so_far) {
        if (current_name(NameOf::ground_cover, key.second)) {
            kinds.push_back(key.second);
        }
    }
    return kinds;
}

Unknowns unknown_words(const PartLayer& layer)
{
    Unknowns unknown;
    for (const auto& words : site_words()) {
        if (words.part == layer.part->name) {
            look_at(layer, words.attribute, words.words, unknown);
        }
    }
    if (layer.part->name == "ground_cover" && !layer.job->surface_kinds.empty()) {
        Unknowns once;
        look_at(layer, "kind", layer.job->surface_kinds, once);
        look_at(layer, "kind", ground_kinds(layer, once), unknown);
    }
    return unknown;
}

/// "facility is one of electric, gas, ..." for every attribute concerned.
std::string known_text(const PartLayer& layer, const Unknowns& unknown)
{
    std::string text;
    std::string last;
    for (const auto& [key, found] : unknown) {
        if (key.first != last) {
            const auto* words = words_for(layer.part->name, key.first);
            text += fmt::format("; {} is one of {}", key.first,
                                fmt::join(words == nullptr ? layer.job->surface_kinds : *words, ", "));
            last = key.first;
        }
    }
    return text;
}

} // namespace

const std::vector<SiteWords>& site_words()
{
    // In the order of the enumerations in site.hpp.
    static const std::vector<std::string> yes_no{"yes", "true", "1", "no", "false", "0"};
    static const std::vector<std::string> permission{"yes", "ask", "no", "unstated"};
    static const std::vector<SiteWords> words{
        {"utilities", "facility", facility_words()},
        {"utilities", "quality", {"A", "B", "C", "D", "a", "b", "c", "d"}},
        {"utilities", "may_cross", yes_no},
        {"utilities", "ends_seen", yes_no},
        {"sources", "kind", {"downspout", "pump"}},
        {"sources", "water", {"roof", "sump", "footing"}},
        {"outlets", "kind", {"curb", "popup", "inlet", "swale"}},
        {"outlets", "roof", permission},
        {"outlets", "sump", permission},
        {"outlets", "footing", permission},
        {"outlets", "sewer", {"unstated", "storm", "sanitary", "combined"}},
    };
    return words;
}

void require_known_words(const PartLayer& layer)
{
    const auto unknown = unknown_words(layer);
    if (unknown.size() < 2) {
        return; // the reader of the one names its feature
    }
    std::string list;
    std::string translated;
    for (const auto& [key, found] : unknown) {
        const auto comma = list.empty() ? "" : ", ";
        list += fmt::format("{}{} \"{}\" ({} feature{}, {}{})", comma, key.first, key.second, found.features,
                            found.features == 1 ? "" : "s", found.features == 1 ? "" : "first ", found.first);
        translated += fmt::format("{}\"{}\" = \"...\"", comma, key.second);
    }
    throw Error(ErrorKind::input,
                fmt::format("{}, layer {}: {} words are not known: {}{}. Translate them: words = {{ {} }}",
                            layer.placed.data.file.string(), layer.placed.data.layer, unknown.size(), list,
                            known_text(layer, unknown), translated));
}

std::optional<std::size_t> Row::choice(std::string_view attribute) const
{
    const auto text = word(attribute);
    if (!text) {
        return std::nullopt;
    }
    const auto& allowed = *words_for(layer_->part->name, attribute);
    const auto found = std::find(allowed.begin(), allowed.end(), *text);
    if (found == allowed.end()) {
        stop(fmt::format("{} \"{}\" is not one of {}; translate it under `words`", attribute, *text,
                         fmt::join(allowed, ", ")));
    }
    return static_cast<std::size_t>(found - allowed.begin());
}

} // namespace trenchwright
