#pragma once

#include "trenchwright/base/units.hpp"
#include "trenchwright/estimate/rates.hpp"
#include "trenchwright/geom/shapes.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// A quantity that wants a price, and where it came from.
struct Measured {
    std::string key;                ///< of a RateKind
    std::string detail;             ///< put behind its words: "lawn", "4 ft and deeper"
    std::string trench;             ///< id of the source whose trench it is; empty: the whole job
    double quantity = 0;            ///< meters, square meters, cubic meters or pieces
    std::vector<Interval> stations; ///< along that trench; none: all of it, or not along a trench
    double depth_hours_factor = 1;
    bool known = true; ///< else the quantity is not known: it has no price, which is said
    friend bool operator==(const Measured&, const Measured&) = default;
};

/// Money by the low, the likely and the high rate.
struct CentSpread {
    Cents low = 0;
    Cents likely = 0;
    Cents high = 0;
    friend bool operator==(const CentSpread&, const CentSpread&) = default;
};
CentSpread& operator+=(CentSpread& a, const CentSpread& b);

/// What a line of an estimate stands for. All but the first concern the whole job.
enum class LineKind {
    work,         ///< quantity times rate
    item_minimum, ///< what one kind of work is short of its minimum charge
    job_minimum,  ///< what the work is short of the job's minimum charge
    overhead,
    margin,
    tax,
    permit_fee ///< of the outlet, at cost
};

/// One line, rounded to the cent once. Whatever an output calls a price is a sum of lines.
struct EstimateLine {
    LineKind kind = LineKind::work;
    std::string item; ///< key of its RateKind; empty for what follows from all lines
    std::string name;
    std::string trench; ///< id of the source whose trench it is; empty: the whole job
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

/// The line's key in every output, the same whatever rates priced it: that of its RateKind, "minimum." before it, or
/// "minimum_charge", "overhead", "margin", "tax", "permit_fee".
std::string line_key(const EstimateLine& line);

/// The lines added up by kind; every step is whole cents, so every sum is exact.
struct EstimateTotal {
    Cents lines = 0; ///< work and the minimum charges of its kinds
    Cents least = 0; ///< added so that the job's minimum charge is met
    Cents overhead = 0;
    Cents margin = 0;
    Cents tax = 0;
    Cents fee = 0;
    [[nodiscard]] Cents total() const { return lines + least + overhead + margin + tax + fee; }
    friend bool operator==(const EstimateTotal&, const EstimateTotal&) = default;
};

/// Why a quantity has no price.
enum class NoPrice { no_rate, unknown_quantity };

struct NotPriced {
    std::string item; ///< key of its RateKind
    std::string name;
    NoPrice why = NoPrice::no_rate;
    friend bool operator==(const NotPriced&, const NotPriced&) = default;
};

struct Estimate {
    std::vector<Measured> work;      ///< what was priced, as given
    std::vector<EstimateLine> lines; ///< work in the order measured, then what concerns the whole job
    EstimateTotal low;               ///< every rate low at once: the rates err together
    EstimateTotal likely;
    EstimateTotal high;
    EstimateTotal
        independent_low; ///< each kind of item errs by itself: root of the sum of squares about the likely total
    EstimateTotal independent_high;
    std::map<std::string, Spread> trade_hours;
    Spread crew_hours;
    Spread days;
    std::vector<NotPriced> not_priced; ///< each name once
    friend bool operator==(const Estimate&, const Estimate&) = default;
};

/// Prices quantities by a rate book. There is no other way to a price: the settings' rates are a book whose rates have
/// low, likely and high alike.
///
/// Lines of work keep the order given; a kind whose lines come to less than its minimum charge gets a line for the
/// difference, and so does the job. Overhead is on all these, margin on these and overhead, tax on all of it or on
/// materials, then the fee; each is one line of the whole job, never shared out over the trenches. A line of nothing is
/// left out. What a minimum charge adds is the smaller the higher the rates: its low figure may be above its high one.
/// The same kind of item on two trenches has one rate and errs together; different kinds err apart in the second range.
/// @param fee_cents  of the outlet, at cost
/// @throws Error (internal) for a quantity that is negative or no number
Estimate estimate(const std::vector<Measured>& measured, const RateBook& book, Cents fee_cents);

/// Whether some rate has a range. Where none has, it is not known how far the price may be off: no figure of low and
/// high is printed.
bool has_range(const Estimate& made);

/// Sum of all lines.
CentSpread total_cents(const Estimate& made);
/// Sum of the lines of one trench, which is its price; of the whole job's lines for "".
CentSpread trench_cents(const Estimate& made, std::string_view trench);

/// Quantity in the units people use: "12.4 yd3".
double quantity_in(double quantity_si, RatePer per, UnitSystem units);
std::string_view unit_of(RatePer per, UnitSystem units);

} // namespace trenchwright
