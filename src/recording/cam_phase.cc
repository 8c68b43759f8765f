// SPDX-License-Identifier: Apache-2.0
#include "recording/cam_phase.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "recording/angle.h"
#include "recording/phase_statistics.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kLeastSensor = 0.005;               // degrees: nothing is exact
constexpr double kAlike = 1.5, kAlikeFewTeeth = 10;  // degrees: ripple between few teeth is unseen

PlaceSummary summary_of(const DecodedCam& cam, std::size_t place, double cycle) {
  std::vector<double> residuals;
  for (const CamEdge& edge : cam.edges)
    if (edge.place == static_cast<int>(place)) residuals.push_back(edge.residual);
  PlaceSummary result;
  result.count = static_cast<int>(residuals.size());
  if (residuals.empty()) return result;
  const PhaseStatistics s = phase_statistics(residuals);
  const double angle = cam.places.angles[place] + s.mean;
  result.angle = angle - cycle * std::floor(angle / cycle);
  result.sd = s.sd;
  result.jitter = s.jitter;
  return result;
}

double edge_variance(const Decoded& decoded, const DecodedCam& cam, const CamEdge& edge,
                     double jitter, double speed) {
  const Knots& knots = decoded.crank.pieces[edge.piece];
  auto after = std::upper_bound(knots.time.begin(), knots.time.end(), edge.time);
  if (after == knots.time.end()) --after;
  if (after == knots.time.begin()) ++after;
  const auto i = static_cast<std::size_t>(after - knots.time.begin());
  const double apart = knots.angle[i] - knots.angle[i - 1];
  const double f = (edge.angle - knots.angle[i - 1]) / apart;
  const double sampling = speed * cam.time_uncertainty;
  const double knot = speed * decoded.crank.time_uncertainty;
  const double falling = std::min(1.0, 250 * 6 / speed);
  const double interpolation =
      tooth_count(decoded.crank.wheel) < 6
          ? 0
          : 0.15 * std::pow(std::min(apart, 60.0) / 30, 3) * falling * falling;
  const double sensor = std::max(jitter, kLeastSensor);
  return sampling * sampling + (1 - 2 * f + 2 * f * f) * knot * knot +
         interpolation * interpolation + sensor * sensor;
}

// Which place of the reference is the first of the recording: a late enough cam moves a place past
// the end of the cycle. The places keep their distances; of those that do within `alike` degrees a
// place the smallest phase counts: a target wheel may be even.
std::size_t first_in_reference(const std::vector<PlaceSummary>& places,
                               std::span<const double> reference, double zero, double cycle,
                               double alike) {
  std::vector<double> costs, shifts;
  for (std::size_t r = 0; r < reference.size(); ++r) {
    std::vector<double> apart;
    for (std::size_t p = 0; p < places.size(); ++p)
      apart.push_back(
          wrapped(places[p].angle - zero - reference[(p + r) % reference.size()], cycle));
    const double shift = circular_mean(apart, cycle);
    double cost = 0;
    for (const double a : apart) cost += std::abs(wrapped(a - shift, cycle));
    costs.push_back(cost / static_cast<double>(places.size()));
    shifts.push_back(std::abs(wrapped(shift, cycle)));
  }
  std::size_t best = 0;
  const double least = costs.empty() ? 0 : *std::min_element(costs.begin(), costs.end());
  double smallest = 1e300;
  for (std::size_t r = 0; r < costs.size(); ++r) {
    if (costs[r] > least + alike || shifts[r] >= smallest) continue;
    smallest = shifts[r];
    best = r;
  }
  return best;
}

struct Sums {
  double weight = 0, psi = 0, square = 0, time = 0, speed = 0;
  int edges = 0;
};

}  // namespace

std::vector<CamReference> references_of(const Decoded& good) {
  std::vector<CamReference> references;
  for (const DecodedCam& cam : good.cams) {
    CamReference& r = references.emplace_back(CamReference{cam.channel, cam.polarity, {}, 0});
    for (std::size_t p = 0; p < cam.places.angles.size(); ++p)
      r.angles.push_back(summary_of(cam, p, good.cycle).angle);
    if (const auto phase = cam_phase(good, cam)) r.systematic = phase->systematic;
  }
  return references;
}

