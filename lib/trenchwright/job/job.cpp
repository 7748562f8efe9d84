#include "trenchwright/job/job.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/layer.hpp"
#include "trenchwright/job/former_keys.hpp"
#include "trenchwright/job/job_layers.hpp"
#include "trenchwright/job/job_node.hpp"
#include "trenchwright/job/rates_reader.hpp"
#include "trenchwright/rules/settings_book.hpp"
#include "trenchwright/rules/settings_table.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <set>

namespace trenchwright {

namespace {

FrameChoice::Kind frame_kind_of(const JobNode& frame)
{
    const auto word = text_in(frame, "kind");
    if (word.empty() || word == "from layers") {
        return FrameChoice::Kind::from_layers;
    }
    if (word == "named") {
        return FrameChoice::Kind::named;
    }
    if (word == "tape") {
        return FrameChoice::Kind::tape;
    }
    refuse(*frame.find("kind"), fmt::format("\"{}\" must be one of: from layers|named|tape", word));
}

/// A key that belongs to one kind of frame: asked for with it, refused without it.
const JobNode* key_for(const JobNode& frame, const std::string& key, const std::string& kind, bool chosen)
{
    const auto* node = frame.find(key);
    if (chosen && node == nullptr) {
        refuse(frame, fmt::format("kind = \"{}\" needs {} = \"...\"", kind, key));
    }
    if (!chosen && node != nullptr) {
        refuse(*node, fmt::format("has a meaning only with kind = \"{}\"", kind));
    }
    return node;
}

FrameChoice frame_from(const JobNode& frame)
{
    check_members(frame, {"kind", "crs", "unit"});
    FrameChoice choice;
    choice.kind = frame_kind_of(frame);
    if (const auto* crs = key_for(frame, "crs", "named", choice.kind == FrameChoice::Kind::named)) {
        choice.crs = text_of(*crs);
    }
    if (const auto* unit = key_for(frame, "unit", "tape", choice.kind == FrameChoice::Kind::tape)) {
        choice.tape_unit = unit_of(*unit);
    }
    return choice;
}

/// The unit of a job's data has no default: a wrong guess would move every figure by a factor of three.
LengthUnit data_unit(const JobNode& top, const std::string& key)
{
    const auto* units = top.find("units");
    if (units == nullptr || units->find(key) == nullptr) {
        refuse(units == nullptr ? top : *units, fmt::format("[units] {} is missing: write {} = \"ft\"", key, key));
    }
    return unit_of(*units->find(key));
}

UnitSystem system_of(LengthUnit unit)
{
    switch (unit) {
    case LengthUnit::meter:
    case LengthUnit::centimeter:
    case LengthUnit::millimeter: return UnitSystem::metric;
    case LengthUnit::foot:
    case LengthUnit::us_survey_foot:
    case LengthUnit::inch: break;
    }
    return UnitSystem::us;
}

/// The one elevation of a table: `key` with its unit, or a number without one, which is refused with how to write it.
double elevation_in(const JobNode& table, const std::string& key, std::string_view example)
{
    check_members(table, {key});
    const auto* height = table.find(key);
    if (height == nullptr) {
        refuse(table, fmt::format("needs {} = \"{}\"", key, example));
    }
    double height_m = 0;
    try {
        height_m =
            parse_measure(Measure::length, height->kind == JobNode::Kind::number ? height->text : text_of(*height));
    } catch (const Error& error) {
        refuse(*height, error.what());
    }
    // No ground on Earth is higher or lower.
    const bool on_earth = std::abs(height_m) <= 9000;
    if (!on_earth) {
        refuse(*height, fmt::format("\"{}\" is out of range: -9000 m to 9000 m (-29527 ft to 29527 ft)", height->text));
    }
    return height_m;
}

/// Nested tables and dotted keys in quotes are one and the same.
void collect_rules(const JobNode& node, const std::string& prefix, std::vector<RuleText>& texts)
{
    for (const auto& [name, member] : node.members) {
        const auto key = prefix.empty() ? name : prefix + "." + name;
        if (member.kind == JobNode::Kind::table) {
            collect_rules(member, key, texts);
        } else if (member.kind == JobNode::Kind::number) {
            texts.push_back({key, member.text, where(member)});
        } else if (member.kind == JobNode::Kind::truth) {
            refuse(member, "write \"yes\" or \"no\"");
        } else {
            texts.push_back({key, text_of(member), where(member)});
        }
    }
}

void add(std::vector<FormerUse>& uses, const std::vector<FormerUse>& more)
{
    uses.insert(uses.end(), more.begin(), more.end());
}

/// What [rules] or a rules file says, by the keys of today, no key twice.
std::vector<RuleText> rule_texts(const JobNode* node, std::string_view written, std::vector<FormerUse>& uses)
{
    std::vector<RuleText> texts;
    if (node != nullptr) {
        if (node->kind != JobNode::Kind::table) {
            refuse(*node, "must be a table");
        }
        collect_rules(*node, "", texts);
    }
    std::set<std::string> seen;
    for (const auto& text : texts) {
        if (!seen.insert(text.key).second) {
            throw Error(ErrorKind::input, fmt::format("{}rules.{}: is given twice", text.where, text.key));
        }
    }
    add(uses, make_current(texts, written));
    return texts;
}

/// The changes of the command line in place of what the files say.
void put_over(std::vector<RuleText>& texts, const std::vector<RuleText>& changes)
{
    for (const auto& change : changes) {
        std::erase_if(texts, [&](const RuleText& text) { return text.key == change.key; });
        texts.push_back(change);
    }
}

/// Rules of a town or a firm, kept in a file that many jobs name; what the job itself says goes over them.
void put_before(std::vector<RuleText>& own, const JobNode& file, std::vector<FormerUse>& uses)
{
    auto all = rule_texts(&file, "", uses);
    std::erase_if(all, [&](const RuleText& text) {
        return std::ranges::any_of(own, [&](const RuleText& other) { return other.key == text.key; });
    });
    all.insert(all.end(), own.begin(), own.end());
    own = std::move(all);
}

Rules rules_from(const JobNode* node, const std::vector<RuleText>& texts, UnitSystem units)
{
    auto rules = default_rules();
    rules.units = units;
    change_rules(rules, texts);
    try {
        derive_dependent_rules(rules);
    } catch (const Error& error) {
        if (node == nullptr) {
            throw Error(error.kind(), std::string("--set: ") + error.what());
        }
        refuse(*node, error.what());
    }
    return rules;
}

/// What a job's money counts in, where print.currency does not say it: what its rates file counts in.
void add_currency(std::vector<RuleText>& texts, const JobNode& top, const std::filesystem::path& folder)
{
    const auto name = text_in(top, "rates");
    if (name.empty() || std::ranges::find(texts, "print.currency", &RuleText::key) != texts.end()) {
        return;
    }
    const auto stated = text_in(read_job_node(folder / name), "currency");
    if (!stated.empty()) {
        texts.push_back({"print.currency", stated, ""});
    }
}

/// A job in feet counts in US dollars unless it says otherwise; a metric one may be anywhere.
bool states_currency(const std::vector<RuleText>& texts, const JobNode& top)
{
    const bool stated = std::ranges::find(texts, "print.currency", &RuleText::key) != texts.end();
    const bool metric = system_of(data_unit(top, "elevations")) == UnitSystem::metric;
    return stated || !metric || !text_in(top, "rates").empty();
}

/// The firm's own rates, which then choose the route too; a rule for the same figure would be set aside unseen.
void use_rates(Job& job, const JobNode& top, const std::vector<RuleText>& texts, std::span<const RuleText> changes)
{
    const auto name = text_in(top, "rates");
    if (name.empty()) {
        if (!changes.empty()) {
            throw Error(ErrorKind::input,
                        fmt::format("--set: {}: the job names no rates file (rates = \"...\")", changes.front().key));
        }
        return;
    }
    job.rates_file = job.file.parent_path() / name;
    auto rates = read_job_node(job.rates_file);
    add(job.former_names, make_current(rates, NameOf::rates_key));
    change_rates(rates, changes);
    job.rates = rates_from(rates, text_in(top, "soil"), job.rules.currency);
    const auto replaced = settings_replaced(job.rules, job.rates);
    for (const auto& text : texts) {
        if (std::ranges::find(replaced, text.key) != replaced.end()) {
            throw Error(ErrorKind::input, fmt::format("{}{}: the rates file {} has this figure; change it there",
                                                      text.where, text.key, job.rates.file));
        }
    }
    price_route_by_rates(job.rules, job.rates);
    derive_dependent_rules(job.rules);
}

/// Ids of lots: texts or whole numbers, one or a list.
std::vector<std::string> ids_in(const JobNode& table, std::string_view name)
{
    const auto* node = table.find(name);
    if (node == nullptr) {
        return {};
    }
    const auto id_of = [](const JobNode& item) {
        return item.kind == JobNode::Kind::number ? plain_id(item.text) : text_of(item);
    };
    if (node->kind != JobNode::Kind::list) {
        return {id_of(*node)};
    }
    std::vector<std::string> ids;
    for (const auto& item : node->items) {
        ids.push_back(id_of(item));
    }
    return ids;
}

bool yes_in(const JobNode& table, std::string_view name)
{
    const auto word = text_in(table, name);
    if (!word.empty() && word != "yes" && word != "no") {
        refuse(*table.find(name), fmt::format("\"{}\" must be \"yes\" or \"no\"", word));
    }
    return word == "yes";
}

SiteLayers site_layers_from(const JobNode& top)
{
    SiteLayers layers;
    if (const auto* frame = top.find("frame")) {
        layers.frame = frame_from(*frame);
    }
    layers.elev_unit = data_unit(top, "elevations");
    layers.size_unit = data_unit(top, "sizes");
    const auto& units = *top.find("units");
    check_members(units, {"elevations", "sizes", "areas"});
    if (const auto* areas = units.find("areas")) {
        layers.area_unit = area_unit_of(*areas);
    }
    if (const auto* instrument = top.find("instrument")) {
        layers.instrument_height_m = elevation_in(*instrument, "height", "104.70 ft");
    }
    if (const auto* parcel = top.find("parcel")) {
        check_members(*parcel, {"id", "street_ids", "street_between_lots"});
        layers.parcel_ids = ids_in(*parcel, "id");
        layers.street_ids = ids_in(*parcel, "street_ids");
        layers.street_between_lots = yes_in(*parcel, "street_between_lots");
    }
    const auto* parts = top.find("layers");
    if (parts == nullptr) {
        refuse(top, "names no data: write [layers.parcel], [layers.foundation] and so on");
    }
    layers.parts = layers_from(*parts);
    return layers;
}

} // namespace

Job read_job(const std::filesystem::path& file, std::span<const RuleText> changes)
{
    auto top = read_job_node(file);
    Job job;
    job.former_names = make_current(top, NameOf::job_key);
    check_members(top, {"name",    "prepared_for", "prepared_by", "date",       "frame", "units",     "instrument",
                        "inside",  "footing",      "layers",      "parcel",     "pump",  "ticket",    "private_lines",
                        "request", "rates",        "soil",        "rules_file", "sheet", "cut_sheet", "rules"});
    job.file = file;
    job.name = text_in(top, "name");
    if (job.name.empty()) {
        job.name = file.stem().string();
    }
    job.prepared_for = text_in(top, "prepared_for");
    job.prepared_by = text_in(top, "prepared_by");
    job.date = text_in(top, "date");
    std::vector<RuleText> of_rules;
    std::vector<RuleText> of_rates;
    for (const auto& change : changes) {
        (is_rates_key(change.key) ? of_rates : of_rules).push_back({change.key, change.text, "--set: "});
    }
    const auto* rules = top.find("rules");
    auto texts = rule_texts(rules, "rules.", job.former_names);
    std::optional<JobNode> general;
    if (const auto name = text_in(top, "rules_file"); !name.empty()) {
        job.rules_file = job.file.parent_path() / name;
        general = read_job_node(job.rules_file);
        put_before(texts, *general, job.former_names);
    }
    add(job.former_names, make_current(of_rules, ""));
    add(job.former_names, make_rates_current(of_rates));
    put_over(texts, of_rules);
    add_currency(texts, top, job.file.parent_path());
    // Printed as the job counts, unless print.units says otherwise.
    job.rules =
        rules_from(rules != nullptr || !general ? rules : &*general, texts, system_of(data_unit(top, "elevations")));
    use_rates(job, top, texts, of_rates);
    if (const auto* pump = top.find("pump")) {
        job.pumps = pumps_from(*pump);
    }
    if (const auto* sheet = top.find("sheet")) {
        job.sheet = sheet_from(*sheet);
    }
    if (const auto* cut_sheet = top.find("cut_sheet")) {
        job.cut_sheet = cut_sheet_from(*cut_sheet);
    }
    if (const auto* inside = top.find("inside")) {
        job.floor_elev_m = elevation_in(*inside, "floor", "98.20 ft");
    }
    if (const auto* footing = top.find("footing")) {
        job.footing = footing_from(*footing);
    }
    if (const auto* ticket = top.find("ticket")) {
        job.ticket = ticket_from(*ticket);
    }
    if (const auto* lines = top.find("private_lines")) {
        job.private_lines = private_lines_from(*lines);
    }
    if (const auto* request = top.find("request")) {
        job.request = request_from(*request);
    }
    job.layers = site_layers_from(top);
    job.currency_stated = states_currency(texts, top);
    job.layers.print_units = job.rules.units;
    job.layers.reading = job.rules.reading;
    for (const auto& [kind, rule] : job.rules.route.surfaces) {
        job.layers.surface_kinds.push_back(kind);
    }
    return job;
}

} // namespace trenchwright
