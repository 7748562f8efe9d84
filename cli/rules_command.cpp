#include "commands.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/rules/rules.hpp"

#include <iostream>

namespace trenchwright {

int run_rules(const std::filesystem::path& job)
{
    std::cout << rules_text(job.empty() ? default_rules() : read_job(job).rules);
    return 0;
}

} // namespace trenchwright
