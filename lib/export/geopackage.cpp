#include "base/error.hpp"
#include "export/gpkg_layers.hpp"
#include "export/plan_files.hpp"

#include <array>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <system_error>

namespace trenchwright {

namespace {

/// A folder nobody else can look into, for the one file a library must write itself; gone at the end.
class PrivateFolder {
  public:
    PrivateFolder()
    {
        std::error_code fault;
        const auto parent = std::filesystem::temp_directory_path(fault);
        auto name = (parent / "trenchwright-XXXXXX").string();
        if (fault || mkdtemp(name.data()) == nullptr) {
            throw Error(ErrorKind::output, name + ": a temporary folder cannot be made");
        }
        path_ = name;
    }
    ~PrivateFolder()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    PrivateFolder(const PrivateFolder&) = delete;
    PrivateFolder& operator=(const PrivateFolder&) = delete;
    PrivateFolder(PrivateFolder&&) = delete;
    PrivateFolder& operator=(PrivateFolder&&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

} // namespace

void write_plan_gpkg(const JobPlan& plan, const std::filesystem::path& file)
{
    const auto trenches = ranked_trenches(plan);
    const std::array layers{
        route_layer(trenches),      stations_layer(trenches),       zones_layer(trenches), crossings_layer(trenches),
        zone_areas_layer(trenches), mark_areas_layer(trenches),     potholes_layer(plan),  cleanouts_layer(trenches),
        footing_drain_layer(plan),  findings_layer(plan, trenches), cautions_layer(plan),  supplied_layer(plan),
    };
    write_geopackage(file, plan.site.frame, layers);
}

std::string plan_gpkg_bytes(const JobPlan& plan)
{
    const PrivateFolder folder;
    const auto file = folder.path() / "plan.gpkg";
    write_plan_gpkg(plan, file);
    std::ifstream stream(file, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    if (!stream || bytes.empty()) {
        throw Error(ErrorKind::output, file.string() + ": cannot be read back");
    }
    return bytes;
}

} // namespace trenchwright
