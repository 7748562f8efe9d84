#include "trenchwright/base/version.hpp"
#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/export/words.hpp"
#include "trenchwright/plan/not_supplied.hpp"
#include "trenchwright/plan/outlet_estimate.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/report/cautions.hpp"
#include "trenchwright/report/crew_alerts.hpp"
#include "trenchwright/report/drawn_outlet.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <utility>
#include <variant>

namespace trenchwright {

namespace {

constexpr const char* schema_name = "trenchwright-plan";
constexpr int schema_version = 3;

JsonObject job_json(const Job& job)
{
    return {{"name", job.name},
            {"prepared_for", job.prepared_for},
            {"prepared_by", job.prepared_by},
            {"date", job.date},
            {"file", job.file.filename().string()},
            {"units", unit_system_word(job.rules.units)},
            {"currency", job.rules.currency},
            {"floor_elev_m", job.floor_elev_m}};
}

JsonObject frame_json(const Frame& frame)
{
    return {{"name", frame.name},
            {"wkt", frame.wkt},
            {"native_unit", unit_word(frame.native_unit)},
            {"meters_per_native", frame.meters_per_native},
            {"elev_unit", unit_word(frame.elev_unit)},
            {"grid_to_ground_ratio", frame.grid_to_ground_ratio}};
}

JsonObject rates_json(const RateBook& book)
{
    return {{"file", book.file},
            {"firm", book.firm},
            {"sample", book.sample},
            {"soil", book.soil},
            {"overhead_share", book.overhead_share},
            {"markup_share", book.margin_share},
            {"tax_share", book.tax_share},
            {"tax_on_all", book.tax_on_all}};
}

/// Every setting the job used, and the rows of the kinds of surface it brought along.
JsonObject rules_json(const Rules& rules)
{
    JsonObject used;
    const auto add = [&](const std::string& key) { used.emplace_back(key, rule_text(rules, key)); };
    for (const auto& setting : settings()) {
        add(setting.key);
    }
    for (const auto& [kind, rule] : rules.route.surfaces) {
        for (const char* const row : {"may_enter", "restore", "min_cover", "slab", "vehicles"}) {
            const auto key = "ground_cover." + kind + "." + row;
            if (std::ranges::none_of(settings(), [&](const Setting& setting) { return setting.key == key; })) {
                add(key);
            }
        }
    }
    return used;
}

JsonList layers_json(const Site& site)
{
    return json_list(site.layers, [](const LayerRecord& record) -> JsonValue {
        return JsonObject{
            {"part", record.part}, {"file", record.file}, {"layer", record.layer}, {"features", record.features}};
    });
}

JsonList waters_json(const Site& site, const Source& source)
{
    JsonList waters;
    for (const auto water : waters_of(site, source)) {
        waters.emplace_back(std::string(water_name(water)));
    }
    return waters;
}

JsonList sources_json(const Site& site)
{
    return json_list(site.sources, [&](const Source& source) -> JsonValue {
        return JsonObject{{"id", source.id},
                          {"kind", source_kind_word(source.kind)},
                          {"water", water_name(source.water)},
                          {"waters", waters_json(site, source)},
                          {"at_native", json_place(site.frame, source.at)},
                          {"highest_invert_elev_m", source.highest_invert_elev_m},
                          {"roof_area_m2", source.roof_area_m2},
                          {"pump_flow_m3ps", source.pump_flow_m3ps}};
    });
}

JsonObject permissions_json(const Outlet& outlet)
{
    JsonObject permissions;
    for (const auto water : {Water::roof, Water::sump, Water::footing}) {
        permissions.emplace_back(water_name(water), permission_name(permission_for(outlet, water)));
    }
    return permissions;
}

JsonList by_source_json(const JobPlan& plan, const OutletOutcome& outcome)
{
    JsonList list;
    for (std::size_t i = 0; i < outcome.by_source.size(); ++i) {
        JsonObject one{{"source", plan.site.sources.at(i).id}};
        if (const auto* trench = std::get_if<TrenchPlan>(&outcome.by_source[i])) {
            auto made = json_trench(plan.site, *trench);
            made.emplace_back("price", json_price(trench_price(plan, *trench)));
            made.emplace_back("reaches", json_reaches(*trench, plan.job.rules.water));
            made.emplace_back("pump", json_pump(*trench));
            one.emplace_back("plan", std::move(made));
        } else {
            const auto* help = i < outcome.help.size() ? &outcome.help[i] : nullptr;
            one.emplace_back("refusal", json_refusal(plan.site, std::get<Refusal>(outcome.by_source[i]), help));
        }
        list.emplace_back(std::move(one));
    }
    return list;
}

JsonObject outlet_json(const JobPlan& plan, std::size_t place)
{
    const auto& outcome = plan.outcomes[place];
    const auto& outlet = plan.site.outlets.at(outcome.outlet);
    return {{"rank", place + 1},
            {"id", outlet.id},
            {"name", outlet.name},
            {"kind", outlet_kind_name(outlet.kind)},
            {"works", state_of(outcome) == OutletState::works},
            {"state", state_word(state_of(outcome))},
            {"stops", stops_of(outcome)},
            {"shared", outcome.one_drain},
            {"why_not_shared", outcome.why_not_shared},
            {"rank_reason", outcome.rank_reason},
            {"permission", permissions_json(outlet)},
            {"sewer", sewer_name(outlet.sewer)},
            {"permit", outlet.permit},
            {"fee_cents", outlet.fee_cents},
            {"lead_time_days", outlet.lead_time_days},
            {"rule_text", outlet.source_text},
            {"total_cents", outcome.works ? JsonValue(outcome.total_cents) : JsonValue()},
            {"estimate", json_estimate(outcome.estimate)},
            {"pipe_load", outcome.works ? json_pipe_load(outcome) : JsonValue()},
            {"fall_uncertainty", json_uncertainty(plan.site, outcome.uncertainty)},
            {"why_no_fall_uncertainty", outcome.why_no_uncertainty},
            {"materials", json_materials(outcome.materials)},
            {"potholes", plan.site.marks.empty() ? JsonValue() : JsonValue(json_potholes(plan, outcome))},
            {"cures", json_cures(plan.site, outcome.cures)},
            {"by_source", by_source_json(plan, outcome)}};
}

JsonValue shown_outlet_json(const JobPlan& plan)
{
    const auto* shown = drawn_outlet(plan);
    return shown == nullptr ? JsonValue() : JsonValue(plan.site.outlets[shown->outlet].id);
}

JsonList outlets_json(const JobPlan& plan)
{
    JsonList outlets;
    for (std::size_t place = 0; place < plan.outcomes.size(); ++place) {
        outlets.emplace_back(outlet_json(plan, place));
    }
    return outlets;
}

} // namespace

JsonValue json_place(const Frame& frame, const Point& at)
{
    const auto native = to_native(frame, at);
    return JsonList{native.x, native.y};
}

JsonValue json_place(const Frame& frame, const std::optional<Point>& at)
{
    return at ? json_place(frame, *at) : JsonValue();
}

JsonList json_line(const Frame& frame, const Polyline& line)
{
    return json_list(line, [&](const Point& at) { return json_place(frame, at); });
}

JsonList json_findings(const Frame& frame, const std::vector<Finding>& findings, const Polyline& line)
{
    return json_list(findings, [&](const Finding& finding) -> JsonValue {
        return JsonObject{{"severity", severity_word(finding.severity)},
                          {"rule", finding.rule},
                          {"text", finding.text},
                          {"at_native", json_place(frame, place_of(finding, line))},
                          {"station_m", finding.station_m},
                          {"from_station_m", finding.from_station_m},
                          {"to_station_m", finding.to_station_m}};
    });
}

std::string plan_json(const JobPlan& plan)
{
    const auto text = [](const std::string& item) { return JsonValue(item); };
    return json_text(JsonObject{
        {"schema", schema_name},
        {"version", schema_version},
        {"program", JsonObject{{"name", "trenchwright"}, {"version", std::string(version())}}},
        {"cautions", json_list(cautions(), text)},
        {"no_marks_for", json_list(plan.no_marks_for, text)},
        {"not_supplied", json_list(not_supplied_lines(plan), text)},
        {"supplied", json_supplied(plan.supplied)},
        {"job", job_json(plan.job)},
        {"frame", frame_json(plan.site.frame)},
        {"layers", layers_json(plan.site)},
        {"sources", sources_json(plan.site)},
        {"corners", json_corners(plan)},
        {"footing", json_footing(plan.site, plan.footing)},
        {"yard", json_yard(plan)},
        {"findings", json_findings(plan.site.frame, plan.findings, {})},
        {"shown_outlet", shown_outlet_json(plan)},
        {"outlets", outlets_json(plan)},
        {"choices", json_choices(plan)},
        {"break_even", json_break_even(plan)},
        {"rates", rates_json(plan.job.rates)},
        {"rules", rules_json(plan.job.rules)},
    });
}

} // namespace trenchwright
