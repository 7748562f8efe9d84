#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace trenchwright {

/// "key=value" texts of --set.
using Changes = std::vector<std::string>;

/// `trenchwright check JOB.toml [--json]`: prints all that is wrong or doubtful in the job's data; plans nothing and
/// writes no file.
/// @return 0, or ErrorKind::input when something cannot be read
int run_check(const std::filesystem::path& job, bool json);

/// What `plan` was asked besides its job and folder.
struct PlanWishes {
    std::string outlet; ///< id of the outlet the sheets are drawn for; empty: the job's own choice, else the best
    Changes changes;
    std::string exchange; ///< which files for other programs to write too; empty: none
    bool quiet = false;   ///< no progress on a terminal
};

/// `trenchwright plan JOB.toml --out DIR [--outlet ID] [--set KEY=VALUE] [--exchange LIST] [--quiet]`: reads, plans,
/// writes every file, prints the comparison.
/// @return the exit code: 0, exit_no_outlet_works or exit_only_stops
/// @throws Error; then nothing is written
int run_plan(const std::filesystem::path& job, const std::filesystem::path& out, const PlanWishes& wishes);

/// `trenchwright compare A.toml B.toml`: plans both and prints them side by side; writes no file.
int run_compare(const std::filesystem::path& a, const std::filesystem::path& b);

/// `trenchwright asbuilt JOB.toml --measured FILE --out DIR [--outlet ID]`: compares levels taken on the laid pipe with
/// the plan and writes as-built.txt.
/// @throws Error; then nothing is written
int run_as_built(const std::filesystem::path& job, const std::filesystem::path& measured,
                 const std::filesystem::path& out, const std::string& outlet);

/// `trenchwright rules [JOB.toml]`: prints the settings table, with the job's values when one is named.
int run_rules(const std::filesystem::path& job);

} // namespace trenchwright
