#include "trenchwright/export/staged_files.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <fmt/format.h>
#include <ranges>
#include <set>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace trenchwright {

namespace {

namespace fs = std::filesystem;

[[noreturn]] void stop(const fs::path& path, const std::string& text)
{
    throw Error(ErrorKind::output, fmt::format("{}: {}", path.string(), text));
}

[[noreturn]] void stop(const fs::path& path, const std::string& text, int error_number)
{
    stop(path, fmt::format("{}: {}", text, std::generic_category().message(error_number)));
}

/// A file that is open for writing; closed at the end whatever happens.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor()
    {
        if (number_ >= 0) {
            ::close(number_);
        }
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    Descriptor(Descriptor&&) = delete;
    Descriptor& operator=(Descriptor&&) = delete;
    [[nodiscard]] int number() const { return number_; }
    /// Some disks report a failed write only here.
    bool close() { return ::close(std::exchange(number_, -1)) == 0; }

  private:
    int number_;
};

void check_names(const fs::path& folder, const std::vector<OutFile>& files)
{
    std::set<std::string> seen;
    for (const auto& file : files) {
        const bool plain = !file.name.empty() && file.name != "." && file.name != ".." &&
                           file.name.find('/') == std::string::npos && file.name.find('\0') == std::string::npos;
        if (!plain || !seen.insert(file.name).second) {
            stop(folder, fmt::format("\"{}\" is no name for a file of its own", file.name));
        }
    }
}

/// Only a regular file is ever replaced: no folder, no link, no device.
/// @return whether one is there
bool replaceable(const fs::path& target)
{
    std::error_code fault;
    const auto status = fs::symlink_status(target, fault);
    if (status.type() == fs::file_type::not_found) {
        return false;
    }
    if (status.type() == fs::file_type::none) {
        stop(target, "cannot be written", fault.value());
    }
    if (status.type() != fs::file_type::regular) {
        stop(target, "is there already and is no regular file; it is left alone");
    }
    return true;
}

/// Makes the missing folders of a path, outermost first; `made` grows as they come.
void make_folders(const fs::path& folder, std::vector<fs::path>& made)
{
    std::error_code fault;
    if (folder.empty()) {
        stop(folder, "a folder without a name cannot be made");
    }
    if (fs::is_directory(folder, fault)) {
        return;
    }
    const auto parent = folder.parent_path();
    if (!parent.empty() && parent != folder && folder.has_filename()) {
        make_folders(parent, made);
    } else if (!folder.has_filename()) {
        return make_folders(parent, made); // "out/" is "out"
    }
    if (fs::exists(fs::symlink_status(folder, fault))) {
        stop(folder, "is there already and is no folder, so nothing can be written below it; choose another --out");
    }
    if (::mkdir(folder.c_str(), 0777) != 0) {
        stop(folder, "the folder cannot be made", errno);
    }
    made.push_back(folder);
}

/// A name in the target's folder that nothing has yet.
fs::path beside(const fs::path& target, const std::string& ending, int number)
{
    return target.parent_path() / fmt::format(".{}.trenchwright-{}{}", target.filename().string(), ending, number);
}

constexpr int max_tries = 1000;

void write_all(const Descriptor& file, const std::string& bytes, const fs::path& target)
{
    std::size_t written = 0;
    while (written < bytes.size()) {
        const auto count = ::write(file.number(), bytes.data() + written, bytes.size() - written);
        if (count < 0 && errno != EINTR) {
            stop(target, "cannot be written", errno);
        }
        written += count > 0 ? static_cast<std::size_t>(count) : 0;
    }
}

/// Opens a new file beside the target; never one that is there, never through a link.
int open_new(const fs::path& target, fs::path& temporary)
{
    for (int number = 0; number < max_tries; ++number) {
        const auto name = beside(target, "tmp", number);
        const int opened = ::open(name.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
        if (opened >= 0) {
            temporary = name;
            return opened;
        }
        if (errno != EEXIST) {
            break;
        }
    }
    stop(target, "cannot be written", errno);
}

/// Keeps the present file under a second name, so that it can come back.
fs::path keep_former(const fs::path& target)
{
    for (int number = 0; number < max_tries; ++number) {
        const auto name = beside(target, "old", number);
        if (::link(target.c_str(), name.c_str()) == 0) {
            return name;
        }
        // A disk without hard links: the file moves aside for the moment.
        const bool taken = errno == EEXIST || fs::exists(fs::symlink_status(name));
        if (!taken && ::rename(target.c_str(), name.c_str()) == 0) {
            return name;
        }
        if (!taken) {
            break;
        }
    }
    stop(target, "cannot be replaced", errno);
}

/// The names are safe on the disk only when their folder is.
void sync_folder(const fs::path& folder)
{
    const Descriptor opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    const bool synced = opened.number() >= 0 && (::fsync(opened.number()) == 0 || errno == EINVAL);
    if (!synced) {
        stop(folder, "the folder cannot be synced", errno);
    }
}

} // namespace

StagedFiles::StagedFiles(fs::path folder, const std::vector<OutFile>& files) : folder_(std::move(folder))
{
    check_names(folder_, files);
    try {
        make_folders(folder_, made_folders_);
        stage(files);
    } catch (...) {
        clean_up();
        throw;
    }
}

void StagedFiles::stage(const std::vector<OutFile>& files)
{
    for (const auto& file : files) {
        stages_.push_back({.target = folder_ / file.name, .temporary = {}, .former = {}, .placed = false});
        replaceable(stages_.back().target);
    }
    for (std::size_t i = 0; i < files.size(); ++i) {
        auto& stage = stages_[i];
        Descriptor opened(open_new(stage.target, stage.temporary));
        write_all(opened, files[i].bytes, stage.target);
        if (::fsync(opened.number()) != 0 || !opened.close()) {
            stop(stage.target, "cannot be written", errno);
        }
    }
}

void StagedFiles::place(Stage& stage)
{
    if (replaceable(stage.target)) {
        stage.former = keep_former(stage.target);
    }
    if (::rename(stage.temporary.c_str(), stage.target.c_str()) != 0) {
        stop(stage.target, "cannot be put in place", errno);
    }
    stage.temporary.clear();
    stage.placed = true;
}

void StagedFiles::put_in_place()
{
    try {
        for (auto& stage : stages_) {
            place(stage);
        }
        sync_folder(folder_);
    } catch (...) {
        take_back();
        throw;
    }
    done_ = true;
}

void StagedFiles::take_back()
{
    for (auto& stage : std::views::reverse(stages_)) {
        if (!stage.former.empty()) {
            ::rename(stage.former.c_str(), stage.target.c_str());
        } else if (stage.placed) {
            ::unlink(stage.target.c_str());
        }
        stage.placed = false;
    }
}

void StagedFiles::clean_up()
{
    for (const auto& stage : stages_) {
        for (const auto& path : {stage.temporary, stage.former}) {
            if (!path.empty()) {
                ::unlink(path.c_str());
            }
        }
    }
    if (!done_) {
        for (const auto& made : std::views::reverse(made_folders_)) {
            ::rmdir(made.c_str()); // stays if anybody has put something into it
        }
    }
}

StagedFiles::~StagedFiles()
{
    clean_up();
}

} // namespace trenchwright
