#pragma once

#include "trenchwright/base/finding.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/site/site.hpp"

#include <vector>

namespace trenchwright {

/// Doubts about the ticket, the age of marks and private lines; ages are judged at the job's own date.
std::vector<Finding> office_findings(const Site& site, const Job& job);

} // namespace trenchwright
