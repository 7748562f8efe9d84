#include "trenchwright/job/job_node.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/text.hpp"
#include "trenchwright/rules/rules.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <sstream>
#include <toml++/toml.h>

namespace trenchwright {

namespace {

std::string bytes_of(const std::filesystem::path& file)
{
    std::error_code fault;
    if (!std::filesystem::is_regular_file(file, fault)) {
        throw Error(ErrorKind::input, fmt::format("{}: no such job file", file.string()));
    }
    std::ifstream stream(file, std::ios::binary);
    std::string bytes((std::istreambuf_iterator<char>(stream)), std::istreambuf_iterator<char>());
    if (!stream) {
        throw Error(ErrorKind::input, fmt::format("{}: the job file cannot be read", file.string()));
    }
    return bytes;
}

JobNode node_from(const toml::node& node, const std::string& file, const std::string& path);

void fill_table(JobNode& made, const toml::table& table)
{
    for (const auto& [key, value] : table) {
        const std::string name(key.str());
        auto member = node_from(value, made.file, made.path.empty() ? name : made.path + "." + name);
        const auto line = key.source().begin.line;
        member.line = line > 0 ? line : member.line;
        made.members.push_back({.name = name, .node = std::move(member)});
    }
}

void fill_scalar(JobNode& made, const toml::node& node)
{
    made.kind = JobNode::Kind::text;
    if (const auto* text = node.as_string()) {
        made.text = text->get();
    } else if (const auto* whole = node.as_integer()) {
        made.kind = JobNode::Kind::number;
        made.text = fmt::format("{}", whole->get());
    } else if (const auto* real = node.as_floating_point()) {
        made.kind = JobNode::Kind::number;
        made.text = fmt::format("{}", real->get());
    } else if (const auto* truth = node.as_boolean()) {
        made.kind = JobNode::Kind::truth;
        made.text = truth->get() ? "true" : "false";
    } else {
        // What is left are dates and times.
        std::ostringstream date;
        node.visit([&date](const auto& value) {
            if constexpr (toml::is_chronological<decltype(value)>) {
                date << value.get();
            }
        });
        made.text = date.str();
    }
}

JobNode node_from(const toml::node& node, const std::string& file, const std::string& path)
{
    JobNode made;
    made.file = file;
    made.line = node.source().begin.line;
    made.path = path;
    if (const auto* table = node.as_table()) {
        fill_table(made, *table);
    } else if (const auto* list = node.as_array()) {
        made.kind = JobNode::Kind::list;
        for (const auto& item : *list) {
            made.items.push_back(node_from(item, file, path));
        }
    } else {
        fill_scalar(made, node);
    }
    return made;
}

} // namespace

const JobNode* JobNode::find(std::string_view name) const
{
    const auto found = std::ranges::find(members, name, &JobMember::name);
    return found == members.end() ? nullptr : &found->node;
}

JobNode read_job_node(const std::filesystem::path& file)
{
    const auto bytes = bytes_of(file);
    try {
        const auto table = toml::parse(std::string_view(bytes), file.string());
        return node_from(table, file.string(), "");
    } catch (const toml::parse_error& error) {
        throw Error(ErrorKind::input, fmt::format("{}:{}: {}", file.string(), error.source().begin.line,
                                                  std::string(error.description())));
    }
}

std::string where(const JobNode& node)
{
    return fmt::format("{}:{}: ", node.file, node.line);
}

void refuse(const JobNode& node, const std::string& complaint)
{
    throw Error(ErrorKind::input,
                fmt::format("{}{}{}{}", where(node), node.path, node.path.empty() ? "" : ": ", complaint));
}

void check_members(const JobNode& node, const std::vector<std::string>& known)
{
    if (node.kind != JobNode::Kind::table) {
        refuse(node, "must be a table");
    }
    for (const auto& [name, member] : node.members) {
        if (std::ranges::find(known, name) != known.end()) {
            continue;
        }
        const auto nearest = nearest_word(name, known);
        refuse(member, nearest.empty() ? fmt::format("unknown key; known here: {}", fmt::join(known, ", "))
                                       : fmt::format("unknown key; did you mean \"{}\"?", nearest));
    }
}

std::string text_of(const JobNode& node)
{
    if (node.kind != JobNode::Kind::text) {
        refuse(node, "must be a text in quotes");
    }
    const bool on_one_line =
        std::ranges::none_of(node.text, [](char letter) { return static_cast<unsigned char>(letter) < 32; });
    if (node.text.empty() || !on_one_line) {
        refuse(node, "must be a text on one line, not empty");
    }
    if (const auto fault = text_fault(node.text)) {
        refuse(node, *fault);
    }
    return node.text;
}

std::string text_in(const JobNode& table, std::string_view name)
{
    const auto* member = table.find(name);
    return member == nullptr ? "" : text_of(*member);
}

} // namespace trenchwright
