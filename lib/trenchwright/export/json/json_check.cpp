#include "trenchwright/export/check_json.hpp"
#include "trenchwright/export/json/json_parts.hpp"
#include "trenchwright/report/check_text.hpp"

namespace trenchwright {

namespace {

JsonValue text_or_null(const std::string& text)
{
    return text.empty() ? JsonValue() : JsonValue(text);
}

JsonValue fault_json(const DataFault& fault, const std::optional<Frame>& frame)
{
    const auto& origin = fault.origin;
    return JsonObject{
        {"grade", grade_word(fault.grade)},
        {"check", fault.check},
        {"file", text_or_null(origin.file)},
        {"layer", text_or_null(origin.layer)},
        {"feature", origin.feature_id < 0 ? JsonValue() : JsonValue(origin.feature_id)},
        {"at", frame ? json_place(*frame, fault.at) : JsonValue()},
        {"value", text_or_null(fault.value)},
        {"what", fault.what},
        {"why", text_or_null(fault.why)},
        {"advice", text_or_null(fault.advice)},
    };
}

} // namespace

std::string check_json(const JobCheck& check, const Job& job)
{
    return json_text(JsonObject{
        {"name", job.name},
        {"readable", check.frame.has_value()},
        {"faults", json_list(check.faults, [&](const DataFault& fault) { return fault_json(fault, check.frame); })},
    });
}

} // namespace trenchwright
