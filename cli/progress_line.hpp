#pragma once

#include "trenchwright/base/progress.hpp"

#include <memory>

namespace trenchwright {

/// A line on a terminal's standard error that says what a long run is at; from one second on, four times a second.
///
/// Silent where standard error is no terminal, and where it is asked to be. The line is wiped when the run ends, so
/// that nothing of it stays among the results.
class ProgressLine {
  public:
    explicit ProgressLine(bool quiet);
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;
    ProgressLine(ProgressLine&&) = delete;
    ProgressLine& operator=(ProgressLine&&) = delete;

    /// Wipes the line: what is printed from now on are results.
    void end();
    /// To be handed to what takes long; lives as long as the line.
    [[nodiscard]] Progress progress();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace trenchwright
