#pragma once

#include "trenchwright/base/former_names.hpp"
#include "trenchwright/job/job_node.hpp"
#include "trenchwright/rules/rules.hpp"

#include <string_view>
#include <vector>

/// Files written with the names of an earlier version: read as if they were written with today's.
namespace trenchwright {

/// Gives every key of a job or rates file its name of today, and the words that have another one.
/// @throws Error (input) where a key is given by both names: names both
std::vector<FormerUse> make_current(JobNode& top, NameOf of);

/// The same for rules, whose keys may stand in nested tables or in quotes.
/// @param written  put before a key in a complaint: "rules."
std::vector<FormerUse> make_current(std::vector<RuleText>& texts, std::string_view written);

/// The same for the path of a rate on the command line.
std::vector<FormerUse> make_rates_current(std::vector<RuleText>& changes);

} // namespace trenchwright
