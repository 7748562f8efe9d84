#pragma once

#include "trenchwright/base/finding.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

struct Job;
struct JobPlan;
struct Site;

// Groups of the list that are compared whatever they hold.
inline constexpr std::string_view marks_group = "marks";
inline constexpr std::string_view lot_group = "lot";

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

/// What nobody supplied and no figure of the plan holds, in short sentences: kinds of marks, private lines. Stands at
/// the top of every paper, beside cautions(). None when every kind is marked and every private line answered for.
std::vector<std::string> not_supplied_lines(const JobPlan& plan);
// Its sentences, empty where nothing is missing.
std::string missing_marks_line(const Site& site, const std::vector<std::string>& kinds);
std::string private_lines_line(const Job& job);

/// "No marks supplied for: gas." and nothing more, for where there is one line; empty where every kind is marked.
std::string missing_marks_short(const JobPlan& plan);

/// Whom to call before digging, as every paper names it: the job's one-call center, else 811.
std::string one_call_words(const Job& job);

/// The cautions in two sentences, for where there is no room for all of them.
std::string short_caution(const Job& job);

/// Until when the ticket is good: its expiry, else by the setting, else that nobody has stated it.
std::string ticket_life_text(const Job& job);

/// Facility kinds asked for of which no mark is there; sewer paint that does not say which counts for both.
std::vector<std::string> kinds_without_marks(const Site& site);

} // namespace trenchwright
