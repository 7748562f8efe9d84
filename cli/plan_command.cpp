#include "base/error.hpp"
#include "commands.hpp"
#include "draw/overview.hpp"
#include "export/plan_files.hpp"
#include "plan/plan.hpp"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

namespace trenchwright {

namespace {

/// A folder of our own for the one file that a library must write itself; gone at the end.
class ScratchFolder {
  public:
    ScratchFolder()
    {
        auto name = (std::filesystem::temp_directory_path() / "trenchwright-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) {
            throw Error(ErrorKind::output, name + ": cannot make a temporary folder");
        }
        path_ = name;
    }
    ~ScratchFolder()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

std::string gpkg_bytes(const JobPlan& plan)
{
    const ScratchFolder scratch;
    const auto file = scratch.path() / "plan.gpkg";
    write_plan_gpkg(plan, file);
    std::ifstream stream(file, std::ios::binary);
    std::string bytes((std::istreambuf_iterator<char>(stream)), std::istreambuf_iterator<char>());
    if (!stream || bytes.empty()) {
        throw Error(ErrorKind::output, file.string() + ": cannot be read back");
    }
    return bytes;
}

/// The report opens with the comparison; its first part ends at the second empty line.
std::string short_form(const std::string& report)
{
    const auto title_end = report.find("\n\n");
    const auto end = title_end == std::string::npos ? title_end : report.find("\n\n", title_end + 2);
    return end == std::string::npos ? report : report.substr(0, end + 1);
}

} // namespace

int run_plan(const std::filesystem::path& job, const std::filesystem::path& out)
{
    const auto plan = plan_job(read_job(job));
    const auto report = report_text(plan);
    const std::vector<OutFile> files{
        {"report.txt", report},
        {"plan.json", plan_json(plan)},
        {"plan.gpkg", gpkg_bytes(plan)},
        {"overview.svg", overview_svg(plan)},
        {"overview.png", overview_png(plan)},
    };
    write_folder(out, files);
    std::cout << short_form(report) << "\n";
    for (const auto& file : files) {
        std::cout << (out / file.name).string() << "\n";
    }
    const bool works = std::ranges::any_of(plan.outcomes, [](const OutletOutcome& outcome) { return outcome.works; });
    return works ? 0 : exit_no_outlet_works;
}

} // namespace trenchwright
