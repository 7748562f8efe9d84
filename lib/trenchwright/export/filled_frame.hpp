#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>

namespace trenchwright {

using FrameTexts = std::map<std::string, std::string, std::less<>>;

/// A page from its frame: every {{name}} becomes its text. What stands between {{only STATE}} and {{end}} is kept in
/// that state alone; such parts do not stand in each other.
///
/// A {{...}} with a line of its own takes the line's end with it, so its text brings as many lines as it needs, none
/// among them. Texts are not looked through again: braces in a job's name stay as they are.
///
/// @throws std::out_of_range for a name without a text, which is a mistake of ours
std::string filled_frame(std::string_view frame, std::string_view state, const FrameTexts& texts);

} // namespace trenchwright
