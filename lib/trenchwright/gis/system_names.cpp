#include "trenchwright/gis/system_names.hpp"

#include "trenchwright/base/error.hpp"
#include "trenchwright/gis/proj_handles.hpp"

#include <cstdlib>
#include <cstring>
#include <fmt/format.h>
#include <proj.h>

namespace trenchwright {

namespace {

int epsg_of(const PJ* crs)
{
    const char* const authority = proj_get_id_auth_name(crs, 0);
    const char* const code = proj_get_id_code(crs, 0);
    const bool named = authority != nullptr && code != nullptr && std::strcmp(authority, "EPSG") == 0;
    return named ? std::atoi(code) : 0;
}

std::string text_of(PJ_CONTEXT* context, const PJ* crs, PJ_WKT_TYPE type)
{
    const char* const one_line[] = {"MULTILINE=NO", nullptr};
    const char* const text = crs == nullptr ? nullptr : proj_as_wkt(context, crs, type, one_line);
    return text == nullptr ? "" : text;
}

} // namespace

SystemNames system_names(const std::string& wkt)
{
    const auto context = quiet_context();
    const PjPtr crs{proj_create(context.get(), wkt.c_str())};
    if (!crs || proj_get_type(crs.get()) != PJ_TYPE_PROJECTED_CRS) {
        throw Error(ErrorKind::input, fmt::format("\"{:.200}\" is not a projected system", wkt));
    }
    const PjPtr geographic{proj_crs_get_geodetic_crs(context.get(), crs.get())};
    SystemNames names{.epsg = epsg_of(crs.get()),
                      .wkt1 = text_of(context.get(), crs.get(), PJ_WKT1_GDAL),
                      .geographic_wkt = text_of(context.get(), geographic.get(), PJ_WKT2_2019)};
    if (names.wkt1.empty() || names.geographic_wkt.empty()) {
        throw Error(ErrorKind::input, fmt::format("\"{:.200}\" cannot be written as well-known text 1", wkt));
    }
    return names;
}

} // namespace trenchwright
