// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "recording/health_parts.h"
#include "recording/phase_motion.h"
#include "recording/phase_statistics.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kBent = 1;         // degrees that one target may stand off the others
constexpr double kLeastMove = 0.5;  // degrees of a target inside a recording
constexpr int kEachSide = 5;        // cycles
constexpr double kManyDropped = 0.02, kOftenDropped = 0.1;
constexpr double kSwapped = 4;  // factor by which the other polarity fits better

std::string edge_word(const DecodedCam& cam) { return cam.polarity > 0 ? "rising" : "falling"; }

std::string who_words(const SignalTrains& trains, const DecodedCam& cam) {
  return fmt::format("{}, {} edges", recording::channel_words(trains, cam.channel), edge_word(cam));
}

std::string bent_words(std::size_t place, const DecodedCam& cam, double degrees) {
  return fmt::format(
      "edge {} of {} (at {:.1f}°) stands {} than the others: a bent target or a "
      "slipped magnet, no phase",
      place + 1, cam.places.angles.size(), cam.places.angles[place], change_words(degrees));
}

void add_dropped(const SignalTrains& trains, const DecodedCam& cam, recording::Findings& out) {
  // Cycles with edges, piece by piece; the first and the last of a piece may be cut.
  std::map<std::pair<std::size_t, std::int64_t>, std::set<int>> seen;
  for (const CamEdge& edge : cam.edges)
    if (edge.place >= 0) seen[{edge.piece, edge.cycle}].insert(edge.place);
  std::vector<int> missed(cam.places.angles.size(), 0);
  int whole = 0, all = 0;
  for (auto it = seen.begin(); it != seen.end(); ++it) {
    const auto next = std::next(it);
    if (it == seen.begin() || std::prev(it)->first.first != it->first.first) continue;
    if (next == seen.end() || next->first.first != it->first.first) continue;
    ++whole;
    for (std::size_t p = 0; p < missed.size(); ++p) {
      if (it->second.contains(static_cast<int>(p))) continue;
      ++missed[p];
      ++all;
    }
  }
  if (whole < 4) return;
  const std::string who = who_words(trains, cam);
  if (all > 0) {
    const double part = static_cast<double>(all) / whole / static_cast<double>(missed.size());
    HealthFinding f{HealthKind::dropped_edges,
                    HealthSeverity::note,
                    cam.channel,
                    0,
                    part,
                    "of the edges",
                    {},
                    fmt::format("{}: {} dropped in {} cycles", who, all, whole)};
    if (part > kManyDropped) f.severity = HealthSeverity::bad;
    const auto culprit = recording::culprit_of(missed);
    if (culprit || missed.size() == 1) {
      const std::size_t at = culprit ? culprit->index : 0;
      f.number = static_cast<int>(at) + 1;
      if (culprit) f.chance = culprit->chance;
      f.value = static_cast<double>(missed[at]) / whole;
      f.unit = "of the cycles";
      if (f.value > kOftenDropped) f.severity = HealthSeverity::bad;
      f.words +=
          fmt::format(", {} of them edge {} ({:.1f}°): that target is damaged or too far off",
                      missed[at], at + 1, cam.places.angles[at]);
    } else {
      f.words += ", at no edge more than at others: sensor gap, wiring or noise";
    }
    out.push_back(std::move(f));
  }
  if (cam.places.wrong > 0) {
    const double part =
        static_cast<double>(cam.places.wrong) / static_cast<double>(cam.edges.size());
    out.push_back({HealthKind::wrong_edges,
                   part > kManyDropped ? HealthSeverity::bad : HealthSeverity::note,
                   cam.channel,
                   0,
                   static_cast<double>(cam.places.wrong),
                   "edges",
                   {},
                   fmt::format("{}: {} of {} lie at no place of the wheel, over 20° off or second "
                               "ones: noise or bounce",
                               who, cam.places.wrong, cam.edges.size())});
  }
}

