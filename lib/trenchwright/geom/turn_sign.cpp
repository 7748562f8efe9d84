#include "trenchwright/geom/triangulation.hpp"

#include <cmath>

namespace trenchwright {

namespace {

/// A sum kept without rounding, as parts that do not overlap, small to large (Shewchuk 1997, grow-expansion).
struct ExactSum {
    std::array<double, 16> parts{};
    std::size_t count = 0;

    void add(double term)
    {
        std::size_t kept = 0;
        for (std::size_t i = 0; i < count; ++i) {
            const double sum = term + parts[i];
            const double other = sum - term;
            const double rest = (term - (sum - other)) + (parts[i] - other);
            if (rest != 0) {
                parts[kept++] = rest;
            }
            term = sum;
        }
        if (term != 0 || kept == 0) {
            parts[kept++] = term;
        }
        count = kept;
    }

    void add_product(double a, double b)
    {
        const double product = a * b;
        add(std::fma(a, b, -product));
        add(product);
    }
};

int sign(double value)
{
    return (value > 0) - (value < 0);
}

int exact_turn_sign(const Point& a, const Point& b, const Point& c)
{
    ExactSum sum;
    sum.add_product(a.x_m, b.y_m);
    sum.add_product(-a.y_m, b.x_m);
    sum.add_product(b.x_m, c.y_m);
    sum.add_product(-b.y_m, c.x_m);
    sum.add_product(c.x_m, a.y_m);
    sum.add_product(-c.y_m, a.x_m);
    return sign(sum.parts[sum.count - 1]);
}

} // namespace

int turn_sign(const Point& a, const Point& b, const Point& c)
{
    const double left = (a.x_m - c.x_m) * (b.y_m - c.y_m);
    const double right = (a.y_m - c.y_m) * (b.x_m - c.x_m);
    // Shewchuk's bound ccwerrboundA, (3 + 16 eps) eps with eps = 2^-53, rounded up.
    const double doubt = 3.4e-16 * (std::abs(left) + std::abs(right));
    const double turn = left - right;
    return std::abs(turn) > doubt ? sign(turn) : exact_turn_sign(a, b, c);
}

} // namespace trenchwright
