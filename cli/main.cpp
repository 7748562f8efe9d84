#include "commands.hpp"
#include "no_network.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/base/version.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdlib>
#include <exception>
#include <fmt/format.h>
#include <iostream>
#include <string>

namespace {

using trenchwright::Error;
using trenchwright::ErrorKind;

/// A word the parser cannot place explains more than the option that is missing because of it.
std::string usage_text(const CLI::App& app, const CLI::ParseError& error)
{
    const auto rest = app.remaining(true);
    const bool has_command = !app.get_subcommands().empty();
    const auto option = std::ranges::find_if(rest, [](const auto& word) { return word.starts_with('-'); });
    std::string text = has_command ? error.what() : "a command is missing";
    if (option != rest.end() && (has_command || option == rest.begin())) {
        text = "unknown option " + *option;
    } else if (!rest.empty()) {
        text = (has_command ? "one argument too many, \"" : "unknown command \"") + rest.front() + "\"";
    }
    return text + "; see trenchwright --help";
}

/// A folder that a slip makes (an unset variable, a path cut short) is refused before anything is read.
void require_named_folder(const std::filesystem::path& out)
{
    std::error_code fault;
    auto plain = out.lexically_normal();
    plain = plain.has_filename() ? plain : plain.parent_path();
    const auto whole = std::filesystem::weakly_canonical(std::filesystem::absolute(plain, fault), fault);
    const bool root = whole == whole.root_path();
    const bool above = plain.filename() == "..";
    if (out.empty() || root || above) {
        throw Error(ErrorKind::usage,
                    "--out \"" + out.string() + "\": name a folder for the files, such as out or ../out");
    }
}

int flushed(int code)
{
    if (!std::cout.flush()) {
        throw Error(ErrorKind::output, "standard output cannot be written");
    }
    return code;
}

int run(int argc, char** argv)
{
    CLI::App app("Plans a discharge trench from a house wall to a lawful outlet. Never permission to dig.",
                 "trenchwright");
    app.set_version_flag("--version", fmt::format("trenchwright {}", trenchwright::version()));
    app.require_subcommand(1);
    app.footer("Exit codes: 0 fine, 1 internal error (bug), 2 usage, 3 input, 4 output, 5 no workable outlet, "
               "6 every plan has a STOP.");
    std::filesystem::path job;
    std::filesystem::path out;
    std::string outlet;
    trenchwright::PlanWishes wishes;
    auto* plan = app.add_subcommand("plan", "Plan every source to every outlet, compare them and write the files");
    plan->add_option("JOB.toml", job, "Job file")->required();
    plan->add_option("--out", out, "Folder for the files")->required()->type_name("DIR");
    plan->add_option("--outlet", wishes.outlet, "Outlet whose sheets are drawn, by its id; else the best")
        ->type_name("ID");
    plan->add_option("--set", wishes.changes, "A rule or rate for this run, over what the files say; may be repeated")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
    plan->add_option("--exchange", wishes.exchange,
                     "Files for other programs too, by comma: dxf, kml, geojson, gpx, sld; or all")
        ->type_name("LIST");
    plan->add_flag("--quiet", wishes.quiet, "No progress on the terminal");
    bool json = false;
    auto* check = app.add_subcommand("check", "Say what is wrong or doubtful in a job's data; plans nothing");
    check->add_option("JOB.toml", job, "Job file")->required();
    check->add_flag("--json", json, "For programs");
    std::filesystem::path other;
    auto* compare = app.add_subcommand("compare", "Plan two jobs and print them side by side; writes no file");
    compare->add_option("A.toml", job, "First job file")->required();
    compare->add_option("B.toml", other, "Second job file")->required();
    auto* rules = app.add_subcommand("rules", "Print every setting with value, default, range and source");
    rules->add_option("JOB.toml", job, "Job file whose values are shown");
    std::filesystem::path measured;
    auto* as_built = app.add_subcommand("asbuilt", "Compare levels taken on the laid pipe with the plan");
    as_built->add_option("JOB.toml", job, "Job file")->required();
    as_built->add_option("--measured", measured, "Filled cut sheet or another table")->required()->type_name("FILE");
    as_built->add_option("--out", out, "Folder for the record")->required()->type_name("DIR");
    as_built->add_option("--outlet", outlet, "Outlet that was built, by its id; else the best")->type_name("ID");
    for (auto* command : {plan, check, compare, rules, as_built}) {
        command->set_version_flag("--version", app.version());
    }
    try {
        app.parse(argc, argv);
    } catch (const CLI::Success& asked) {
        return app.exit(asked);
    } catch (const CLI::ParseError& error) {
        throw Error(ErrorKind::usage, usage_text(app, error));
    }
    if (as_built->parsed() || plan->parsed()) {
        require_named_folder(out);
    }
    if (as_built->parsed()) {
        return flushed(trenchwright::run_as_built(job, measured, out, outlet));
    }
    if (compare->parsed()) {
        return flushed(trenchwright::run_compare(job, other));
    }
    if (check->parsed()) {
        return flushed(trenchwright::run_check(job, json));
    }
    return flushed(plan->parsed() ? trenchwright::run_plan(job, out, wishes) : trenchwright::run_rules(job));
}

int fail(const char* text, ErrorKind kind)
{
    std::cerr << "trenchwright: error: " << text << "\n";
    return static_cast<int>(kind);
}

} // namespace

int main(int argc, char** argv)
{
    ::setenv("PROJ_SKIP_READ_USER_WRITABLE_DIRECTORY", "YES", 1); // one database of systems, whoever plans
    if (const auto fault = trenchwright::close_network(); !fault.empty()) {
        std::cerr << "trenchwright: note: sockets cannot be forbidden here (" << fault << "); none is opened\n";
    }
    try {
        return run(argc, argv);
    } catch (const Error& error) {
        return fail(error.what(), error.kind());
    } catch (const std::exception& error) {
        return fail(error.what(), ErrorKind::internal);
    }
}
