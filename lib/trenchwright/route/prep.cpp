#include "trenchwright/route/prep.hpp"

#include "trenchwright/route/orientation.hpp"

#include <algorithm>
#include <numbers>

namespace trenchwright {

namespace {

RouteRules coarser(RouteRules rules)
{
    constexpr double widest_cell_m = 0.5;
    rules.cell_m = std::max(rules.cell_m, std::min(2 * rules.cell_m, widest_cell_m));
    rules.headings = rules.headings == 8 ? 16 : 8;
    return rules;
}

/// The site's own, and the first of them turned to either side, so that a mirrored site has the mirrored ones.
std::vector<double> coarse_orientations_rad(const std::vector<double>& fine)
{
    constexpr double turned_rad = 12 * std::numbers::pi / 180;
    std::vector<double> angles = fine;
    angles.push_back(fine.front() + turned_rad);
    angles.push_back(fine.front() - turned_rad);
    return angles;
}

} // namespace

RoutePrep::RoutePrep(const Site& site, const Ground& ground, const RouteRules& rules)
    : site_(site), ground_(ground), rules_(rules), coarse_rules_(coarser(rules)),
      obstacles_(trenchwright::obstacles(site, rules)), extent_(search_extent(site))
{
    const auto angles = site_orientations_rad(site);
    const auto add = [](auto& places, double angle_rad) {
        places.push_back(std::make_unique<Laid>());
        places.back()->angle_rad = angle_rad;
    };
    for (const double angle : angles) {
        add(fine_, angle);
    }
    for (const double angle : coarse_orientations_rad(angles)) {
        add(coarse_, angle);
    }
}

const Lattice& RoutePrep::laid(Laid& place, const RouteRules& rules) const
{
    std::call_once(place.once, [&] {
        place.lattice = lay_lattice(site_, ground_, obstacles_, rules, extent_, place.angle_rad);
    });
    return *place.lattice;
}

std::optional<Lattice> RoutePrep::coarse_lattice_along(double angle_rad, const Point& center) const
{
    std::vector<double> used;
    for (const auto& lattice : coarse_) {
        used.push_back(lattice->angle_rad);
    }
    if (!is_new_orientation(angle_rad, used)) {
        return std::nullopt;
    }
    std::vector<Point> extent{center};
    extent.insert(extent.end(), extent_.begin(), extent_.end());
    return lay_lattice(site_, ground_, obstacles_, coarse_rules_, extent, angle_rad);
}

} // namespace trenchwright
