#include "conventions.hpp"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <regex>
#include <sstream>
#include <utility>

namespace conventions {

namespace {

std::string read(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

bool ends_with(const std::string& text, const std::string& end)
{
    return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

bool starts_with(const std::string& text, const std::string& start)
{
    return text.compare(0, start.size(), start) == 0;
}

int line_at(const std::string& text, std::size_t place)
{
    return 1 + static_cast<int>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(place), '\n'));
}

/// From an opening quote to just past its closing one.
std::size_t past_literal(const std::string& text, std::size_t at)
{
    const bool raw = at > 0 && text[at] == '"' && text[at - 1] == 'R';
    if (raw) {
        const std::size_t open = text.find('(', at);
        const std::string close = ")" + text.substr(at + 1, open - at - 1) + "\"";
        return text.find(close, open) + close.size();
    }
    const char quote = text[at];
    for (++at; at < text.size() && text[at] != quote; ++at) {
        at += text[at] == '\\' ? 1 : 0;
    }
    return std::min(at + 1, text.size());
}

/// 1'000'000: a quote between digits opens nothing.
bool is_digit_separator(const std::string& text, std::size_t at)
{
    return text[at] == '\'' && at > 0 && std::isxdigit(static_cast<unsigned char>(text[at - 1])) != 0;
}

void blank(std::string& text, std::size_t from, std::size_t to)
{
    for (std::size_t i = from; i < std::min(to, text.size()); ++i) {
        text[i] = text[i] == '\n' ? '\n' : ' ';
    }
}

} // namespace

std::vector<SourceFile> read_sources(const std::string& root, const std::vector<std::string>& folders)
{
    std::vector<SourceFile> files;
    for (const auto& folder : folders) {
        for (const auto& entry : std::filesystem::recursive_directory_iterator(std::filesystem::path(root) / folder)) {
            const std::string extension = entry.path().extension().string();
            if (extension == ".hpp" || extension == ".cpp") {
                files.push_back({std::filesystem::relative(entry.path(), root).generic_string(), read(entry.path())});
            }
        }
    }
    std::sort(files.begin(), files.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
    return files;
}

std::string without_comments(const std::string& text, bool keep_strings)
{
    std::string out = text;
    for (std::size_t at = 0; at < out.size();) {
        std::size_t end = at + 1;
        if (out.compare(at, 2, "//") == 0) {
            end = std::min(out.find('\n', at), out.size());
            blank(out, at, end);
        } else if (out.compare(at, 2, "/*") == 0) {
            const std::size_t close = out.find("*/", at + 2);
            end = close == std::string::npos ? out.size() : close + 2;
            blank(out, at, end);
        } else if ((out[at] == '"' || out[at] == '\'') && !is_digit_separator(out, at)) {
            end = past_literal(out, at);
            if (!keep_strings) {
                blank(out, at + 1, end - 1);
            }
        }
        at = end;
    }
    return out;
}

std::vector<Include> includes(const SourceFile& file)
{
    static const std::regex directive(R"re(^\s*#\s*include\s*([<"])([^>"]+)[>"])re");
    std::vector<Include> found;
    std::istringstream lines(without_comments(file.text, true));
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        std::smatch match;
        if (std::regex_search(line, match, directive)) {
            found.push_back({number, match[1] == "\"", match[2]});
        }
    }
    return found;
}

std::string module_of(const std::string& path)
{
    std::string inside = path;
    for (const std::string start : {"lib/", "trenchwright/"}) {
        inside = starts_with(inside, start) ? inside.substr(start.size()) : inside;
    }
    return inside.substr(0, inside.find('/'));
}

