#pragma once

#include "trenchwright/base/former_names.hpp"
#include "trenchwright/estimate/rates.hpp"
#include "trenchwright/job/footing_record.hpp"
#include "trenchwright/job/office_record.hpp"
#include "trenchwright/job/paper_record.hpp"
#include "trenchwright/job/pump_record.hpp"
#include "trenchwright/rules/rules.hpp"
#include "trenchwright/site/layers.hpp"

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace trenchwright {

/// A job file as read: where the data is and by which rules to plan.
struct Job {
    std::filesystem::path file;
    std::string name; ///< title of the job
    std::string prepared_for;
    std::string prepared_by;
    std::string date; ///< as stated in the job; never today's date, so the same input gives the same bytes
    SiteLayers layers;
    Rules rules;
    bool currency_stated = true; ///< false: a metric job that names none; its money is printed in the default one
    std::vector<PumpRecord> pumps;
    std::optional<double> floor_elev_m;   ///< inside the crawl space; heights inside are measured from it
    std::optional<FootingRecord> footing; ///< nothing: the footing's depth is not known
    SheetRecord sheet;
    CutSheetRecord cut_sheet;
    RateBook rates; ///< without items, as read from a job that names no rates file: plan_job takes the settings' book
    std::filesystem::path rates_file;
    std::filesystem::path rules_file; ///< rules of a town or a firm, before the job's own; empty: none
    Ticket ticket;
    std::vector<PrivateLineAnswer> private_lines;
    RequestRecord request;
    std::vector<FormerUse> former_names; ///< met in its files and on the command line; a note of the plan names them
};

/// Reads a job file (TOML).
/// Names of an earlier version are read as those of today.
/// @throws Error (input) naming the file, line, key and value; an unknown key names the nearest known one; a key given
///         by its former and its present name names both
/// @param changes  of the command line, over what the file says: rules by their keys, rates as "items.hand_dig.price"
Job read_job(const std::filesystem::path& file, std::span<const RuleText> changes = {});

} // namespace trenchwright
