#include "commands.hpp"
#include "export/plan_files.hpp"
#include "plan/as_built.hpp"

#include <iostream>

namespace trenchwright {

int run_as_built(const std::filesystem::path& job, const std::filesystem::path& measured,
                 const std::filesystem::path& out, const std::string& outlet)
{
    auto read = read_job(job);
    read.sheet.outlet = outlet.empty() ? read.sheet.outlet : outlet;
    auto inputs = input_files(read);
    inputs.push_back(measured);
    refuse_inputs(out, {"as-built.txt"}, inputs);
    const auto plan = plan_job(read);
    const auto text = as_built_text(plan, read_measured(plan, measured));
    write_folder(out, {{"as-built.txt", text}});
    std::cout << text << "\n" << (out / "as-built.txt").string() << "\n";
    return 0;
}

} // namespace trenchwright
