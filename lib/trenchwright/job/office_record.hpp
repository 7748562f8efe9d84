#pragma once

#include "trenchwright/job/job_node.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trenchwright {

/// What the office knows of the locate ticket and of the lines nobody marks, as the job file states it.
struct TicketAnswer {
    std::string owner;  ///< of the utility
    std::string answer; ///< "marked", "says none" or "no answer"
    std::string date;
    friend bool operator==(const TicketAnswer&, const TicketAnswer&) = default;
};

/// Texts are empty where nothing is stated; dates are as written.
struct Ticket {
    std::string number;
    std::string called;
    std::string legal_start;
    std::string expires;
    std::vector<TicketAnswer> answers;
    friend bool operator==(const Ticket&, const Ticket&) = default;
};

/// A kind of line that one-call centers do not mark.
/// Source: lists of law, how-to and one-call pages, read in excerpts; common practice.
struct PrivateLineKind {
    std::string_view key;   ///< in the job file
    std::string_view words; ///< for people
    std::string_view marks; ///< facility as which such a line is marked; empty: of any kind
};
std::span<const PrivateLineKind> private_line_kinds();

/// Whether a private line is there, who says so and when.
struct PrivateLineAnswer {
    std::string kind;   ///< key of a PrivateLineKind
    std::string answer; ///< "marked", "none" (the owner says so) or "unknown"
    std::string by;
    std::string date;
    friend bool operator==(const PrivateLineAnswer&, const PrivateLineAnswer&) = default;
};

/// What the office fills in on a locate request.
struct RequestField {
    std::string_view key;   ///< in the job file
    std::string_view words; ///< as printed
    std::string_view group; ///< heading it stands under
};
/// In printing order. Source: what the one-call centers of Florida, Hawaii and Colorado ask for, read in excerpts.
std::span<const RequestField> request_fields();

struct RequestRecord {
    std::string outlet;                                      ///< id of the outlet it is for; empty: the best that works
    std::vector<std::pair<std::string, std::string>> fields; ///< key and text, those that are stated
    friend bool operator==(const RequestRecord&, const RequestRecord&) = default;
};

/// The tables [ticket], [private_lines] and [request]. @throws Error (input) naming file, line, key and value
Ticket ticket_from(const JobNode& node);
std::vector<PrivateLineAnswer> private_lines_from(const JobNode& node);
RequestRecord request_from(const JobNode& node);

} // namespace trenchwright
