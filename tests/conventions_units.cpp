#include "conventions.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace conventions {

namespace {

struct Token {
    std::string text;
    int line = 0;
};

bool is_word(const std::string& text)
{
    return std::isalpha(static_cast<unsigned char>(text.front())) != 0 || text.front() == '_';
}

bool is_word_char(char c)
{
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

/// Words, numbers and single characters; preprocessor lines are left out.
std::vector<Token> tokens(const std::string& code)
{
    std::vector<Token> found;
    int line = 1;
    bool line_start = true;
    for (std::size_t at = 0; at < code.size();) {
        if (line_start && code[at] == '#') {
            at = std::min(code.find('\n', at), code.size());
        } else if (is_word_char(code[at])) {
            std::size_t end = at;
            while (end < code.size() && is_word_char(code[end])) {
                ++end;
            }
            found.push_back({code.substr(at, end - at), line});
            at = end;
            line_start = false;
        } else {
            const bool space = std::isspace(static_cast<unsigned char>(code[at])) != 0;
            if (!space) {
                found.push_back({std::string(1, code[at]), line});
            }
            line_start = code[at] == '\n' || (line_start && space);
            line += code[at] == '\n' ? 1 : 0;
            ++at;
        }
    }
    return found;
}

const std::string& text_at(const std::vector<Token>& list, std::size_t at)
{
    static const std::string nothing = ";";
    return at < list.size() ? list[at].text : nothing;
}

/// From a place inside <...> to just past the outermost closing bracket of that type. A '>' that closes nothing
/// opened after the place closes an outer one; the type ends where no further '>' or ',' continues it.
std::size_t past_template(const std::vector<Token>& list, std::size_t at)
{
    int depth = 0;
    for (std::size_t back = at; back-- > 0;) {
        const std::string& text = list[back].text;
        if (text == ";" || text == "{" || text == "}") {
            break;
        }
        depth += text == "<" ? 1 : text == ">" ? -1 : 0;
    }
    for (; at < list.size() && depth > 0; ++at) {
        depth += list[at].text == "<" ? 1 : list[at].text == ">" ? -1 : 0;
    }
    return at;
}

std::size_t past_qualifiers(const std::vector<Token>& list, std::size_t at)
{
    while (text_at(list, at) == "&" || text_at(list, at) == "*" || text_at(list, at) == "const") {
        ++at;
    }
    return at;
}

/// The new name when the statement around `at` is an alias; else empty.
std::string alias_around(const std::vector<Token>& list, std::size_t at)
{
    while (at > 0 && list[at - 1].text != ";" && list[at - 1].text != "{" && list[at - 1].text != "}") {
        --at;
    }
    return list[at].text == "using" ? text_at(list, at + 1) : "";
}

/// Names declared with the type that ends before `at`: the first and, in "double a_m = 0, b_m;", the further ones.
std::vector<Token> declared(const std::vector<Token>& list, std::size_t at)
{
    at = past_qualifiers(list, at);
    if (at >= list.size() || !is_word(list[at].text)) {
        return {{alias_around(list, at - 1), list[at - 1].line}};
    }
    std::vector<Token> names = {list[at]};
    int depth = 0;
    for (++at; at < list.size(); ++at) {
        const std::string& text = list[at].text;
        if (depth == 0 && (text == ";" || text == ")" || text == ">")) {
            break;
        }
        depth += text == "(" || text == "{" ? 1 : text == ")" || text == "}" ? -1 : 0;
        const std::string& after = text_at(list, at + 2);
        const bool further = depth == 0 && text == "," && is_word(text_at(list, at + 1)) &&
                             (after == "," || after == ";" || after == "=" || after == "{");
        if (further) {
            names.push_back(list[at + 1]);
        } else if (depth == 0 && text == ",") {
            break;
        }
    }
    return names;
}

} // namespace

bool says_unit(const std::string& name)
{
    static const std::array<std::string, 25> units = {
        "m",    "count",  "m2", "m3", "m3ps", "mps",   "m3_per_m", "rad",    "deg", "ratio", "share", "factor", "price",
        "cost", "saving", "kg", "s",  "days", "per_m", "per_m2",   "per_m3", "pa",  "px",    "pt",    "per_in"};
    std::string bare = name;
    while (!bare.empty() && bare.back() == '_') {
        bare.pop_back();
    }
    return std::any_of(units.begin(), units.end(), [&](const std::string& unit) {
        const bool money = unit == "price" || unit == "cost";
        const std::string end = "_" + unit;
        const bool ends = bare.size() > end.size() && bare.compare(bare.size() - end.size(), end.size(), end) == 0;
        return ends || (money && bare == unit);
    });
}

std::vector<Fault> unit_faults(const SourceFile& header, const std::vector<UnitException>& exceptions)
{
    const auto excepted = [&](const std::string& name) {
        return std::any_of(exceptions.begin(), exceptions.end(),
                           [&](const auto& e) { return e.path == header.path && e.name == name; });
    };
    const std::vector<Token> list = tokens(without_comments(header.text, false));
    std::vector<Fault> faults;
    for (std::size_t at = 0; at < list.size(); ++at) {
        if (list[at].text != "double" && list[at].text != "float") {
            continue;
        }
        const std::size_t past = past_template(list, at + 1);
        const bool is_cast = past > at + 1 && text_at(list, past) == "(";
        const bool is_scope = past > at + 1 && text_at(list, past) == ":"; // std::numeric_limits<double>::infinity()
        if (is_cast || is_scope) {
            continue;
        }
        for (const auto& name : declared(list, past)) {
            if (name.text.empty()) {
                faults.push_back({header.path, list[at].line, "a double without a name"});
            } else if (!says_unit(name.text) && !excepted(name.text)) {
                faults.push_back({header.path, name.line, "'" + name.text + "' does not say its unit"});
            }
        }
    }
    return faults;
}

} // namespace conventions
