#include "trenchwright/report/check_text.hpp"

#include "trenchwright/base/text.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

constexpr std::size_t indent = 4;

std::string line(const std::string& text)
{
    return text.empty() ? "" : std::string(indent, ' ') + wrapped(text, page_width - indent, indent) + "\n";
}

std::string sentence(const std::string& head, const std::string& text)
{
    return text.empty() ? "" : line(head + text + (text.ends_with('.') ? "" : "."));
}

std::string place(const DataFault& fault, const std::optional<Frame>& frame)
{
    auto text = place_text(fault.origin);
    if (fault.at && frame) {
        const auto native = to_native(*frame, *fault.at);
        text += fmt::format("{}at ({:.2f}, {:.2f})", text.empty() ? "" : ", ", native.x, native.y);
    }
    return text;
}

std::string counted(const JobCheck& check, FaultGrade grade)
{
    return fmt::format("{}: {}", grade_word(grade), std::ranges::count(check.faults, grade, &DataFault::grade));
}

} // namespace

std::string_view grade_word(FaultGrade grade)
{
    switch (grade) {
    case FaultGrade::unreadable: return "cannot be read";
    case FaultGrade::grave: return "grave";
    case FaultGrade::doubtful: break;
    }
    return "doubtful";
}

std::string check_text(const JobCheck& check, const Job& job)
{
    auto text = heading("Check of the data of " + job.name);
    text += fmt::format("{}; {}; {}. Nothing was planned.\n", counted(check, FaultGrade::unreadable),
                        counted(check, FaultGrade::grave), counted(check, FaultGrade::doubtful));
    std::size_t number = 0;
    for (const auto& fault : check.faults) {
        text += fmt::format("\n{:>3} {}: {}\n", ++number, grade_word(fault.grade), fault.check);
        text += line(place(fault, check.frame));
        text += sentence("", fault.what);
        text += sentence("Why: ", fault.why);
        text += sentence("Do: ", fault.advice);
    }
    text += "\nWhat is not named here may still be wrong. This is no permission to dig.\n";
    return text;
}

} // namespace trenchwright
