#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace trenchwright {

/// "key=value" texts of --set.
using Changes = std::vector<std::string>;

/// `trenchwright plan JOB.toml --out DIR [--outlet ID] [--set KEY=VALUE] [--exchange LIST]`: reads, plans, writes every
/// file, prints the comparison.
/// @param outlet  id of the outlet the sheets are drawn for; empty: the job's own choice, else the best
/// @param exchange  which files for other programs to write too; empty: none
/// @return the exit code: 0, exit_no_outlet_works or exit_only_stops
/// @throws Error; then nothing is written
int run_plan(const std::filesystem::path& job, const std::filesystem::path& out, const std::string& outlet,
             const Changes& changes, const std::string& exchange);

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
