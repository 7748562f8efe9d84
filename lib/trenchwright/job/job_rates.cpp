#include "trenchwright/base/error.hpp"
#include "trenchwright/job/rates_reader.hpp"
#include "trenchwright/rules/settings_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr double max_money = 1e9;

double figure(const JobNode& node, Measure measure, double lowest, double highest)
{
    double value = 0;
    try {
        value = parse_measure(measure, node.kind == JobNode::Kind::number ? node.text : text_of(node));
    } catch (const Error& error) {
        refuse(node, error.what());
    }
    const bool inside = value >= lowest && value <= highest;
    if (!inside) {
        refuse(node, fmt::format("\"{}\" is out of range", node.text));
    }
    return value;
}

double figure_in(const JobNode& table, std::string_view key, Measure measure, double otherwise, double highest)
{
    const auto* node = table.find(key);
    return node == nullptr ? otherwise : figure(*node, measure, 0, highest);
}

/// One figure, or low, likely and high in a list.
Spread spread_in(const JobNode& table, std::string_view key, Measure measure)
{
    const auto* node = table.find(key);
    if (node == nullptr) {
        return {};
    }
    if (node->kind != JobNode::Kind::list) {
        const double one = figure(*node, measure, 0, max_money);
        return {.low = one, .likely = one, .high = one};
    }
    if (node->items.size() != 3) {
        refuse(*node, fmt::format("has {} figures; write one, or low, likely and high", node->items.size()));
    }
    const auto at = [&](std::size_t i) { return figure(node->items[i], measure, 0, max_money); };
    const Spread spread{.low = at(0), .likely = at(1), .high = at(2)};
    const bool ordered = spread.low <= spread.likely && spread.likely <= spread.high;
    if (!ordered) {
        refuse(*node, "low, likely and high must not fall");
    }
    return spread;
}

std::string date_or(const JobNode& table, const std::string& otherwise)
{
    const auto date = text_in(table, "date");
    return date.empty() ? otherwise : date;
}

Trade trade_from(const JobNode& table, const std::string& date)
{
    check_members(table, {"rate", "date"});
    if (table.find("rate") == nullptr) {
        refuse(table, R"(needs rate = ["38", "44", "52"], money per hour)");
    }
    return {.per_hour = spread_in(table, "rate", Measure::money), .date = date_or(table, date)};
}

std::map<std::string, double> crew_from(const JobNode& item, const RateBook& book)
{
    std::map<std::string, double> crew;
    const auto* table = item.find("crew");
    if (table == nullptr) {
        return crew;
    }
    std::vector<std::string> trades;
    for (const auto& [name, trade] : book.trades) {
        trades.push_back(name);
    }
    check_members(*table, trades);
    for (const auto& [name, count] : table->members) {
        crew[name] = figure(count, Measure::number, 0, 100);
    }
    return crew;
}

Rate rate_from(const JobNode& item, const RateKind& kind, const RateBook& book, const std::string& date)
{
    check_members(item, {"price", "hours", "crew", "minimum", "date"});
    Rate rate{.price = spread_in(item, "price", measure_of(kind.per)),
              .hours = spread_in(item, "hours", measure_of(kind.per)),
              .crew = crew_from(item, book),
              .least = figure_in(item, "minimum", Measure::money, 0, max_money),
              .date = date_or(item, date)};
    if (item.find("price") == nullptr && item.find("hours") == nullptr) {
        refuse(item, "needs price, or hours and crew");
    }
    if ((item.find("hours") == nullptr) != rate.crew.empty()) {
        refuse(item, "hours and crew need each other");
    }
    if (rate.date.empty()) {
        refuse(item, "needs a date, here or at the top of the file");
    }
    return rate;
}

void add_items(RateBook& book, const JobNode& items, const std::string& prefix, const std::string& date)
{
    std::vector<std::string> known{"restore"};
    for (const auto& kind : rate_kinds()) {
        known.emplace_back(kind.key);
    }
    if (prefix.empty()) {
        check_members(items, known);
    }
    for (const auto& [name, item] : items.members) {
        const auto key = prefix + name;
        if (key == "restore") {
            add_items(book, item, "restore.", date);
        } else {
            book.items[key] = rate_from(item, *rate_kind(key), book, date);
        }
    }
}

void add_soil(RateBook& book, const JobNode& top, const std::string& soil)
{
    book.soil = soil.empty() ? text_in(top, "soil") : soil;
    const auto* soils = top.find("soils");
    if (book.soil.empty()) {
        return;
    }
    const auto* factor = soils == nullptr ? nullptr : soils->find(book.soil);
    if (factor == nullptr) {
        refuse(soils == nullptr ? top : *soils, fmt::format("soil \"{}\" has no factor in [soils]", book.soil));
    }
    book.soil_hours_factor = figure(*factor, Measure::number, 0.01, 100);
}

