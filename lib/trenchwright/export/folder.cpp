#include "trenchwright/base/error.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/export/staged_files.hpp"

#include <fmt/format.h>
#include <system_error>

namespace trenchwright {

namespace {

namespace fs = std::filesystem;

/// By the names with every link resolved, and by what the disk says where both are there.
bool same_file(const fs::path& a, const fs::path& b)
{
    std::error_code fault;
    if (fs::equivalent(a, b, fault) && !fault) {
        return true;
    }
    const auto whole_a = fs::weakly_canonical(fs::absolute(a), fault);
    const bool known = !fault;
    const auto whole_b = fs::weakly_canonical(fs::absolute(b), fault);
    return known && !fault && whole_a == whole_b;
}

} // namespace

void write_folder(const fs::path& folder, const std::vector<OutFile>& files)
{
    StagedFiles staged(folder, files);
    staged.put_in_place();
}

std::vector<fs::path> input_files(const Job& job)
{
    std::vector<fs::path> files{job.file};
    for (const auto& [part, uses] : job.layers.parts) {
        for (const auto& use : uses) {
            files.push_back(use.file);
        }
    }
    if (!job.rules_file.empty()) {
        files.push_back(job.rules_file);
    }
    if (!job.rates_file.empty()) {
        files.push_back(job.rates_file);
    }
    return files;
}

void refuse_inputs(const fs::path& folder, const std::vector<std::string>& names, const std::vector<fs::path>& inputs)
{
    for (const auto& name : names) {
        for (const auto& input : inputs) {
            if (same_file(folder / name, input)) {
                throw Error(ErrorKind::output, fmt::format("{}: would replace the input {}; choose another folder",
                                                           (folder / name).string(), input.string()));
            }
        }
    }
}

} // namespace trenchwright
