#include "trenchwright/gis/messages.hpp"

#include <algorithm>
#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_http.h>
#include <gdal_frmts.h>
#include <mutex>
#include <ogr_srs_api.h>
#include <ogrsf_frmts.h>
#include <utility>

namespace trenchwright {

namespace {

/// Stands in for GDAL's way to the network, whichever part of a file asks for it.
CPLHTTPResult* fetch_nothing(const char* address, CSLConstList /*options*/, GDALProgressFunc /*progress*/,
                             void* /*progress_data*/, CPLHTTPFetchWriteFunc /*write*/, void* /*write_data*/,
                             void* /*data*/)
{
    CPLError(CE_Failure, CPLE_NotSupported, "it asks for %s, and nothing is fetched", address);
    return nullptr;
}

void prepare_gdal()
{
    CPLHTTPSetFetchCallback(fetch_nothing, nullptr);
    CPLSetConfigOption("GDAL_PAM_ENABLED", "NO");                 // no .aux.xml beside the input
    CPLSetConfigOption("CPL_VSIL_CURL_ALLOWED_FILENAME", "none"); // nothing is fetched
    CPLSetConfigOption("SHAPE_RESTORE_SHX", "NO");                // would write into the input folder
    OSRSetPROJEnableNetwork(0);
    RegisterOGRGeoPackage();
    RegisterOGRGeoJSON();
    RegisterOGRShape();
    RegisterOGRCSV();
    RegisterOGRFlatGeobuf();
    RegisterOGRDXF(); // for writing
    GDALRegister_GTiff();
    GDALRegister_AAIGrid();
}

void collect(CPLErr level, CPLErrorNum /*number*/, const char* text)
{
    auto* const messages = static_cast<GdalMessages*>(CPLGetErrorHandlerUserData());
    if (level == CE_Warning || level == CE_Failure || level == CE_Fatal) {
        messages->add(level != CE_Warning, text);
    }
}

} // namespace

GdalMessages::GdalMessages()
{
    static std::once_flag once;
    std::call_once(once, prepare_gdal);
    CPLPushErrorHandlerEx(collect, this);
}

GdalMessages::~GdalMessages()
{
    CPLPopErrorHandler();
    CPLErrorReset();
}

std::string GdalMessages::reason(const std::string& otherwise) const
{
    if (!failures_.empty()) {
        return failures_.front();
    }
    return warnings_.empty() ? otherwise : warnings_.front();
}

void GdalMessages::add(bool failure, std::string text)
{
    auto& list = failure ? failures_ : warnings_;
    if (std::find(list.begin(), list.end(), text) == list.end()) {
        list.push_back(std::move(text));
    }
}

} // namespace trenchwright
