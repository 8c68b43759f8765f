// SPDX-License-Identifier: Apache-2.0
#include "recording/learn.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "recording/hypotheses.h"
#include "recording/phase_statistics.h"

namespace tautmark {
namespace {

constexpr int kFewestCycles = 8;
constexpr double kUnsteady = 1, kHunting = 3;         // degrees: jitter, peak to peak
constexpr double kNotTheSame = 2.5;                   // degrees
constexpr double kUnknownSpread = 0.5, kFloor = 0.1;  // degrees
constexpr std::size_t kEnoughEngines = 4;

// One polarity of one cam in one engine.
struct Seen {
  CamPhase phase;
  PhaseStatistics statistics;
};
Result<Seen> seen_of(const GoodEngine& engine, const NominalCam& cam, int polarity) {
  for (const DecodedCam& found : engine.decoded.cams) {
    if (found.channel != cam.channel || found.polarity != polarity) continue;
    auto phase = cam_phase(engine.decoded, found);
    if (!phase) return tl::unexpected(phase.error());
    std::vector<double> psi;
    for (const CyclePhase& cycle : phase->cycles) psi.push_back(cycle.psi);
    return Seen{std::move(*phase), phase_statistics(psi)};
  }
  return refuse(
      fmt::format("{}: channel {} shows no cam edges for {}", engine.name, cam.channel, cam.cam));
}

std::string crank_problem(const GoodEngine& engine, const GoodEngine& first,
                          const Nominals& asked) {
  const DecodedCrank& crank = engine.decoded.crank;
  const std::string wheel = folded(crank.wheel.name);
  if (!asked.crank_wheel.empty() && wheel != folded(asked.crank_wheel) &&
      wheel != folded(asked.crank_wheel) + " uniform")
    return fmt::format("{}: the crank's wheel is {}, in the definition {}", engine.name,
                       crank.wheel.name, asked.crank_wheel);
  if ((crank.kind == SignalKind::inductive) !=
          (first.decoded.crank.kind == SignalKind::inductive) ||
      crank.gap_level * first.decoded.crank.gap_level < 0)
    return fmt::format("{}: its crank signal is of another kind than in {}, or inverted",
                       engine.name, first.name);
  if (crank.wheel.name != first.decoded.crank.wheel.name)
    return fmt::format("{}: the crank's wheel is {}, in {} it is {}", engine.name, crank.wheel.name,
                       first.name, first.decoded.crank.wheel.name);
  if (crank.polarity != first.decoded.crank.polarity)
    return fmt::format("{}: counted between other edges of the crank than {}", engine.name,
                       first.name);
  if (!engine.decoded.cycle_resolved)
    return fmt::format("{}: the cycle of 720° is not resolved", engine.name);
  return {};
}

std::string cam_problem(const GoodEngine& engine, const NominalCam& cam, const Seen& seen,
                        const Seen& first, const std::string& first_name) {
  if (seen.phase.places.size() != first.phase.places.size())
    return fmt::format("{}: {} has {} edges a cycle, in {} it has {}", engine.name, cam.cam,
                       seen.phase.places.size(), first_name, first.phase.places.size());
  if (seen.statistics.count < kFewestCycles)
    return fmt::format("{}: too few cycles of {}: {}; {} are needed", engine.name, cam.cam,
                       seen.statistics.count, kFewestCycles);
  if (seen.statistics.jitter > kUnsteady || seen.statistics.peak_to_peak > kHunting)
    return fmt::format(
        "{}: {} does not hold still, {:.1f}° peak to peak: its phaser was not locked", engine.name,
        cam.cam, seen.statistics.peak_to_peak);
  return {};
}

// The polarity that all engines show, with the smaller jitter.
Result<int> polarity_of(std::span<const GoodEngine> engines, const NominalCam& cam) {
  std::optional<int> best;
  double least = 0;
  Refusal why{};
  for (const int polarity : {+1, -1}) {
    double jitter = 0;
    bool all = true;
    for (const GoodEngine& engine : engines) {
      const auto seen = seen_of(engine, cam, polarity);
      if (!seen) why = seen.error();
      all = all && seen;
      if (seen) jitter += seen->statistics.jitter;
    }
    if (!all || (best && jitter >= 0.9 * least)) continue;
    best = polarity;
    least = jitter;
  }
  if (!best) return tl::unexpected<Refusal>(why);
  return *best;
}

// All engines' edges of one cam in one zero, as what they lie after the first engine's.
struct Collected {
  NominalCam reference;
  int polarity = 0;
  std::vector<std::vector<double>> late;  // [engine][edge]
};

double mean_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v;
  return values.empty() ? 0 : sum / static_cast<double>(values.size());
}

double median_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
}

