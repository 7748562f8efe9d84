#pragma once

namespace trenchwright {

/// One of GDAL's options, on this thread as long as this lives.
class GdalOption {
  public:
    /// @param key  a literal
    GdalOption(const char* key, const char* value);
    ~GdalOption();
    GdalOption(const GdalOption&) = delete;
    GdalOption& operator=(const GdalOption&) = delete;
    GdalOption(GdalOption&&) = delete;
    GdalOption& operator=(GdalOption&&) = delete;

  private:
    const char* key_;
};

} // namespace trenchwright