std::string library_of(const std::string& header)
{
    static const std::vector<std::pair<std::string, std::string>> known = {
        {"fmt/", "fmt"},        {"geos_c.h", "GEOS"},  {"gdal", "GDAL"},
        {"ogr", "GDAL"},        {"cpl_", "GDAL"},      {"proj", "PROJ"},
        {"geodesic.h", "PROJ"}, {"boost/", "Boost"},   {"toml++/", "toml++"},
        {"tbb/", "TBB"},        {"oneapi/tbb", "TBB"}, {"cairo", "cairo"},
        {"pango/", "pango"},    {"png.h", "PNG"},      {"nlohmann/", "nlohmann-json"},
        {"CLI/", "CLI11"},      {"sys/", "POSIX"},     {"unistd.h", "POSIX"},
        {"fcntl.h", "POSIX"},   {"seccomp.h", "seccomp"}};
    for (const auto& [start, library] : known) {
        if (starts_with(header, start)) {
            return library;
        }
    }
    // The C++ headers have neither folder nor extension.
    return header.find_first_of("./") == std::string::npos ? "" : "unknown";
}

std::vector<Fault> include_faults(const SourceFile& file, const ModuleTable& table)
{
    const std::string module = module_of(file.path);
    const auto rule = table.find(module);
    if (rule == table.end()) {
        return {{file.path, 1, "module '" + module + "' is not in the table"}};
    }
    const bool header = ends_with(file.path, ".hpp");
    std::vector<Fault> faults;
    for (const auto& include : includes(file)) {
        const std::string library = include.own ? "" : library_of(include.path);
        const std::string wanted = include.own ? module_of(include.path) : module;
        const bool beside = module == "cli" && include.own && include.path.find('/') == std::string::npos;
        if (!beside && wanted != module && rule->second.modules.count(wanted) == 0) {
            faults.push_back({file.path, include.line, module + " may not include " + include.path});
        } else if (!library.empty() && header) {
            faults.push_back({file.path, include.line, "outside header in a header: " + include.path});
        } else if (!library.empty() && rule->second.libraries.count(library) == 0) {
            faults.push_back({file.path, include.line, module + " may not use " + library + ": " + include.path});
        }
    }
    return faults;
}

namespace {

using Graph = std::map<std::string, std::set<std::string>>;

std::vector<Fault> cycles(const Graph& graph)
{
    std::vector<Fault> faults;
    for (const auto& [start, unused] : graph) {
        std::set<std::string> seen;
        std::function<bool(const std::string&)> reaches_start = [&](const std::string& node) {
            const auto next = graph.find(node);
            return next != graph.end() && std::any_of(next->second.begin(), next->second.end(), [&](const auto& to) {
                       return to == start || (seen.insert(to).second && reaches_start(to));
                   });
        };
        if (reaches_start(start)) {
            faults.push_back({start, 1, "reaches itself through its includes"});
        }
    }
    return faults;
}

} // namespace

std::vector<Fault> table_cycles(const ModuleTable& table)
{
    Graph graph;
    for (const auto& [module, rule] : table) {
        graph[module] = rule.modules;
    }
    return cycles(graph);
}

std::vector<Fault> include_cycles(const std::vector<SourceFile>& files)
{
    Graph graph;
    for (const auto& file : files) {
        for (const auto& include : includes(file)) {
            if (include.own) {
                graph[file.path].insert("lib/" + include.path);
            }
        }
    }
    return cycles(graph);
}

std::vector<Fault> banned_text(const SourceFile& file, const std::vector<BannedText>& banned)
{
    std::vector<Fault> faults;
    for (const auto& ban : banned) {
        if (!starts_with(file.path, ban.under)) {
            continue;
        }
        const std::regex words(ban.text, std::regex::icase);
        for (std::sregex_iterator hit(file.text.begin(), file.text.end(), words), end; hit != end; ++hit) {
            const auto place = static_cast<std::size_t>(hit->position());
            faults.push_back({file.path, line_at(file.text, place), "'" + hit->str() + "': " + ban.reason});
        }
        if (std::regex_search(file.path, words)) {
            faults.push_back({file.path, 1, "file name: " + ban.reason});
        }
    }
    return faults;
}

std::set<std::string> source_ids(const std::string& sources)
{
    const std::regex row("(^|\n)\\| ([A-Z]{1,2}[0-9]{1,2}) \\|");
    std::set<std::string> ids;
    for (std::sregex_iterator hit(sources.begin(), sources.end(), row), end; hit != end; ++hit) {
        ids.insert(hit->str(2));
    }
    return ids;
}