// In order around the wheel the edges of two engines differ by where the list begins only.
std::vector<double> late_of(const Seen& seen, const NominalCam& reference, double zero,
                            double cycle, double about) {
  std::vector<double> best;
  double least = 1e300;
  const auto& places = seen.phase.places;
  for (std::size_t start = 0; start < places.size(); ++start) {
    std::vector<double> late;
    double cost = 0;
    for (std::size_t e = 0; e < reference.edges.size(); ++e) {
      const double angle = places[(start + e) % places.size()].angle - zero;
      late.push_back(about + wrapped(angle - reference.edges[e].angle - about, cycle));
      cost += (late.back() - about) * (late.back() - about);
    }
    if (cost >= least) continue;
    least = cost;
    best = std::move(late);
  }
  return best;
}

double zero_of_first(const GoodEngine& first, const Nominals& asked) {
  Nominals known = asked;
  known.cams.clear();
  for (const NominalCam& cam : asked.cams)
    if (!cam.edges.empty()) known.cams.push_back(cam);
  const auto found = against_nominals(first.decoded, known);
  return found ? found->zero : 0;
}

Result<std::vector<Collected>> collected(std::span<const GoodEngine> engines,
                                         const Nominals& asked) {
  const double zero = zero_of_first(engines[0], asked);
  std::vector<Collected> cams;
  Nominals reference;
  reference.crank_polarity = engines[0].decoded.crank.polarity;
  for (const NominalCam& cam : asked.cams) {
    const auto polarity = polarity_of(engines, cam);
    if (!polarity) return tl::unexpected(polarity.error());
    const double cycle = engines[0].decoded.cycle;
    Collected one{{cam.cam, cam.channel, {}}, *polarity, {}};
    const auto first = seen_of(engines[0], cam, *polarity);
    if (!first) return tl::unexpected(first.error());
    for (const PlaceSummary& place : first->phase.places) {
      const double angle = place.angle - zero;
      one.reference.edges.push_back({angle - cycle * std::floor(angle / cycle), *polarity});
    }
    reference.cams.push_back(one.reference);
    cams.push_back(std::move(one));
  }
  for (const GoodEngine& engine : engines) {
    const auto found = against_nominals(engine.decoded, reference);
    if (!found) return refuse(fmt::format("{}: {}", engine.name, found.error().why));
    for (Collected& cam : cams) {
      const auto at = std::find_if(found->cams.begin(), found->cams.end(),
                                   [&](const auto& c) { return c.cam == cam.reference.cam; });
      const auto seen = seen_of(engine, cam.reference, cam.polarity);
      if (at == found->cams.end() || !seen)
        return refuse(fmt::format("{}: {} is not like in {}", engine.name, cam.reference.cam,
                                  engines[0].name));
      cam.late.push_back(
          late_of(*seen, cam.reference, found->zero, engine.decoded.cycle, -at->phase));
    }
  }
  return cams;
}

// Why an engine is not like the others; empty: it is.
std::vector<std::string> differences(std::span<const GoodEngine> engines,
                                     const std::vector<Collected>& cams) {
  std::vector<std::string> words(engines.size());
  for (const Collected& cam : cams) {
    std::vector<double> means;
    for (const auto& late : cam.late) means.push_back(mean_of(late));
    const double median = median_of(means);
    for (std::size_t i = 0; i < means.size(); ++i) {
      std::vector<double> others = means;
      others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
      if (others.empty()) continue;
      const double from = median_of(others);
      const bool far = std::abs(means[i] - (others.size() == 1 ? from : median)) > kNotTheSame;
      if (!far) continue;
      words[i] += fmt::format("{}{} {}", words[i].empty() ? "" : ", ", cam.reference.cam,
                              phase_words(from - means[i]));
    }
  }
  return words;
}

LearnedCam learned_cam(const Collected& cam, const std::vector<std::size_t>& used, double cycle) {
  LearnedCam out{cam.reference.cam, cam.polarity, {}, 0, {}, {}};
  const auto n = static_cast<double>(used.size());
  double variances = 0, all = 0;
  for (std::size_t e = 0; e < cam.reference.edges.size(); ++e) {
    double mean = 0, square = 0;
    for (const std::size_t i : used) mean += cam.late[i][e] / n;
    for (const std::size_t i : used) square += (cam.late[i][e] - mean) * (cam.late[i][e] - mean);
    const double variance = used.size() > 1 ? square / (n - 1) : 0;
    const double angle = cam.reference.edges[e].angle + mean;
    out.edges.push_back({angle - cycle * std::floor(angle / cycle), std::sqrt(variance)});
    variances += variance;
    all += mean;
  }
  const auto edges = static_cast<double>(cam.reference.edges.size());
  for (const std::size_t i : used) out.phases.push_back(all / edges - mean_of(cam.late[i]));
  std::sort(out.edges.begin(), out.edges.end(),
            [](const LearnedEdge& a, const LearnedEdge& b) { return a.angle < b.angle; });
  out.seen = std::sqrt(variances / edges);
  if (used.size() > 1)
    out.spread = std::max(out.seen, used.size() < kEnoughEngines ? kUnknownSpread : kFloor);
  return out;
}

