#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace trenchwright {

/// Text as it may stand in XML 1.0, in an element or in a quoted attribute. Characters that XML cannot hold (controls)
/// become spaces; line ends stay.
std::string xml_escaped(std::string_view text);

/// A document of XML 1.0 in UTF-8 in the making, indented by two spaces.
class XmlText {
  public:
    using Attributes = std::vector<std::pair<std::string, std::string>>;
    XmlText();
    XmlText& open(std::string_view name, const Attributes& attributes = {});
    XmlText& leaf(std::string_view name, std::string_view text, const Attributes& attributes = {});
    XmlText& close();
    /// The whole document; every element still open is closed.
    std::string finished();

  private:
    void line(std::string_view text);
    std::string text_;
    std::vector<std::string> open_;
};

} // namespace trenchwright
