#pragma once

#include "base/units.hpp"
#include "estimate/rates.hpp"
#include "geom/shapes.hpp"

#include <map>
#include <string>
#include <vector>

namespace trenchwright {

/// A quantity that wants a price, and where it came from.
struct Measured {
    std::string key;                ///< of a RateKind
    std::string detail;             ///< put behind its words: "lawn", "4 ft and deeper"
    std::string source;             ///< whose trench; empty: the whole job
    double quantity = 0;            ///< metres, square metres, cubic metres or pieces
    std::vector<Interval> stations; ///< along that trench; none: all of it, or not along a trench
    double depth_hours_factor = 1;
};

/// Money by the low, the likely and the high rate.
struct CentSpread {
    Cents low = 0;
    Cents likely = 0;
    Cents high = 0;
    friend bool operator==(const CentSpread&, const CentSpread&) = default;
};

/// One line: quantity times rate, rounded to the cent once.
struct EstimateLine {
    std::string key;
    std::string name;
    std::string source;
    double quantity = 0;
    RatePer per = RatePer::each;
    Spread rate; ///< money per unit
    CentSpread cents;
    CentSpread material_cents; ///< of that, what is no hours
    Spread hours;              ///< of the crew, all of the quantity
    std::map<std::string, Spread> trade_hours;
    std::vector<Interval> stations;
    std::string rate_date;
    friend bool operator==(const EstimateLine&, const EstimateLine&) = default;
};

/// From the lines down to what is asked of the customer; each step rounded once, so every sum is exact.
struct EstimateTotal {
    Cents lines = 0;
    Cents least = 0; ///< added so that the least charge is met
    Cents overhead = 0;
    Cents margin = 0;
    Cents tax = 0;
    Cents fee = 0; ///< of the outlet's permit, at cost
    [[nodiscard]] Cents total() const { return lines + least + overhead + margin + tax + fee; }
    friend bool operator==(const EstimateTotal&, const EstimateTotal&) = default;
};

struct Estimate {
    std::vector<EstimateLine> lines;
    EstimateTotal low; ///< every rate low at once: the rates err together
    EstimateTotal likely;
    EstimateTotal high;
    EstimateTotal apart_low; ///< each kind of item errs by itself: root of the sum of squares about the likely total
    EstimateTotal apart_high;
    std::map<std::string, Spread> trade_hours;
    Spread crew_hours;
    Spread days;
    std::vector<std::string> not_priced; ///< quantities without a rate, in words
    friend bool operator==(const Estimate&, const Estimate&) = default;
};

/// Prices quantities by a rates file.
///
/// Lines keep the order given; a kind whose lines come to less than its least charge gets a line for the difference.
/// Overhead is on lines and least charge, margin on these and overhead, tax on all of it or on materials, then the fee.
/// The same kind of item on two trenches has one rate and errs together; different kinds err apart in the second range.
/// @param fee_cents  of the outlet, at cost
/// @throws Error (internal) for a quantity that is negative or no number
Estimate estimate(const std::vector<Measured>& measured, const RateBook& book, Cents fee_cents);

/// Quantity in the units people use: "12.4 yd3".
double quantity_in(double quantity_si, RatePer per, UnitSystem units);
std::string_view unit_of(RatePer per, UnitSystem units);

} // namespace trenchwright
