#include "trenchwright/site/load.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/base/nearest_word.hpp"
#include "trenchwright/gis/place.hpp"
#include "trenchwright/gis/system.hpp"
#include "trenchwright/site/row.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iterator>
#include <numbers>
#include <utility>

namespace trenchwright {

namespace {

/// Added before an index is asked: rounding of its boxes (0.5 m at 32 bits), arcs, a datum shift chosen elsewhere.
constexpr double slack_m = 10;

/// Degree of latitude, to within 0.6 %: 40,008 km round the poles (WGS 84).
constexpr double meters_per_degree = 111'133;

std::string field_or(const LayerUse& use, const std::string& attribute)
{
    const auto found = use.fields.find(attribute);
    return found == use.fields.end() ? std::string() : found->second;
}

/// Whether the use itself says that its numbers are offsets.
bool is_tape(const LayerUse& use, const SiteLayers& job)
{
    const bool tape = use.crs == "tape";
    if (tape && job.frame.kind != FrameChoice::Kind::tape) {
        throw Error(ErrorKind::input, fmt::format("{}: crs = \"tape\" is for lots measured by tape, with [frame] kind "
                                                  "= \"tape\"; state the file's coordinate system",
                                                  use.file.string()));
    }
    return tape;
}

OpenLayer opened(const LayerUse& use, const SiteLayers& job)
{
    return OpenLayer({.file = use.file,
                      .layer = use.layer,
                      .crs = use.crs,
                      .tape_offsets = is_tape(use, job),
                      .x_column = field_or(use, "x"),
                      .y_column = field_or(use, "y"),
                      .wkt_column = field_or(use, "wkt"),
                      .where = use.where,
                      .decimal_comma = use.decimal_comma});
}

void widen(std::optional<NativeBox>& box, const NativeBox& more)
{
    if (!box) {
        box = more;
        return;
    }
    box->low = {.x = std::min(box->low.x, more.low.x), .y = std::min(box->low.y, more.low.y)};
    box->high = {.x = std::max(box->high.x, more.high.x), .y = std::max(box->high.y, more.high.y)};
}

bool meet(const NativeBox& a, const NativeBox& b)
{
    return a.low.x <= b.high.x && b.low.x <= a.high.x && a.low.y <= b.high.y && b.low.y <= a.high.y;
}

NativePoint center(const NativeBox& box)
{
    return {.x = (box.low.x + box.high.x) / 2, .y = (box.low.y + box.high.y) / 2};
}

/// One of x and y of a meter in the system's own unit, at a place.
NativePoint per_meter(const std::string& wkt, const NativePoint& at)
{
    const auto facts = system_facts(wkt);
    if (facts.kind != SystemKind::geographic) {
        return {.x = 1 / facts.meters_per_native, .y = 1 / facts.meters_per_native};
    }
    const double shrink = std::max(0.01, std::cos(at.y * std::numbers::pi / 180));
    return {.x = 1 / (meters_per_degree * shrink), .y = 1 / meters_per_degree};
}

NativeBox grown(const NearBox& from, double by_m)
{
    const auto unit = per_meter(from.wkt, center(from.box));
    return {.low = {.x = from.box.low.x - by_m * unit.x, .y = from.box.low.y - by_m * unit.y},
            .high = {.x = from.box.high.x + by_m * unit.x, .y = from.box.high.y + by_m * unit.y}};
}

/// Small boxes, as of lots and points, brought to another system by their corners.
std::vector<NativeBox> moved(const std::vector<NativeBox>& boxes, const std::string& from_wkt,
                             const std::string& to_wkt)
{
    if (boxes.empty() || from_wkt == to_wkt) {
        return boxes;
    }
    const Transform to(from_wkt, to_wkt, center(boxes.front()));
    std::vector<NativeBox> there;
    for (const auto& box : boxes) {
        std::optional<NativeBox> around;
        for (const double x : {box.low.x, box.high.x}) {
            for (const double y : {box.low.y, box.high.y}) {
                const auto p = to({.x = x, .y = y});
                widen(around, {.low = p, .high = p});
            }
        }
        there.push_back(*around);
    }
    return there;
}

bool nearer(const NearBox& to, const NativePoint& p, double limit_m)
{
    const auto near = grown(to, limit_m);
    return meet(near, {.low = p, .high = p});
}

/// Bounds of each feature's vertices, without those that are not finite.
std::vector<NativeBox> boxes_of(const LayerData& data)
{
    std::vector<NativeBox> boxes;
    for (const auto& feature : data.features) {
        std::optional<NativeBox> box;
        const auto add = [&](const ShapeLine& line) {
            for (const auto& p : line) {
                widen(box, {.low = {.x = p.x, .y = p.y}, .high = {.x = p.x, .y = p.y}});
            }
        };
        if (const auto* points = std::get_if<std::vector<ShapePoint>>(&feature.shape)) {
            add(*points);
        } else if (const auto* lines = std::get_if<std::vector<ShapeLine>>(&feature.shape)) {
            std::ranges::for_each(*lines, add);
        } else if (const auto* areas = std::get_if<std::vector<ShapeArea>>(&feature.shape)) {
            std::ranges::for_each(*areas, [&](const ShapeArea& area) { add(area.outer); });
        }
        if (box) {
            boxes.push_back(*box);
        }
    }
    return boxes;
}

bool in_degrees(const std::string& wkt)
{
    return system_facts(wkt).kind == SystemKind::geographic;
}

bool are_degrees(const NativeBox& box)
{
    return box.low.x >= -180 && box.high.x <= 180 && box.low.y >= -90 && box.high.y <= 90;
}

/// The layers of a job while our lot is looked for.
class Finder {
  public:
    explicit Finder(const SiteLayers& job) : job_(job) {}

