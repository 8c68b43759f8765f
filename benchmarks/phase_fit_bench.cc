// SPDX-License-Identifier: Apache-2.0
// How often the 95 % interval of a phase fit holds the truth, over 10 000 simulated tables of every
// sort, how long a fit takes and how long a look-up of the lift. Argument: [COUNT]. Exit status 1
// when an interval holds in less than 93 or more than 97 of 100.
#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <random>
#include <vector>

#include "clearance/phase_fit.h"

namespace {

using namespace tautmark;
using namespace tautmark::clearance;

struct Table {
  const char* name;
  double first, last, step, lift_noise, angle_noise;
  bool stated, fit_scale;
};

constexpr Table kTables[] = {
    {"whole lobe, 5 deg, own scatter", 300, 640, 5, 0.02, 0, false, false},
    {"whole lobe, 5 deg, noise stated", 300, 640, 5, 0.02, 0, true, false},
    {"whole lobe, 20 deg, own scatter", 300, 640, 20, 0.02, 0, false, false},
    {"whole lobe, 40 deg, own scatter", 310, 630, 40, 0.02, 0, false, false},
    {"whole lobe, 10 deg, wheel 0.5 deg, stated", 300, 640, 10, 0.01, 0.5, true, false},
    {"whole lobe, 10 deg, scale fitted", 300, 640, 10, 0.02, 0, false, true},
    {"opening flank, 5 deg, own scatter", 300, 460, 5, 0.02, 0, false, false},
};

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double share_inside(const LiftCurve& curve, const Table& table, int sets) {
  std::mt19937 random(1957);
  std::normal_distribution<double> normal(0, 1);
  std::uniform_real_distribution<double> any(-25, 25);
  PhaseFitOptions options{.fit_scale = table.fit_scale, .search_within = crank_deg(40)};
  if (table.stated)
    options.noise = ReadingNoise{mm(table.lift_noise), crank_deg(table.angle_noise)};
  int inside = 0;
  for (int i = 0; i < sets; ++i) {
    const double early = any(random);
    std::vector<LiftSample> readings;
    for (double at = table.first; at <= table.last; at += table.step) {
      const CrankAngle real = crank_deg(at + early + table.angle_noise * normal(random));
      readings.push_back(
          {crank_deg(at), lift(curve, real) + mm(0.1 + table.lift_noise * normal(random))});
    }
    const auto fit = phase_fit(curve, readings, options);
    if (fit && std::abs(in_crank_deg(fit->early) - early) <= in_crank_deg(fit->U)) ++inside;
  }
  return 100.0 * inside / sets;
}

void time_lookups(const LiftCurve& curve) {
  constexpr int kLookups = 20'000'000;
  double sum = 0;
  const auto start = std::chrono::steady_clock::now();
  for (int i = 0; i < kLookups; ++i) sum += lift(curve, crank_deg(0.7137 * i)).si();
  fmt::print("look-up of a lift: {:.1f} ns (sum {:.3f} m)\n", seconds_since(start) / kLookups * 1e9,
             sum);
}

}  // namespace

int main(int argc, char** argv) {
  const int sets = argc > 1 ? std::atoi(argv[1]) : 10000;
  const LiftCurve curve =
      lift_curve(LawLobe{LiftLaw::polynomial_4567, mm(9.5), crank_deg(155), crank_deg(470)});
  bool good = sets > 0;
  for (const Table& table : kTables) {
    const auto start = std::chrono::steady_clock::now();
    const double share = share_inside(curve, table, sets);
    good = good && share >= 93 && share <= 97;
    fmt::print("{:42} {:.2f} % inside, {:.0f} µs a fit\n", table.name, share,
               seconds_since(start) / sets * 1e6);
  }
  time_lookups(curve);
  return good ? 0 : 1;
}
