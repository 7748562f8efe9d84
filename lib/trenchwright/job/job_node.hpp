#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

struct JobMember;

/// A value of a job file with the place it stands at, so that every complaint can name it.
struct JobNode {
    enum class Kind { table, list, text, number, truth };
    Kind kind = Kind::table;
    std::string file;
    long long line = 0;
    std::string path;               ///< "layers.utilities.file"; empty for the whole file
    std::string text;               ///< of a text, a number or a truth value
    std::vector<JobMember> members; ///< of a table
    std::vector<JobNode> items;     ///< of a list

    /// The member of that name; nullptr when absent.
    [[nodiscard]] const JobNode* find(std::string_view name) const;
};

struct JobMember {
    std::string name;
    JobNode node;
};

/// Reads a TOML file. @throws Error (input) naming file and line
JobNode read_job_node(const std::filesystem::path& file);

/// "lot.toml:12: " for a node.
std::string where(const JobNode& node);
/// @throws Error (input) "lot.toml:12: layers.utilities.file: <complaint>"
[[noreturn]] void refuse(const JobNode& node, const std::string& complaint);
/// @throws Error (input) for a node that is no table, or has a member outside `known`: names the nearest known one
void check_members(const JobNode& node, const std::vector<std::string>& known);
/// Text of a node, on one line and not empty. @throws Error (input)
std::string text_of(const JobNode& node);
/// Text of a member; empty when absent. @throws Error (input)
std::string text_in(const JobNode& table, std::string_view name);

} // namespace trenchwright