// Against a reference: one place off the median of the places.
void add_bent(const SignalTrains& trains, const Decoded& decoded, const DecodedCam& cam,
              const CamReference& reference, double zero, recording::Findings& out) {
  const auto phase = cam_phase(decoded, cam, reference.angles, zero);
  if (!phase || phase->places.size() < 2) return;
  std::vector<double> psi;
  for (const PlaceSummary& place : phase->places) psi.push_back(place.psi);
  std::vector<double> sorted = psi;
  std::sort(sorted.begin(), sorted.end());
  const double middle = (sorted[(sorted.size() - 1) / 2] + sorted[sorted.size() / 2]) / 2;
  std::size_t worst = 0;
  for (std::size_t p = 1; p < psi.size(); ++p)
    if (std::abs(psi[p] - middle) > std::abs(psi[worst] - middle)) worst = p;
  const double off = psi.size() == 2 ? psi[1] - psi[0] : psi[worst] - middle;
  if (std::abs(off) < std::max(kBent, 3 * phase->systematic)) return;
  HealthFinding f{HealthKind::place_disagreement, HealthSeverity::bad, cam.channel, 0, off, "°", {},
                  who_words(trains, cam) + ": "};
  if (psi.size() == 2) {
    f.words +=
        fmt::format("edge 2 stands {} than edge 1: one of the two targets is bent or slipped",
                    change_words(off));
  } else {
    f.number = static_cast<int>(worst) + 1;
    f.words += bent_words(worst, cam, off);
  }
  out.push_back(std::move(f));
}

// Inside the recording: one place that steps against the mean of the others.
void add_moved(const SignalTrains& trains, const Decoded& decoded, const DecodedCam& cam,
               recording::Findings& out) {
  const std::size_t places = cam.places.angles.size();
  if (places < 2 || tooth_count(decoded.crank.wheel) < 6) return;
  std::map<std::int64_t, std::vector<const CamEdge*>> cycles;
  for (const CamEdge& edge : cam.edges)
    if (edge.place >= 0) cycles[edge.cycle].push_back(&edge);
  HealthFinding worst;
  for (std::size_t p = 0; p < places; ++p) {
    std::vector<double> off, time;
    for (const auto& [cycle, edges] : cycles) {
      if (edges.size() != places) continue;
      double others = 0, own = 0;
      for (const CamEdge* edge : edges) {
        if (edge->place == static_cast<int>(p))
          own = -edge->residual, time.push_back(edge->time);
        else
          others -= edge->residual / static_cast<double>(places - 1);
      }
      off.push_back(own - others);
    }
    const double jitter = robust_jitter(off);
    const std::vector<PhaseStep> steps = phase_steps(off);
    for (std::size_t s = 0; s < steps.size(); ++s) {
      const std::size_t before = s == 0 ? 0 : steps[s - 1].index;
      const std::size_t after = s + 1 < steps.size() ? steps[s + 1].index : off.size();
      if (steps[s].index - before < kEachSide || after - steps[s].index < kEachSide) continue;
      const double change = steps[s].change;
      if (std::abs(change) < std::max(kLeastMove, 5 * jitter)) continue;
      if (std::abs(change) <= std::abs(worst.value) + 1e-9) continue;
      worst = {HealthKind::place_disagreement,
               HealthSeverity::bad,
               cam.channel,
               places == 2 ? 0 : static_cast<int>(p) + 1,
               change,
               "°",
               {},
               fmt::format("{}: from {:.2f} s on {}{}", who_words(trains, cam),
                           time[steps[s].index], bent_words(p, cam, change),
                           places == 2 ? "; or the other edge by as much the other way" : "")};
    }
  }
  if (worst.channel != 0) out.push_back(std::move(worst));
}

