#include "trenchwright/export/exchange/exchange.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/nearest_word.hpp"
#include "trenchwright/export/exchange/exchange_layers.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

/// One kind of file for other programs.
struct Format {
    Exchange exchange = Exchange::kml;
    std::string word;
    std::string file;
    bool needs_world = false; ///< longitude and latitude
    std::string (*text)(const JobPlan&) = nullptr;
};

const std::vector<Format>& formats()
{
    static const std::vector<Format> all{
        {Exchange::dxf, "dxf", "trench.dxf", false, trench_dxf},
        {Exchange::kml, "kml", "trench.kml", true, trench_kml},
        {Exchange::geojson, "geojson", "trench.geojson", true, trench_geojson},
        {Exchange::gpx, "gpx", "stakes.gpx", true, stakes_gpx},
        {Exchange::sld, "sld", "trench-styles.sld", false, plan_styles_sld},
    };
    return all;
}

constexpr const char* everything = "all";

std::vector<std::string> known_words()
{
    std::vector<std::string> words;
    for (const auto& format : formats()) {
        words.push_back(format.word);
    }
    words.emplace_back(everything);
    return words;
}

std::vector<std::string> split(const std::string& words)
{
    std::vector<std::string> parts(1);
    for (const char c : words) {
        if (c == ',') {
            parts.emplace_back();
        } else {
            parts.back() += c;
        }
    }
    return parts;
}

void check_word(const std::string& word)
{
    const auto known = known_words();
    if (std::ranges::find(known, word) == known.end()) {
        const auto nearest = nearest_word(word, known);
        throw Error(ErrorKind::usage,
                    fmt::format("--exchange: unknown word \"{}\"{}; choose from: {}", word,
                                nearest.empty() ? "" : fmt::format(" (did you mean \"{}\"?)", nearest),
                                fmt::join(known, ", ")));
    }
}

bool is_asked(const ExchangeList& asked, const Format& format)
{
    return std::ranges::find(asked.formats, format.exchange) != asked.formats.end();
}

std::string files_without_world(const ExchangeList& asked)
{
    std::vector<std::string> files;
    for (const auto& format : formats()) {
        if (format.needs_world && is_asked(asked, format)) {
            files.push_back(format.file);
        }
    }
    return fmt::format("{}", fmt::join(files, ", "));
}

} // namespace

ExchangeList exchange_list(const std::string& words)
{
    const auto given = words.empty() ? std::vector<std::string>{} : split(words);
    std::ranges::for_each(given, check_word);
    ExchangeList asked;
    asked.all = std::ranges::find(given, everything) != given.end();
    for (const auto& format : formats()) {
        if (asked.all || std::ranges::find(given, format.word) != given.end()) {
            asked.formats.push_back(format.exchange);
        }
    }
    return asked;
}

std::vector<std::string> exchange_names(const ExchangeList& asked)
{
    std::vector<std::string> names;
    for (const auto& format : formats()) {
        if (is_asked(asked, format)) {
            names.push_back(format.file);
        }
    }
    return names;
}

std::vector<Finding> exchange_findings(const JobPlan& plan, const ExchangeList& asked)
{
    const auto why_not = asked.all ? site_world(plan).why_not() : "";
    if (why_not.empty()) {
        return {};
    }
    return {finding(Severity::note, "exchange",
                    fmt::format("Not written, for they need longitude and latitude: {}. None here: {}.",
                                files_without_world(asked), why_not))};
}

std::vector<OutFile> exchange_files(const JobPlan& plan, const ExchangeList& asked)
{
    const auto why_not = asked.formats.empty() ? "" : site_world(plan).why_not();
    if (const auto files = files_without_world(asked); !why_not.empty() && !asked.all && !files.empty()) {
        throw Error(ErrorKind::input, fmt::format("--exchange: {} cannot be written, for longitude and latitude are "
                                                  "needed: {}; leave it out, or ask for all that can be written: all",
                                                  files, why_not));
    }
    std::vector<OutFile> files;
    for (const auto& format : formats()) {
        if (is_asked(asked, format) && (why_not.empty() || !format.needs_world)) {
            files.push_back({format.file, format.text(plan)});
        }
    }
    return files;
}

} // namespace trenchwright
