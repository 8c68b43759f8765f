// SPDX-License-Identifier: Apache-2.0
#include "recording/hypotheses.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

#include "base/text.h"
#include "recording/phase_statistics.h"

namespace tautmark {
namespace {

constexpr double kElongationScale = 4, kElongationRange = 20, kSlip = 15;  // degrees
constexpr int kElongationPoints = 4001, kMostTeeth = 3;
constexpr double kMostWear = 12;  // degrees: beside a jump more is no wear
// Several chains: see the header.
constexpr double kNextChain = 0.01, kWornJumped = 0.75, kWornOther = 0.25;
constexpr std::array<double, kMostTeeth> kTeethShare = {0.35, 0.10, 0.05};  // each way
constexpr double kPruned = 25;        // log: e⁻²⁵ of the sum
constexpr double kAtBaseShare = 0.1;  // of a phaser's prior that was said to be at its base
constexpr double kSeparated = 20, kNoneFits = 0.001;
constexpr double kCoarse = 2;     // degrees: no phase so uncertain proves that all is right
constexpr double kOnTime = 0.05;  // degrees
constexpr double kNever = -std::numeric_limits<double>::infinity();

double log_normal_density(double x, double sigma) {
  const double z = x / sigma;
  return -0.5 * z * z - std::log(sigma * std::sqrt(2 * std::numbers::pi));
}

double log_sum(const std::vector<double>& logs) {
  const double top = *std::max_element(logs.begin(), logs.end());
  if (top == kNever) return kNever;
  double sum = 0;
  for (const double v : logs) sum += std::exp(v - top);
  return top + std::log(sum);
}

// The phases as seen from one of the wheel's equal zeros, and what belongs to them.
struct Case {
  std::span<const PhaseEvidence> cams;
  double zero = 0;
  std::vector<double> phase;
  std::vector<double> sigma;
  std::vector<int> chain;  // numbered from 0
  int chains = 0;
};

Case case_of(std::span<const PhaseEvidence> cams, double zero) {
  Case c{cams, zero, {}, {}, {}, 0};
  std::vector<int> seen;
  for (const PhaseEvidence& cam : cams) {
    c.phase.push_back(cam.phase + zero);
    c.sigma.push_back(std::hypot(cam.statistical, cam.tolerance));
    const auto at = std::find(seen.begin(), seen.end(), cam.chain);
    c.chain.push_back(static_cast<int>(at - seen.begin()));
    if (at == seen.end()) seen.push_back(cam.chain);
  }
  c.chains = static_cast<int>(seen.size());
  return c;
}

double log_right_of(const Case& c, const std::vector<double>& d, int chain) {
  double sum = 0;
  for (std::size_t b = 0; b < d.size(); ++b)
    if (c.chain[b] == chain) sum += log_normal_density(d[b], c.sigma[b]);
  return sum;
}

double log_right(const Case& c) {
  double sum = 0;
  for (int chain = 0; chain < c.chains; ++chain) sum += log_right_of(c, c.phase, chain);
  return sum;
}

// Evidence of one chain's elongation, and its likeliest value.
double log_elongation_of(const Case& c, const std::vector<double>& d, int chain,
                         double& likeliest) {
  // The logarithm is a parabola in e: level + slope·e - half·e².
  double level = std::log(2.0) + log_normal_density(0, kElongationScale), slope = 0;
  double half = 0.5 / (kElongationScale * kElongationScale);
  for (std::size_t b = 0; b < d.size(); ++b) {
    if (c.chain[b] != chain) continue;
    const double weight = 1 / (c.sigma[b] * c.sigma[b]), g = c.cams[b].strand_ratio;
    level += log_normal_density(d[b], c.sigma[b]);
    slope -= weight * g * d[b];
    half += 0.5 * weight * g * g;
  }
  likeliest = std::clamp(slope / (2 * half), 0.0, kElongationRange);
  const auto at = [&](double e) { return (slope - half * e) * e; };
  const double step = kElongationRange / (kElongationPoints - 1), top = at(likeliest);
  double sum = 0;
  for (int i = 0; i < kElongationPoints; ++i)
    sum += (i == 0 || i + 1 == kElongationPoints ? 0.5 : 1) * std::exp(at(i * step) - top);
  return level + top + std::log(sum * step);
}

double log_elongation(const Case& c, std::vector<double>& values) {
  double sum = 0;
  for (int chain = 0; chain < c.chains; ++chain) {
    double e = 0;
    sum += log_elongation_of(c, c.phase, chain, e);
    values.resize(c.phase.size());
    for (std::size_t b = 0; b < c.phase.size(); ++b)
      if (c.chain[b] == chain) values[b] = e;
  }
  return sum;
}

std::vector<double> without_jump(const Case& c, const std::vector<int>& jump) {
  std::vector<double> d;
  for (std::size_t b = 0; b < c.cams.size(); ++b)
    d.push_back(c.phase[b] - jump[b] * tooth_in_crank_degrees(c.cams[b].teeth));
  return d;
}

// One way in which a meaning can be true; its evidence is weighed by its share of the meaning.
struct Alternative {
  double log_evidence = kNever;
  std::vector<int> jump;
  std::vector<double> elongation;
  int cam = -1;
  double zero = 0;
};

// Whether elongation can explain what a jump leaves of a chain, within 12 standard uncertainties.
bool within_wear(const Case& c, const std::vector<double>& d, int chain) {
  for (std::size_t b = 0; b < d.size(); ++b)
    if (c.chain[b] == chain &&
        (d[b] > 12 * c.sigma[b] ||
         d[b] < -kElongationRange * c.cams[b].strand_ratio - 12 * c.sigma[b]))
      return false;
  return true;
}

// What one chain can have done: jumped or not, worn or not.
struct ChainState {
  std::vector<int> jump;  // of all cams; 0 on other chains
  bool jumped = false, worn = false;
  double elongation = 0;
  double log_weight = 0;  // share and evidence
};

// Teeth per cam of every jump of one chain: one cam, or all its cams.
std::vector<std::vector<int>> jumps_of(const Case& c, int chain) {
  const std::size_t n = c.cams.size();
  std::vector<std::vector<bool>> moved;
  std::vector<bool> all(n);
  for (std::size_t b = 0; b < n; ++b) {
    if (c.chain[b] != chain) continue;
    all[b] = true;
    moved.emplace_back(n)[b] = true;
  }
  if (moved.size() > 1) moved.push_back(all);
  std::vector<std::vector<int>> jumps;
  for (const std::vector<bool>& which : moved) {
    for (int k = -kMostTeeth; k <= kMostTeeth; ++k) {
      if (k == 0) continue;
      std::vector<int>& jump = jumps.emplace_back(n, 0);
      for (std::size_t b = 0; b < n; ++b) jump[b] = which[b] ? k : 0;
    }
  }
  return jumps;
}

void add_state(const Case& c, int chain, double weight, ChainState state,
               std::vector<ChainState>& states) {
  const std::vector<double> d = without_jump(c, state.jump);
  if (state.worn && c.zero != 0 && !within_wear(c, d, chain)) return;  // many zeros: time
  state.log_weight =
      std::log(weight) +
      (state.worn ? log_elongation_of(c, d, chain, state.elongation) : log_right_of(c, d, chain));
  states.push_back(std::move(state));
}

// Jumps that a likelier one of the same chain hides are left out.
void prune(bool worn, std::vector<ChainState>& states) {
  double top = kNever;
  for (const ChainState& s : states)
    if (s.jumped && s.worn == worn) top = std::max(top, s.log_weight);
  std::erase_if(states, [&](const ChainState& s) {
    return s.jumped && s.worn == worn && s.log_weight < top - kPruned;
  });
}

// With one chain: every jump alike, and worn if the meaning has wear.
std::vector<ChainState> states_of(const Case& c, int chain, bool with_wear) {
  std::vector<ChainState> states;
  const bool alone = c.chains == 1;
  const auto add = [&](std::vector<int> jump, bool jumped, double weight) {
    const double worn = !with_wear ? 0 : alone ? 1 : jumped ? kWornJumped : kWornOther;
    if (worn < 1) add_state(c, chain, weight * (1 - worn), {jump, jumped, false, 0, 0}, states);
    if (worn > 0) add_state(c, chain, weight * worn, {std::move(jump), jumped, true, 0, 0}, states);
  };
  if (!alone) add(std::vector<int>(c.cams.size(), 0), false, 1);
  std::vector<std::vector<int>> jumps = jumps_of(c, chain);
  const double sets = static_cast<double>(jumps.size()) / (2 * kMostTeeth);
  for (std::vector<int>& jump : jumps) {
    int teeth = 0;
    for (const int k : jump) teeth = std::max(teeth, std::abs(k));
    const double share =
        alone ? 0.5 / kMostTeeth : kTeethShare[static_cast<std::size_t>(teeth - 1)];
    add(std::move(jump), true, kNextChain * share / sets);
  }
  prune(false, states);
  prune(true, states);
  return states;
}

// Sum of the shares of all jumps, from kNextChain for each chain that jumped: at least one has.
double jump_shares(int chains) { return std::pow(1 + kNextChain, chains) - 1; }

// Every combination of the chains' states in which one jumped and, with wear, one is worn.
struct Combination {
  const Case& c;
  const std::vector<std::vector<ChainState>>& states;
  bool with_wear;
  std::vector<const ChainState*> chosen{};

