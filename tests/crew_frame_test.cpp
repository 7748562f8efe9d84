#include "export_fixture.hpp"
#include "trenchwright/export/crew_page.hpp"
#include "trenchwright/export/filled_frame.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>

using namespace trenchwright;
using test::sample_plan;

namespace {

std::string file_beside_the_page(const std::string& name)
{
    std::ifstream file(std::string(TRENCHWRIGHT_SOURCE_DIR) + "/lib/trenchwright/export/" + name, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

TEST_CASE("the crew page holds its script and its style byte for byte as their files have them", "[export]")
{
    const auto page = crew_page(sample_plan());
    for (const auto* const name : {"crew.css", "crew.js"}) {
        const auto text = file_beside_the_page(name);
        INFO(name);
        CHECK(text.size() > 1000);
        CHECK(page.find(text) != std::string::npos);
    }
    CHECK(page.find("{{") == std::string::npos);
}

TEST_CASE("without a workable outlet the crew page has no plan and no script", "[export]")
{
    auto plan = sample_plan();
    for (auto& outcome : plan.outcomes) {
        outcome.works = false;
        outcome.by_source.clear();
    }
    const auto page = crew_page(plan);
    CHECK(page.find("No workable outlet. Do not dig from this page.") != std::string::npos);
    CHECK(page.find("<h2 id=\"caution-head\">") != std::string::npos);
    CHECK(page.find("<svg") == std::string::npos);
    CHECK(page.find("<script") == std::string::npos);
    CHECK(page.find("{{") == std::string::npos);
}

TEST_CASE("a frame's words are filled once and its parts kept by state", "[export]")
{
    const std::string frame =
        "<p>{{name}}</p>\n{{only dry}}\nno {{water}}\n{{end}}\n{{only wet}}\n{{lines}}\n{{end}}\nend\n";
    const FrameTexts texts{{"name", "{{lines}}"}, {"lines", "one\ntwo\n"}};
    CHECK(filled_frame(frame, "wet", texts) == "<p>{{lines}}</p>\none\ntwo\nend\n");
    CHECK(filled_frame(frame, "wet", {{"name", ""}, {"lines", ""}}) == "<p></p>\nend\n");
    CHECK_THROWS_AS(filled_frame(frame, "dry", texts), std::out_of_range); // nothing is said for water
    CHECK_THROWS_AS(filled_frame("{{name", "", texts), std::out_of_range);
    CHECK(filled_frame("", "", {}).empty());
}
