#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// A figure with its doubt, low <= likely <= high. SI or money, as its owner says.
struct Spread {
    double low = 0;
    double likely = 0;
    double high = 0;
    friend bool operator==(const Spread&, const Spread&) = default;
};
Spread operator+(const Spread& a, const Spread& b);
Spread operator*(const Spread& a, double times_factor);
/// Low times low and so on; for figures that are not negative.
Spread operator*(const Spread& a, const Spread& b);

/// What a rate is counted by. Inside: each, meter, square meter, cubic meter.
enum class RatePer { each, length, area, volume };

/// A kind of work or material that an estimate can hold.
struct RateKind {
    std::string_view key;
    RatePer per = RatePer::each;
    std::string_view words;
    bool digging = false;       ///< soil and depth change its hours
    std::string_view else_by{}; ///< kind whose rate prices it where the book has none for it; empty: none
};
std::span<const RateKind> rate_kinds();
/// The kind of a key; "restore.lawn" is by area for any kind of surface. Nothing for an unknown key.
std::optional<RateKind> rate_kind(std::string_view key);

/// Somebody, or a machine, that is paid by the hour.
struct Trade {
    Spread per_hour; ///< money
    std::string date;
    friend bool operator==(const Trade&, const Trade&) = default;
};

struct Rate {
    Spread price;                       ///< money per unit beside the hours: material, hire, a subcontract
    Spread hours;                       ///< of the crew, per unit
    std::map<std::string, double> crew; ///< trade -> how many of it work at once
    double least = 0;                   ///< money, for all of it on one job; 0: none
    std::string date;
    friend bool operator==(const Rate&, const Rate&) = default;
};

/// From this cut on digging takes `hours_factor` times the hours.
struct DepthStep {
    double from_m = 0;
    double hours_factor = 1;
    friend bool operator==(const DepthStep&, const DepthStep&) = default;
};

/// What work and material cost: the firm's own rates, or those of the settings, which are one figure each.
struct RateBook {
    std::string file; ///< name of the rates file; empty: the settings' rates
    std::string firm;
    bool sample = false; ///< figures to try the program with, not a price list
    std::map<std::string, Trade> trades;
    std::map<std::string, Rate> items;
    std::map<std::string, std::string>
        included;                  ///< kinds without a rate of their own, and in words whose rate has them
    std::string soil;              ///< that this job digs in; empty: hours as they stand
    double soil_hours_factor = 1;  ///< of that soil
    std::vector<DepthStep> depths; ///< by rising cut
    double overhead_share = 0;     ///< of the direct cost
    double margin_share = 0;       ///< of direct cost and overhead
    double tax_share = 0;
    bool tax_on_all = false; ///< else on materials and hire, with their overhead and margin left out
    double min_charge = 0;   ///< money, direct cost of a job at least
    double day_hours = 0;    ///< worked in a day
    friend bool operator==(const RateBook&, const RateBook&) = default;
};

/// The rate that prices a kind: its own, or that of the kind which stands in for it; nullptr where there is none.
const Rate* rate_for(const RateBook& book, const std::string& key);
/// Money per unit of an item: its price and its hours at the crew's rates.
/// @param hours_factor  soil and depth
Spread unit_rate(const RateBook& book, const Rate& rate, double hours_factor = 1);
/// Of the soil, for digging; 1 for all else.
double soil_factor(const RateBook& book, std::string_view key);

} // namespace trenchwright
