// SPDX-License-Identifier: Apache-2.0
#include "oil/explain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <numeric>
#include <set>

#include "oil/estimated.h"
#include "oil/identify_mode.h"
#include "oil/network_check.h"

namespace tautmark::oil {
namespace {

constexpr std::size_t kFirstPoints = 9;
constexpr std::size_t kMostPoints = 300;
constexpr double kNoMatter = 12;       // of ln, below the best point: six millionths
constexpr double kSmoothEnough = 0.5;  // of ln, from point to point
constexpr double kGraded = 2.5;
constexpr double kFinest = 1e-5;  // of ln factor
constexpr double kUnexplained = 0.01;
constexpr double kLeading = 0.05;       // probability of a hypothesis that a port should tell
constexpr double kTellsNothing = 0.05;  // nats
constexpr double kSlightly = 1e-3;      // weight of a point that is left out of predictions

struct Point {
  double ln_factor = 0;
  double ln = 0;  // of the inner integral
  Mode mode{};
};

bool widen(ElementLaw& law, double factor) {
  if (auto* gap = std::get_if<Laminar>(&law)) return gap->conductance *= factor, true;
  if (auto* hole = std::get_if<Orifice>(&law)) return hole->area *= factor, true;
  if (auto* check = std::get_if<CheckedOrifice>(&law)) return check->area *= factor, true;
  if (auto* relief = std::get_if<Relief>(&law)) return relief->slope *= factor, true;
  if (auto* pump = std::get_if<Pump>(&law)) return pump->slip *= factor, true;
  return false;
}

std::string hypothesis_name(const WearSuspect& suspect) {
  return suspect.name + (suspect.is_blocked ? " blocked" : " worn");
}

Result<void> check_suspects(const WearQuestion& in) {
  if (in.suspects.empty()) return refuse("no suspect: nothing to explain the readings with");
  if (!std::isfinite(in.most) || !(in.most > 1))
    return refuse("the most that wear opens a place is a factor above 1");
  std::set<std::string> names;
  for (const WearSuspect& one : in.suspects) {
    if (one.name.empty()) return refuse("a suspect without a name cannot be told of");
    if (!names.insert(hypothesis_name(one)).second)
      return refuse(fmt::format("{}: two suspects have this name", one.name));
    if (one.elements.empty()) return refuse(fmt::format("{}: no element wears", one.name));
    for (const std::size_t i : one.elements) {
      if (i >= in.as_new.network.elements.size())
        return refuse(fmt::format("{}: the network has no element {}", one.name, i + 1));
      ElementLaw law = in.as_new.network.elements[i].law;
      if (!widen(law, 1))
        return refuse(fmt::format("{}: {} is a flow that is given and cannot wear", one.name,
                                  called(in.as_new.network, in.as_new.network.elements[i])));
    }
  }
  return {};
}

Result<void> check_ports(const WearQuestion& in) {
  for (const Port& one : in.ports) {
    if (one.node >= in.as_new.network.nodes.size())
      return refuse(fmt::format("{}: the network has no node {}", one.name, one.node + 1));
    if (!is_positive(one.standard.si()))
      return refuse(fmt::format("{}: the uncertainty of its gauge is above 0", one.name));
  }
  return {};
}

// One hypothesis: the network with its suspect opened by a factor.
class Hypothesis {
 public:
  static Result<Hypothesis> prepare(const Identification& as_new,
                                    const std::vector<std::size_t>& worn) {
    const auto factor = std::make_shared<double>(1);
    Identification in = as_new;
    in.apply = [factor, worn, apply = as_new.apply](std::span<const double> values,
                                                    NetworkSolver& solver) {
      if (apply) apply(values, solver);
      for (const std::size_t i : worn) {
        ElementLaw law = solver.network().elements[i].law;
        widen(law, *factor);
        solver.change(i, law);
      }
    };
    auto model = PredictedReadings::prepare(in);
    if (!model) return tl::make_unexpected(model.error());
    return Hypothesis(std::move(*model), factor);
  }

