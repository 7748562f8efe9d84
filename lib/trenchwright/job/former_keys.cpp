#include "trenchwright/job/former_keys.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/text.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fmt/format.h>
#include <map>

namespace trenchwright {

namespace {

/// "lot.toml:12" from "jobs/lot.toml:12: ".
std::string place_of(std::string_view where)
{
    where = where.substr(0, where.rfind(": "));
    return std::filesystem::path(where).filename().string();
}

[[noreturn]] void refuse_both(const std::string& where, std::string_view former, std::string_view current)
{
    throw Error(ErrorKind::input, fmt::format("{}\"{}\" is now \"{}\", and both are given", where, former, current));
}

/// Today's word for what a key says; nothing where it is today's.
std::optional<std::string> current_word(const std::string& key, const std::string& text)
{
    constexpr std::string_view equals = " = ";
    const auto current = current_name(NameOf::word, key + std::string(equals) + text);
    return current ? std::optional(current->substr(key.size() + equals.size())) : std::nullopt;
}

void make_current(JobNode& node, const std::string& path, NameOf of, std::vector<FormerUse>& uses)
{
    if (const auto text = node.kind == JobNode::Kind::text ? current_word(path, node.text) : std::nullopt) {
        uses.push_back({place_of(where(node)), node.text, *text});
        node.text = *text;
    }
    for (auto& item : node.items) {
        make_current(item, path, of, uses);
    }
    for (auto& member : node.members) {
        auto whole = path.empty() ? member.name : path + "." + member.name;
        if (const auto current = current_name(of, whole)) {
            const auto name = current->substr(current->rfind('.') + 1);
            if (node.find(name) != nullptr) {
                refuse_both(where(member.node), whole, *current);
            }
            uses.push_back({place_of(where(member.node)), whole, *current});
            member.name = name;
            whole = *current;
        }
        make_current(member.node, whole, of, uses);
    }
}

/// A rule that lists kinds of ground cover.
bool lists_kinds(std::string_view key)
{
    constexpr std::array<std::string_view, 3> keys{"ground_cover.default", "spoil.keep_off", "aim.sidewalks"};
    return std::ranges::find(keys, key) != keys.end();
}

void make_words_current(RuleText& text, std::vector<FormerUse>& uses)
{
    if (const auto word = current_word("rules." + text.key, text.text)) {
        uses.push_back({place_of(text.where), text.text, *word});
        text.text = *word;
    }
    if (!lists_kinds(text.key)) {
        return;
    }
    std::string list;
    for (const auto& kind : words_of(text.text)) {
        const auto current = current_name(NameOf::ground_cover, kind);
        if (current) {
            uses.push_back({place_of(text.where), kind, *current});
        }
        list += (list.empty() ? "" : " ") + current.value_or(kind);
    }
    text.text = list.empty() ? text.text : list;
}

/// Keys alone; two of one file that come to the same are refused.
void make_keys_current(std::vector<RuleText>& texts, NameOf of, std::string_view written, std::vector<FormerUse>& uses)
{
    std::map<std::string, std::string> given; // today's key, and as it is written
    for (const auto& text : texts) {
        if (!current_name(of, text.key)) {
            given[text.key] = text.key;
        }
    }
    for (auto& text : texts) {
        const auto current = current_name(of, text.key);
        if (!current) {
            continue;
        }
        if (const auto [other, fresh] = given.try_emplace(*current, text.key); !fresh && other->second != text.key) {
            refuse_both(text.where, std::string(written) + text.key, std::string(written) + other->second);
        }
        uses.push_back({place_of(text.where), text.key, *current});
        text.key = *current;
    }
}

} // namespace

std::vector<FormerUse> make_current(JobNode& top, NameOf of)
{
    std::vector<FormerUse> uses;
    make_current(top, "", of, uses);
    return uses;
}

std::vector<FormerUse> make_current(std::vector<RuleText>& texts, std::string_view written)
{
    std::vector<FormerUse> uses;
    make_keys_current(texts, NameOf::setting, written, uses);
    for (auto& text : texts) {
        make_words_current(text, uses);
    }
    return uses;
}

std::vector<FormerUse> make_rates_current(std::vector<RuleText>& changes)
{
    std::vector<FormerUse> uses;
    make_keys_current(changes, NameOf::rates_key, "", uses);
    return uses;
}

} // namespace trenchwright
