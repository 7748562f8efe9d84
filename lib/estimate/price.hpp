#pragma once

#include "base/units.hpp"
#include "dig/quantities.hpp"

#include <string>
#include <utility>
#include <vector>

namespace trenchwright {

/// One line of the price: quantity times rate, rounded to the cent once.
struct LineItem {
    std::string name; ///< "Hand dig", "Pipe and bedding", ...
    double quantity = 0;
    std::string unit; ///< SI unit of the quantity: "m", "m3", "m2", "each"
    double rate = 0;  ///< money per unit
    Cents cents = 0;
    friend bool operator==(const LineItem&, const LineItem&) = default;
};

struct Price {
    std::vector<LineItem> items;
    Cents total_cents = 0; ///< sum of the items, exact
    friend bool operator==(const Price&, const Price&) = default;
};

/// Prices one trench by the same rates the route was chosen by, plus fixed sums.
///
/// Machine and hand dig by volume and by length, pipe and bedding by the plan length (as the route counts it), equal
/// bends together, crossings exposed, restoration by surface kind, fixed sums in the order given. What has
/// no quantity has no line; what has no rate keeps its line at 0. The price of running along a mark is a deterrent of
/// the search and not a cost: it is never billed.
/// @param fixed  mobilisation and the like, name and amount; outlet fees are added by the caller
/// @throws Error (internal) for a quantity or rate that is negative or no number, or a surface without a rate
Price price(const Quantities& quantities, const std::vector<Bend>& bends, std::size_t crossings,
            const RouteRules& rates, const std::vector<std::pair<std::string, double>>& fixed);

} // namespace trenchwright