  Result<void> add(double ln_factor, std::vector<double> start) {
    *factor_ = std::exp(ln_factor);
    auto mode = find_mode(model_, std::move(start));
    if (!mode) return tl::make_unexpected(mode.error());
    const double ln =
        -mode->cost / 2 - Cholesky(mode->hessian, model_.unknowns()).ln_determinant() / 2;
    const auto after = std::find_if(points_.begin(), points_.end(),
                                    [&](const Point& one) { return one.ln_factor > ln_factor; });
    points_.insert(after, Point{ln_factor, ln, std::move(*mode)});
    return {};
  }

  // Of a factor between 1 and exp(far), or of one below 1 where far is below 0; 0: 1 alone.
  Result<void> integrate(double far) {
    std::vector<double> start(model_.unknowns());
    const std::size_t count = far != 0 ? kFirstPoints : 1;
    for (std::size_t i = 0; i < count; ++i) {
      const double along = count > 1 ? static_cast<double>(i) / static_cast<double>(count - 1) : 0;
      if (const auto fine = add(far * along, start); !fine) return fine;
      start = (far < 0 ? points_.front() : points_.back()).mode.z;
    }
    for (bool more = true; more && points_.size() < kMostPoints;) {
      more = false;
      for (std::size_t i = 0; i + 1 < points_.size(); ++i)
        if (is_coarse(i)) {
          const double middle = (points_[i].ln_factor + points_[i + 1].ln_factor) / 2;
          const std::vector<double> near = points_[i].mode.z;
          if (const auto fine = add(middle, near); !fine) return fine;
          more = true;
          ++i;
        }
    }
    weigh(far);
    return {};
  }

  double ln_evidence() const { return ln_evidence_; }
  const Point& best() const {
    return *std::max_element(points_.begin(), points_.end(),
                             [](const Point& a, const Point& b) { return a.ln < b.ln; });
  }
  Interval factor() const {
    if (points_.size() == 1) return {1, 1, 1};
    std::vector<double> factors;
    for (const Point& one : points_) factors.push_back(std::exp(one.ln_factor));
    return interval_of(factors, weights_);
  }

  struct Bell {
    double weight = 0, mean = 0, sd = 0;  // Pa
  };
  // What a port will read, a bell for each factor: the unknowns' spread by its slopes at the mode.
  Result<std::vector<Bell>> predicted(const Port& port) {
    std::vector<Bell> out;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (weights_[i] < kSlightly) continue;
      *factor_ = std::exp(points_[i].ln_factor);
      const auto bell = predicted(port, points_[i].mode);
      if (!bell) return tl::make_unexpected(bell.error());
      out.push_back({weights_[i], bell->mean, bell->sd});
    }
    double sum = 0;
    for (const Bell& one : out) sum += one.weight;
    for (Bell& one : out) one.weight /= sum;
    return out;
  }

 private:
  Hypothesis(PredictedReadings model, std::shared_ptr<double> factor)
      : model_(std::move(model)), factor_(std::move(factor)) {}

  double width(std::size_t i) const { return points_[i + 1].ln_factor - points_[i].ln_factor; }
  // Beside a cell far narrower as well: a peak in the middle of a cell leaves its ends alike.
  bool is_coarse(std::size_t i) const {
    const Point &low = points_[i], &high = points_[i + 1];
    if (width(i) < kFinest || std::max(low.ln, high.ln) < best().ln - kNoMatter) return false;
    if (std::abs(high.ln - low.ln) > kSmoothEnough) return true;
    return (i > 0 && width(i) > kGraded * width(i - 1)) ||
           (i + 2 < points_.size() && width(i) > kGraded * width(i + 1));
  }

