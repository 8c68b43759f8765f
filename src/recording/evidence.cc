// SPDX-License-Identifier: Apache-2.0
#include "recording/evidence.h"

#include <algorithm>
#include <cmath>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kFarSigmas = 6, kFarDegrees = 3;
constexpr double kFurthestZero = 75;  // degrees: three teeth of the smallest cam sprocket

}  // namespace

std::optional<PhaseMean> phase_mean(const CamPhase& phase, int teeth) {
  std::vector<double> psi, apart;
  for (const CyclePhase& c : phase.cycles) psi.push_back(c.psi);
  if (psi.empty()) return std::nullopt;
  const double middle = lower_median(psi);
  for (const double p : psi) apart.push_back(std::abs(p - middle));
  const double scatter = 1.4826 * lower_median(apart);
  const double far = std::max(kFarDegrees, kFarSigmas * scatter);
  PhaseMean m;
  double weights = 0, squares = 0, residual = 0;
  for (const CyclePhase& c : phase.cycles) {
    if (std::abs(c.psi - middle) > far) continue;
    const double bias = ripple_uncertainty(teeth, c.per_minute);
    const double w = 1 / (c.sigma * c.sigma + scatter * scatter + bias * bias);
    weights += w;
    squares += w * w;
    m.phase += w * c.psi;
    m.systematic += w * bias;
    ++m.cycles;
  }
  m.phase /= weights;
  m.systematic /= weights;
  for (const CyclePhase& c : phase.cycles)
    if (std::abs(c.psi - middle) <= far) residual += (c.psi - m.phase) * (c.psi - m.phase);
  const auto n = static_cast<double>(m.cycles);
  const double sd = m.cycles > 1 ? std::sqrt(residual / (n - 1)) : phase.cycles.front().sigma;
  m.statistical = std::max(sd, 1e-3) * std::sqrt(squares) / weights;
  m.scatter = scatter;
  m.disagreement = phase.place_disagreement;
  return m;
}

std::vector<double> common_angles(const Wheel& wheel) {
  std::vector<double> angles;
  const double apart = 360.0 / std::max(1, wheel.symmetry);
  for (int m = 1; m * apart <= kFurthestZero; ++m) {
    angles.push_back(m * apart);
    angles.push_back(-m * apart);
  }
  return angles;
}

}  // namespace tautmark
