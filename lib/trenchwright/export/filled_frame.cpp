#include "trenchwright/export/filled_frame.hpp"

#include <cstddef>
#include <stdexcept>

namespace trenchwright {

namespace {

/// One {{...}} of a frame.
struct Slot {
    std::size_t from = 0;
    std::size_t to = 0; ///< behind it, and behind its line's end where the line is its own
    std::string_view word;
};

Slot slot_at(std::string_view frame, std::size_t from)
{
    const auto close = frame.find("}}", from);
    if (close == std::string_view::npos) {
        throw std::out_of_range("a frame has {{ without }}");
    }
    const auto to = close + 2;
    const bool own_line = (from == 0 || frame[from - 1] == '\n') && to < frame.size() && frame[to] == '\n';
    return {.from = from, .to = to + (own_line ? 1 : 0), .word = frame.substr(from + 2, close - from - 2)};
}

const std::string& text_named(const FrameTexts& texts, std::string_view name)
{
    const auto found = texts.find(name);
    if (found == texts.end()) {
        throw std::out_of_range("a frame asks for " + std::string(name));
    }
    return found->second;
}

} // namespace

std::string filled_frame(std::string_view frame, std::string_view state, const FrameTexts& texts)
{
    constexpr std::string_view only = "only ";
    std::string page;
    bool kept = true;
    std::size_t done = 0;
    for (auto at = frame.find("{{"); at != std::string_view::npos; at = frame.find("{{", done)) {
        const auto slot = slot_at(frame, at);
        page += kept ? frame.substr(done, at - done) : "";
        if (slot.word == "end" || slot.word.starts_with(only)) {
            kept = slot.word == "end" || slot.word.substr(only.size()) == state;
        } else if (kept) {
            page += text_named(texts, slot.word);
        }
        done = slot.to;
    }
    return page.append(frame.substr(done));
}

} // namespace trenchwright
