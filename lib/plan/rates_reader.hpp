#pragma once

#include "estimate/rates.hpp"
#include "plan/job_node.hpp"
#include "plan/rules.hpp"

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

/// What a rate by this measure is written in.
Measure measure_of(RatePer per);

/// Whether a key of the command line belongs to the rates file.
bool is_rates_key(std::string_view key);

/// The settings' rates as a book: one figure each, so low, likely and high are alike, and no hours.
RateBook settings_book(Rules rules);

/// The rates that choose the route, from the book that prices it: its likely figures, so that the price minimised is
/// the price printed. What the book does not have stays as the settings say. By the settings' own book nothing changes.
void steer(Rules& rules, const RateBook& book);

/// Whether two outside diameters are those of one pipe, to a millimetre.
bool same_pipe(double a_m, double b_m);
/// The item that prices the drain's pipe: that of its size, or "pipe" for a size that has none.
std::string pipe_item(const Rules& rules);

/// Keys of the settings that a rates file with these items takes the place of.
std::vector<std::string> settings_replaced(const Rules& rules, const RateBook& book);

} // namespace trenchwright
