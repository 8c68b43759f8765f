// SPDX-License-Identifier: Apache-2.0
// A lift table over one period: made whole, its cubic spline, and a guard against what no valve
// does. Internal to lift.cc (and its test): plain doubles, SI.
//
// Spline slopes m_i of unequal steps h_i, secants d_i (second derivative the same on both sides):
//   m_{i-1}/h_{i-1} + 2 m_i (1/h_{i-1} + 1/h_i) + m_{i+1}/h_i = 3 (d_{i-1}/h_{i-1} + d_i/h_i)
// cyclic, solved by Sherman and Morrison's correction of one tridiagonal solve.
//
// Guard: a reading of no lift is a lowest place, so the slope there is 0. Then the base circle
// stays without ripples, and from there the lift (cut off at 0) only rises. Limiting the slopes of
// the readings beside it as well (Fritsch and Carlson: at most 3 secants) would make the table of
// 5 cam deg worse, 0.0004 mm for 0.0003 mm, and win nothing over the cut. Source: geometry.md 6.2.
#pragma once

#include <vector>

#include "clearance/lift.h"

namespace tautmark::clearance {

struct TableReading {
  double at = 0;  // rising, all within less than one period
  double lift = 0;
};

// Filled up with shut readings over what a table of the lobe alone leaves out; without the last
// reading where it repeats the first. Refuses as lift_curve() does.
Result<std::vector<TableReading>> whole_cycle(const std::vector<LiftSample>& table);

std::vector<double> periodic_spline_slopes(const std::vector<TableReading>& table, double period);

void hold_shut(const std::vector<TableReading>& table, std::vector<double>& slopes);

struct TablePoint {
  double lift = 0;
  double slope = 0;
};
TablePoint between(const std::vector<TableReading>& table, const std::vector<double>& slopes,
                   double period, double at);

// Cubic from a to b with the end slopes (per whole step) p and q; t from 0 to 1.
inline double hermite(double a, double p, double b, double q, double t) {
  const double rise = b - a;
  return a + t * (p + t * ((3 * rise - 2 * p - q) + t * (p + q - 2 * rise)));
}
inline double hermite_slope(double a, double p, double b, double q, double t) {
  const double rise = b - a;
  return p + t * (2 * (3 * rise - 2 * p - q) + 3 * t * (p + q - 2 * rise));
}

}  // namespace tautmark::clearance
