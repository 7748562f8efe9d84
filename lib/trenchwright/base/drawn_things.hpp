#pragma once

#include <cstddef>
#include <map>
#include <set>

namespace trenchwright {

/// Something on a sheet that a reviewer looks for.
enum class SheetThing {
    scale_bar,
    north_arrow,
    legend,
    foundation,        ///< nth of Site::foundations
    lot_side,          ///< with bearing and length; nth of lot_sides()
    mark,              ///< nth of Site::marks
    shot,              ///< nth of Site::spots
    contour,           ///< of the ground
    neighbor_contour,  ///< of the ground of an adjoining lot
    neighbor_building, ///< nth of Site::neighbor_buildings
    right_of_way,      ///< nth of Site::right_of_way
    surface,           ///< nth of Site::surfaces
    easement,          ///< nth of Site::easements
    tree,              ///< nth of Site::trees
    outlet,            ///< nth of Site::outlets
    flow_arrow,        ///< on the plan
    profile,           ///< nth trench of the outlet drawn
    profile_falls,     ///< nth trench
    profile_inverts,   ///< nth trench
    hand_zone,         ///< on the plan
    trench_table,
    tie_table,
    pipe_note,
    surfaces_cut_note,
    restoration_note,
    floor_note,
    start_note,
    contacts,
    address,
    legal,
    benchmark,
    datum,
    one_call
};

/// What has come onto a set of sheets, noted by the drawing itself while it draws: only what lies inside the frame of
/// its plan or has found room in its column.
class DrawnThings {
  public:
    /// @param nth  of the things of this kind, from 0
    void add(SheetThing thing, std::size_t nth = 0) { seen_[thing].insert(nth); }
    [[nodiscard]] bool has(SheetThing thing) const { return count(thing) > 0; }
    [[nodiscard]] bool has(SheetThing thing, std::size_t nth) const
    {
        const auto found = seen_.find(thing);
        return found != seen_.end() && found->second.contains(nth);
    }
    [[nodiscard]] std::size_t count(SheetThing thing) const
    {
        const auto found = seen_.find(thing);
        return found == seen_.end() ? 0 : found->second.size();
    }

  private:
    std::map<SheetThing, std::set<std::size_t>> seen_;
};

} // namespace trenchwright