namespace {

/// "H1 to H3, G4 and G5": all five.
std::vector<std::string> ids_in(const std::string& list)
{
    const std::regex one("(to[\\s/]+)?([A-Z]{1,2})([0-9]{1,2})");
    std::vector<std::string> ids;
    int before = 0;
    for (std::sregex_iterator hit(list.begin(), list.end(), one), end; hit != end; ++hit) {
        const int number = std::stoi(hit->str(3));
        for (int n = hit->str(1).empty() ? number : before + 1; n <= number; ++n) {
            ids.push_back(hit->str(2) + std::to_string(n));
        }
        before = number;
    }
    return ids;
}

} // namespace

std::vector<Fault> unknown_sources(const SourceFile& file, const std::set<std::string>& ids)
{
    const std::string id = "[A-Z]{1,2}[0-9]{1,2}";
    const std::string between = "(,[\\s/]+and[\\s/]+|,[\\s/]+|[\\s/]+(and|to)[\\s/]+)";
    const std::regex citation("docs/sources\\.md(,[\\s/]+" + id + "(" + between + id + "\\b)*)?");
    std::vector<Fault> faults;
    for (std::sregex_iterator hit(file.text.begin(), file.text.end(), citation), end; hit != end; ++hit) {
        const int line = line_at(file.text, static_cast<std::size_t>(hit->position()));
        const auto cited = ids_in(hit->str(1));
        if (cited.empty()) {
            faults.push_back({file.path, line, "cites docs/sources.md without an id"});
        }
        for (const auto& one : cited) {
            if (!ids.contains(one)) {
                faults.push_back({file.path, line, "docs/sources.md has no row " + one});
            }
        }
    }
    return faults;
}

std::vector<Fault> twice_written_colors(const std::vector<SourceFile>& files)
{
    const std::regex color("\\b0[xX]([0-9A-Fa-f]{6})\\b");
    std::map<std::string, std::string> first_in;
    std::vector<Fault> faults;
    for (const auto& file : files) {
        const auto text = without_comments(file.text, false);
        for (std::sregex_iterator hit(text.begin(), text.end(), color), end; hit != end; ++hit) {
            auto value = hit->str(1);
            std::ranges::transform(value, value.begin(), [](unsigned char c) { return std::toupper(c); });
            const auto& first = first_in.try_emplace(value, file.path).first->second;
            if (first != file.path) {
                faults.push_back({file.path, line_at(text, static_cast<std::size_t>(hit->position())),
                                  "0x" + value + " stands in " + first + " already"});
            }
        }
    }
    return faults;
}

std::vector<Fault> own_header_not_first(const std::vector<SourceFile>& files)
{
    std::set<std::string> paths;
    for (const auto& file : files) {
        paths.insert(file.path);
    }
    std::vector<Fault> faults;
    for (const auto& file : files) {
        const std::string header = file.path.substr(0, file.path.rfind('.')) + ".hpp";
        if (!ends_with(file.path, ".cpp") || paths.count(header) == 0) {
            continue;
        }
        const auto included = includes(file);
        if (included.empty() || !included.front().own || !ends_with(header, "/" + included.front().path)) {
            faults.push_back({file.path, 1, "does not begin with " + header});
        }
    }
    return faults;
}

std::vector<Fault> unlisted(const std::vector<SourceFile>& files, const std::string& root)
{
    std::vector<Fault> faults;
    for (const auto& file : files) {
        if (!ends_with(file.path, ".cpp")) {
            continue;
        }
        const std::filesystem::path path = std::filesystem::path(root) / file.path;
        const std::string list = read(path.parent_path() / "CMakeLists.txt");
        const std::regex name("(^|[\\s(])" + std::regex_replace(path.filename().string(), std::regex("\\."), "\\.") +
                              "($|[\\s)])");
        if (!std::regex_search(list, name)) {
            faults.push_back({file.path, 1, "not named in its CMakeLists.txt"});
        }
    }
    return faults;
}

std::string told(const std::vector<Fault>& faults)
{
    std::string text;
    for (const auto& fault : faults) {
        text += fault.path + ":" + std::to_string(fault.line) + ": " + fault.text + "\n";
    }
    return text;
}

} // namespace conventions
