#include "trenchwright/base/error.hpp"
#include "trenchwright/base/former_names.hpp"
#include "trenchwright/job/former_keys.hpp"
#include "trenchwright/job/job.hpp"
#include "trenchwright/rules/checklist_items.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <unistd.h>

using namespace trenchwright;
using Catch::Matchers::Contains;

namespace {

namespace fs = std::filesystem;

/// A name of the table with something in place of its stars: a rule of ground cover, a kind of it, an item of work.
std::string filled(std::string_view pattern)
{
    std::string name(pattern);
    for (auto star = name.find('*'); star != std::string::npos; star = name.find('*')) {
        const bool last = star + 1 == name.size();
        const bool item = name.starts_with("items.") && !name.starts_with("items.restore.");
        name.replace(star, 1, last ? "restore" : item ? "hand_dig" : "lawn");
    }
    return name;
}

/// The file as a table with each name's last part in a table of its own.
JobNode file_with(const std::vector<std::string>& names)
{
    const auto file = fs::temp_directory_path() / ("former-" + std::to_string(getpid()) + ".toml");
    std::ofstream text(file);
    for (const auto& name : names) {
        text << name << " = \"x\"\n";
    }
    text.close();
    auto node = read_job_node(file);
    fs::remove(file);
    return node;
}

const JobNode* at(const JobNode& top, std::string path)
{
    const auto* node = &top;
    for (path += "."; node != nullptr && !path.empty(); path.erase(0, path.find('.') + 1)) {
        node = node->find(path.substr(0, path.find('.')));
    }
    return node;
}

std::vector<FormerName> rows_of(NameOf of)
{
    std::vector<FormerName> rows;
    for (const auto& row : former_names()) {
        if (row.of == of) {
            rows.push_back(row);
        }
    }
    return rows;
}

/// A row that leads to a further one is a step on the way: what counts is where the way ends.
std::string today(const FormerName& row)
{
    const auto name = filled(row.current);
    return current_name(row.of, name).value_or(name);
}

bool is_setting(const std::string& key)
{
    return std::ranges::find(settings(), key, &Setting::key) != settings().end();
}

} // namespace

TEST_CASE("a rule under its former key is read as the rule of today, and noted", "[former names]")
{
    CHECK(rows_of(NameOf::setting).size() > 40);
    for (const auto& row : rows_of(NameOf::setting)) {
        const auto former = filled(row.former);
        INFO(former);
        REQUIRE(is_setting(today(row)));
        std::vector<RuleText> texts{{former, "6 in", "jobs/lot.toml:7: "}};
        const auto uses = make_current(texts, "rules.");
        CHECK(texts[0].key == today(row));
        CHECK(uses == std::vector<FormerUse>{{"lot.toml:7", former, today(row)}});
        CHECK_THAT(former_names_text(uses), Contains("\"" + former + "\" is now \"" + today(row) + "\""));
    }
}

TEST_CASE("a key of job and rates file under its former name is read as that of today, and noted", "[former names]")
{
    for (const auto of : {NameOf::job_key, NameOf::rates_key}) {
        for (const auto& row : rows_of(of)) {
            const auto former = filled(row.former);
            INFO(former);
            auto top = file_with({former});
            const auto uses = make_current(top, of);
            CHECK(at(top, former) == nullptr);
            CHECK(at(top, today(row)) != nullptr);
            REQUIRE(uses.size() == 1);
            CHECK(uses[0].former == former);
            CHECK(uses[0].current == today(row));
        }
    }
}

TEST_CASE("no name of today stands among the former ones", "[former names]")
{
    for (const auto& setting : settings()) {
        INFO(setting.key);
        CHECK_FALSE(current_name(NameOf::setting, setting.key));
    }
    for (const auto& kind : rate_kinds()) {
        CHECK_FALSE(current_name(NameOf::rates_key, "items." + std::string(kind.key)));
    }
    for (const auto& part : site_parts()) {
        CHECK_FALSE(current_name(NameOf::job_key, "layers." + part.name));
    }
    for (const auto& kind : private_line_kinds()) {
        CHECK_FALSE(current_name(NameOf::job_key, "private_lines." + std::string(kind.key)));
    }
    for (const auto& item : checklist_items()) {
        CHECK_FALSE(current_name(NameOf::job_key, "sheet.elsewhere." + std::string(item.key)));
    }
    const auto rules = default_rules();
    for (const auto& [kind, rule] : rules.route.surfaces) {
        CHECK_FALSE(current_name(NameOf::ground_cover, kind));
        CHECK_FALSE(current_name(NameOf::rates_key, "items.restore." + kind));
    }
    for (const auto& row : rows_of(NameOf::ground_cover)) {
        CHECK(rules.route.surfaces.contains(std::string(row.current)));
    }
}

TEST_CASE("a key given by its former and its present name is refused with both", "[former names]")
{
    for (const auto& row : rows_of(NameOf::setting)) {
        const auto former = filled(row.former);
        for (const bool former_first : {true, false}) {
            std::vector<RuleText> texts{{former, "6 in", "lot.toml:7: "}, {today(row), "6 in", "lot.toml:9: "}};
            if (!former_first) {
                std::swap(texts[0], texts[1]);
            }
            CHECK_THROWS_WITH(make_current(texts, "rules."), Contains("lot.toml:") &&
                                                                 Contains("\"rules." + former + "\"") &&
                                                                 Contains("\"rules." + today(row) + "\""));
        }
    }
    for (const auto of : {NameOf::job_key, NameOf::rates_key}) {
        for (const auto& row : rows_of(of)) {
            auto top = file_with({filled(row.former), today(row)});
            CHECK_THROWS_WITH(make_current(top, of), Contains(filled(row.former)) && Contains(today(row)));
        }
    }
}

TEST_CASE("former words are read as those of today", "[former names]")
{
    std::vector<RuleText> texts{{"route.outside_lot", "not neighbours", ""},
                                {"spoil.keep_off", "walk lawn tree_lawn", ""},
                                {"aim.walks", "public_walk", ""},
                                {"drain.pipe_name", "walk", ""}};
    CHECK(make_current(texts, "").size() == 5); // a word, two kinds, a key, a kind
    CHECK(texts[0].text == "not neighbors");
    CHECK(texts[1].text == "sidewalk lawn parkway");
    CHECK(texts[2].text == "public_sidewalk");
    CHECK(texts[3].text == "walk"); // a name is no kind
}