  void add(std::vector<Alternative>& found) const {
    Alternative a{0, std::vector<int>(c.cams.size(), 0), {}, -1, c.zero};
    if (with_wear) a.elongation.resize(c.cams.size());
    int jumped = 0, worn = 0;
    for (std::size_t chain = 0; chain < chosen.size(); ++chain) {
      const ChainState& s = *chosen[chain];
      a.log_evidence += s.log_weight;
      jumped += s.jumped ? 1 : 0;
      worn += s.worn ? 1 : 0;
      for (std::size_t b = 0; b < c.cams.size(); ++b) {
        if (c.chain[b] != static_cast<int>(chain)) continue;
        a.jump[b] = s.jump[b];
        if (with_wear) a.elongation[b] = s.elongation;
      }
    }
    if (jumped == 0 || (with_wear && worn == 0)) return;
    a.log_evidence -= std::log(jump_shares(c.chains));
    if (with_wear && c.chains > 1)
      a.log_evidence -= std::log(1 - std::pow(1 - kWornJumped, jumped) *
                                         std::pow(1 - kWornOther, c.chains - jumped));
    found.push_back(std::move(a));
  }

  void run(std::vector<Alternative>& found) {
    if (chosen.size() == states.size()) return add(found);
    for (const ChainState& s : states[chosen.size()]) {
      chosen.push_back(&s);
      run(found);
      chosen.pop_back();
    }
  }
};

void weigh_jumps(const Case& c, bool with_wear, std::vector<Alternative>& found) {
  std::vector<std::vector<ChainState>> states;
  for (int chain = 0; chain < c.chains; ++chain) states.push_back(states_of(c, chain, with_wear));
  Combination{c, states, with_wear}.run(found);
}

bool has_phaser(const PhaseEvidence& cam) {
  return cam.travel_from && cam.travel_to && *cam.travel_from != *cam.travel_to;
}

// One cam anywhere (slipped) or anywhere in its phaser's travel, the others right.
void weigh_one_cam(const Case& c, bool phaser, std::vector<Alternative>& found) {
  const auto can = [&](const PhaseEvidence& cam) { return !phaser || has_phaser(cam); };
  const double share = 1 / static_cast<double>(std::count_if(c.cams.begin(), c.cams.end(), can));
  for (std::size_t moved = 0; moved < c.cams.size(); ++moved) {
    const PhaseEvidence& cam = c.cams[moved];
    if (!can(cam)) continue;
    double fit = 0;
    if (phaser) {
      const double low = std::min(*cam.travel_from, *cam.travel_to);
      const double high = std::max(*cam.travel_from, *cam.travel_to);
      const double root = c.sigma[moved] * std::numbers::sqrt2;
      const double inside = 0.5 * (std::erfc((low - c.phase[moved]) / root) -
                                   std::erfc((high - c.phase[moved]) / root));
      fit = inside > 0 ? std::log(inside / (high - low)) : kNever;
      if (cam.phaser_at_base) fit += std::log(kAtBaseShare);
    } else {
      fit = log_normal_density(c.phase[moved], std::hypot(c.sigma[moved], kSlip));
    }
    for (std::size_t b = 0; b < c.cams.size(); ++b)
      if (b != moved) fit += log_normal_density(c.phase[b], c.sigma[b]);
    found.push_back({fit + std::log(share), {}, {}, static_cast<int>(moved), c.zero});
  }
}

// All by one angle s ~ N(0, 15): closed form. Weighted mean m with variance v, rest χ²:
// Π N(d_b; s, σ_b) = N(m; s, v)·(what is left), then N(m; 0, v + 15²).
double weigh_common(const Case& c) {
  double weight = 0, sum = 0, log_left = 0;
  for (std::size_t b = 0; b < c.cams.size(); ++b) {
    const double w = 1 / (c.sigma[b] * c.sigma[b]);
    weight += w;
    sum += w * c.phase[b];
  }
  const double mean = sum / weight, sd = 1 / std::sqrt(weight);
  for (std::size_t b = 0; b < c.cams.size(); ++b)
    log_left += log_normal_density(c.phase[b] - mean, c.sigma[b]);
  return log_left - log_normal_density(0, sd) + log_normal_density(mean, std::hypot(sd, kSlip));
}

std::string jump_words(const Case& c, const std::vector<int>& jump) {
  std::vector<std::string> parts;
  for (std::size_t b = 0; b < jump.size(); ++b)
    if (jump[b] != 0)
      parts.push_back(fmt::format("{} {} {}", c.cams[b].cam,
                                  halves_text(2 * std::abs(jump[b]), "tooth", "teeth"),
                                  jump[b] > 0 ? "early" : "late"));
  return joined(parts, ", ");
}

std::string elongation_words(const Case& c, const std::vector<double>& e) {
  std::vector<std::string> parts;
  for (std::size_t b = 0; b < e.size(); ++b) {
    const double late = e[b] * c.cams[b].strand_ratio;
    if (late >= kOnTime) parts.push_back(fmt::format("{} {}", c.cams[b].cam, phase_words(-late)));
  }
  if (parts.empty()) return "elongation too small to be seen";
  return "elongation: " + joined(parts, ", ");
}

std::string words_of(const Case& c, Meaning meaning, const Alternative& a) {
  if (a.log_evidence == kNever) return {};
  switch (meaning) {
    case Meaning::right:
      return "right";
    case Meaning::elongation:
      return elongation_words(c, a.elongation);
    case Meaning::jump:
      return jump_words(c, a.jump);
    case Meaning::jump_and_elongation:
      return jump_words(c, a.jump) + " and " + elongation_words(c, a.elongation);
    case Meaning::slipped:
      return fmt::format("sensor wheel of {} slipped or its target bent",
                         c.cams[static_cast<std::size_t>(a.cam)].cam);
    case Meaning::crank_reference:
      return "crank sensor wheel or reference wrong: all cams moved by one angle";
    case Meaning::phaser:
      return fmt::format("phaser of {} off its base", c.cams[static_cast<std::size_t>(a.cam)].cam);
  }
  return {};
}

void add_alternatives(const Case& c, Meaning meaning, std::vector<Alternative>& found) {
  Alternative a;
  a.zero = c.zero;
  switch (meaning) {
    case Meaning::jump:
    case Meaning::jump_and_elongation:
      return weigh_jumps(c, meaning == Meaning::jump_and_elongation, found);
    case Meaning::slipped:
    case Meaning::phaser:
      return weigh_one_cam(c, meaning == Meaning::phaser, found);
    case Meaning::right:
      a.log_evidence = log_right(c);
      break;
    case Meaning::elongation:
      a.log_evidence = log_elongation(c, a.elongation);
      break;
    case Meaning::crank_reference:
      a.log_evidence = weigh_common(c);
      break;
  }
  found.push_back(std::move(a));
}

// All alternatives of one meaning under all zeros, and which of them stands out.
MeaningAnswer weigh(const std::vector<Case>& cases, Meaning meaning) {
  MeaningAnswer answer;
  answer.meaning = meaning;
  std::vector<Alternative> all;
  for (const Case& c : cases) add_alternatives(c, meaning, all);
  std::vector<double> logs;
  for (const Alternative& a : all) logs.push_back(a.log_evidence);
  answer.log_evidence =
      all.empty() ? kNever : log_sum(logs) - std::log(static_cast<double>(cases.size()));
  if (answer.log_evidence == kNever) return answer;
  // The same alternative under another zero is the same alternative.
  std::vector<std::pair<Alternative, std::vector<double>>> distinct;
  std::map<std::pair<std::vector<int>, int>, std::size_t> place_of;
  for (const Alternative& a : all) {
    const auto [at, is_new] = place_of.try_emplace({a.jump, a.cam}, distinct.size());
    if (is_new) {
      distinct.push_back({a, {a.log_evidence}});
      continue;
    }
    auto& [likeliest, own] = distinct[at->second];
    own.push_back(a.log_evidence);
    if (a.log_evidence > likeliest.log_evidence) likeliest = a;
  }
  const double total = log_sum(logs);
  const Alternative* rival = nullptr;
  answer.share = 0;
  const Alternative* best = nullptr;
  for (const auto& [alternative, own] : distinct) {
    const double share = std::exp(log_sum(own) - total);
    if (best == nullptr || share > answer.share) {
      rival = best;
      answer.rival_share = best == nullptr ? 0 : answer.share;
      best = &alternative;
      answer.share = share;
    } else if (rival == nullptr || share > answer.rival_share) {
      rival = &alternative;
      answer.rival_share = share;
    }
  }
  answer.jump = best->jump;
  answer.elongation = best->elongation;
  answer.cam = best->cam;
  answer.zero = best->zero;
  answer.words = words_of(cases.front(), meaning, *best);
  if (rival != nullptr) answer.rival_words = words_of(cases.front(), meaning, *rival);
  return answer;
}

// The jump of all cams that one of the equal zeros hides.
std::string hidden_jump(const Case& c, std::span<const double> zeros) {
  for (int k = 1; k <= kMostTeeth; ++k) {
    for (const double zero : zeros) {
      bool hides = zero != 0;
      for (std::size_t b = 0; b < c.cams.size(); ++b)
        hides = hides && std::abs(k * tooth_in_crank_degrees(c.cams[b].teeth) - std::abs(zero)) <
                             3 * c.sigma[b];
      if (hides)
        return fmt::format("all cams {} early or late", halves_text(2 * k, "tooth", "teeth"));
    }
  }
  return {};
}

// χ² of what an answer leaves unexplained, against its degrees of freedom.
double chance_of_fit(const Case& c, const MeaningAnswer& a) {
  std::vector<double> d =
      without_jump(c, a.jump.empty() ? std::vector<int>(c.cams.size(), 0) : a.jump);
  int freedom = static_cast<int>(d.size());
  if (!a.elongation.empty()) freedom -= c.chains;
  if (a.meaning == Meaning::crank_reference || a.cam >= 0) --freedom;
  double common = 0, weight = 0;
  for (std::size_t b = 0; b < d.size(); ++b) {
    if (!a.elongation.empty()) d[b] += a.elongation[b] * c.cams[b].strand_ratio;
    common += d[b] / (c.sigma[b] * c.sigma[b]);
    weight += 1 / (c.sigma[b] * c.sigma[b]);
  }
  double chi = 0;
  for (std::size_t b = 0; b < d.size(); ++b) {
    if (static_cast<int>(b) == a.cam) continue;
    const double left = a.meaning == Meaning::crank_reference ? d[b] - common / weight : d[b];
    chi += left * left / (c.sigma[b] * c.sigma[b]);
  }
  // Elongation only explains what is late: a misfit with no freedom left is still one.
  return chi_squared_above(chi, std::max(1, freedom));
}

std::optional<std::string> problem(std::span<const PhaseEvidence> cams) {
  if (cams.empty()) return "no cam phase";
  for (const PhaseEvidence& cam : cams) {
    if (!std::isfinite(cam.phase) || !std::isfinite(cam.statistical) ||
        !std::isfinite(cam.tolerance) || cam.statistical < 0 || cam.tolerance < 0)
      return fmt::format("{}: a phase or its uncertainty is not a number", cam.cam);
    if (cam.statistical == 0 && cam.tolerance == 0)
      return fmt::format("{}: neither scatter nor tolerance of the reference", cam.cam);
    if (cam.teeth < 8) return fmt::format("{}: the teeth of its sprocket are not given", cam.cam);
    if (!(cam.strand_ratio > 0)) return fmt::format("{}: strand ratio not above 0", cam.cam);
  }
  return std::nullopt;
}

}  // namespace

double tooth_in_crank_degrees(int cam_teeth) { return 720.0 / cam_teeth; }

int jump_of_step(double change, double jitter, double uncertainty, int cam_teeth) {
  constexpr double kFastestPhaser = 13;  // degrees in one cycle above idle
  const double tooth = tooth_in_crank_degrees(cam_teeth);
  const double teeth = std::round(change / tooth);
  if (std::abs(change) < std::max(5 * jitter, kFastestPhaser)) return 0;
  if (std::abs(change - teeth * tooth) > 3 * uncertainty) return 0;
  return static_cast<int>(teeth);
}

std::string phase_words(double degrees) {
  if (std::abs(degrees) < kOnTime) return "on time";
  const char* word = degrees > 0 ? "early" : "late";
  return fmt::format("{:.1f}° {} (crank), {:.1f}° cam", std::abs(degrees), word,
                     std::abs(degrees) / 2);
}

Result<MeaningReport> weigh_meanings(std::span<const PhaseEvidence> cams,
                                     const MeaningPriors& priors, std::span<const double> zeros) {
  if (const auto why = problem(cams)) return tl::unexpected<Refusal>(Refusal{*why});
  std::vector<Case> cases = {case_of(cams, 0)};
  for (const double zero : zeros)
    if (zero != 0) cases.push_back(case_of(cams, zero));
  const bool any_phaser = std::any_of(cams.begin(), cams.end(), has_phaser);
  MeaningReport report;
  std::vector<double> logs;
  for (std::size_t m = 0; m < kMeanings; ++m) {
    const auto meaning = static_cast<Meaning>(m);
    if (!(priors[m] > 0)) continue;
    if (meaning == Meaning::crank_reference && cases.front().chains < 2) continue;
    if (meaning == Meaning::phaser && !any_phaser) continue;
    report.answers.push_back(weigh(cases, meaning));
    const bool has_jump = meaning == Meaning::jump || meaning == Meaning::jump_and_elongation;
    const double chances = has_jump ? jump_shares(cases.front().chains) / kNextChain : 1;
    logs.push_back(report.answers.back().log_evidence + std::log(priors[m] * chances));
  }
  if (report.answers.empty()) return tl::unexpected<Refusal>(Refusal{"no meaning has a prior"});
  const double total = log_sum(logs);
  for (std::size_t i = 0; i < logs.size(); ++i)
    report.answers[i].posterior = std::exp(logs[i] - total);
  std::stable_sort(
      report.answers.begin(), report.answers.end(),
      [](const MeaningAnswer& a, const MeaningAnswer& b) { return a.posterior > b.posterior; });
  const MeaningAnswer& first = report.answers.front();
  report.fit_chance = chance_of_fit(case_of(cams, first.zero), first);
  const bool too_worn =
      first.meaning == Meaning::jump_and_elongation &&
      *std::max_element(first.elongation.begin(), first.elongation.end()) > kMostWear;
  report.none_fits = report.fit_chance < kNoneFits || too_worn;
  report.hidden = hidden_jump(cases.front(), zeros);
  const bool has_second = report.answers.size() > 1;
  const double second = has_second ? report.answers[1].posterior : 0;
  const double rival = first.posterior * first.rival_share;
  const bool outweighs = first.posterior * first.share >= kSeparated * std::max(second, rival);
  const bool is_coarse = std::any_of(cases.front().sigma.begin(), cases.front().sigma.end(),
                                     [](double sigma) { return sigma > kCoarse; });
  const bool unproven = first.meaning == Meaning::right && is_coarse;
  report.separated = outweighs && report.hidden.empty() && !unproven;
  if (report.none_fits)
    report.sentence = "none of these fits; nearest: " + first.words;
  else if (outweighs && !unproven)
    report.sentence = first.words;
  else
    report.sentence =
        fmt::format("{}; cannot be separated from: {}", first.words,
                    rival > second || !has_second ? first.rival_words : report.answers[1].words);
  if (!report.hidden.empty())
    report.sentence += fmt::format(
        "; cannot be seen with this crank wheel, which has equal zeros: {}", report.hidden);
  return report;
}

}  // namespace tautmark
