#include "trenchwright/draw/sheet_set.hpp"
#include "trenchwright/page/canvas.hpp"
#include "trenchwright/plan/plan.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <optional>
#include <string>

using namespace trenchwright;

// A lot measured by tape has no place on the earth: what is drawn is held against its own drawn corners.

namespace {

struct Vector {
    double right = 0;
    double up = 0;
};

Vector between(const PagePoint& a, const PagePoint& b)
{
    return {b.x_pt - a.x_pt, a.y_pt - b.y_pt};
}

double turn_of(const PageLine& ring, std::size_t i)
{
    const auto n = ring.size();
    const auto in = between(ring[(i + n - 1) % n], ring[i]);
    const auto out = between(ring[i], ring[(i + 1) % n]);
    return in.right * out.up - in.up * out.right;
}

/// From the notch of an arrow's head, a quadrilateral with one corner that turns in, to its tip.
std::optional<Vector> dart(const PageItem& item)
{
    const auto* area = std::get_if<PageArea>(&item);
    if (area == nullptr || area->rings.size() != 1 || area->rings[0].size() != 4) {
        return std::nullopt;
    }
    const auto& ring = area->rings[0];
    std::size_t left = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        left += turn_of(ring, i) > 0 ? 1 : 0;
    }
    for (std::size_t i = 0; i < 4; ++i) {
        const bool notch = left == (turn_of(ring, i) > 0 ? 1 : 3);
        if (notch) {
            return between(ring[i], ring[(i + 2) % 4]);
        }
    }
    return std::nullopt;
}

/// What the lot's drawn outline says of the plan: how it is turned and how large a meter is.
struct Drawing {
    double turned_rad = 0; ///< of the site's x axis, from the page's right, anticlockwise
    double pt_per_m = 0;
};

/// The outline that is the lot turned and made smaller, not mirrored.
std::optional<Drawing> lot_drawn_as(const PageItem& item, const Ring& lot)
{
    const auto* outline = std::get_if<PageStroke>(&item);
    if (outline == nullptr || !outline->closed || outline->points.size() != lot.size()) {
        return std::nullopt;
    }
    const auto& drawn = outline->points;
    const auto first = between(drawn[0], drawn[1]);
    const double dx = lot[1].x_m - lot[0].x_m;
    const double dy = lot[1].y_m - lot[0].y_m;
    const Drawing made{.turned_rad = std::atan2(first.up, first.right) - std::atan2(dy, dx),
                       .pt_per_m = std::hypot(first.right, first.up) / std::hypot(dx, dy)};
    for (std::size_t i = 2; i < lot.size(); ++i) {
        const double x = (lot[i].x_m - lot[0].x_m) * made.pt_per_m;
        const double y = (lot[i].y_m - lot[0].y_m) * made.pt_per_m;
        const auto is = between(drawn[0], drawn[i]);
        const double off = std::hypot(x * std::cos(made.turned_rad) - y * std::sin(made.turned_rad) - is.right,
                                      x * std::sin(made.turned_rad) + y * std::cos(made.turned_rad) - is.up);
        if (off > 0.01) {
            return std::nullopt;
        }
    }
    return made;
}

/// Where bar and arrow stand: below the frame of the plan.
PageBox strip_below(const PlanOnPaper& plan, const PageSize& paper)
{
    const double top = paper.height_pt - plan.lower_pt;
    return {plan.left_pt, top, plan.right_pt, top + 20};
}

bool lies_in(const PageBox& strip, const PageItem& item)
{
    const auto* area = std::get_if<PageArea>(&item);
    return area != nullptr && std::ranges::all_of(area->rings[0], [&](const PagePoint& p) { return inside(strip, p); });
}

/// The bar's blocks are the boxes 4 points high.
double bar_pt(const std::vector<PageItem>& page, const PageBox& strip)
{
    double left = 1e9;
    double right = -1e9;
    for (const auto& item : page) {
        if (!lies_in(strip, item) || std::get<PageArea>(item).rings[0].size() != 4) {
            continue;
        }
        const auto& ring = std::get<PageArea>(item).rings[0];
        const auto [low, high] = std::ranges::minmax(ring, {}, &PagePoint::y_pt);
        if (std::abs(high.y_pt - low.y_pt - 4) < 1e-6) {
            for (const auto& p : ring) {
                left = std::min(left, p.x_pt);
                right = std::max(right, p.x_pt);
            }
        }
    }
    return right - left;
}

/// The last figure of the bar: the text in its strip that ends in a unit.
double bar_text_m(const Canvas& canvas, const PageBox& strip)
{
    double length_m = 0;
    for (const auto& one : canvas.drawn_texts()) {
        if (one.page == 0 && inside(strip, one.corners[0]) && one.corners[0].x_pt < strip.left_pt + 150) {
            length_m = one.text.ends_with(" ft")  ? std::stod(one.text) * 0.3048
                       : one.text.ends_with(" m") ? std::stod(one.text)
                                                  : length_m;
        }
    }
    return length_m;
}

} // namespace

TEST_CASE("on a tape lot the arrow and the bar agree with the lot as drawn, on every paper and turn", "[sheet]")
{
    auto plan = plan_job(read_job(std::filesystem::path(TRENCHWRIGHT_SOURCE_DIR) / "testdata" / "tape" / "job.toml"));
    const auto& lot = plan.site.parcel.at(0).outer;
    for (const auto* const units : {"us", "metric"}) {
        for (const auto* const paper : {"letter", "tabloid", "a4", "a3"}) {
            for (const std::string turn : {"north up", "along the trench"}) {
                set_rule(plan.job.rules, "print.units", units);
                set_rule(plan.job.rules, "sheet.paper", paper);
                set_rule(plan.job.rules, "sheet.turn", turn);
                INFO(units << " on " << paper << ", " << turn);
                const auto set = sheet_set(plan);
                Canvas canvas(set.paper.size);
                const auto plans = draw_sheets(canvas, set);
                REQUIRE(plans.size() == 1);
                const auto strip = strip_below(plans[0], canvas.page_size());
                std::vector<Drawing> drawings;
                std::vector<Vector> arrows;
                for (const auto& item : canvas.pages().at(0)) {
                    if (const auto drawing = lot_drawn_as(item, lot)) {
                        drawings.push_back(*drawing);
                    }
                    if (const auto arrow = dart(item); arrow && lies_in(strip, item)) {
                        arrows.push_back(*arrow);
                    }
                }
                REQUIRE(!drawings.empty());
                REQUIRE(arrows.size() == 1);
                // The tape's axis is the site's y: 90 degrees on from x.
                const double north_rad = drawings[0].turned_rad + std::acos(0.0);
                const auto& arrow = arrows[0];
                const double length = std::hypot(arrow.right, arrow.up);
                CHECK(arrow.right / length == Approx(std::cos(north_rad)).margin(1e-3));
                CHECK(arrow.up / length == Approx(std::sin(north_rad)).margin(1e-3));
                CHECK((std::abs(std::cos(north_rad)) < 0.01) == (turn == "north up"));
                CHECK(bar_pt(canvas.pages()[0], strip) / drawings[0].pt_per_m ==
                      Approx(bar_text_m(canvas, strip)).epsilon(1e-3));
            }
        }
    }
}