double zero_in_reference(const Decoded& decoded, std::span<const CamReference> references) {
  const int symmetry = std::max(1, decoded.crank.wheel.symmetry);
  const int zeros = static_cast<int>(decoded.cycle / 360) * symmetry;
  double best = 0, best_cost = 1e300;
  for (int z = 0; z < zeros; ++z) {
    const double zero = 360.0 * z / symmetry;
    double cost = 0;
    for (const DecodedCam& cam : decoded.cams) {
      for (const CamReference& r : references) {
        if (r.channel != cam.channel || r.polarity != cam.polarity) continue;
        const auto phase = cam_phase(decoded, cam, r.angles, zero);
        if (!phase) continue;
        std::vector<double> psi;
        for (const CyclePhase& c : phase->cycles) psi.push_back(c.psi);
        cost += std::abs(lower_median(std::move(psi)));
      }
    }
    if (cost >= best_cost - 1e-6) continue;
    best_cost = cost;
    best = zero;
  }
  return best;
}

Result<CamPhase> cam_phase(const Decoded& decoded, const DecodedCam& cam,
                           std::span<const double> reference, double zero) {
  if (!reference.empty() && reference.size() != cam.places.angles.size())
    return tl::unexpected<Refusal>(
        Refusal{fmt::format("the reference has {} edges per cycle, the recording {}",
                            reference.size(), cam.places.angles.size())});
  CamPhase phase;
  phase.channel = cam.channel;
  phase.polarity = cam.polarity;
  phase.wrong_edges = cam.places.wrong;
  for (std::size_t p = 0; p < cam.places.angles.size(); ++p)
    phase.places.push_back(summary_of(cam, p, decoded.cycle));

  const bool few = tooth_count(decoded.crank.wheel) < 6;
  const std::size_t first = first_in_reference(phase.places, reference, zero, decoded.cycle,
                                               few ? kAlikeFewTeeth : kAlike);
  const auto reference_of = [&](std::size_t p) {
    return reference.empty() ? phase.places[p].angle
                             : reference[(p + first) % reference.size()] + zero;
  };
  for (std::size_t p = 0; p < phase.places.size(); ++p)
    phase.places[p].psi = -wrapped(phase.places[p].angle - reference_of(p), decoded.cycle);
  std::map<std::int64_t, Sums> cycles;
  for (const CamEdge& edge : cam.edges) {
    if (edge.place < 0) continue;
    const auto p = static_cast<std::size_t>(edge.place);
    const double angle = cam.places.angles[p] + edge.residual;
    const double psi = -wrapped(angle - reference_of(p), decoded.cycle);
    const double speed = speed_at(decoded.crank.pieces[edge.piece], edge.time);
    const double weight = 1 / edge_variance(decoded, cam, edge, phase.places[p].jitter, speed);
    Sums& sums = cycles[edge.cycle];
    sums.weight += weight;
    sums.psi += weight * psi;
    sums.square += weight * psi * psi;
    sums.time += edge.time;
    sums.speed += speed / 6;
    ++sums.edges;
  }
  std::vector<double> speeds;
  double disagreement = 0, degrees = 0;
  for (const auto& [cycle, sums] : cycles) {
    CyclePhase c;
    c.cycle = cycle;
    c.edges = sums.edges;
    c.time = sums.time / sums.edges;
    c.psi = sums.psi / sums.weight;
    c.sigma = 1 / std::sqrt(sums.weight);
    c.chi_squared = std::max(0.0, sums.square - c.psi * sums.psi);
    c.per_minute = sums.speed / sums.edges;
    speeds.push_back(c.per_minute);
    disagreement += c.chi_squared;
    degrees += sums.edges - 1;
    phase.cycles.push_back(c);
  }
  if (degrees > 0) phase.place_disagreement = disagreement / degrees;
  phase.systematic =
      ripple_uncertainty(tooth_count(decoded.crank.wheel), lower_median(std::move(speeds)));
  return phase;
}

Result<SensorDelay> sensor_delay(const CamPhase& phase) {
  std::vector<double> speed, angle;
  for (const CyclePhase& c : phase.cycles) {
    speed.push_back(6 * c.per_minute);
    angle.push_back(-c.psi);
  }
  if (speed.size() < 8) return tl::unexpected<Refusal>(Refusal{"fewer than 8 cycles"});
  const auto [low, high] = std::minmax_element(speed.begin(), speed.end());
  if (*high < 2 * *low)
    return tl::unexpected<Refusal>(Refusal{"one speed only: a delay needs a spread of 2 to 1"});
  const LineFit fit = line_fit(speed, angle);
  return SensorDelay{fit.slope, fit.slope_error};
}

}  // namespace tautmark
