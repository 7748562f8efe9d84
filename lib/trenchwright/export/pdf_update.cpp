#include "trenchwright/export/pdf_update.hpp"

#include "trenchwright/base/error.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <map>
#include <string_view>

namespace trenchwright {

namespace {

void must(bool as_expected, const std::string& what)
{
    if (!as_expected) {
        throw Error(ErrorKind::internal, "the PDF cannot be told where its plans lie: " + what);
    }
}

/// A whole number at the start of a text, which then begins behind it.
std::size_t take_number(std::string_view& text, const std::string& what)
{
    std::size_t number = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
    must(fault == std::errc{}, "no number of " + what);
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    return number;
}

void take(std::string_view& text, std::string_view expected, const std::string& what)
{
    must(text.starts_with(expected), what);
    text.remove_prefix(expected.size());
}

/// The number of the object that a key's value points to.
std::size_t pointed_at(std::string_view text, std::string_view key)
{
    const auto at = text.find(key);
    must(at != std::string_view::npos, fmt::format("no {}", key));
    text.remove_prefix(at + key.size());
    take(text, " ", fmt::format("no value of {}", key));
    const auto number = take_number(text, std::string(key));
    must(text.starts_with(" 0 R"), fmt::format("{} points to nothing", key));
    return number;
}

/// A file read through its cross-reference table (7.5.4) and trailer (7.5.5).
class PdfText {
  public:
    explicit PdfText(std::string_view file) : file_(file)
    {
        const auto end = file.rfind("startxref\n");
        must(end != std::string_view::npos, "no start of a cross-reference table");
        auto last = file.substr(end + 10);
        table_ = take_number(last, "a cross-reference table");
        must(last == "\n%%EOF\n", "more behind its end");
        must(table_ < end, "a cross-reference table behind its end");
        auto text = file.substr(table_, end - table_);
        take(text, "xref\n0 ", "no cross-reference table");
        const auto objects = take_number(text, "objects");
        take(text, "\n", "no line of objects");
        must(objects < text.size() / entry_size, "fewer objects than it says");
        entries_ = text.substr(0, objects * entry_size);
        text.remove_prefix(entries_.size());
        take(text, "trailer\n<<", "no trailer");
        must(text.ends_with(">>\n"), "a trailer without an end");
        trailer_ = text.substr(0, text.size() - 3);
        for (const auto* const other : {"/Prev", "/XRefStm", "/Encrypt", "<<"}) {
            must(trailer_.find(other) == std::string_view::npos, fmt::format("{} in its trailer", other));
        }
    }

    [[nodiscard]] std::size_t table() const { return table_; }
    [[nodiscard]] std::string_view trailer() const { return trailer_; }

    /// What stands between "obj" and "endobj".
    [[nodiscard]] std::string_view object(std::size_t number) const
    {
        must(number * entry_size < entries_.size(), fmt::format("object {} is not in the table", number));
        auto entry = entries_.substr(number * entry_size, entry_size);
        must(entry.ends_with(" 00000 n \n"), fmt::format("object {} is not in use", number));
        const auto offset = take_number(entry, "an object");
        must(offset < table_, fmt::format("object {} lies behind the table", number));
        auto text = file_.substr(offset);
        take(text, fmt::format("{} 0 obj\n", number), fmt::format("object {} is not where the table says", number));
        const auto end = text.find("\nendobj\n");
        must(end != std::string_view::npos, fmt::format("object {} has no end", number));
        return text.substr(0, end);
    }

    /// Object numbers of the pages, in their order.
    [[nodiscard]] std::vector<std::size_t> pages() const
    {
        const auto tree = object(pointed_at(object(pointed_at(trailer_, "/Root")), "/Pages"));
        const auto from = tree.find("/Kids [ ");
        must(from != std::string_view::npos, "no list of pages");
        auto text = tree.substr(from + 8);
        std::vector<std::size_t> numbers;
        while (!text.starts_with("]")) {
            numbers.push_back(take_number(text, "a page"));
            take(text, " 0 R ", "a list of pages with something else in it");
        }
        return numbers;
    }

  private:
    static constexpr std::size_t entry_size = 20;
    std::string_view file_;
    std::size_t table_ = 0;
    std::string_view entries_;
    std::string_view trailer_;
};

/// A page's dictionary with one entry more.
std::string page_with(std::string_view page, const std::string& entry)
{
    must(page.starts_with("<< /Type /Page ") && page.ends_with(">>"), "a page that is written otherwise");
    must(page.find("/VP") == std::string_view::npos, "a page that has places already");
    return fmt::format("{}   {}\n>>", page.substr(0, page.size() - 2), entry);
}

} // namespace

std::string with_page_entries(std::string pdf, const std::vector<std::string>& entries)
{
    const PdfText old(pdf);
    const auto pages = old.pages();
    must(entries.size() <= pages.size(), "fewer pages than plans");
    std::string update;
    std::map<std::size_t, std::size_t> offsets; // by object, as the table wants them
    for (std::size_t i = 0; i < entries.size(); ++i) {
        if (!entries[i].empty()) {
            offsets[pages[i]] = pdf.size() + update.size();
            update += fmt::format("{} 0 obj\n{}\nendobj\n", pages[i], page_with(old.object(pages[i]), entries[i]));
        }
    }
    if (offsets.empty()) {
        return pdf;
    }
    const auto table = pdf.size() + update.size();
    update += "xref\n";
    for (const auto& [number, offset] : offsets) {
        update += fmt::format("{} 1\n{:010} 00000 n \n", number, offset);
    }
    update += fmt::format("trailer\n<<{}   /Prev {}\n>>\nstartxref\n{}\n%%EOF\n", old.trailer(), old.table(), table);
    return pdf + update;
}

} // namespace trenchwright
