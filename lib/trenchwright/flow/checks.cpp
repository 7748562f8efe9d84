#include "trenchwright/flow/checks.hpp"

#include <cmath>
#include <fmt/format.h>

namespace trenchwright {

namespace {

void require(bool holds, ErrorKind kind, std::string_view what, const char* range, double value)
{
    if (!holds) {
        throw Error(kind, fmt::format("{}: must be {}, is {}", what, range, value));
    }
}

} // namespace

void check_above_zero(ErrorKind kind, std::string_view what, double value_si)
{
    require(value_si > 0 && std::isfinite(value_si), kind, what, "above 0", value_si);
}

void check_not_below_zero(ErrorKind kind, std::string_view what, double value_si)
{
    require(value_si >= 0 && std::isfinite(value_si), kind, what, "0 or more", value_si);
}

void check_share(ErrorKind kind, std::string_view what, double value_si, bool may_be_zero)
{
    const bool above = may_be_zero ? value_si >= 0 : value_si > 0;
    require(above && value_si <= 1, kind, what, may_be_zero ? "0 to 1" : "above 0 and at most 1", value_si);
}

} // namespace trenchwright
