#pragma once

#include "trenchwright/plan/job_plan.hpp"

#include <filesystem>
#include <string>

namespace trenchwright::test {

/// A made-up lot, filled in by hand, in a grid of US survey feet (EPSG:2229): two sources; outlet "curb" works, outlet
/// "inlet" is refused for both. Every field that is written has a value of its own. Nothing here is planned.
JobPlan sample_plan();
/// Its first trench.
TrenchPlan& first_trench(JobPlan& plan);

/// An empty folder of the test's own, gone at the end.
class TestFolder {
  public:
    TestFolder();
    ~TestFolder();
    TestFolder(const TestFolder&) = delete;
    TestFolder& operator=(const TestFolder&) = delete;
    TestFolder(TestFolder&&) = delete;
    TestFolder& operator=(TestFolder&&) = delete;
    [[nodiscard]] std::filesystem::path operator/(const std::string& name) const { return path / name; }

    std::filesystem::path path;
};
std::string bytes_of(const std::filesystem::path& file);
void put(const std::filesystem::path& file, const std::string& bytes);

} // namespace trenchwright::test