void add_depths(RateBook& book, const JobNode& top)
{
    const auto* depths = top.find("depths");
    if (depths == nullptr) {
        return;
    }
    if (depths->kind != JobNode::Kind::list) {
        refuse(*depths, R"(must be a list of tables: [[depths]] from = "4 ft", hours_factor = "1.3")");
    }
    for (const auto& step : depths->items) {
        check_members(step, {"from", "hours_factor"});
        book.depths.push_back({.from_m = figure_in(step, "from", Measure::length, 0, 30),
                               .hours_factor = figure_in(step, "hours_factor", Measure::number, 1, 100)});
        if (book.depths.size() > 1 && !(book.depths.back().from_m > book.depths[book.depths.size() - 2].from_m)) {
            refuse(step, "depths must rise");
        }
    }
}

void add_charges(RateBook& book, const JobNode& top)
{
    const auto* charges = top.find("charges");
    if (charges == nullptr) {
        return;
    }
    check_members(*charges, {"overhead", "markup", "tax", "tax_on", "minimum"});
    book.overhead_share = figure_in(*charges, "overhead", Measure::share, 0, 10);
    book.margin_share = figure_in(*charges, "markup", Measure::share, 0, 10);
    book.tax_share = figure_in(*charges, "tax", Measure::share, 0, 1);
    book.min_charge = figure_in(*charges, "minimum", Measure::money, 0, max_money);
    const auto tax_on = text_in(*charges, "tax_on");
    if (!tax_on.empty() && tax_on != "all" && tax_on != "materials") {
        refuse(*charges->find("tax_on"), fmt::format("\"{}\" must be one of: all|materials", tax_on));
    }
    book.tax_on_all = tax_on == "all";
}

/// One figure, or several with commas between.
void set_text(JobNode& node, const std::string& text)
{
    node.kind = JobNode::Kind::text;
    node.text = text;
    node.members.clear();
    node.items.clear();
    if (text.find(',') == std::string::npos) {
        return;
    }
    node.kind = JobNode::Kind::list;
    for (std::size_t from = 0; from <= text.size();) {
        const auto comma = std::min(text.find(',', from), text.size());
        JobNode item = node;
        item.kind = JobNode::Kind::text;
        item.items.clear();
        item.text = std::string(text.substr(from, comma - from));
        node.items.push_back(std::move(item));
        from = comma + 1;
    }
}

} // namespace

RateBook rates_from(const JobNode& top, const std::string& soil, const std::string& currency)
{
    check_members(
        top, {"firm", "currency", "sample", "date", "soil", "soils", "depths", "day", "charges", "trades", "items"});
    RateBook book;
    book.file = std::filesystem::path(top.file).filename().string();
    book.firm = text_in(top, "firm");
    book.sample = text_in(top, "sample") == "yes";
    const auto stated_currency = text_in(top, "currency");
    if (stated_currency != currency) {
        refuse(top, fmt::format("currency is \"{}\", the job's is {}", stated_currency, currency));
    }
    const auto date = text_in(top, "date");
    book.day_hours = figure_in(top, "day", Measure::number, 8, 24);
    add_soil(book, top, soil);
    add_depths(book, top);
    add_charges(book, top);
    if (const auto* trades = top.find("trades")) {
        for (const auto& [name, trade] : trades->members) {
            book.trades[name] = trade_from(trade, date);
        }
    }
    const auto* items = top.find("items");
    if (items == nullptr) {
        refuse(top, "has no rates: write [items.hand_dig], [items.pipe] and so on");
    }
    add_items(book, *items, "", date);
    return book;
}

bool is_rates_key(std::string_view key)
{
    return key == "soil" || std::ranges::any_of(std::array{"items.", "trades.", "charges.", "soils."},
                                                [&](const char* start) { return key.starts_with(start); });
}

void change_rates(JobNode& top, std::span<const RuleText> changes)
{
    for (const auto& change : changes) {
        JobNode* node = &top;
        std::string_view rest = change.key;
        while (!rest.empty()) {
            const auto dot = rest.find('.');
            const std::string name(rest.substr(0, dot));
            rest = dot == std::string_view::npos ? std::string_view() : rest.substr(dot + 1);
            auto found = std::ranges::find(node->members, name, &JobMember::name);
            if (found == node->members.end()) {
                JobNode made;
                made.file = "--set";
                made.path = node->path.empty() ? name : node->path + "." + name;
                node->kind = JobNode::Kind::table;
                node->members.push_back({.name = name, .node = std::move(made)});
                found = node->members.end() - 1;
            }
            node = &found->node;
        }
        set_text(*node, change.text);
    }
}

} // namespace trenchwright
