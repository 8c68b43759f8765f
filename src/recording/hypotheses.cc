// SPDX-License-Identifier: Apache-2.0
#include "recording/hypotheses.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <set>

#include "base/text.h"
#include "recording/phase_statistics.h"

namespace tautmark {
namespace {

constexpr double kElongationScale = 4, kElongationRange = 20, kSlip = 15;  // degrees
constexpr int kElongationPoints = 4001, kMostTeeth = 3;
constexpr double kSeparated = 20, kNoneFits = 0.001;
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
double log_mean(const std::vector<double>& logs) {
  return log_sum(logs) - std::log(static_cast<double>(logs.size()));
}

// Phases with what a jump explains taken off, and what belongs to them.
struct Case {
  std::span<const PhaseEvidence> cams;
  std::vector<double> sigma;
  std::vector<int> chain;  // numbered from 0
  int chains = 0;
};

Case case_of(std::span<const PhaseEvidence> cams) {
  Case c{cams, {}, {}, 0};
  std::vector<int> seen;
  for (const PhaseEvidence& cam : cams) {
    c.sigma.push_back(std::hypot(cam.statistical, cam.tolerance));
    const auto at = std::find(seen.begin(), seen.end(), cam.chain);
    c.chain.push_back(static_cast<int>(at - seen.begin()));
    if (at == seen.end()) seen.push_back(cam.chain);
  }
  c.chains = static_cast<int>(seen.size());
  return c;
}

double log_right(const Case& c, const std::vector<double>& d) {
  double sum = 0;
  for (std::size_t b = 0; b < d.size(); ++b) sum += log_normal_density(d[b], c.sigma[b]);
  return sum;
}

// Evidence of one chain's elongation, and its likeliest value.
double log_elongation_of(const Case& c, const std::vector<double>& d, int chain,
                         double& likeliest) {
  double best = kNever, sum = 0, top = 0;
  const double step = kElongationRange / (kElongationPoints - 1);
  std::vector<double> logs(kElongationPoints);
  for (int i = 0; i < kElongationPoints; ++i) {
    const double e = i * step;
    double fit = std::log(2.0) + log_normal_density(e, kElongationScale);
    for (std::size_t b = 0; b < d.size(); ++b)
      if (c.chain[b] == chain)
        fit += log_normal_density(d[b] + e * c.cams[b].strand_ratio, c.sigma[b]);
    logs[static_cast<std::size_t>(i)] = fit;
    if (fit <= best) continue;
    best = fit;
    likeliest = e;
  }
  top = best;
  for (int i = 0; i < kElongationPoints; ++i) {
    const double end = i == 0 || i + 1 == kElongationPoints ? 0.5 : 1;
    sum += end * std::exp(logs[static_cast<std::size_t>(i)] - top);
  }
  return top + std::log(sum * step);
}

double log_elongation(const Case& c, const std::vector<double>& d, std::vector<double>* values) {
  double sum = 0;
  for (int chain = 0; chain < c.chains; ++chain) {
    double e = 0;
    sum += log_elongation_of(c, d, chain, e);
    if (values == nullptr) continue;
    values->resize(d.size());
    for (std::size_t b = 0; b < d.size(); ++b)
      if (c.chain[b] == chain) (*values)[b] = e;
  }
  return sum;
}

// Teeth per cam of every jump: one cam, the cams of one chain, all.
std::vector<std::vector<int>> jumps_of(const Case& c) {
  const std::size_t n = c.cams.size();
  std::set<std::vector<bool>> moved;
  for (std::size_t b = 0; b < n; ++b) {
    std::vector<bool> one(n, false);
    one[b] = true;
    moved.insert(one);
  }
  for (int chain = 0; chain < c.chains; ++chain) {
    std::vector<bool> own(n);
    for (std::size_t b = 0; b < n; ++b) own[b] = c.chain[b] == chain;
    moved.insert(own);
  }
  moved.insert(std::vector<bool>(n, true));
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

std::vector<double> without_jump(const Case& c, const std::vector<int>& jump) {
  std::vector<double> d;
  for (std::size_t b = 0; b < c.cams.size(); ++b)
    d.push_back(c.cams[b].phase - jump[b] * tooth_in_crank_degrees(c.cams[b].teeth));
  return d;
}

void weigh_jumps(const Case& c, MeaningAnswer& answer) {
  const bool with_wear = answer.meaning == Meaning::jump_and_elongation;
  std::vector<double> logs;
  double best = kNever;
  for (const std::vector<int>& jump : jumps_of(c)) {
    const std::vector<double> d = without_jump(c, jump);
    std::vector<double> elongation;
    logs.push_back(with_wear ? log_elongation(c, d, &elongation) : log_right(c, d));
    if (logs.back() <= best) continue;
    best = logs.back();
    answer.jump = jump;
    answer.elongation = elongation;
  }
  answer.log_evidence = log_mean(logs);
}

// One cam anywhere (slipped) or anywhere in its phaser's travel, the others right.
void weigh_one_cam(const Case& c, MeaningAnswer& answer) {
  std::vector<double> logs;
  double best = kNever;
  for (std::size_t moved = 0; moved < c.cams.size(); ++moved) {
    const PhaseEvidence& cam = c.cams[moved];
    double fit = 0;
    if (answer.meaning == Meaning::phaser) {
      if (!cam.travel_from || !cam.travel_to) continue;
      const double low = std::min(*cam.travel_from, *cam.travel_to);
      const double high = std::max(*cam.travel_from, *cam.travel_to);
      const double root = c.sigma[moved] * std::numbers::sqrt2;
      const double inside =
          0.5 * (std::erfc((low - cam.phase) / root) - std::erfc((high - cam.phase) / root));
      fit = inside > 0 ? std::log(inside / (high - low)) : kNever;
    } else {
      fit = log_normal_density(cam.phase, std::hypot(c.sigma[moved], kSlip));
    }
    for (std::size_t b = 0; b < c.cams.size(); ++b)
      if (b != moved) fit += log_normal_density(c.cams[b].phase, c.sigma[b]);
    logs.push_back(fit);
    if (fit <= best) continue;
    best = fit;
    answer.cam = static_cast<int>(moved);
  }
  answer.log_evidence = logs.empty() ? kNever : log_mean(logs);
}

// All by one angle s ~ N(0, 15): closed form. Weighted mean m with variance v, rest χ²:
// Π N(d_b; s, σ_b) = N(m; s, v)·(what is left), then N(m; 0, v + 15²).
double weigh_common(const Case& c) {
  double weight = 0, sum = 0, log_left = 0;
  for (std::size_t b = 0; b < c.cams.size(); ++b) {
    const double w = 1 / (c.sigma[b] * c.sigma[b]);
    weight += w;
    sum += w * c.cams[b].phase;
  }
  const double mean = sum / weight, sd = 1 / std::sqrt(weight);
  for (std::size_t b = 0; b < c.cams.size(); ++b)
    log_left += log_normal_density(c.cams[b].phase - mean, c.sigma[b]);
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
  for (std::size_t b = 0; b < e.size(); ++b)
    parts.push_back(
        fmt::format("{} {}", c.cams[b].cam, phase_words(-e[b] * c.cams[b].strand_ratio)));
  return "elongation: " + joined(parts, ", ");
}

std::string words_of(const Case& c, const MeaningAnswer& a) {
  switch (a.meaning) {
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

void weigh(const Case& c, MeaningAnswer& answer) {
  std::vector<double> d;
  for (const PhaseEvidence& cam : c.cams) d.push_back(cam.phase);
  switch (answer.meaning) {
    case Meaning::right:
      answer.log_evidence = log_right(c, d);
      break;
    case Meaning::elongation:
      answer.log_evidence = log_elongation(c, d, &answer.elongation);
      break;
    case Meaning::jump:
    case Meaning::jump_and_elongation:
      weigh_jumps(c, answer);
      break;
    case Meaning::slipped:
    case Meaning::phaser:
      weigh_one_cam(c, answer);
      break;
    case Meaning::crank_reference:
      answer.log_evidence = weigh_common(c);
      break;
  }
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
  if (std::abs(degrees) < 0.05) return "on time";
  const char* word = degrees > 0 ? "early" : "late";
  return fmt::format("{:.1f}° {} (crank), {:.1f}° cam", std::abs(degrees), word,
                     std::abs(degrees) / 2);
}

Result<MeaningReport> weigh_meanings(std::span<const PhaseEvidence> cams,
                                     const MeaningPriors& priors) {
  if (const auto why = problem(cams)) return tl::unexpected<Refusal>(Refusal{*why});
  const Case c = case_of(cams);
  const bool has_phaser = std::any_of(cams.begin(), cams.end(), [](const PhaseEvidence& cam) {
    return cam.travel_from && cam.travel_to && *cam.travel_from != *cam.travel_to;
  });
  MeaningReport report;
  std::vector<double> logs;
  for (std::size_t m = 0; m < kMeanings; ++m) {
    MeaningAnswer answer;
    answer.meaning = static_cast<Meaning>(m);
    if (!(priors[m] > 0)) continue;
    if (answer.meaning == Meaning::crank_reference && c.chains < 2) continue;
    if (answer.meaning == Meaning::phaser && !has_phaser) continue;
    weigh(c, answer);
    logs.push_back(answer.log_evidence + std::log(priors[m]));
    answer.words = answer.log_evidence == kNever ? std::string() : words_of(c, answer);
    report.answers.push_back(std::move(answer));
  }
  if (report.answers.empty()) return tl::unexpected<Refusal>(Refusal{"no meaning has a prior"});
  const double total = log_sum(logs);
  for (std::size_t i = 0; i < logs.size(); ++i)
    report.answers[i].posterior = std::exp(logs[i] - total);
  std::stable_sort(
      report.answers.begin(), report.answers.end(),
      [](const MeaningAnswer& a, const MeaningAnswer& b) { return a.posterior > b.posterior; });
  const MeaningAnswer& first = report.answers.front();
  report.fit_chance = chance_of_fit(c, first);
  report.none_fits = report.fit_chance < kNoneFits;
  report.separated =
      report.answers.size() < 2 || first.posterior >= kSeparated * report.answers[1].posterior;
  if (report.none_fits)
    report.sentence = "none of these fits; nearest: " + first.words;
  else if (report.separated)
    report.sentence = first.words;
  else
    report.sentence =
        fmt::format("{}; cannot be separated from: {}", first.words, report.answers[1].words);
  return report;
}

}  // namespace tautmark
