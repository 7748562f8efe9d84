#include "trenchwright/export/geo_pdf.hpp"

#include "trenchwright/export/exchange/world.hpp"
#include "trenchwright/export/pdf_update.hpp"
#include "trenchwright/gis/system_names.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace trenchwright {

namespace {

/// A literal string (7.3.4.2), all but plain ASCII as octal numbers.
std::string pdf_string(const std::string& text)
{
    std::string made = "(";
    for (const char c : text) {
        const bool plain = c >= ' ' && c <= '~' && c != '(' && c != ')' && c != '\\';
        made += plain ? std::string(1, c) : fmt::format("\\{:03o}", static_cast<unsigned char>(c));
    }
    return made + ")";
}

std::string system_dictionary(const SystemNames& system)
{
    const auto number = system.epsg > 0 ? fmt::format("/EPSG {} ", system.epsg) : "";
    return fmt::format("<< /Type /PROJCS {}/WKT {} >>", number, pdf_string(system.wkt1));
}

/// The corners of the unit square stand for those of the frame, in the same order.
std::string viewport(const PlanOnPaper& plan, const std::string& system, const std::string& latitudes_longitudes)
{
    constexpr auto square = "0 0 0 1 1 1 1 0";
    return fmt::format("/VP [ << /Type /Viewport /BBox [ {:.4f} {:.4f} {:.4f} {:.4f} ]\n"
                       "      /Measure << /Type /Measure /Subtype /GEO /Bounds [ {} ] /LPTS [ {} ]\n"
                       "         /GPTS [ {}]\n"
                       "         /GCS {} >> >> ]",
                       plan.left_pt, plan.lower_pt, plan.right_pt, plan.upper_pt, square, square, latitudes_longitudes,
                       system);
}

} // namespace

std::string add_georeference(PlacedPdf pdf, const JobPlan& plan)
{
    if (pdf.plans.empty() || !site_world(plan).why_not().empty()) {
        return std::move(pdf.bytes);
    }
    const auto& frame = plan.site.frame;
    const auto names = system_names(frame.wkt);
    const auto system = system_dictionary(names);
    const Transform to_degrees(frame.wkt, names.geographic_wkt, to_native(frame, pdf.plans.front().corners[0]));
    std::vector<std::string> entries;
    for (const auto& drawn : pdf.plans) {
        std::string degrees;
        for (const auto& corner : drawn.corners) {
            const auto place = to_degrees(to_native(frame, corner));
            degrees += fmt::format("{:.10f} {:.10f} ", place.y, place.x);
        }
        entries.resize(std::max(entries.size(), drawn.page + 1));
        entries[drawn.page] = viewport(drawn, system, degrees);
    }
    return with_page_entries(std::move(pdf.bytes), entries);
}

} // namespace trenchwright
