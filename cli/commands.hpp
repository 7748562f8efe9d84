#pragma once

#include <filesystem>
#include <string>

namespace trenchwright {

/// `trenchwright plan JOB.toml --out DIR [--outlet ID]`: reads, plans, writes every file, prints the comparison.
/// @param outlet  id of the outlet the sheets are drawn for; empty: the job's own choice, else the best
/// @return the exit code: 0, or exit_no_outlet_works
/// @throws Error; then nothing is written
int run_plan(const std::filesystem::path& job, const std::filesystem::path& out, const std::string& outlet);

/// `trenchwright asbuilt JOB.toml --measured FILE --out DIR [--outlet ID]`: compares levels taken on the laid pipe with
/// the plan and writes as-built.txt.
/// @throws Error; then nothing is written
int run_as_built(const std::filesystem::path& job, const std::filesystem::path& measured,
                 const std::filesystem::path& out, const std::string& outlet);

/// `trenchwright rules [JOB.toml]`: prints the settings table, with the job's values when one is named.
int run_rules(const std::filesystem::path& job);

} // namespace trenchwright