void add_notes(std::span<const GoodEngine> engines, const std::vector<Collected>& cams,
               const Nominals& asked, LearnedNominals& out) {
  if (std::all_of(asked.cams.begin(), asked.cams.end(),
                  [](const NominalCam& cam) { return cam.edges.empty(); }))
    out.notes.emplace_back(
        "the definition has no edges yet: the first recording chose from which of the two turns of "
        "the cycle all angles count");
  if (const int zeros = engines[0].decoded.crank.wheel.symmetry; zeros > 1)
    out.notes.push_back(
        fmt::format("the crank's wheel has {} equal zeros: a move common to all cams of an engine "
                    "by {:.0f}° or "
                    "near to it is not seen",
                    zeros, 360.0 / zeros));
  double systematic = 0;
  for (const GoodEngine& engine : engines)
    for (const Collected& cam : cams)
      systematic =
          std::max(systematic, seen_of(engine, cam.reference, cam.polarity)->phase.systematic);
  if (systematic > 0)
    out.notes.push_back(
        fmt::format("few crank teeth: all edges share an error of ± {:.1f}° that depends on the "
                    "speed; they hold at like speed and load only",
                    2 * systematic));
  if (out.used.size() == 1)
    out.notes.emplace_back(
        "one engine: how far good engines differ cannot be known from it, 0.5° stays");
  else if (out.used.size() < kEnoughEngines)
    out.notes.push_back(
        fmt::format("{} engines say little of the next one: the spread is not taken under 0.5°",
                    out.used.size()));
  out.notes.emplace_back(
      "what wear these engines' chains had is in the edges, and an error common to all is "
      "invisible");
}

}  // namespace

Result<LearnedNominals> learn_nominals(std::span<const GoodEngine> engines, const Nominals& asked) {
  if (engines.empty()) return refuse("no recording");
  if (asked.cams.empty()) return refuse("no camshaft to learn");
  for (const NominalCam& cam : asked.cams)
    if (cam.channel == 0) return refuse(fmt::format("which channel is {} was not said", cam.cam));
  for (const GoodEngine& engine : engines) {
    if (std::string problem = crank_problem(engine, engines[0], asked); !problem.empty())
      return refuse(std::move(problem));
    for (const NominalCam& cam : asked.cams) {
      const auto polarity = polarity_of(engines, cam);
      if (!polarity) return tl::unexpected(polarity.error());
      const auto seen = seen_of(engine, cam, *polarity),
                 first = seen_of(engines[0], cam, *polarity);
      if (!seen || !first) return tl::unexpected(seen ? first.error() : seen.error());
      if (std::string problem = cam_problem(engine, cam, *seen, *first, engines[0].name);
          !problem.empty())
        return refuse(std::move(problem));
    }
  }
  const auto cams = collected(engines, asked);
  if (!cams) return tl::unexpected(cams.error());

  LearnedNominals out;
  out.crank_wheel = engines[0].decoded.crank.wheel.name;
  out.crank_polarity = engines[0].decoded.crank.polarity;
  out.crank_gap = engines[0].decoded.crank.gap_level;
  out.crank_is_coil = engines[0].decoded.crank.kind == SignalKind::inductive;
  std::vector<std::size_t> used;
  std::vector<std::string> different;
  const std::vector<std::string> words = differences(engines, *cams);
  for (std::size_t i = 0; i < engines.size(); ++i) {
    if (words[i].empty()) {
      used.push_back(i);
      out.used.push_back(engines[i].name);
    } else {
      different.push_back(fmt::format("{}: {} of the others", engines[i].name, words[i]));
    }
  }
  if (different.size() > 1 || (different.size() == 1 && used.size() < 2))
    return refuse(fmt::format(
        "the engines disagree, and which of them is good cannot be told: {}; three that agree "
        "would leave one out",
        joined(different, "; ")));
  out.left_out = different;
  for (const Collected& cam : *cams)
    out.cams.push_back(learned_cam(cam, used, engines[0].decoded.cycle));
  add_notes(engines, *cams, asked, out);
  return out;
}

}  // namespace tautmark
