#include "trenchwright/export/exchange/xml_text.hpp"

#include "trenchwright/base/error.hpp"

namespace trenchwright {

namespace {

std::string tag(std::string_view name, const XmlText::Attributes& attributes)
{
    std::string text(name);
    for (const auto& [key, value] : attributes) {
        text += " " + key + "=\"" + xml_escaped(value) + "\"";
    }
    return text;
}

} // namespace

std::string xml_escaped(std::string_view text)
{
    std::string escaped;
    for (const char c : text) {
        switch (c) {
        case '&': escaped += "&amp;"; break;
        case '<': escaped += "&lt;"; break;
        case '>': escaped += "&gt;"; break;
        case '"': escaped += "&quot;"; break;
        case '\n': escaped += c; break;
        default: escaped += static_cast<unsigned char>(c) < ' ' ? ' ' : c;
        }
    }
    return escaped;
}

XmlText::XmlText() : text_("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n") {}

void XmlText::line(std::string_view text)
{
    text_.append(2 * open_.size(), ' ').append(text).append("\n");
}

XmlText& XmlText::open(std::string_view name, const Attributes& attributes)
{
    line("<" + tag(name, attributes) + ">");
    open_.emplace_back(name);
    return *this;
}

XmlText& XmlText::leaf(std::string_view name, std::string_view text, const Attributes& attributes)
{
    const auto start = "<" + tag(name, attributes);
    line(text.empty() ? start + "/>" : start + ">" + xml_escaped(text) + "</" + std::string(name) + ">");
    return *this;
}

XmlText& XmlText::close()
{
    if (open_.empty()) {
        throw Error(ErrorKind::internal, "XML: nothing is open");
    }
    const auto name = open_.back();
    open_.pop_back();
    line("</" + name + ">");
    return *this;
}

std::string XmlText::finished()
{
    while (!open_.empty()) {
        close();
    }
    return text_;
}

} // namespace trenchwright
