#pragma once

#include "trenchwright/export/plan_files.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace trenchwright {

/// Files written under temporary names in the folder they are meant for, and not yet in place. Whatever is not put in
/// place is removed again, and so is the folder if it was made for them.
class StagedFiles {
  public:
    /// Makes the folder if it is missing, checks every name, writes and syncs every temporary file.
    /// @throws Error (output); then nothing is left of it
    StagedFiles(std::filesystem::path folder, const std::vector<OutFile>& files);
    ~StagedFiles();
    StagedFiles(const StagedFiles&) = delete;
    StagedFiles& operator=(const StagedFiles&) = delete;
    StagedFiles(StagedFiles&&) = delete;
    StagedFiles& operator=(StagedFiles&&) = delete;

    /// Renames every file to its own name. A file of that name stays beside it until all are in place.
    /// @throws Error (output); then every file that was replaced is back
    void put_in_place();

  private:
    struct Stage {
        std::filesystem::path target;
        std::filesystem::path temporary; ///< empty: not written
        std::filesystem::path former;    ///< what the target was before; empty: none was there
        bool placed = false;
    };
    void stage(const std::vector<OutFile>& files);
    void place(Stage& stage);
    void take_back();
    void clean_up();

    std::filesystem::path folder_;
    std::vector<std::filesystem::path> made_folders_; ///< outermost first
    std::vector<Stage> stages_;
    bool done_ = false;
};

} // namespace trenchwright
