#include "trenchwright/gis/gdal_option.hpp"

#include <cpl_conv.h>

namespace trenchwright {

GdalOption::GdalOption(const char* key, const char* value) : key_(key)
{
    CPLSetThreadLocalConfigOption(key, value);
}

GdalOption::~GdalOption()
{
    CPLSetThreadLocalConfigOption(key_, nullptr);
}

} // namespace trenchwright
