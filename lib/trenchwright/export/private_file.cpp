#include "trenchwright/export/private_file.hpp"

#include "trenchwright/base/error.hpp"

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <system_error>

namespace trenchwright {

namespace {

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

std::string bytes_of_file(const std::string& name, const std::function<void(const std::filesystem::path&)>& write)
{
    const PrivateFolder folder;
    const auto file = folder.path() / name;
    write(file);
    std::ifstream stream(file, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    if (!stream || bytes.empty()) {
        throw Error(ErrorKind::output, file.string() + ": cannot be read back");
    }
    return bytes;
}

} // namespace trenchwright
