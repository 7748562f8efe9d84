#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace trenchwright {

/// What a name names, and so where it may stand.
enum class NameOf {
    setting,      ///< dotted key of a rule: under [rules], in a rules file, after --set
    job_key,      ///< path of a key in the job file
    rates_key,    ///< path of a key in the rates file
    ground_cover, ///< kind of ground cover: in a layer, or in a setting that lists kinds
    word          ///< "key = word" for a word that a key takes
};

/// A name that is called otherwise today. A "*" stands for one part between dots.
struct FormerName {
    NameOf of = NameOf::setting;
    std::string_view former;
    std::string_view current;
};

/// Every former name that still works; British spellings are among them. None of them is a name of today.
std::span<const FormerName> former_names();

/// Today's name; nothing for a name that is today's already, or unknown.
std::optional<std::string> current_name(NameOf of, std::string_view name);

/// A former name found in a file or on the command line.
struct FormerUse {
    std::string where; ///< "lot.toml:12", "--set", "surfaces.csv"
    std::string former;
    std::string current;
    friend bool operator==(const FormerUse&, const FormerUse&) = default;
};

/// One sentence that names each of them with what it is called today; empty without any.
std::string former_names_text(std::span<const FormerUse> uses);

} // namespace trenchwright
