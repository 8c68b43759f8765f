// SPDX-License-Identifier: Apache-2.0
// With θ from the widest gap, H = 1 + ε cos θ and ζ across the half length:
// ∂θ(H³ ∂θP) + (d/l)² ∂ζ(H³ ∂ζP) = -ε sin θ, P = p c² / (6 μ ω r²), nowhere below 0
// (Christopherson's relaxation, 1941). Half of the length is enough.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "oil/bearing.h"

namespace tautmark::oil {
namespace {

using std::numbers::pi;

constexpr int kAround = 240;
constexpr int kAcross = 20;
constexpr int kMostSweeps = 6000;
constexpr double kRelax = 1.85;

double cubed(double v) { return v * v * v; }

struct Grid {
  double eccentricity, shape;  // (d/l)²
  std::vector<double> pressure = std::vector<double>((kAround + 1) * (kAcross + 1));

  static constexpr double around = 2 * pi / kAround, across = 1.0 / kAcross;
  double gap(double row) const { return 1 + eccentricity * std::cos(row * around); }
  // Column 0 is the middle of the bearing, the last one its edge.
  double& at(int row, int column) { return pressure[row * (kAcross + 1) + column]; }
  double at(int row, int column) const { return pressure[row * (kAcross + 1) + column]; }

  double sweep();
  void solve();
};

double Grid::sweep() {
  double changed = 0, largest = 0;
  for (int i = 1; i < kAround; ++i) {
    const double before = cubed(gap(i - 0.5)) / (around * around);
    const double after = cubed(gap(i + 0.5)) / (around * around);
    const double beside = shape * cubed(gap(i)) / (across * across);
    const double source = (gap(i + 0.5) - gap(i - 0.5)) / around;
    const double all = before + after + 2 * beside;
    for (int j = 0; j < kAcross; ++j) {
      const double inner = at(i, j == 0 ? 1 : j - 1);
      const double wanted = (before * at(i - 1, j) + after * at(i + 1, j) +
                             beside * (inner + at(i, j + 1)) - source) /
                            all;
      const double next = std::max(0.0, at(i, j) + kRelax * (wanted - at(i, j)));
      changed = std::max(changed, std::abs(next - at(i, j)));
      largest = std::max(largest, next);
      at(i, j) = next;
    }
  }
  return changed / std::max(largest, 1e-300);
}

void Grid::solve() {
  for (int n = 0; n < kMostSweeps; ++n)
    if (sweep() < 1e-8) return;
}

// Trapezoids across the half length, times two.
template <class F>
double over_length(F value) {
  double sum = (value(0) + value(kAcross)) / 2;
  for (int j = 1; j < kAcross; ++j) sum += value(j);
  return 2 * sum / kAcross;
}

}  // namespace

Result<BearingFilm> bearing_film(double length_by_diameter, double eccentricity) {
  if (!(length_by_diameter >= 0.1 && length_by_diameter <= 2))
    return refuse("a bearing's length by diameter is not between 0.1 and 2");
  if (!(eccentricity >= 0.02 && eccentricity <= 0.97))
    return refuse("a bearing's eccentricity is not between 0.02 and 0.97");
  Grid grid{eccentricity, 1 / (length_by_diameter * length_by_diameter)};
  grid.solve();
  double along = 0, across = 0, side = 0, shear = 0, peak = 0;
  for (int i = 0; i < kAround; ++i) {
    const double angle = i * Grid::around;
    const double pressure = over_length([&](int j) { return grid.at(i, j); });
    along += pressure * std::cos(angle) * Grid::around;
    across += pressure * std::sin(angle) * Grid::around;
    // Slope at the edge by three points.
    const double falls = (4 * grid.at(i, kAcross - 1) - grid.at(i, kAcross - 2)) / 2 / Grid::across;
    side += cubed(grid.gap(i)) * falls * Grid::around;
    // ∫ 3 H ∂θP dθ by parts: -3 ∫ H' P dθ.
    shear += (2 / grid.gap(i) + 3 * eccentricity * std::sin(angle) * pressure) * Grid::around;
    for (int j = 0; j <= kAcross; ++j) peak = std::max(peak, grid.at(i, j));
  }
  const double load = std::hypot(along, across);
  const double begins =
      over_length([&](int j) { return (4 * grid.at(1, j) - grid.at(2, j)) / 2 / Grid::around; });
  BearingFilm out;
  out.sommerfeld = 1 / (3 * pi * load);
  out.flow = pi / 2 * (2 * grid.gap(0) - cubed(grid.gap(0)) * begins);
  out.side = pi / (length_by_diameter * length_by_diameter) * side / out.flow;
  out.load_by_peak = load / 4 / peak;
  out.friction = shear / (6 * load);
  return out;
}

}  // namespace tautmark::oil
