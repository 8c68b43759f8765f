// SPDX-License-Identifier: Apache-2.0
#include "recording/evidence.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kFarSigmas = 6, kFarDegrees = 3;
constexpr double kFurthestZero = 75;  // degrees: three teeth of the smallest cam sprocket
constexpr std::size_t kEnoughCycles = 8;
constexpr double kPlacesDisagree = 9;  // mean χ² per degree of freedom

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

Result<MeasuredEvidence> evidence_of(const Decoded& decoded,
                                     std::span<const CamReference> references,
                                     std::span<const CamInDrive> drive,
                                     double reference_tolerance) {
  MeasuredEvidence evidence;
  const int teeth = tooth_count(decoded.crank.wheel);
  const double zero = zero_in_reference(decoded, references);
  for (const CamInDrive& in_drive : drive) {
    std::optional<PhaseMean> best;
    double reference_bias = 0;
    for (const DecodedCam& cam : decoded.cams) {
      if (cam.channel != in_drive.channel) continue;
      for (const CamReference& reference : references) {
        if (reference.channel != cam.channel || reference.polarity != cam.polarity) continue;
        const auto phase = cam_phase(decoded, cam, reference.angles, zero);
        if (!phase) {
          evidence.notes.push_back(fmt::format("{}: {}", in_drive.name, phase.error().why));
          continue;
        }
        const auto m = phase_mean(*phase, teeth);
        if (!m || (best && best->statistical <= m->statistical)) continue;
        best = m;
        reference_bias = reference.systematic;
      }
    }
    if (!best) {
      evidence.notes.push_back(in_drive.name + ": no signal, or no reference for it");
      continue;
    }
    if (best->cycles < kEnoughCycles)
      evidence.notes.push_back(fmt::format("{}: only {} cycles", in_drive.name, best->cycles));
    if (best->disagreement > kPlacesDisagree)
      evidence.notes.push_back(in_drive.name +
                               ": its edges do not move together: a bent target or a bad sensor");
    evidence.cams.push_back({in_drive.name, best->phase, best->statistical,
                             std::hypot(reference_tolerance, best->systematic, reference_bias),
                             in_drive.teeth, in_drive.chain, in_drive.strand_ratio,
                             in_drive.travel_from, in_drive.travel_to});
  }
  if (evidence.cams.empty())
    return tl::unexpected<Refusal>(Refusal{"no cam has both a signal and a reference"});
  evidence.zeros = common_angles(decoded.crank.wheel);
  return evidence;
}

}  // namespace tautmark
