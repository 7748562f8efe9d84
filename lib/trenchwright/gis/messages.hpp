#pragma once

#include <string>
#include <vector>

namespace trenchwright {

/// Catches what GDAL and PROJ (through GDAL) would print while it lives; the library never prints.
///
/// A failure is often the only trace of a wrong input (a crs member with an unknown code opens as WGS 84).
/// The first one ever built registers the few drivers in use, switches the network and side files off.
class GdalMessages {
  public:
    GdalMessages();
    ~GdalMessages();
    GdalMessages(const GdalMessages&) = delete;
    GdalMessages& operator=(const GdalMessages&) = delete;
    GdalMessages(GdalMessages&&) = delete;
    GdalMessages& operator=(GdalMessages&&) = delete;

    [[nodiscard]] const std::vector<std::string>& failures() const { return failures_; }
    [[nodiscard]] const std::vector<std::string>& warnings() const { return warnings_; }
    /// The first failure, else the first warning, else the text given.
    [[nodiscard]] std::string reason(const std::string& otherwise) const;
    void add(bool failure, std::string text);

  private:
    std::vector<std::string> failures_;
    std::vector<std::string> warnings_;
};

} // namespace trenchwright
