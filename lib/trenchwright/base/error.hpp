#pragma once

#include <stdexcept>
#include <string>

namespace trenchwright {

/// Who has to act on an error; the number is the program's exit code.
enum class ErrorKind {
    internal = 1, ///< our own mistake
    usage = 2,    ///< the command line
    input = 3,    ///< a file, a layer, a value in it, or a rule
    output = 4    ///< the disk, or a name we may not write
};

/// Exit code when every outlet was refused; no exception, the comparison is still written.
inline constexpr int exit_no_outlet_works = 5;
/// Exit code when outlets could be planned, but each of those plans holds a STOP.
inline constexpr int exit_only_stops = 6;

/// Stops the run. The text names file, layer, feature and value where they exist.
class Error : public std::runtime_error {
  public:
    Error(ErrorKind kind, const std::string& text) : std::runtime_error(text), kind_(kind) {}
    [[nodiscard]] ErrorKind kind() const noexcept { return kind_; }

  private:
    ErrorKind kind_;
};

} // namespace trenchwright
