#include "trenchwright/plan/supplied.hpp"

#include "trenchwright/plan/not_supplied.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <set>

namespace trenchwright {

namespace {

/// Collects the list; an effect belongs to a gap only.
class List {
  public:
    explicit List(std::string group) : group_(std::move(group)) {}
    void add(std::string item, bool supplied, std::string state, std::string effect)
    {
        items_.push_back({.group = group_,
                          .item = std::move(item),
                          .supplied = supplied,
                          .state = std::move(state),
                          .effect = supplied ? "" : std::move(effect)});
    }
    void add_text(const std::string& item, const std::string& text, std::string effect)
    {
        add(item, !text.empty(), text.empty() ? "not supplied" : text, std::move(effect));
    }
    /// An answer that leaves something to watch for.
    void add_answer(std::string item, std::string state, std::string effect)
    {
        items_.push_back({group_, std::move(item), true, std::move(state), std::move(effect)});
    }
    std::vector<SuppliedItem> take() { return std::move(items_); }

  private:
    std::string group_;
    std::vector<SuppliedItem> items_;
};

std::size_t marks_of(const Site& site, Facility facility)
{
    const bool sewer = facility == Facility::sanitary_sewer || facility == Facility::storm_sewer;
    return static_cast<std::size_t>(std::ranges::count_if(supplied_marks(site), [&](const Mark& mark) {
        return mark.facility == facility || (sewer && mark.facility == Facility::sewer_unstated);
    }));
}

constexpr std::array<Facility, 6> asked{Facility::electric,       Facility::gas,
                                        Facility::communication,  Facility::water,
                                        Facility::sanitary_sewer, Facility::storm_sewer};

const char* const accuracy_effect = "Their hand-dig zones reach the tolerance and no farther; the line may lie "
                                    "farther off.";
const char* const quality_effect = "They are taken to be no surer than level D.";

std::vector<SuppliedItem> mark_items(const Site& site)
{
    List list{std::string(marks_group)};
    for (const Facility facility : asked) {
        const auto count = marks_of(site, facility);
        list.add(std::string(facility_name(facility)), count > 0,
                 count > 0 ? fmt::format("{} {}", count, count == 1 ? "mark" : "marks") : "no marks supplied",
                 "Utilities of this kind are not shown, nor is their hand digging priced. Such a line may be there.");
    }
    const auto on_marks = [&](const std::string& item, auto lacks, const std::string& effect) {
        const auto missing = std::ranges::count_if(supplied_marks(site), lacks);
        list.add(item, missing == 0,
                 missing == 0 ? "on every mark"
                              : fmt::format("missing on {} {}", missing, missing == 1 ? "mark" : "marks"),
                 effect);
    };
    if (!site.marks.empty()) {
        on_marks(
            "dates", [](const Mark& mark) { return mark.date_marked.empty(); },
            "Nobody can say whether those marks are still good.");
        on_marks("position accuracy", [](const Mark& mark) { return !mark.position_accuracy_m; }, accuracy_effect);
        on_marks("quality level", [](const Mark& mark) { return !mark.quality; }, quality_effect);
    }
    return list.take();
}

std::string said_by(const PrivateLineAnswer& answer)
{
    if (answer.by.empty() && answer.date.empty()) {
        return "nobody named";
    }
    return answer.by + (answer.by.empty() || answer.date.empty() ? "" : ", ") + answer.date;
}

std::vector<SuppliedItem> private_items(const Job& job)
{
    List list("private lines");
    const std::string effect =
        "No one-call center marks private lines: ask the owner, look, or order a private locate.";
    for (const auto& kind : private_line_kinds()) {
        const auto answer = std::ranges::find(job.private_lines, kind.key, &PrivateLineAnswer::kind);
        const std::string item(kind.words);
        if (answer == job.private_lines.end()) {
            list.add(item, false, "nobody was asked", effect);
        } else if (answer->answer == "unknown") {
            list.add(item, false, fmt::format("not known ({})", said_by(*answer)), effect);
        } else if (answer->answer == "none") {
            list.add_answer(item, fmt::format("none, according to the owner ({})", said_by(*answer)),
                            "A word, not a locate: watch for it.");
        } else {
            list.add_answer(item, fmt::format("marked ({})", said_by(*answer)), "");
        }
    }
    return list.take();
}

std::vector<SuppliedItem> ticket_items(const Job& job)
{
    const auto& ticket = job.ticket;
    List list("ticket");
    list.add_text("number", ticket.number, "Nothing shows that a locate was asked for. No ticket, no digging.");
    list.add_text("date of the call", ticket.called, "The waiting time cannot be checked.");
    list.add_text("legal start", ticket.legal_start, "Nobody knows from when digging is lawful.");
    list.add("expiry", !ticket.expires.empty(), ticket_life_text(job),
             "States differ. Nobody can say from this job when ticket and marks expire.");
    list.add("owners' answers", !ticket.answers.empty(),
             ticket.answers.empty() ? "not supplied" : fmt::format("{} owners", ticket.answers.size()),
             "An owner who has not answered may have a line there that is not marked.");
    return list.take();
}

std::vector<SuppliedItem> level_items(const Site& site, const Job& job)
{
    List list("levels");
    list.add("spots or grid", site.dem.has_value() || !site.spots.empty(),
             site.dem ? "a grid" : fmt::format("{} spots", site.spots.size()), "No ground.");
    list.add("floor inside", job.floor_elev_m.has_value(),
             job.floor_elev_m ? elev_text(*job.floor_elev_m, job.rules.units) : "not supplied",
             "Heights of wall cores over the floor are not known.");
    list.add_text("benchmark", job.sheet.benchmark,
                  "Heights can be compared with each other, and with no other survey.");
    list.add("footing depth", job.footing.has_value(), job.footing ? "supplied" : "not supplied",
             "Whether the trench undermines the footing is not checked: keep it above the 45-degree line down from the "
             "footing's bottom.");
    for (const auto& source : site.sources) {
        list.add(fmt::format("pipe at {}", source.id), source.highest_invert_elev_m.has_value(),
                 source.highest_invert_elev_m ? elev_text(*source.highest_invert_elev_m, job.rules.units)
                                              : "not supplied",
                 "The pipe may start as high as its cover lets it; a wall core may sit lower.");
    }
    return list.take();
}

std::vector<SuppliedItem> lot_items(const Site& site)
{
    List list{std::string(lot_group)};
    const auto layer = [&](const std::string& item, std::size_t count, const std::string& effect) {
        list.add(item, count > 0, count > 0 ? fmt::format("{} supplied", count) : "none supplied", effect);
    };
    layer("foundation", site.foundations.size(), "Nothing keeps the trench away from the house.");
    layer("neighbors", site.neighbors.size(), "Only our own lot line keeps the trench off other lots.");
    layer("right of way", site.right_of_way.size(), "No street strip that may be entered; street setbacks not known.");
    layer("ground cover", site.surfaces.size(), "All ground is taken to be of the default kind, and priced so.");
    layer("trees", site.trees.size(), "No roots are spared.");
    layer("keep-outs", site.keep_outs.size(), "Nothing else is kept off.");
    layer("wells", site.wells.size(), "No distance to a well is kept.");
    layer("septic", site.septic.size(), "No distance to a septic system is kept.");
    layer("easements", site.easements.size(), "Nobody's rights in the lot are known.");
    return list.take();
}

std::vector<SuppliedItem> water_items(const Site& site, const Job& job)
{
    List list("water");
    const double rain = job.rules.water.design_rain_mps;
    list.add("design rain", rain > 0, rain > 0 ? rain_text(rain, job.rules.units) : "not supplied",
             "Flow off the roof is not known; no pipe is sized for it.");
    for (const auto& source : site.sources) {
        if (source.kind == SourceKind::pump) {
            const bool described = std::ranges::any_of(
                job.pumps, [&](const PumpRecord& pump) { return pump.source == source.id || pump.source.empty(); });
            list.add(fmt::format("curve of pump {}", source.id), described, described ? "supplied" : "not supplied",
                     "Its duty is not checked.");
        } else {
            const bool known = source.roof_area_m2 > 0;
            list.add(fmt::format("roof at {}", source.id), known,
                     known ? area_text(source.roof_area_m2, job.rules.units) : "not supplied",
                     "Its flow is not known.");
        }
    }
    return list.take();
}

std::vector<SuppliedItem> money_items(const Job& job)
{
    List list("money");
    list.add("rates file", !job.rates.file.empty(), job.rates.file.empty() ? "not supplied" : job.rates.file,
             "Prices are of the settings' rates, which are sample figures until changed, and have no range.");
    if (job.rates.sample) {
        list.add("rates of your own", false, "the rates file says that it is a sample",
                 "No price here means anything yet.");
    }
    return list.take();
}

std::vector<SuppliedItem> outlet_items(const Site& site)
{
    List list("outlets");
    for (const auto& outlet : site.outlets) {
        for (const Water water : waters_of(site)) {
            const auto permission = permission_for(outlet, water);
            const bool known = permission == Permission::yes || permission == Permission::no;
            list.add(fmt::format("{} for {} water", outlet.name, water_name(water)), known,
                     fmt::format("permission {}", permission_name(permission)),
                     "Ask whoever decides before a trench is dug to it.");
        }
    }
    return list.take();
}

} // namespace

std::vector<std::string> kinds_without_marks(const Site& site)
{
    std::vector<std::string> missing;
    for (const Facility facility : asked) {
        if (marks_of(site, facility) == 0) {
            missing.emplace_back(facility_name(facility));
        }
    }
    return missing;
}

std::vector<SuppliedItem> supplied_items(const Site& site, const Job& job)
{
    std::vector<SuppliedItem> items;
    for (const auto& group : {mark_items(site), private_items(job), ticket_items(job), level_items(site, job),
                              lot_items(site), water_items(site, job), outlet_items(site), money_items(job)}) {
        items.insert(items.end(), group.begin(), group.end());
    }
    return items;
}

} // namespace trenchwright
