#include "trenchwright/base/calendar.hpp"
#include "trenchwright/job/office_record.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace trenchwright {

namespace {

constexpr std::array<PrivateLineKind, 11> private_kinds{{
    {"irrigation", "irrigation (sprinkler) lines", "reclaimed"},
    {"sewer_lateral", "sewer lateral", "sanitary sewer"},
    {"water_past_meter", "water past the meter", "water"},
    {"gas_past_meter", "gas past the meter", "gas"},
    {"propane", "propane", "gas"},
    {"power_past_meter", "power past the meter", "electric"},
    {"yard_lights", "yard lights", "electric"},
    {"lines_to_sheds", "lines to sheds and garages", ""},
    {"septic", "septic tank and field", ""},
    {"old_drains", "old drains", ""},
    {"pet_fence", "buried pet fence", ""},
}};

constexpr std::array<RequestField, 19> fields{{
    {"contact", "Contact name", "Excavator / caller"},
    {"company", "Company", "Excavator / caller"},
    {"phone", "Phones", "Excavator / caller"},
    {"email", "E-mail", "Excavator / caller"},
    {"alternate_contact", "Alternate contact", "Excavator / caller"},
    {"work_for", "Work is done for", "Excavator / caller"},
    {"county", "County", "Where"},
    {"city", "City", "Where"},
    {"address", "Street address", "Where"},
    {"cross_street", "Nearest cross street", "Where"},
    {"from_cross_street", "Distance and direction from it", "Where"},
    {"side_of_street", "Side of the street", "Where"},
    {"where", "Where on the lot", "Where"},
    {"access", "How to reach the yard (gates, dogs)", "Where"},
    {"start", "Start date and time", "What"},
    {"days", "Number of days", "What"},
    {"work", "Type of work", "What"},
    {"equipment", "Type of equipment", "What"},
    {"instructions", "Special instructions", "What"},
}};

/// Dates are compared with the job's, so they have to be dates.
std::string date_in(const JobNode& table, std::string_view key)
{
    const auto text = text_in(table, key);
    if (!text.empty() && !day_number(text)) {
        refuse(*table.find(key), fmt::format("\"{}\" is not a date: write 2031-04-02", text));
    }
    return text;
}

std::string word_in(const JobNode& table, std::string_view key, const std::vector<std::string>& words)
{
    const auto text = text_in(table, key);
    if (text.empty()) {
        refuse(table, fmt::format("needs {} = \"{}\"", key, fmt::join(words, "\" or \"")));
    }
    if (std::ranges::find(words, text) == words.end()) {
        refuse(*table.find(key), fmt::format("\"{}\" must be one of: {}", text, fmt::join(words, "|")));
    }
    return text;
}

TicketAnswer answer_from(const JobNode& table)
{
    check_members(table, {"owner", "answer", "date"});
    TicketAnswer answer{.owner = text_in(table, "owner"),
                        .answer = word_in(table, "answer", {"marked", "no conflict", "no answer"}),
                        .date = date_in(table, "date")};
    if (answer.owner.empty()) {
        refuse(table, "needs owner = \"...\"");
    }
    return answer;
}

} // namespace

std::span<const PrivateLineKind> private_line_kinds()
{
    return private_kinds;
}

std::span<const RequestField> request_fields()
{
    return fields;
}

Ticket ticket_from(const JobNode& node)
{
    check_members(node, {"number", "called", "legal_start", "expires", "answers"});
    Ticket ticket{.number = text_in(node, "number"),
                  .called = date_in(node, "called"),
                  .legal_start = date_in(node, "legal_start"),
                  .expires = date_in(node, "expires"),
                  .answers = {}};
    if (const auto* answers = node.find("answers")) {
        if (answers->kind != JobNode::Kind::list) {
            refuse(*answers, R"(must be a list of tables: [{owner = "...", answer = "marked"}])");
        }
        for (const auto& item : answers->items) {
            ticket.answers.push_back(answer_from(item));
        }
    }
    return ticket;
}

std::vector<PrivateLineAnswer> private_lines_from(const JobNode& node)
{
    std::vector<std::string> known;
    for (const auto& kind : private_kinds) {
        known.emplace_back(kind.key);
    }
    check_members(node, known);
    std::vector<PrivateLineAnswer> answers;
    for (const auto& [name, member] : node.members) {
        check_members(member, {"answer", "by", "date"});
        answers.push_back({.kind = name,
                           .answer = word_in(member, "answer", {"marked", "none", "unknown"}),
                           .by = text_in(member, "by"),
                           .date = date_in(member, "date")});
    }
    return answers;
}

RequestRecord request_from(const JobNode& node)
{
    std::vector<std::string> known{"outlet"};
    for (const auto& field : fields) {
        known.emplace_back(field.key);
    }
    check_members(node, known);
    RequestRecord request;
    request.outlet = text_in(node, "outlet");
    for (const auto& field : fields) {
        if (auto text = text_in(node, field.key); !text.empty()) {
            request.fields.emplace_back(field.key, std::move(text));
        }
    }
    return request;
}

} // namespace trenchwright
