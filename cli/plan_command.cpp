#include "commands.hpp"
#include "progress_line.hpp"
#include "trenchwright/base/error.hpp"
#include "trenchwright/draw/cover_page.hpp"
#include "trenchwright/draw/cut_sheet_pages.hpp"
#include "trenchwright/draw/overview.hpp"
#include "trenchwright/draw/plan_sheet.hpp"
#include "trenchwright/export/crew_page.hpp"
#include "trenchwright/export/cut_sheet_csv.hpp"
#include "trenchwright/export/exchange/exchange.hpp"
#include "trenchwright/export/geo_pdf.hpp"
#include "trenchwright/export/plan_files.hpp"
#include "trenchwright/plan/job_plan.hpp"
#include "trenchwright/plan/outlet_state.hpp"
#include "trenchwright/plan/plan.hpp"
#include "trenchwright/report/compare_jobs.hpp"
#include "trenchwright/report/drawn_outlet.hpp"
#include "trenchwright/report/report.hpp"

#include <algorithm>
#include <future>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

namespace trenchwright {

namespace {

const std::vector<std::string> output_names{"report.txt",
                                            "plan.json",
                                            "plan.gpkg",
                                            "overview.svg",
                                            "overview.png",
                                            "locate-request.txt",
                                            "locate-request.geojson",
                                            "estimate.csv",
                                            "sheet.pdf",
                                            "sheet.svg",
                                            "sheet.png",
                                            "cover.pdf",
                                            "cut-sheet.csv",
                                            "cut-sheet.pdf",
                                            "crew.html"};

std::vector<RuleText> rule_changes(const Changes& changes)
{
    std::vector<RuleText> texts;
    for (const auto& change : changes) {
        const auto equals = change.find('=');
        if (equals == std::string::npos || equals == 0) {
            throw Error(ErrorKind::usage, "--set " + change + ": write key=value");
        }
        texts.push_back({change.substr(0, equals), change.substr(equals + 1), ""});
    }
    return texts;
}

struct Papers {
    SheetFiles sheets;
    std::string cover;
    std::string cut_sheet;
};

Papers papers_of(const JobPlan& plan)
{
    auto sheets = sheet_files(plan);
    auto cover = cover_pdf(plan, sheets.shown);
    return {.sheets = std::move(sheets), .cover = std::move(cover), .cut_sheet = cut_sheet_pdf(plan)};
}

/// A refused outlet that was asked for is no workable outlet, whatever others do.
int exit_code_of(const JobPlan& plan)
{
    if (!plan.job.sheet.outlet.empty() && drawn_outlet(plan) == nullptr) {
        return exit_no_outlet_works;
    }
    const auto any = [&](OutletState state) {
        return std::ranges::any_of(plan.outcomes, [=](const auto& outcome) { return state_of(outcome) == state; });
    };
    return any(OutletState::works) ? 0 : any(OutletState::stop) ? exit_only_stops : exit_no_outlet_works;
}

} // namespace

int run_plan(const std::filesystem::path& job, const std::filesystem::path& out, const PlanWishes& wishes)
{
    ProgressLine line(wishes.quiet);
    const auto progress = line.progress();
    const auto asked = exchange_list(wishes.exchange);
    auto read = read_job(job, rule_changes(wishes.changes));
    read.sheet.outlet = wishes.outlet.empty() ? read.sheet.outlet : wishes.outlet;
    auto names = output_names;
    std::ranges::move(exchange_names(asked), std::back_inserter(names));
    refuse_inputs(out, names, input_files(read));
    auto plan = plan_job(read, progress);
    progress("drawing the papers", 0, 0);
    std::ranges::move(exchange_findings(plan, asked), std::back_inserter(plan.findings));
    const auto exchanged = exchange_files(plan, asked);
    // The papers take as long as all the rest, so they are drawn beside it.
    auto drawing = std::async(std::launch::async, [&] { return papers_of(plan); });
    auto json = plan_json(plan);
    auto tables = plan_gpkg_bytes(plan);
    auto overview = overview_files(plan);
    auto papers = drawing.get();
    std::vector<OutFile> files{
        {"report.txt", report_text(plan, papers.sheets.shown)},
        {"plan.json", std::move(json)},
        {"plan.gpkg", std::move(tables)},
        {"overview.svg", std::move(overview.svg)},
        {"overview.png", std::move(overview.png)},
        {"sheet.pdf", add_georeference(std::move(papers.sheets.pdf), plan)},
        {"sheet.svg", std::move(papers.sheets.svg)},
        {"sheet.png", std::move(papers.sheets.png)},
        {"cover.pdf", std::move(papers.cover)},
        {"cut-sheet.csv", cut_sheet_csv(plan)},
        {"cut-sheet.pdf", std::move(papers.cut_sheet)},
        {"crew.html", crew_page(plan)},
        {"locate-request.txt", locate_request_text(plan)},
        {"locate-request.geojson", locate_request_geojson(plan)},
        {"estimate.csv", estimate_csv(plan)},
    };
    files.insert(files.end(), exchanged.begin(), exchanged.end());
    write_folder(out, files);
    line.end();
    std::cout << summary_text(plan) << "\n";
    for (const auto& file : files) {
        std::cout << (out / file.name).string() << "\n";
    }
    return exit_code_of(plan);
}

int run_compare(const std::filesystem::path& a, const std::filesystem::path& b)
{
    const auto plan_a = plan_job(read_job(a));
    const auto plan_b = plan_job(read_job(b));
    std::cout << compare_text(plan_a, plan_b);
    return 0;
}

} // namespace trenchwright
