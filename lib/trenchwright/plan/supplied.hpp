#pragma once

#include "trenchwright/job/job.hpp"
#include "trenchwright/plan/supplied_item.hpp"
#include "trenchwright/site/site.hpp"

#include <string>
#include <vector>

namespace trenchwright {

/// The whole list, supplied or not, in printing order. What nobody supplied is never taken to be absent.
std::vector<SuppliedItem> supplied_items(const Site& site, const Job& job);

/// Facility kinds asked for of which no mark is there; sewer paint that does not say which counts for both.
std::vector<std::string> kinds_without_marks(const Site& site);

} // namespace trenchwright