    /// Our lot and what was measured on it, not yet grown; nothing where nothing shows it.
    std::optional<NearBox> home();
    Loaded take();

  private:
    struct Use {
        const SitePart* part = nullptr;
        const LayerUse* use = nullptr;
    };
    [[nodiscard]] std::vector<Use> uses(bool measured) const;
    void read_measured();
    void open_parcels();
    [[nodiscard]] std::string system_of(const LayerData& data) const;
    [[nodiscard]] std::string first_system() const;
    [[nodiscard]] std::vector<NativeBox> measured_boxes(std::string_view part, const std::string& wkt) const;
    [[nodiscard]] std::vector<NativeBox> named_lots(const std::string& wkt) const;
    [[noreturn]] void refuse_ids() const;
    [[nodiscard]] std::vector<NativeBox> lots_at(const NativeBox& place, const std::string& wkt) const;
    [[nodiscard]] std::vector<NativeBox> own_lots(const std::string& wkt) const;
    [[nodiscard]] LoadedLayer read(const Use& use, const std::optional<NearBox>& near);

    const SiteLayers& job_;
    std::vector<LoadedLayer> measured_;
    std::vector<std::pair<const LayerUse*, OpenLayer>> parcels_;
};

std::vector<Finder::Use> Finder::uses(bool measured) const
{
    std::vector<Use> found;
    for (const auto& part : site_parts()) {
        const auto of_part = job_.parts.find(part.name);
        if (of_part == job_.parts.end() || part.name == "dem" || of_the_lot(part) != measured) {
            continue;
        }
        for (const auto& use : of_part->second) {
            found.push_back({.part = &part, .use = &use});
        }
    }
    return found;
}

void Finder::read_measured()
{
    for (const auto& [part, use] : uses(true)) {
        measured_.push_back({.part = part, .use = use, .data = opened(*use, job_).read()});
    }
}

void Finder::open_parcels()
{
    for (const auto& [part, use] : uses(false)) {
        if (part->name == "parcel") {
            parcels_.emplace_back(use, opened(*use, job_));
        }
    }
}

/// Of a table that states none, the one it will be taken in.
std::string Finder::system_of(const LayerData& data) const
{
    return data.wkt.empty() && data.driver == "CSV" ? first_system() : data.wkt;
}

std::string Finder::first_system() const
{
    if (job_.frame.kind == FrameChoice::Kind::named) {
        return system_facts(job_.frame.crs).wkt;
    }
    for (const auto& [use, layer] : parcels_) {
        if (!layer.head().wkt.empty()) {
            return layer.head().wkt;
        }
    }
    for (const auto& layer : measured_) {
        if (!layer.data.wkt.empty()) {
            return layer.data.wkt;
        }
    }
    return "";
}

/// Boxes of what was measured, in one system; a layer that cannot be brought there is refused later, with its name.
std::vector<NativeBox> Finder::measured_boxes(std::string_view part, const std::string& wkt) const
{
    std::vector<NativeBox> boxes;
    for (const auto& layer : measured_) {
        const auto system = system_of(layer.data);
        if (system.empty() || (!part.empty() && layer.part->name != part)) {
            continue;
        }
        try {
            require_degrees(layer.data);
            std::ranges::copy(moved(boxes_of(layer.data), system, wkt), std::back_inserter(boxes));
        } catch (const Error&) {
            continue;
        }
    }
    return boxes;
}

void Finder::refuse_ids() const
{
    constexpr std::size_t shown = 8;
    constexpr std::size_t compared = 10'000;
    const auto& [use, layer] = parcels_.front();
    const auto column = field_or(*use, "id");
    const auto& fields = layer.head().fields;
    if (!column.empty() && std::ranges::find(fields, column) == fields.end()) {
        refuse_field(layer.head(), column, "id");
    }
    constexpr NativePoint nowhere{.x = 1e300, .y = 1e300};
    (void)layer.read({.near = NativeBox{.low = nowhere, .high = nowhere}}); // says so where `where` holds for no lot
    auto ids = layer.texts_of(column.empty() ? "id" : column, compared);
    const auto nearest = nearest_word(job_.parcel_ids.front(), ids);
    const bool more = ids.size() > shown;
    ids.resize(std::min(ids.size(), shown));
    throw Error(ErrorKind::input,
                fmt::format("{}: no lot has the id \"{}\" of [parcel] id{}; ids are {}{}",
                            use->file.filename().string(), job_.parcel_ids.front(),
                            nearest.empty() ? "" : fmt::format(", did you mean \"{}\"?", nearest),
                            ids.empty() ? "(none)" : fmt::format("{}", fmt::join(ids, ", ")), more ? ", ..." : ""));
}

std::vector<NativeBox> Finder::named_lots(const std::string& wkt) const
{
    std::vector<NativeBox> boxes;
    for (const auto& [use, layer] : parcels_) {
        const auto column = field_or(*use, "id");
        const auto own = layer.read({.near = {}, .id_field = column.empty() ? "id" : column, .ids = job_.parcel_ids});
        require_degrees(own);
        const auto system = system_of(own);
        if (!system.empty()) {
            std::ranges::copy(moved(boxes_of(own), system, wkt), std::back_inserter(boxes));
        }
    }
    return boxes;
}

/// Lots whose box meets a place given in another system.
std::vector<NativeBox> Finder::lots_at(const NativeBox& place, const std::string& wkt) const
{
    std::vector<NativeBox> boxes;
    for (const auto& [use, layer] : parcels_) {
        const auto system = system_of(layer.head());
        if (system.empty()) {
            continue;
        }
        const FeatureFilter filter{.near = box_in({.wkt = wkt, .box = place}, system)};
        std::ranges::copy(moved(boxes_of(layer.read(filter)), system, wkt), std::back_inserter(boxes));
    }
    return boxes;
}

std::vector<NativeBox> Finder::own_lots(const std::string& wkt) const
{
    if (!job_.parcel_ids.empty()) {
        return named_lots(wkt);
    }
    std::optional<NativeBox> sources;
    for (const auto& box : measured_boxes("sources", wkt)) {
        widen(sources, box);
    }
    return sources ? lots_at(*sources, wkt) : std::vector<NativeBox>{};
}

std::optional<NearBox> Finder::home()
{
    read_measured();
    open_parcels();
    const auto wkt = job_.frame.kind == FrameChoice::Kind::tape ? std::string() : first_system();
    if (wkt.empty() || parcels_.empty()) {
        return std::nullopt;
    }
    std::optional<NativeBox> box;
    for (const auto& lot : own_lots(wkt)) {
        widen(box, lot);
    }
    if (!box) {
        return std::nullopt;
    }
    const NearBox lots{.wkt = wkt, .box = *box};
    for (const auto& more : measured_boxes("", wkt)) {
        const bool believed =
            nearer(lots, more.low, job_.reading.farthest_m) && nearer(lots, more.high, job_.reading.farthest_m);
        if (believed) { // else it is refused, with its name, when all is placed
            widen(box, more);
        }
    }
    return NearBox{.wkt = wkt, .box = *box};
}

LoadedLayer Finder::read(const Use& use, const std::optional<NearBox>& near)
{
    const auto parcel = std::ranges::find(parcels_, use.use, [](const auto& open) { return open.first; });
    auto layer = parcel == parcels_.end() ? opened(*use.use, job_) : std::move(parcel->second);
    const auto system = near ? system_of(layer.head()) : std::string();
    FeatureFilter filter;
    if (!system.empty()) {
        try {
            filter.near = grown({.wkt = system, .box = box_in(*near, system)}, slack_m);
        } catch (const Error&) {
            filter.near.reset(); // refused, with its name, when it is placed
        }
    }
    LoadedLayer loaded{.part = use.part, .use = use.use, .data = layer.read(filter)};
    if (filter.near && loaded.data.features.empty()) {
        loaded.all = layer.extent();
    }
    if (loaded.all && in_degrees(system) && !are_degrees(*loaded.all)) {
        loaded.data = layer.read(); // to be refused with its first feature
    }
    return loaded;
}

Loaded Finder::take()
{
    Loaded loaded;
    if (const auto own = home()) {
        loaded.near = {.wkt = own->wkt, .box = grown(*own, job_.reading.around_m)};
    }
    const bool named = !job_.parcel_ids.empty() && !parcels_.empty();
    if (named && !loaded.near && job_.frame.kind != FrameChoice::Kind::tape && !first_system().empty()) {
        refuse_ids();
    }
    for (const auto& use : uses(false)) {
        loaded.layers.push_back(read(use, loaded.near));
    }
    std::ranges::move(measured_, std::back_inserter(loaded.layers));
    const auto rank = [](const LoadedLayer& layer) { return layer.part - site_parts().data(); };
    std::ranges::stable_sort(loaded.layers, {}, rank);
    return loaded;
}

} // namespace

bool of_the_lot(const SitePart& part)
{
    static constexpr std::array<std::string_view, 7> parts{"sources",        "outlets",    "footing_drain", "spots",
                                                           "proposed_spots", "breaklines", "spread_areas"};
    return std::ranges::find(parts, part.name) != parts.end();
}

NativeBox box_in(const NearBox& from, const std::string& to_wkt)
{
    if (from.wkt == to_wkt) {
        return from.box;
    }
    constexpr int steps = 8; // a curved edge leaves its chords by less than slack_m on any lot
    const Transform to(from.wkt, to_wkt, center(from.box));
    std::optional<NativeBox> box;
    for (int i = 0; i <= steps; ++i) {
        for (int j = 0; j <= steps; ++j) {
            const auto along = [](double low, double high, int step) { return low + (high - low) * step / steps; };
            const auto p =
                to({.x = along(from.box.low.x, from.box.high.x, i), .y = along(from.box.low.y, from.box.high.y, j)});
            widen(box, {.low = p, .high = p});
        }
    }
    return *box;
}

Loaded load_layers(const SiteLayers& job)
{
    return Finder(job).take();
}

} // namespace trenchwright
