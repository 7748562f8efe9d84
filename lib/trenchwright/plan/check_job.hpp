#pragma once

#include "trenchwright/job/job.hpp"
#include "trenchwright/plan/data_checks.hpp"

#include <optional>
#include <vector>

namespace trenchwright {

/// What is wrong or doubtful in a job's data, found without planning anything.
struct JobCheck {
    std::vector<DataFault> faults; ///< worst first
    std::optional<Frame> frame;    ///< that their places are in; nothing where the layers cannot be read
};

/// Reads a job's layers and looks at all of them. Where one stops the reading, each of the others is read beside the
/// lot alone, so that every layer that cannot be read is named in one pass.
JobCheck check_job(const Job& job);

} // namespace trenchwright
