// SPDX-License-Identifier: Apache-2.0
// Size and form of a journal or bore from diameters at several positions and directions.
//
//   size                 mean of all diameters, with the smallest (worn journal) and the largest
//                        (worn bore)
//   out of round         difference convention: D_max - D_min (what a shop says)
//                        radial convention: (D_max - D_min) / 2 (what a roundness gauge shows for
//                        an oval part)
//   taper                (D_top - D_bottom) / L on diameter; the wall angle is half of it
//   oval                 D(t) = D0 + A cos 2t + B sin 2t, R = sqrt(A² + B²); D_max - D_min = 2 R,
//                        radial convention R, long axis at atan2(B, A) / 2
//
// Two diameters 90° apart catch anything from 0 to 100 % of an oval, depending on where its long
// axis lies; the fit from three directions or more catches all of a pure oval.
// Diameters are blind to 3, 5, 7 lobes (centerless grinding, three-jaw clamping): the diameter of
// such a part is constant. Run-out and concentricity cannot be had from diameters at all.
// Refused: values that are not finite, diameters not above 0 or above 100 m, too few
// readings.
// Source: ISO 4292:1985 (methods; the factors here follow from geometry).
#pragma once

#include <optional>
#include <span>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark {

struct DiameterSummary {
  int n = 0;
  Length mean;
  Length min;
  Length max;
  Length out_of_round_difference;  // D_max - D_min
  Length out_of_round_radial;      // half of it
};

Result<DiameterSummary> diameter_summary(std::span<const Length> diameters);

struct Taper {
  Length difference;  // top - bottom, signed
  Ratio on_diameter;  // difference / distance, signed
  Angle wall_angle;   // of one wall against the axis, signed
};

Result<Taper> taper(Length top, Length bottom, Length distance);

struct DiameterReading {
  Angle direction;  // of the measured diameter, seen from a stated end; 180° is the same as 0°
  Length diameter;
};

struct OvalFit {
  Length mean_diameter;            // D0
  Length amplitude;                // R
  Length out_of_round_difference;  // 2 R
  Length out_of_round_radial;      // R
  std::optional<Angle> long_axis;  // in [0°, 180°); not given when R is 0
  // sd of the residuals with n - 3 degrees of freedom; not given for three readings.
  std::optional<Length> residual_sd;
  // u of D0 and of R for a standard uncertainty of 1 in every single diameter, independent.
  double mean_u_factor = 0;
  double amplitude_u_factor = 0;
};

// At least three directions, apart by more than 5° modulo 180°, and not so close together that the
// fit would multiply a reading error more than twentyfold.
Result<OvalFit> oval_fit(std::span<const DiameterReading> readings);

// Part of the true D_max - D_min of an oval that plain max - min catches with K directions equally
// spaced over 180°, over all positions of the long axis.
//   K even: cos(π/K) ... 1      K odd: cos²(π/2K) ... cos(π/2K)
struct CapturedPart {
  double least = 0;
  double most = 0;
};

Result<CapturedPart> captured_part(int directions);  // 2 to 180

// Indicator range / (2 a) for n lobes of radial amplitude a.
//   two-point: 2 for even n, 0 for odd n
//   three-point, symmetrical V block, indicator opposite the V:
//     F_n = |1 + (-1)^n cos(n β) / cos β|, β = 90° - included angle / 2
// Divide an indicator range by F_n only if n is known and F_n is not 0. Small amplitudes, exact V.
Result<double> two_point_factor(int lobes);                          // 2 to 100 lobes
Result<double> three_point_factor(Angle included_angle, int lobes);  // 20° to 160°

}  // namespace tautmark
