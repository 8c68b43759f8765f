// SPDX-License-Identifier: Apache-2.0
#include "recording/nominal.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>
#include <set>

#include "base/text.h"
#include "recording/evidence.h"
#include "recording/phase_statistics.h"

namespace tautmark {
namespace {

constexpr double kSpacing = 2;      // degrees: how far teeth of one wheel may be apart from nominal
constexpr double kMoved = 20;       // degrees: about a tooth
constexpr double kOtherAnswer = 4;  // cost within which another assignment is as good
constexpr double kFitsToo = 1;      // rms degrees worse: the named edges fit there as well
constexpr double kFarFromMean = 60;  // degrees: a lost tooth count, no phaser goes so far
constexpr double kLeastChange = 5;   // degrees
constexpr double kOwnSpacing = 2.5, kOwnSpacingFewTeeth = 12;  // degrees
constexpr int kMostCams = 6;

// Named edges of one polarity on the places of one cam.
struct Fit {
  double cost = std::numeric_limits<double>::infinity();
  double late = 0;                   // mean of what the places lie after the named edges
  double rms = 0;                    // of what is left
  std::vector<std::size_t> mapping;  // place of every named edge
  double other_late = 0;             // the same for the next best place; 0: none fits
};

std::vector<double> of_polarity(const NominalCam& cam, int polarity) {
  std::vector<double> angles;
  for (const NominalEdge& edge : cam.edges)
    if (edge.polarity == polarity) angles.push_back(edge.angle);
  return angles;
}

// The place nearest to `angle` that is not taken.
std::optional<std::size_t> nearest_place(const std::vector<double>& places, double angle,
                                         double cycle, const std::vector<std::size_t>& taken) {
  std::optional<std::size_t> best;
  double least = 1e300;
  for (std::size_t p = 0; p < places.size(); ++p) {
    if (std::find(taken.begin(), taken.end(), p) != taken.end()) continue;
    const double away = std::abs(wrapped(places[p] - angle, cycle));
    if (away >= least) continue;
    least = away;
    best = p;
  }
  return best;
}

Fit fit_from(const std::vector<double>& places, const std::vector<double>& named, double zero,
             double cycle, std::size_t start) {
  Fit fit;
  const double first = wrapped(places[start] - zero - named[0], cycle);
  std::vector<double> late;
  for (std::size_t i = 0; i < named.size(); ++i) {
    const auto p = i == 0 ? std::optional(start)
                          : nearest_place(places, named[i] + zero + first, cycle, fit.mapping);
    if (!p) return {};
    fit.mapping.push_back(*p);
    late.push_back(first + wrapped(places[*p] - zero - named[i] - first, cycle));
  }
  fit.late = std::accumulate(late.begin(), late.end(), 0.0) / static_cast<double>(late.size());
  double square = 0;
  for (const double l : late) square += (l - fit.late) * (l - fit.late);
  fit.rms = std::sqrt(square / static_cast<double>(late.size()));
  fit.cost = square / (kSpacing * kSpacing) + std::abs(fit.late) / kMoved;
  return fit;
}

Fit fit_of(const DecodedCam& cam, const std::vector<double>& named, double zero, double cycle) {
  const std::vector<double>& places = cam.places.angles;
  if (named.size() > places.size()) return {};
  std::vector<Fit> fits;
  for (std::size_t start = 0; start < places.size(); ++start)
    fits.push_back(fit_from(places, named, zero, cycle, start));
  std::sort(fits.begin(), fits.end(), [](const Fit& a, const Fit& b) { return a.cost < b.cost; });
  Fit best = fits.front();
  for (std::size_t i = 1; i < fits.size(); ++i) {
    if (fits[i].rms > best.rms + kFitsToo) continue;
    best.other_late = fits[i].late;
    break;
  }
  return best;
}

const DecodedCam* decoded_cam(const Decoded& decoded, int channel, int polarity) {
  for (const DecodedCam& cam : decoded.cams)
    if (cam.channel == channel && cam.polarity == polarity) return &cam;
  return nullptr;
}

double cost_of(const Decoded& decoded, const NominalCam& cam, int channel, double zero) {
  double cost = 0;
  bool any = false;
  for (const int polarity : {+1, -1}) {
    const std::vector<double> named = of_polarity(cam, polarity);
    if (named.empty()) continue;
    const DecodedCam* found = decoded_cam(decoded, channel, polarity);
    if (found == nullptr) continue;
    cost += fit_of(*found, named, zero, decoded.cycle).cost;
    any = true;
  }
  return any ? cost : std::numeric_limits<double>::infinity();
}

struct Assignment {
  double cost = std::numeric_limits<double>::infinity();
  double zero = 0;
  std::vector<int> channels;  // of every nominal cam; 0: none
};

class Assigning {
 public:
  Assigning(const Decoded& decoded, const Nominals& nominals)
      : decoded_(decoded), nominals_(nominals) {
    std::set<int> hinted(nominals.not_used.begin(), nominals.not_used.end());
    for (const NominalCam& cam : nominals.cams) hinted.insert(cam.channel);
    for (const DecodedCam& cam : decoded.cams)
      if (hinted.count(cam.channel) == 0 &&
          std::find(free_.begin(), free_.end(), cam.channel) == free_.end())
        free_.push_back(cam.channel);
  }
  // Best first; each different in its channels.
  std::vector<Assignment> all() {
    const int symmetry = std::max(1, decoded_.crank.wheel.symmetry);
    const int zeros = static_cast<int>(std::lround(decoded_.cycle / 360)) * symmetry;
    for (int z = 0; z < zeros; ++z) {
      now_ = {0, 360.0 * z / symmetry, {}};
      choose(0);
    }
    std::stable_sort(found_.begin(), found_.end(),
                     [](const Assignment& a, const Assignment& b) { return a.cost < b.cost; });
    std::vector<Assignment> distinct;
    for (const Assignment& a : found_)
      if (std::none_of(distinct.begin(), distinct.end(),
                       [&](const Assignment& b) { return a.channels == b.channels; }))
        distinct.push_back(a);
    return distinct;
  }

