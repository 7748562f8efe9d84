#include "trenchwright/base/error.hpp"
#include "trenchwright/job/paper_record.hpp"
#include "trenchwright/rules/checklist_items.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace trenchwright {

namespace {

std::vector<Contact> contacts_from(const JobNode& node)
{
    if (node.kind != JobNode::Kind::list) {
        refuse(node, "must be a list of tables: [{ role = \"owner\", name = \"...\" }]");
    }
    std::vector<Contact> contacts;
    for (const auto& item : node.items) {
        check_members(item, {"role", "name", "address", "phone"});
        if (item.find("role") == nullptr || item.find("name") == nullptr) {
            refuse(item, "needs role and name");
        }
        contacts.push_back({.role = text_in(item, "role"),
                            .name = text_in(item, "name"),
                            .address = text_in(item, "address"),
                            .phone = text_in(item, "phone")});
    }
    return contacts;
}

std::vector<std::string> notes_from(const JobNode& node)
{
    if (node.kind != JobNode::Kind::list) {
        refuse(node, "must be a list of texts: [\"...\", \"...\"]");
    }
    std::vector<std::string> notes;
    for (const auto& item : node.items) {
        notes.push_back(text_of(item));
    }
    return notes;
}

std::map<std::string, std::string> elsewhere_from(const JobNode& node)
{
    std::vector<std::string> keys;
    for (const auto& item : checklist_items()) {
        keys.emplace_back(item.key);
    }
    check_members(node, keys);
    std::map<std::string, std::string> found;
    for (const auto& [key, member] : node.members) {
        found[key] = text_of(member);
    }
    return found;
}

/// No ground on Earth is higher or lower.
double elev_of(const JobNode& table, std::string_view key, std::string_view example)
{
    constexpr double max_m = 9000;
    const auto* node = table.find(key);
    if (node == nullptr) {
        refuse(table, fmt::format("needs {} = \"{}\"", key, example));
    }
    double elev_m = 0;
    try {
        elev_m = parse_measure(Measure::length, node->kind == JobNode::Kind::number ? node->text : text_of(*node));
    } catch (const Error& error) {
        refuse(*node, error.what());
    }
    const bool on_earth = std::abs(elev_m) <= max_m;
    if (!on_earth) {
        refuse(*node, fmt::format("\"{}\" is out of range: -9000 m to 9000 m (-29527 ft to 29527 ft)", node->text));
    }
    return elev_m;
}

Hub hub_from(const JobNode& node)
{
    check_members(node, {"source", "station", "top"});
    const auto* station = node.find("station");
    if (node.find("source") == nullptr || station == nullptr) {
        refuse(node,
               "needs source, station and top: { source = \"DS-1\", station = \"15.24 m\", top = \"648.10 ft\" }");
    }
    Hub hub{.source = text_in(node, "source"), .station_m = 0, .top_elev_m = elev_of(node, "top", "648.10 ft")};
    try {
        hub.station_m = parse_measure(Measure::length, text_of(*station));
    } catch (const Error& error) {
        refuse(*station, error.what());
    }
    const bool along = hub.station_m >= 0;
    if (!along) {
        refuse(*station, "must not be below 0");
    }
    return hub;
}

} // namespace

SheetRecord sheet_from(const JobNode& node)
{
    check_members(node, {"outlet", "address", "legal", "authority", "permit_number", "datum", "benchmark", "one_call",
                         "restoration", "start", "notes", "contacts", "elsewhere"});
    SheetRecord sheet{.outlet = text_in(node, "outlet"),
                      .address = text_in(node, "address"),
                      .legal = text_in(node, "legal"),
                      .authority = text_in(node, "authority"),
                      .permit_number = text_in(node, "permit_number"),
                      .datum = text_in(node, "datum"),
                      .benchmark = text_in(node, "benchmark"),
                      .one_call = text_in(node, "one_call"),
                      .restoration = text_in(node, "restoration"),
                      .start = text_in(node, "start"),
                      .notes = {},
                      .contacts = {},
                      .elsewhere = {}};
    if (const auto* notes = node.find("notes")) {
        sheet.notes = notes_from(*notes);
    }
    if (const auto* contacts = node.find("contacts")) {
        sheet.contacts = contacts_from(*contacts);
    }
    if (const auto* elsewhere = node.find("elsewhere")) {
        sheet.elsewhere = elsewhere_from(*elsewhere);
    }
    return sheet;
}

CutSheetRecord cut_sheet_from(const JobNode& node)
{
    check_members(node, {"instrument", "hubs"});
    CutSheetRecord record;
    if (node.find("instrument") != nullptr) {
        record.instrument_elev_m = elev_of(node, "instrument", "652.40 ft");
    }
    if (const auto* hubs = node.find("hubs")) {
        if (hubs->kind != JobNode::Kind::list) {
            refuse(*hubs, "must be a list of tables");
        }
        std::ranges::transform(hubs->items, std::back_inserter(record.hubs), hub_from);
    }
    return record;
}

} // namespace trenchwright
