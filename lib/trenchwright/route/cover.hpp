#pragma once

#include "trenchwright/route/route.hpp"

#include <string>

/// How much ground has to lie over the pipe, by what lies on top and how near the outlet is.
namespace trenchwright {

/// How near an outlet a place lies, as far as cover goes. Only curbs and swales ease it.
enum class CoverZone {
    away,        ///< the surface's own cover
    near_outlet, ///< within outlet_reach_m
    daylight,    ///< within daylight_length_m of a swale
    in_curb      ///< of a curb outlet, within the boundary snap: layers may disagree where its edge lies
};

/// Ground to top of pipe, at least; negative where the pipe may come out of the ground.
///
/// Nothing eases the cover into a slab or its gap, nor under what carries vehicles: there a pipe is crushed, or the
/// slab is broken for it. Under paving no pipe comes to daylight.
double min_cover_m(const SurfaceRule& surface, CoverZone zone, const RouteRules& rules);

/// What a drain's end in a smaller pipe leaves more of cover over it than the drain's own pipe would with the same
/// invert; 0 where it has none.
double curb_pipe_saves_m(const RouteRules& rules);

/// How far up a line that ends in a smaller pipe reaches: to the last station within reducer_length_m of the outlet.
double reduced_length_m(const Polyline& line, const Outlet& outlet, const RouteRules& rules);

/// Whether anything is paved there: a slab, or a surface that carries vehicles.
bool paved(const SurfaceRule& surface);

/// Kind of surface and least cover at one place on the way to an outlet.
struct CoverAt {
    std::string kind;
    double cover_m = 0;
};
CoverAt cover_at(const Site& site, const Outlet& outlet, const Point& p, const RouteRules& rules);

/// "6 in of cover under public walk (4 in slab, 2 in below it)"; the slab is named where it sets the cover.
std::string cover_words(const CoverAt& cover, const RouteRules& rules, UnitSystem units);

} // namespace trenchwright
