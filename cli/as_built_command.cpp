#include "commands.hpp"
#include "trenchwright/asbuilt/as_built.hpp"
#include "trenchwright/draw/record_sheet.hpp"
#include "trenchwright/export/geo_pdf.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/plan/plan.hpp"

#include <iostream>

namespace trenchwright {

int run_as_built(const std::filesystem::path& job, const std::filesystem::path& measured,
                 const std::filesystem::path& out, const std::string& outlet)
{
    auto read = read_job(job);
    read.sheet.outlet = outlet.empty() ? read.sheet.outlet : outlet;
    auto inputs = input_files(read);
    inputs.push_back(measured);
    refuse_inputs(out, {"as-built.txt", "record.pdf", "record.svg", "record.png"}, inputs);
    const auto plan = plan_job(read);
    const auto levels = read_measured(plan, measured);
    const auto text = as_built_text(plan, levels);
    const auto record = record_files(plan, levels);
    const std::vector<OutFile> files{{"as-built.txt", text},
                                     {"record.pdf", add_georeference(record.pdf, plan)},
                                     {"record.svg", record.svg},
                                     {"record.png", record.png}};
    write_folder(out, files);
    std::cout << text << "\n";
    for (const auto& file : files) {
        std::cout << (out / file.name).string() << "\n";
    }
    return 0;
}

} // namespace trenchwright