 private:
  void choose(std::size_t i) {
    if (i == nominals_.cams.size()) {
      found_.push_back(now_);
      return;
    }
    const NominalCam& cam = nominals_.cams[i];
    std::vector<int> options;
    if (cam.channel != 0)
      options = {cam.channel};
    else
      for (const int channel : free_)
        if (std::find(now_.channels.begin(), now_.channels.end(), channel) == now_.channels.end())
          options.push_back(channel);
    bool any = false;
    for (const int channel : options) {
      const double cost = cost_of(decoded_, cam, channel, now_.zero);
      if (!std::isfinite(cost)) continue;
      any = true;
      take(channel, cost, i);
    }
    if (!any || (cam.channel == 0 && free_.size() < unhinted())) take(0, 1e3, i);
  }
  void take(int channel, double cost, std::size_t i) {
    now_.channels.push_back(channel);
    now_.cost += cost;
    choose(i + 1);
    now_.cost -= cost;
    now_.channels.pop_back();
  }
  [[nodiscard]] std::size_t unhinted() const {
    std::size_t n = 0;
    for (const NominalCam& cam : nominals_.cams) n += cam.channel == 0 ? 1 : 0;
    return n;
  }

  const Decoded& decoded_;
  const Nominals& nominals_;
  std::vector<int> free_;
  Assignment now_;
  std::vector<Assignment> found_;
};

// The named angles where an edge is named, else where the tooth would be by its distance from
// those.
std::vector<double> whole_reference(const DecodedCam& cam, const std::vector<double>& named,
                                    const Fit& fit, double zero, double cycle) {
  std::vector<double> reference;
  for (const double place : cam.places.angles) {
    const double angle = place - zero - fit.late;
    reference.push_back(angle - cycle * std::floor(angle / cycle));
  }
  for (std::size_t i = 0; i < named.size(); ++i) reference[fit.mapping[i]] = named[i];
  return reference;
}

// The last change that lasts: both sides of it hold still.
struct Change {
  std::size_t index = 0;
  double degrees = 0;
};
std::optional<Change> lasting_change(const std::vector<CyclePhase>& cycles) {
  std::vector<double> psi;
  for (const CyclePhase& c : cycles) psi.push_back(c.psi);
  const std::vector<PhaseStep> steps = phase_steps(psi);
  if (steps.empty()) return std::nullopt;
  const std::size_t at = steps.back().index;
  std::size_t begins = at,
              last = steps.size() - 1;  // a cycle in which it moves is a step of its own
  while (last > 0 && steps[last - 1].index + 2 >= begins) begins = steps[--last].index;
  const std::size_t from = last > 0 ? steps[last - 1].index : 0;
  const auto part = [&](std::size_t begin, std::size_t end) {
    return phase_statistics(std::span(psi).subspan(begin, end - begin));
  };
  const PhaseStatistics before = part(from, begins), after = part(at, psi.size());
  const double degrees = after.mean - before.mean;
  const double still = std::abs(degrees) / 3;
  if (std::abs(degrees) < kLeastChange || before.peak_to_peak > still ||
      after.peak_to_peak > still || before.count < 3 || after.count < 3)
    return std::nullopt;
  return Change{at, degrees};
}

void set_statistics(CamAgainstNominal& out, const CamPhase& phase, const PhaseMean& whole,
                    int teeth) {
  CamPhase used = phase;
  PhaseMean mean = whole;
  if (const auto change = lasting_change(phase.cycles)) {
    out.change = change->degrees;
    out.change_time = phase.cycles[change->index].time;
    used.cycles.erase(used.cycles.begin(),
                      used.cycles.begin() + static_cast<std::ptrdiff_t>(change->index));
    mean = phase_mean(used, teeth).value_or(whole);
  }
  std::vector<double> psi;
  for (const CyclePhase& c : used.cycles)
    if (std::abs(c.psi - mean.phase) < kFarFromMean) psi.push_back(c.psi);
  const PhaseStatistics statistics = phase_statistics(psi);
  out.phase = mean.phase;
  out.statistical = mean.statistical;
  out.sd = statistics.sd;
  out.jitter = statistics.jitter;
  out.cycles = static_cast<int>(mean.cycles);
}

Result<CamAgainstNominal> cam_found(const Decoded& decoded, const NominalCam& cam, int channel,
                                    int polarity, double zero) {
  const DecodedCam& found = *decoded_cam(decoded, channel, polarity);
  const std::vector<double> named = of_polarity(cam, polarity);
  const Fit fit = fit_of(found, named, zero, decoded.cycle);
  const auto phase =
      cam_phase(decoded, found, whole_reference(found, named, fit, zero, decoded.cycle), zero);
  if (!phase) return tl::unexpected(phase.error());
  CamAgainstNominal out;
  out.cam = cam.cam;
  out.channel = channel;
  out.polarity = polarity;
  const auto mean = phase_mean(*phase, tooth_count(decoded.crank.wheel));
  if (!mean)
    return tl::unexpected<Refusal>(Refusal{fmt::format("{}: no cycle is complete", cam.cam)});
  set_statistics(out, *phase, *mean, tooth_count(decoded.crank.wheel));
  const double first = named[0] - out.phase;
  out.first_edge = first - decoded.cycle * std::floor(first / decoded.cycle);
  out.other_places = -fit.other_late;
  out.detail = *phase;
  out.detail.systematic = mean->systematic;
  return out;
}

std::string channels_text(const Nominals& nominals, const Assignment& a) {
  std::string text;
  for (std::size_t i = 0; i < nominals.cams.size(); ++i)
    if (a.channels[i] != 0)
      text += fmt::format("{}channel {} is {}", text.empty() ? "" : ", ", a.channels[i],
                          nominals.cams[i].cam);
  return text;
}

void compare_wheel(const Decoded& decoded, const Nominals& nominals, AgainstNominals& out) {
  const DecodedCrank& crank = decoded.crank;
  if (!nominals.crank_wheel.empty() && folded(nominals.crank_wheel) != folded(crank.wheel.name) &&
      folded(nominals.crank_wheel) + " uniform" != folded(crank.wheel.name))
    out.contradictions.push_back(
        fmt::format("the crank's wheel is {} in the recording, {} in the "
                    "definition",
                    crank.wheel.name, nominals.crank_wheel));
  if (nominals.crank_polarity != 0 && nominals.crank_polarity != crank.polarity)
    out.contradictions.push_back(
        fmt::format("decoded on the {} edges of the crank, the definition counts between the {}",
                    crank.polarity > 0 ? "rising" : "falling",
                    nominals.crank_polarity > 0 ? "rising" : "falling"));
  if (nominals.crank_gap != 0 && crank.gap_level != 0 && nominals.crank_gap != crank.gap_level)
    out.contradictions.push_back(
        fmt::format("the crank's signal is {} in the gap, the definition says {}: it is inverted, "
                    "and every angle moved by the width of a tooth",
                    crank.gap_level > 0 ? "high" : "low", nominals.crank_gap > 0 ? "high" : "low"));
  if ((crank.kind == SignalKind::inductive) != nominals.crank_is_coil &&
      !nominals.crank_wheel.empty())
    out.contradictions.push_back(
        nominals.crank_is_coil
            ? "the definition means a coil at the crank, the recording has two levels: its edges "
              "lie up to half a tooth from the coil's crossings"
            : "the crank's sensor is a coil in the recording, which crosses in the middle of a "
              "tooth: up to half a tooth from the edge that the definition means");
}

}  // namespace

DecodeOptions decode_options(const Nominals& nominals) {
  DecodeOptions options;
  options.crank_channel = nominals.crank_channel;
  options.crank_polarity = nominals.crank_polarity;
  for (const NominalCam& cam : nominals.cams)
    if (cam.channel != 0) options.cam_channels.push_back(cam.channel);
  return options;
}

// Edges of a wheel that lie otherwise among themselves than the definition says.
void compare_spacing(const Decoded& decoded, const NominalCam& cam, const DecodedCam& found,
                     const std::vector<double>& named, double zero, AgainstNominals& out) {
  const std::size_t places = found.places.angles.size();
  if (named.size() > places || (named.size() > 1 && named.size() != places)) {
    out.contradictions.push_back(fmt::format(
        "{}: {} {} edges a cycle in the definition, {} in the recording (channel {})", cam.cam,
        named.size(), found.polarity > 0 ? "rising" : "falling", places, found.channel));
    return;
  }
  const Fit fit = fit_of(found, named, zero, decoded.cycle);
  const double most = tooth_count(decoded.crank.wheel) < 6 ? kOwnSpacingFewTeeth : kOwnSpacing;
  double worst = 0;
  std::size_t at = 0;
  for (std::size_t i = 0; i < named.size(); ++i) {
    const double off =
        wrapped(found.places.angles[fit.mapping[i]] - zero - named[i] - fit.late, decoded.cycle);
    if (std::abs(off) <= std::abs(worst)) continue;
    worst = off;
    at = i;
  }
  if (std::abs(worst) <= most) return;
  out.contradictions.push_back(fmt::format(
      "{}: its edge at {:.1f}° lies {:.1f}° {} among the others than the definition "
      "says (channel {}): another wheel, another channel, an inverted signal or a bent "
      "target",
      cam.cam, named[at], std::abs(worst), worst > 0 ? "later" : "earlier", found.channel));
}

Result<AgainstNominals> against_nominals(const Decoded& decoded, const Nominals& nominals) {
  if (nominals.cams.empty())
    return tl::unexpected<Refusal>(Refusal{"no edges are known to compare with"});
  if (nominals.cams.size() > kMostCams)
    return tl::unexpected<Refusal>(Refusal{fmt::format("more than {} cams", kMostCams)});
  if (decoded.cams.empty()) return tl::unexpected<Refusal>(Refusal{"no cam signal"});
  const std::vector<Assignment> ranked = Assigning(decoded, nominals).all();
  const Assignment& best = ranked.front();
  if (std::all_of(best.channels.begin(), best.channels.end(), [](int c) { return c == 0; }))
    return tl::unexpected<Refusal>(
        Refusal{"no channel has the edges that the definition names: another wheel, another "
                "polarity, or another engine"});
  if (ranked.size() > 1 && ranked[1].cost < best.cost + kOtherAnswer)
    return tl::unexpected<Refusal>(
        Refusal{fmt::format("which channel is which camshaft cannot be told: {}; or {}. Say it "
                            "for one of them",
                            channels_text(nominals, best), channels_text(nominals, ranked[1]))});
  AgainstNominals out;
  out.zero = best.zero;
  compare_wheel(decoded, nominals, out);
  bool found_by_itself = false;
  for (std::size_t i = 0; i < nominals.cams.size(); ++i) {
    const NominalCam& cam = nominals.cams[i];
    std::optional<CamAgainstNominal> chosen;
    for (const int polarity : {+1, -1}) {
      const std::vector<double> named = of_polarity(cam, polarity);
      const DecodedCam* there =
          named.empty() ? nullptr : decoded_cam(decoded, best.channels[i], polarity);
      if (there == nullptr) continue;
      compare_spacing(decoded, cam, *there, named, best.zero, out);
      if (named.size() > there->places.angles.size()) continue;
      auto found = cam_found(decoded, cam, best.channels[i], polarity, best.zero);
      if (!found) continue;
      if (!chosen || found->jitter < chosen->jitter) chosen = std::move(*found);
    }
    if (!chosen) {
      out.missing.push_back(cam.cam);
      continue;
    }
    found_by_itself = found_by_itself || cam.channel == 0;
    out.cams.push_back(std::move(*chosen));
  }
  if (found_by_itself)
    out.notes.push_back(
        fmt::format("by the distances of the edges {}", channels_text(nominals, best)));
  return out;
}

}  // namespace tautmark
