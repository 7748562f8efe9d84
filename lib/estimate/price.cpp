#include "estimate/price.hpp"

#include "base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace trenchwright {

namespace {

/// Less than this of anything (m, m2, m3) is rounding.
constexpr double noise = 1e-9;

/// Collects the lines of a price; nothing is charged for what is not there.
class Bill {
  public:
    void add(const std::string& name, double quantity, const std::string& unit, double rate)
    {
        const bool countable = quantity >= 0 && std::isfinite(quantity) && rate >= 0 && std::isfinite(rate);
        if (!countable) {
            throw Error(ErrorKind::internal,
                        fmt::format("price: {}: quantity {} {} at {}", name, quantity, unit, rate));
        }
        if (quantity > noise) {
            add_item(
                {.name = name, .quantity = quantity, .unit = unit, .rate = rate, .cents = to_cents(quantity * rate)});
        }
    }
    void add_fixed(const std::string& name, double amount)
    {
        add_item({.name = name, .quantity = 1, .unit = "each", .rate = amount, .cents = to_cents(amount)});
    }
    [[nodiscard]] Price price() && { return std::move(price_); }

  private:
    void add_item(LineItem item)
    {
        price_.total_cents += item.cents;
        price_.items.push_back(std::move(item));
    }
    Price price_;
};

/// "Bend of 45 + 22.5 degrees"
std::string bend_name(const Bend& bend)
{
    std::string angles;
    for (const double angle_rad : bend.fitting_angles_rad) {
        const double degrees = std::round(angle_rad * 180 / std::numbers::pi * 100) / 100;
        angles += fmt::format("{}{}", angles.empty() ? "" : " + ", degrees);
    }
    return fmt::format("Bend of {} degrees", angles);
}

/// Equal bends on one line, in the order they are met; turns taken up in the joints alone need no fitting.
void add_bends(Bill& bill, const std::vector<Bend>& bends)
{
    struct Kind {
        std::string name;
        double price = 0;
        double count = 0;
    };
    std::vector<Kind> kinds;
    for (const auto& bend : bends) {
        if (bend.fitting_angles_rad.empty() && bend.price == 0) {
            continue;
        }
        const auto name = bend_name(bend);
        const auto known = std::find_if(kinds.begin(), kinds.end(), [&](const auto& kind) {
            return kind.name == name && kind.price == bend.price;
        });
        if (known == kinds.end()) {
            kinds.push_back({.name = name, .price = bend.price, .count = 1});
        } else {
            ++known->count;
        }
    }
    for (const auto& kind : kinds) {
        bill.add(kind.name, kind.count, "each", kind.price);
    }
}

void add_restoration(Bill& bill, const Quantities& quantities, const RouteRules& rates)
{
    for (const auto& [kind, area_m2] : quantities.restore_m2) {
        const auto rule = rates.surfaces.find(kind);
        if (rule == rates.surfaces.end()) {
            throw Error(ErrorKind::internal, fmt::format("price: no rate for the surface '{}'", kind));
        }
        bill.add("Restore " + kind, area_m2, "m2", rule->second.restore_per_m2);
    }
}

} // namespace

Price price(const Quantities& quantities, const std::vector<Bend>& bends, std::size_t crossings,
            const RouteRules& rates, const std::vector<std::pair<std::string, double>>& fixed)
{
    Bill bill;
    bill.add("Machine dig, by volume", quantities.machine_cut_m3, "m3", rates.machine_per_m3);
    bill.add("Machine dig, by length", quantities.machine_length_m, "m", rates.machine_per_m);
    bill.add("Hand dig, by volume", quantities.hand_cut_m3, "m3", rates.hand_per_m3);
    bill.add("Hand dig, by length", quantities.hand_length_m, "m", rates.hand_per_m);
    bill.add("Pipe and bedding", quantities.length_m, "m", rates.pipe_per_m);
    add_bends(bill, bends);
    bill.add("Expose crossed utility", static_cast<double>(crossings), "each", rates.crossing_price);
    add_restoration(bill, quantities, rates);
    for (const auto& [name, amount] : fixed) {
        bill.add_fixed(name, amount);
    }
    return std::move(bill).price();
}

} // namespace trenchwright
