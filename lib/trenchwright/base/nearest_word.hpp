#pragma once

#include <span>
#include <string>
#include <string_view>

namespace trenchwright {

/// The known word that is nearest to a wrong one (edit distance); empty when none is near.
std::string nearest_word(std::string_view word, std::span<const std::string> known);

} // namespace trenchwright
