#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

/// The house rules a machine can check, as functions from text to faults, so that each can be shown a planted fault.
namespace conventions {

struct SourceFile {
    std::string path; ///< from the project's root: "lib/geom/measure.hpp"
    std::string text;
};

struct Fault {
    std::string path;
    int line = 0;
    std::string text;
};

struct Include {
    int line = 0;
    bool own = false; ///< written with quotes
    std::string path;
};

/// Which modules and which outside libraries a module may include.
struct ModuleRule {
    std::set<std::string> modules;
    std::set<std::string> libraries; ///< in .cpp files only
};
using ModuleTable = std::map<std::string, ModuleRule>;

/// A name that needs no unit, and why.
struct UnitException {
    std::string path;
    std::string name;
    std::string reason;
};

/// Text that must not stand in a program file, and why.
struct BannedText {
    std::string text;
    std::string reason;
    std::string under; ///< only in files under this folder
};

/// All .hpp and .cpp files under the folders, by path.
std::vector<SourceFile> read_sources(const std::string& root, const std::vector<std::string>& folders);

/// The text with comments blanked, line breaks kept; string literals are kept or blanked.
std::string without_comments(const std::string& text, bool keep_strings);

std::vector<Include> includes(const SourceFile& file);

/// "geom" for "lib/trenchwright/geom/measure.hpp" and "trenchwright/geom/measure.hpp", "cli" for "cli/main.cpp".
std::string module_of(const std::string& path);

/// The outside library an angle-bracket header belongs to; empty for the C++ standard library;
/// "unknown" for one no rule knows.
std::string library_of(const std::string& header);

std::vector<Fault> include_faults(const SourceFile& file, const ModuleTable& table);

/// Modules that reach themselves through what the table allows.
std::vector<Fault> table_cycles(const ModuleTable& table);

/// Files that include themselves through others.
std::vector<Fault> include_cycles(const std::vector<SourceFile>& files);

/// True for a name that says its unit: "depth_m", "min_fall_ratio", "cost".
bool says_unit(const std::string& name);

/// Every `double` of a header whose name does not say its unit: variables, members, parameters, further
/// declarators, functions by what they return, containers of double, and aliases by their name.
std::vector<Fault> unit_faults(const SourceFile& header, const std::vector<UnitException>& exceptions);

std::vector<Fault> banned_text(const SourceFile& file, const std::vector<BannedText>& banned);

/// Ids that docs/sources.md has a row for.
std::set<std::string> source_ids(const std::string& sources);

/// Ids cited as "docs/sources.md, G4", "..., G4, G5 and H1 to H10", over line breaks of a comment too, that have no row
/// there; and citations of that file without an id.
std::vector<Fault> unknown_sources(const SourceFile& file, const std::set<std::string>& ids);

/// Colors (0xRRGGBB in code) that stand in more than one file: the second is to take the first by its name.
std::vector<Fault> twice_written_colors(const std::vector<SourceFile>& files);

/// Sources that do not begin with the header of their own name, where there is one: what it declares would not be held
/// against what they define.
std::vector<Fault> own_header_not_first(const std::vector<SourceFile>& files);

/// Sources that the CMakeLists.txt beside them does not name: they would never be compiled.
std::vector<Fault> unlisted(const std::vector<SourceFile>& files, const std::string& root);

/// One fault a line, for a test's message.
std::string told(const std::vector<Fault>& faults);

} // namespace conventions
