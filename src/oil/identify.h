// SPDX-License-Identifier: Apache-2.0
// From pressures measured on an engine to what its clearances, holes and oil must be: the
// posterior of a few unknowns of a network, by Bayes' rule, with what the readings leave open.
//
//   each unknown x has a prior of its own: ln x normal about ln(median), or x alike between two
//   ends. As z = (ln x - ln median) / sd, or x = low + (high - low) Φ(z), every prior is the
//   standard normal one, and the posterior of z goes with
//
//     exp(-(|r|² + |z|²) / 2),   r = (read - predicted(z)) / standard uncertainty
//
// The most likely z by damped Gauss-Newton. A draw is the z that fits readings and prior disturbed
// by noise of their own, in the tangents at the mode (randomize-then-optimize: Bardsley et al.,
// SIAM J. Sci. Comput. 36, 2014), or, one in ten, a draw from the prior; weighted by posterior over
// the density of its drawing. Where a draw lies deeper than the mode, once again from there. Errors
// of the readings are independent and normal; what they share (one gauge for all, one thermometer)
// is left out or is an unknown of its own. Everything is the same again for the same seed.
//
// An interval holds for this network: what is not an unknown is taken as exactly known.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "oil/network_solver.h"

namespace tautmark::oil {

struct NormalLn {
  double median = 1;
  double sd = 0;  // of the natural logarithm
};
struct Between {
  double low = 0, high = 0;
};
using Prior = std::variant<NormalLn, Between>;

struct Unknown {
  std::string name;
  Prior prior{};
};

// Writes values of the unknowns into the network; everything it ever changes is set every time.
using ApplyToNetwork = std::function<void(std::span<const double>, NetworkSolver&)>;
// Writes them into oil and speed of one condition.
using ApplyToRunning = std::function<void(std::span<const double>, Running&)>;

struct PressureReading {
  Running running{};  // when it was read: several conditions may be mixed
  std::size_t node = 0;
  Pressure read{};
  Pressure standard{};  // uncertainty, one standard deviation
};

struct Identification {
  Network network{};
  std::vector<Unknown> unknowns{};
  ApplyToNetwork apply{};
  ApplyToRunning apply_to_running{};  // none: the oil is what `running` says
  std::vector<PressureReading> readings{};
};

struct Sampling {
  std::uint64_t seed = 1;
  std::size_t draws = 2000;
};

// Fewer effective draws than these tell no 95 % interval.
inline constexpr double kLeastEffective = 100;
// Of the normal scores z: from here up two unknowns are one; a posterior this wide is the prior.
inline constexpr double kInseparable = 0.9;
inline constexpr double kToldNothing = 0.9;

struct Interval {
  double low = 0, median = 0, high = 0;  // 2.5 %, 50 %, 97.5 %
};

struct InseparablePair {
  std::size_t one = 0, other = 0;
  double correlation = 0;
};

struct Posterior {
  std::size_t unknowns = 0;
  std::vector<double> values{};   // draw after draw, in each unknown after unknown
  std::vector<double> weights{};  // by draw, sum 1
  std::vector<double> mode{};     // of z, as values of the unknowns
  double effective = 0;           // (Σw)² / Σw²
  // Readings less what the mode predicts, in standard uncertainties; |r|² + |z|² of the mode, which
  // is chi-square with one degree of freedom for each reading where the model holds (exactly so
  // when it is linear), and its tail.
  std::vector<double> residuals{};
  double chi_square = 0;
  double tail = 0;
  bool explained = false;  // tail at least 1 %
  std::vector<InseparablePair> inseparable{};
  std::vector<std::size_t> told_nothing{};  // unknowns that the readings say nothing of
  std::vector<std::string> said{};

  std::span<const double> draw(std::size_t i) const {
    return {values.data() + i * unknowns, unknowns};
  }
};

// Refuses no readings, no unknowns, one without a name or with that of another, a prior that is
// none, a reading at no node or without an uncertainty (naming it), what the network refuses
// (naming the element) and too few effective draws.
Result<Posterior> posterior(const Identification& in, const Sampling& sampling);

Interval interval_of(const Posterior& of, std::size_t unknown);

// Any number of a solved network for every draw; `option` is applied after the draw ("new head")
// and may be none.
struct Forecast {
  std::vector<double> values{};  // by draw
  Interval interval{};
};
using ReadOff = std::function<double(const NetworkSolver&)>;
Result<Forecast> forecast(const Identification& in, const Posterior& of, const Running& running,
                          const ApplyToNetwork& option, const ReadOff& read_off);

// Of weighted values; weights not negative, their sum above 0.
Interval interval_of(std::span<const double> values, std::span<const double> weights);

}  // namespace tautmark::oil