  // Trapezes, and each point's share of them.
  void weigh(double far) {
    const double most = best().ln;
    weights_.assign(points_.size(), 0);
    if (points_.size() == 1) weights_[0] = 1;
    for (std::size_t i = 0; i + 1 < points_.size(); ++i) {
      const double half = (points_[i + 1].ln_factor - points_[i].ln_factor) / std::abs(far) / 2;
      weights_[i] += half * std::exp(points_[i].ln - most);
      weights_[i + 1] += half * std::exp(points_[i + 1].ln - most);
    }
    const double sum = std::accumulate(weights_.begin(), weights_.end(), 0.0);
    for (double& one : weights_) one /= sum;
    ln_evidence_ = most + std::log(sum);
  }

  Result<double> pressure(const Port& port, std::span<const double> z) {
    std::vector<double> values(z.size());
    model_.values_of(z, values);
    if (const auto solved = model_.solve_at(values, port.running, {}); !solved)
      return tl::make_unexpected(solved.error());
    return model_.solver().at(port.node).si();
  }

  Result<Bell> predicted(const Port& port, const Mode& mode) {
    const auto mean = pressure(port, mode.z);
    if (!mean) return tl::make_unexpected(mean.error());
    std::vector<double> slope(mode.z.size()), z = mode.z;
    for (std::size_t k = 0; k < z.size(); ++k) {
      constexpr double kDifference = 1e-3;
      z[k] += kDifference;
      const auto moved = pressure(port, z);
      if (!moved) return tl::make_unexpected(moved.error());
      z[k] = mode.z[k];
      slope[k] = (*moved - *mean) / kDifference;
    }
    Cholesky(mode.hessian, z.size()).to_factor(slope);
    double square = port.standard.si() * port.standard.si();
    for (const double one : slope) square += one * one;
    return Bell{1, *mean, std::sqrt(square)};
  }

  PredictedReadings model_;
  std::shared_ptr<double> factor_;
  std::vector<Point> points_{};
  std::vector<double> weights_{};
  double ln_evidence_ = 0;
};

double density(const std::vector<Hypothesis::Bell>& bells, double at) {
  double sum = 0;
  for (const auto& one : bells) {
    const double far = (at - one.mean) / one.sd;
    sum += one.weight * std::exp(-far * far / 2) / one.sd;
  }
  return sum / std::sqrt(2 * std::numbers::pi);
}

// Nats that a reading tells of which one it is.
double told(const std::vector<std::vector<Hypothesis::Bell>>& each,
            const std::vector<double>& probability) {
  double low = each[0][0].mean, high = low, finest = each[0][0].sd;
  for (const auto& bells : each)
    for (const auto& one : bells) {
      low = std::min(low, one.mean - 5 * one.sd);
      high = std::max(high, one.mean + 5 * one.sd);
      finest = std::min(finest, one.sd);
    }
  const int steps = static_cast<int>(std::clamp(4 * (high - low) / finest, 100.0, 4000.0));
  const double step = (high - low) / steps;
  double sum = 0;
  std::vector<double> here(each.size());
  for (int i = 0; i < steps; ++i) {
    double all = 0;
    for (std::size_t h = 0; h < each.size(); ++h) {
      here[h] = density(each[h], low + (i + 0.5) * step);
      all += probability[h] * here[h];
    }
    for (std::size_t h = 0; h < each.size(); ++h)
      if (here[h] > 0) sum += probability[h] * here[h] * std::log(here[h] / all) * step;
  }
  return sum;
}

Result<void> find_port(const WearQuestion& in, std::vector<Hypothesis>& models,
                       WearExplanation& out) {
  std::vector<std::size_t> leading;
  std::vector<double> probability;
  for (const std::size_t i : out.ranking)
    if (out.hypotheses[i].probability >= kLeading) {
      leading.push_back(i);
      probability.push_back(out.hypotheses[i].probability);
    }
  const double sum = std::accumulate(probability.begin(), probability.end(), 0.0);
  for (double& one : probability) one /= sum;
  for (const Port& port : in.ports) {
    std::vector<std::vector<Hypothesis::Bell>> each;
    for (const std::size_t i : leading) {
      auto bells = models[i].predicted(port);
      if (!bells) return tl::make_unexpected(bells.error());
      each.push_back(std::move(*bells));
    }
    out.tells.push_back(leading.size() > 1 ? told(each, probability) : 0);
  }
  const auto most = std::max_element(out.tells.begin(), out.tells.end());
  if (most != out.tells.end() && *most > kTellsNothing)
    out.next = static_cast<std::size_t>(most - out.tells.begin());
  return {};
}

void say(const WearQuestion& in, WearExplanation& out) {
  const auto called_by = [&](std::size_t i) { return out.hypotheses[i].name; };
  const std::size_t first = out.ranking.front();
  if (!out.explained)
    out.said.push_back(
        "no single worn or blocked place explains these readings: more than one is, something else "
        "is wrong, or a reading is");
  else if (out.alike.empty())
    out.said.push_back(fmt::format("{} explains the readings best, with a probability of {:.0f} %",
                                   called_by(first), out.hypotheses[first].probability * 100));
  if (!out.alike.empty()) {
    std::string names;
    for (const std::size_t i : out.alike) names += (names.empty() ? "" : "; ") + called_by(i);
    out.said.push_back(fmt::format("these readings cannot tell apart: {}", names));
  }
  if (out.next)
    out.said.push_back(fmt::format("measure next: {}", in.ports[*out.next].name));
  else if (!out.alike.empty())
    out.said.push_back(in.ports.empty()
                           ? "no other port is left to tell them apart: measure clearances"
                           : "none of the ports named tells them apart");
  out.said.push_back("assumed: one place at a time, each as likely as another beforehand");
}

}  // namespace

