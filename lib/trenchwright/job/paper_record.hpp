#pragma once

#include "trenchwright/job/job_node.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace trenchwright {

/// Someone a reviewer may want to call.
struct Contact {
    std::string role; ///< "owner", "contractor", ...
    std::string name;
    std::string address;
    std::string phone;
    friend bool operator==(const Contact&, const Contact&) = default;
};

/// What the office writes on its sheets, as the job states it; printed as written, empty where nothing is stated.
struct SheetRecord {
    std::string outlet; ///< id of the outlet that is drawn; empty: the best one
    std::string address;
    std::string legal; ///< lot, block, subdivision or parcel number in words
    std::string authority;
    std::string permit_number;
    std::string datum;
    std::string benchmark;
    std::string one_call;    ///< the center and its number
    std::string restoration; ///< how the surfaces are put back
    std::string start;       ///< start date and duration
    std::vector<std::string> notes;
    std::vector<Contact> contacts;
    std::map<std::string, std::string> elsewhere; ///< item of the checklist -> where the reviewer finds it
    friend bool operator==(const SheetRecord&, const SheetRecord&) = default;
};

/// A stake beside the trench whose top was levelled.
struct Hub {
    std::string source; ///< id of the source whose trench it stands at
    double station_m = 0;
    double top_elev_m = 0;
    friend bool operator==(const Hub&, const Hub&) = default;
};

/// What the crew's level sheet needs beside the plan.
struct CutSheetRecord {
    std::optional<double> instrument_elev_m; ///< line of sight on the day of digging
    std::vector<Hub> hubs;
    friend bool operator==(const CutSheetRecord&, const CutSheetRecord&) = default;
};

/// The tables [sheet] and [cut_sheet] of a job.
/// @throws Error (input) naming file, line and key for a key unknown or missing, or a value that cannot be read
SheetRecord sheet_from(const JobNode& node);
CutSheetRecord cut_sheet_from(const JobNode& node);

} // namespace trenchwright
