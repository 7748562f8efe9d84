#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/export/words.hpp"

namespace trenchwright {

namespace {

JsonList closing_json(const Site& site, const std::vector<ClosingObject>& objects)
{
    return json_list(objects, [&](const ClosingObject& object) -> JsonValue {
        return JsonObject{{"kind", obstacle_word(object.kind)},
                          {"name", object.name},
                          {"at_native", json_place(site.frame, object.at)}};
    });
}

} // namespace

JsonList json_cures(const Site& site, const std::vector<Cure>& cures)
{
    return json_list(cures, [&](const Cure& cure) -> JsonValue {
        return JsonObject{{"kind", cure_word(cure.kind)},
                          {"of", cure.of.empty() ? JsonValue() : JsonValue(cure.of)},
                          {"text", cure.text},
                          {"from_m", cure.from_m},
                          {"to_m", cure.to_m},
                          {"from_ratio", cure.from_ratio},
                          {"to_ratio", cure.to_ratio},
                          {"at_native", json_place(site.frame, cure.at)},
                          {"gone", closing_json(site, cure.gone)},
                          {"price", json_price(cure.price)}};
    });
}

JsonObject json_refusal(const Site& site, const Refusal& refusal, const RefusalHelp* help)
{
    static const RefusalHelp none;
    const auto& known = help != nullptr ? *help : none;
    return {{"kind", refusal_word(refusal.kind)},
            {"text", refusal.text},
            {"at_native", json_place(site.frame, refusal.at)},
            {"station_m", refusal.station_m},
            {"short_by_m", refusal.short_by_m},
            {"closed_by", closing_json(site, known.closed_by)},
            {"nearest_line_native",
             known.nearest_line.empty() ? JsonValue() : JsonValue(json_line(site.frame, known.nearest_line))},
            {"cures", json_cures(site, known.cures)}};
}

} // namespace trenchwright
