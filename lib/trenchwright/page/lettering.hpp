#pragma once

#include "trenchwright/page/page_items.hpp"

#include <compare>
#include <map>
#include <memory>
#include <string>

namespace trenchwright {

/// Sets texts in the sheets' type: each once in its style, however often it is measured, drawn and printed. Stays on
/// the thread that made it.
class Lettering {
  public:
    Lettering();
    /// @return as long-lived as the lettering
    const SetText& set(const std::string& text, const TextStyle& style);

  private:
    /// All of a style that matters here.
    struct Key {
        std::string text;
        double size_pt = 0;
        bool bold = false;
        bool italic = false;
        double wrap_pt = 0;
        double spread_ratio = 0;
        friend auto operator<=>(const Key&, const Key&) = default;
    };

    std::shared_ptr<void> context_; ///< the text library's PangoContext
    std::map<Key, SetText> known_;
};

} // namespace trenchwright
