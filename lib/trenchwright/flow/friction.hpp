#pragma once

#include <cstddef>
#include <span>
#include <string>

namespace trenchwright {

/// Head lost in a pipe that runs full under pressure: Hazen-Williams, h = K L Q^1.852 / (C^1.852 d^m).

/// The three printed forms of the formula; they lie within 1.6 % of each other for the pipes of this trade.
enum class FrictionForm {
    handbook,  ///< 0.2083 per 100 ft, gpm, in, m 4.8655: the form that the printed friction tables were made with
    worksheet, ///< 10.5 L, ft, gpm, in, m 4.8655: Minnesota Pollution Control Agency, pump worksheet, item 9C
    si         ///< 10.67 L, m and m3/s, m 4.8704
};

/// What friction needs to know about the pipe.
struct PressurePipe {
    double bore_m = 0;           ///< inside diameter
    double hazen_williams_c = 0; ///< smoothness by material; 150 for plastic pipe
    FrictionForm form = FrictionForm::handbook;
    friend bool operator==(const PressurePipe&, const PressurePipe&) = default;
};

/// Fittings of one kind. What a fitting costs in pipe differs by a factor of two between tables: it is the user's.
struct PipeFitting {
    std::string name;
    std::size_t count = 0;
    double equivalent_length_m = 0; ///< of each, in pipe of the same bore
    friend bool operator==(const PipeFitting&, const PipeFitting&) = default;
};

// All throw Error (input) for a pipe or fitting out of range and (internal) for a flow or velocity below 0.

/// Head lost per length of pipe.
/// Source: docs/sources.md, H1 to H10: Illinois Adm. Code 77-906 app. A exhibit I, within 2 % or 0.01 ft per 100 ft.
double friction_ratio(const PressurePipe& pipe, double flow_m3ps);

/// Pipe that costs as much head as all the fittings together. None gives 0.
double fittings_length_m(std::span<const PipeFitting> fittings);

/// Equivalent length from a table in bores (30 for a 90 degree elbow).
double equivalent_length_m(double bores_ratio, double bore_m);

/// Mean velocity of a flow that fills the bore, and the flow for a velocity.
double filled_velocity_mps(double flow_m3ps, double bore_m);
double filled_flow_m3ps(double velocity_mps, double bore_m);

/// V^2 / 2g with the standard g of 9.80665 m/s2.
double velocity_head_m(double velocity_mps);

} // namespace trenchwright