Result<WearExplanation> explain_wear(const WearQuestion& in) {
  if (const auto fine = check_identification(in.as_new); !fine)
    return tl::make_unexpected(fine.error());
  if (const auto fine = check_suspects(in); !fine) return tl::make_unexpected(fine.error());
  if (const auto fine = check_ports(in); !fine) return tl::make_unexpected(fine.error());
  WearExplanation out;
  std::vector<Hypothesis> models;
  for (std::size_t i = 0; i <= in.suspects.size(); ++i) {
    const WearSuspect suspect = i == 0 ? WearSuspect{"no wear", {}} : in.suspects[i - 1];
    auto model = Hypothesis::prepare(in.as_new, suspect.elements);
    if (!model) return tl::make_unexpected(model.error());
    const double far = i == 0 ? 0 : (suspect.is_blocked ? -1 : 1) * std::log(in.most);
    if (const auto fine = model->integrate(far); !fine) return tl::make_unexpected(fine.error());
    out.hypotheses.push_back({i == 0 ? suspect.name : hypothesis_name(suspect),
                              model->ln_evidence(), 0, model->factor(), model->best().mode.cost});
    models.push_back(std::move(*model));
  }
  out.ranking.resize(models.size());
  std::iota(out.ranking.begin(), out.ranking.end(), std::size_t{0});
  const auto ln = [&](std::size_t i) { return out.hypotheses[i].ln_evidence; };
  std::stable_sort(out.ranking.begin(), out.ranking.end(),
                   [&](std::size_t a, std::size_t b) { return ln(a) > ln(b); });
  const double most = ln(out.ranking.front());
  double sum = 0, least_chi_square = out.hypotheses[0].chi_square;
  for (WearHypothesis& one : out.hypotheses) {
    sum += one.probability = std::exp(one.ln_evidence - most);
    least_chi_square = std::min(least_chi_square, one.chi_square);
  }
  for (WearHypothesis& one : out.hypotheses) one.probability /= sum;
  for (const std::size_t i : out.ranking)
    if (ln(i) > most - std::log(kAlikeRatio)) out.alike.push_back(i);
  if (out.alike.size() == 1) out.alike.clear();
  out.tail = chi_square_tail(least_chi_square, static_cast<double>(in.as_new.readings.size()));
  out.explained = out.tail >= kUnexplained;
  if (const auto fine = find_port(in, models, out); !fine) return tl::make_unexpected(fine.error());
  say(in, out);
  return out;
}

}  // namespace tautmark::oil
