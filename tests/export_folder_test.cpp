#include "trenchwright/base/error.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/export/staged_files.hpp"
#include "export_fixture.hpp"

#include <catch2/catch.hpp>
#include <csignal>
#include <map>
#include <sys/resource.h>
#include <unistd.h>

using namespace trenchwright;
using namespace trenchwright::test;
using Catch::Matchers::Contains;

namespace fs = std::filesystem;

namespace {

/// Everything in a folder, with hidden names; folders hold nothing.
std::map<std::string, std::string> held(const fs::path& folder)
{
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        files[entry.path().filename().string()] = entry.is_regular_file() ? bytes_of(entry.path()) : "";
    }
    return files;
}

void check_output_error(const fs::path& folder, const std::vector<OutFile>& files, const std::string& part)
{
    try {
        write_folder(folder, files);
        FAIL("written");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::output);
        CHECK_THAT(error.what(), Contains(part));
    }
}

/// A disk that is full after so many bytes of one file.
class FullDisk {
  public:
    explicit FullDisk(rlim_t bytes)
    {
        getrlimit(RLIMIT_FSIZE, &before_);
        handler_ = std::signal(SIGXFSZ, SIG_IGN);
        const rlimit small{.rlim_cur = bytes, .rlim_max = before_.rlim_max};
        setrlimit(RLIMIT_FSIZE, &small);
    }
    ~FullDisk()
    {
        setrlimit(RLIMIT_FSIZE, &before_);
        std::signal(SIGXFSZ, handler_);
    }
    FullDisk(const FullDisk&) = delete;
    FullDisk& operator=(const FullDisk&) = delete;
    FullDisk(FullDisk&&) = delete;
    FullDisk& operator=(FullDisk&&) = delete;

  private:
    rlimit before_{};
    void (*handler_)(int) = SIG_DFL;
};

} // namespace

TEST_CASE("a missing folder is made, files are written and replaced, others left alone", "[export]")
{
    const TestFolder folder;
    const auto out = folder / "a" / "b";
    write_folder(out, {{"one.txt", "1"}, {"two.bin", std::string("\0\n2", 3)}});
    CHECK(held(out) == std::map<std::string, std::string>{{"one.txt", "1"}, {"two.bin", std::string("\0\n2", 3)}});
    put(out / "other", "mine");
    write_folder(out / "", {{"one.txt", "new"}});
    CHECK(held(out) == std::map<std::string, std::string>{
                           {"one.txt", "new"}, {"two.bin", std::string("\0\n2", 3)}, {"other", "mine"}});
}

TEST_CASE("a folder without a name is an error", "[export]")
{
    CHECK_THROWS_AS(write_folder("", {{"one.txt", "1"}}), Error);
}

TEST_CASE("a folder that cannot be made is named and nothing is left", "[export]")
{
    const TestFolder folder;
    put(folder / "file", "a file");
    check_output_error(folder / "file" / "out", {{"one.txt", "1"}}, (folder / "file").string());
    CHECK(held(folder.path) == std::map<std::string, std::string>{{"file", "a file"}});
}

TEST_CASE("a folder that may not be written is named", "[export]")
{
    if (geteuid() == 0) {
        check_output_error("/proc/self", {{"one.txt", "1"}}, "/proc/self/one.txt"); // no file is made there by anybody
        return;
    }
    const TestFolder folder;
    fs::permissions(folder.path, fs::perms::owner_read | fs::perms::owner_exec);
    check_output_error(folder.path, {{"one.txt", "1"}}, "one.txt");
    fs::permissions(folder.path, fs::perms::owner_all);
}