// Steps from the rising to the falling edges and on, in order of angle: the shape of the wheel.
struct Shape {
  std::vector<double> angle;
  std::vector<int> polarity;
};
Shape shape_of(std::span<const double> rising, std::span<const double> falling) {
  std::vector<std::pair<double, int>> edges;
  for (const double a : rising) edges.emplace_back(a, 1);
  for (const double a : falling) edges.emplace_back(a, -1);
  std::sort(edges.begin(), edges.end());
  Shape shape;
  for (const auto& [angle, polarity] : edges) {
    shape.angle.push_back(angle);
    shape.polarity.push_back(polarity);
  }
  return shape;
}

// Mean distance of the steps when the shapes lie over each other best; `sign` -1: rising over
// falling.
double misfit(const Shape& a, const Shape& b, int sign, double cycle) {
  const std::size_t n = a.angle.size();
  const auto step = [&](const Shape& s, std::size_t i) {
    return s.angle[(i + 1) % n] - s.angle[i % n] + (i % n + 1 == n ? cycle : 0);
  };
  double best = 1e300;
  for (std::size_t r = 0; r < n; ++r) {
    if (a.polarity[0] != sign * b.polarity[r]) continue;
    double cost = 0;
    for (std::size_t i = 0; i < n; ++i)
      cost += std::abs(step(a, i) - step(b, i + r)) / static_cast<double>(n);
    best = std::min(best, cost);
  }
  return best;
}

void add_swapped(const SignalTrains& trains, const Decoded& decoded,
                 std::span<const CamReference> references, recording::Findings& out) {
  for (const DecodedCam& rising : decoded.cams) {
    if (rising.polarity < 0) continue;
    const auto falling = std::find_if(
        decoded.cams.begin(), decoded.cams.end(),
        [&](const DecodedCam& cam) { return cam.channel == rising.channel && cam.polarity < 0; });
    const auto reference = [&](int polarity) {
      return std::find_if(references.begin(), references.end(), [&](const CamReference& r) {
        return r.channel == rising.channel && r.polarity == polarity;
      });
    };
    const auto up = reference(1), down = reference(-1);
    if (falling == decoded.cams.end() || up == references.end() || down == references.end())
      continue;
    const Shape now = shape_of(rising.places.angles, falling->places.angles);
    const Shape good = shape_of(up->angles, down->angles);
    if (now.angle.size() != good.angle.size()) continue;
    const double same = misfit(now, good, 1, decoded.cycle);
    const double other = misfit(now, good, -1, decoded.cycle);
    if (!(same > 1 && same > kSwapped * other)) continue;
    double width = 0;  // of the first target of the reference
    for (std::size_t i = 0; i < good.angle.size(); ++i)
      if (good.polarity[i] > 0) {
        width = good.angle[(i + 1) % good.angle.size()] - good.angle[i];
        break;
      }
    width -= decoded.cycle * std::floor(width / decoded.cycle);
    out.push_back(
        {HealthKind::polarity_swap,
         HealthSeverity::bad,
         rising.channel,
         0,
         width,
         "°",
         {},
         fmt::format(
             "{}: its rising edges are the falling ones of the reference: polarity swapped "
             "(wires, a pull-up or another sensor); compared as it is, every angle moves by "
             "the width of a target ({:.1f}° at the first)",
             recording::channel_words(trains, rising.channel), width)});
  }
}

}  // namespace

void recording::add_place_findings(const SignalTrains& trains, const Decoded& decoded,
                                   const HealthOptions& options, Findings& out) {
  const std::size_t before = out.size();
  add_swapped(trains, decoded, options.references, out);
  std::set<int> swapped;
  for (std::size_t i = before; i < out.size(); ++i) swapped.insert(out[i].channel);
  const double zero =
      options.references.empty() ? 0 : zero_in_reference(decoded, options.references);
  for (const DecodedCam& cam : decoded.cams) {
    add_dropped(trains, cam, out);
    const std::size_t moved = out.size();
    add_moved(trains, decoded, cam, out);
    if (out.size() > moved || swapped.contains(cam.channel)) continue;
    for (const CamReference& r : options.references)
      if (r.channel == cam.channel && r.polarity == cam.polarity)
        add_bent(trains, decoded, cam, r, zero, out);
  }
}

}  // namespace tautmark
