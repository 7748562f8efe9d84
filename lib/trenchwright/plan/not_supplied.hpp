#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// What nobody supplied and no figure of the plan holds, in short sentences: kinds of marks, private lines. Stands at
/// the top of every paper, beside cautions(). None when every kind is marked and every private line answered for.
std::vector<std::string> not_supplied_lines(const JobPlan& plan);
// Its sentences, empty where nothing is missing.
std::string missing_marks_line(const Site& site, const std::vector<std::string>& kinds);
std::string private_lines_line(const Job& job);

/// "No marks supplied for: gas." and nothing more, for where there is one line; empty where every kind is marked.
std::string missing_marks_short(const JobPlan& plan);

/// Whom to call before digging, as every paper names it: the job's one-call center, else in general words.
std::string one_call_words(const Job& job);

/// The cautions in two sentences, for where there is no room for all of them.
std::string short_caution(const Job& job);

/// Until when the ticket is good: its expiry, else by the setting, else that nobody has stated it.
std::string ticket_life_text(const Job& job);

} // namespace trenchwright
