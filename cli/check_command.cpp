#include "commands.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/export/check_json.hpp"
#include "trenchwright/report/check_text.hpp"

#include <algorithm>
#include <iostream>

namespace trenchwright {

int run_check(const std::filesystem::path& job, bool json)
{
    const auto read = read_job(job);
    const auto check = check_job(read);
    std::cout << (json ? check_json(check, read) : check_text(check, read));
    const bool all_read = std::ranges::none_of(
        check.faults, [](const DataFault& fault) { return fault.grade == FaultGrade::unreadable; });
    return all_read ? 0 : static_cast<int>(ErrorKind::input);
}

} // namespace trenchwright
