#include "trenchwright/base/version.hpp"

namespace trenchwright {

std::string_view version()
{
    return TRENCHWRIGHT_VERSION;
}

} // namespace trenchwright
