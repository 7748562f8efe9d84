#pragma once

#include <filesystem>
#include <functional>
#include <string>

namespace trenchwright {

/// The bytes of a file that a library must write itself: written in a folder nobody else can look into, read back, and
/// gone afterwards.
/// @param name   a plain file name
/// @param write  writes the file; it does not exist yet
/// @throws Error (output) when the folder cannot be made or the file cannot be read back
std::string bytes_of_file(const std::string& name, const std::function<void(const std::filesystem::path&)>& write);

} // namespace trenchwright
