#pragma once

#include "trenchwright/estimate/rates.hpp"
#include "trenchwright/job/job_node.hpp"
#include "trenchwright/rules/rules.hpp"

#include <span>
#include <string>
#include <vector>

namespace trenchwright {

/// Reads the firm's rates.
/// @param soil  that the job digs in, a key of the file's [soils]; empty: the file's own
/// @throws Error (input) naming file, line, key and value; a crew of unknown trades; a currency that is not the job's
RateBook rates_from(const JobNode& top, const std::string& soil, const std::string& currency);

/// Puts what the command line changes into a rates file as read: "items.hand_dig.price" = "40/yd3", or three figures
/// with commas between them.
void change_rates(JobNode& top, std::span<const RuleText> changes);

/// Whether a key of the command line belongs to the rates file.
bool is_rates_key(std::string_view key);

} // namespace trenchwright
