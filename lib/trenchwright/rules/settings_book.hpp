#pragma once

#include "trenchwright/estimate/rates.hpp"
#include "trenchwright/rules/rules.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// What a rate by this measure is written in.
Measure measure_of(RatePer per);

/// The settings' rates as a book: one figure each, so low, likely and high are alike, and no hours.
RateBook settings_book(Rules rules);

/// The rates that choose the route, from the book that prices it: its likely figures, so that the price minimised is
/// the price printed. What the book does not have stays as the settings say. By the settings' own book nothing changes.
void price_route_by_rates(Rules& rules, const RateBook& book);

/// Whether two outside diameters are those of one pipe, to a millimeter.
bool same_pipe(double a_m, double b_m);
/// The item that prices the drain's pipe: that of its size, or "pipe" for a size that has none.
std::string pipe_item(const Rules& rules);

/// Keys of the settings that a rates file with these items takes the place of.
std::vector<std::string> settings_replaced(const Rules& rules, const RateBook& book);

} // namespace trenchwright
