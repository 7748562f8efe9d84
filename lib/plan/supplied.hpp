#pragma once

#include "base/finding.hpp"

#include <string>
#include <vector>

namespace trenchwright {

struct Job;
struct JobPlan;
struct Site;

/// One thing that was asked for: whether the job has it, and what follows where it has not.
struct SuppliedItem {
    std::string group; ///< "marks", "private lines", "ticket", "levels", ...
    std::string item;  ///< "gas"
    bool supplied = false;
    std::string state;  ///< "2 marks", "no marks supplied", "none, says the owner (name, date)"
    std::string effect; ///< what the gap does to the plan; empty when there is none
    friend bool operator==(const SuppliedItem&, const SuppliedItem&) = default;
};

/// The whole list, supplied or not, in printing order. What nobody supplied is never taken to be absent.
std::vector<SuppliedItem> supplied_items(const Site& site, const Job& job);

/// Doubts about the ticket, the age of marks and private lines; ages are judged at the job's own date.
std::vector<Finding> office_findings(const Site& site, const Job& job);

/// report.txt: what was not supplied and what follows from it, then what was.
std::string supplied_text(const JobPlan& plan);

/// Facility kinds asked for of which no mark is there; sewer paint that does not say which counts for both.
std::vector<std::string> kinds_without_marks(const Site& site);

} // namespace trenchwright