TEST_CASE("a folder or a link of an output's name stops everything before a byte is written", "[export]")
{
    const TestFolder folder;
    put(folder / "one.txt", "old");
    put(folder / "elsewhere", "theirs");
    fs::create_directory(folder / "two.txt");
    fs::create_symlink(folder / "elsewhere", folder / "three.txt");
    const auto before = held(folder.path);
    check_output_error(folder.path, {{"one.txt", "new"}, {"two.txt", "2"}}, (folder / "two.txt").string());
    check_output_error(folder.path, {{"one.txt", "new"}, {"three.txt", "3"}}, (folder / "three.txt").string());
    CHECK(held(folder.path) == before);
    CHECK(fs::is_symlink(folder / "three.txt"));
}

TEST_CASE("a second file that fails on a full disk changes nothing", "[export]")
{
    const TestFolder folder;
    put(folder / "one.txt", "old");
    const auto before = held(folder.path);
    {
        const FullDisk full(1000);
        check_output_error(folder.path, {{"one.txt", "new"}, {"two.txt", std::string(5000, 'x')}}, "two.txt");
        check_output_error(folder / "made", {{"two.txt", std::string(5000, 'x')}}, "two.txt");
    }
    CHECK(held(folder.path) == before);
}

TEST_CASE("a file that cannot be put in place brings back those already replaced", "[export]")
{
    const TestFolder folder;
    put(folder / "one.txt", "old");
    auto before = held(folder.path);
    {
        StagedFiles staged(folder.path, {{"one.txt", "new"}, {"fresh.txt", "f"}, {"two.txt", "2"}});
        fs::create_directory(folder / "two.txt"); // somebody is quicker
        CHECK_THROWS_AS(staged.put_in_place(), Error);
    }
    before["two.txt"] = "";
    CHECK(held(folder.path) == before);
}

TEST_CASE("files that are staged and never put in place leave nothing behind", "[export]")
{
    const TestFolder folder;
    {
        const StagedFiles staged(folder / "out", {{"one.txt", "1"}});
        CHECK(held(folder / "out").size() == 1);
    }
    CHECK(held(folder.path).empty());
}

TEST_CASE("a leftover of a run that was cut off is neither used nor removed", "[export]")
{
    const TestFolder folder;
    write_folder(folder.path, {{"probe", ""}});
    put(folder / ".one.txt.trenchwright-tmp0", "leftover");
    put(folder / ".one.txt.trenchwright-old0", "leftover");
    put(folder / "one.txt", "old");
    auto expected = held(folder.path);
    write_folder(folder.path, {{"one.txt", "new"}});
    expected["one.txt"] = "new";
    CHECK(held(folder.path) == expected);
}

TEST_CASE("names that leave the folder or come twice are refused", "[export]")
{
    const TestFolder folder;
    for (const auto* const name : {"", ".", "..", "../x", "a/b"}) {
        check_output_error(folder.path, {{name, "x"}}, "no name");
    }
    check_output_error(folder.path, {{"a", "1"}, {"a", "2"}}, "\"a\"");
    CHECK(held(folder.path).empty());
}

TEST_CASE("an output never replaces an input, by whatever path it is named", "[export]")
{
    const TestFolder folder;
    fs::create_directories(folder / "data");
    put(folder / "data" / "plan.gpkg", "survey");
    fs::create_directory_symlink(folder / "data", folder / "link");
    Job job;
    job.file = folder / "job.toml";
    job.layers.parts["utilities"].resize(1);
    job.layers.parts["utilities"][0].file = folder / "data" / ".." / "data" / "plan.gpkg";
    const auto inputs = input_files(job);
    CHECK(inputs.size() == 2);
    for (const auto& out : {folder / "data", folder / "link", folder / "data" / "x" / ".."}) {
        CHECK_THROWS_WITH(refuse_inputs(out, {"report.txt", "plan.gpkg"}, inputs), Contains("would replace the input"));
    }
    CHECK_THROWS_AS(refuse_inputs(folder.path, {"job.toml"}, inputs), Error); // the job file is not even there
    CHECK_NOTHROW(refuse_inputs(folder / "out", {"report.txt", "plan.gpkg"}, inputs));
    CHECK_NOTHROW(refuse_inputs(folder / "data", {"report.txt"}, inputs));
}
