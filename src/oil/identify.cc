// SPDX-License-Identifier: Apache-2.0
#include "oil/identify.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <random>

#include "oil/identify_mode.h"
#include "oil/network_check.h"

namespace tautmark::oil {
namespace {

constexpr int kTail = 6;            // degrees of freedom of the t, even
constexpr double kWiden = 1.1;      // of its standard deviations
constexpr double kFromPrior = 0.1;  // a mode that the t misses is still drawn
constexpr int kMostRounds = 5;
constexpr double kUnexplained = 0.01;

// The library's distributions differ from one to the next.
class Draws {
 public:
  explicit Draws(std::uint64_t seed) : random_(seed) {}
  double uniform() { return (static_cast<double>(random_() >> 11) + 0.5) * 0x1p-53; }
  double normal() {
    return std::sqrt(-2 * std::log(uniform())) * std::cos(2 * std::numbers::pi * uniform());
  }
  // Of kTail degrees of freedom.
  double chi_square() {
    double product = 1;
    for (int i = 0; i < kTail / 2; ++i) product *= uniform();
    return -2 * std::log(product);
  }

 private:
  std::mt19937_64 random_;
};

double ln_prior(std::span<const double> z) {
  double sum = 0;
  for (const double one : z) sum += one * one;
  return -(sum + static_cast<double>(z.size()) * std::log(2 * std::numbers::pi)) / 2;
}

// A Student t about a center, mixed with the prior.
class Proposal {
 public:
  Proposal(std::vector<double> center, std::vector<double> covariance)
      : center_(std::move(center)), factor_(widened(std::move(covariance)), center_.size()) {
    const double k = static_cast<double>(center_.size());
    ln_scale_ = std::lgamma((kTail + k) / 2) - std::lgamma(kTail / 2.0) -
                k / 2 * std::log(kTail * std::numbers::pi) - factor_.ln_determinant() / 2;
  }

  void draw(Draws& draws, std::span<double> z) const {
    const bool prior = draws.uniform() < kFromPrior;
    const double stretch = prior ? 1 : std::sqrt(kTail / draws.chi_square());
    for (double& one : z) one = stretch * draws.normal();
    if (prior) return;
    factor_.through_factor(z);
    for (std::size_t i = 0; i < z.size(); ++i) z[i] += center_[i];
  }

  double ln_density(std::span<const double> z) const {
    std::vector<double> off(z.begin(), z.end());
    for (std::size_t i = 0; i < off.size(); ++i) off[i] -= center_[i];
    factor_.to_factor(off);
    const double far = std::inner_product(off.begin(), off.end(), off.begin(), 0.0);
    const double k = static_cast<double>(off.size());
    const double t =
        std::log(1 - kFromPrior) + ln_scale_ - (kTail + k) / 2 * std::log1p(far / kTail);
    const double prior = std::log(kFromPrior) + ln_prior(z);
    return std::max(t, prior) + std::log1p(std::exp(-std::abs(t - prior)));
  }

 private:
  static std::vector<double> widened(std::vector<double> covariance) {
    for (double& one : covariance) one *= kWiden * kWiden;
    return covariance;
  }
  std::vector<double> center_;
  Cholesky factor_;
  double ln_scale_ = 0;
};

std::vector<double> inverse_of(const std::vector<double>& matrix, std::size_t size) {
  const Cholesky factor(matrix, size);
  std::vector<double> out(size * size);
  for (std::size_t i = 0; i < size; ++i) {
    out[i * size + i] = 1;
    factor.solve(std::span(out).subspan(i * size, size));  // symmetric: rows are columns
  }
  return out;
}

struct Weighted {
  std::vector<double> z{}, weights{};
  double effective = 0;
  std::size_t least = 0;  // the draw of the least cost
  double least_cost = 0;
};

Result<Weighted> draw_all(PredictedReadings& model, const Proposal& from, Draws& draws,
                          std::size_t count) {
  const std::size_t k = model.unknowns();
  Weighted out;
  out.z.resize(count * k);
  out.weights.resize(count);
  for (std::size_t i = 0; i < count; ++i) {
    const auto z = std::span(out.z).subspan(i * k, k);
    from.draw(draws, z);
    const auto cost = model.cost(z);
    if (!cost) return tl::make_unexpected(cost.error());
    if (i == 0 || *cost < out.least_cost) out.least = i, out.least_cost = *cost;
    out.weights[i] = -*cost / 2 - from.ln_density(z);
  }
  const double most = *std::max_element(out.weights.begin(), out.weights.end());
  double sum = 0, squares = 0;
  for (double& one : out.weights) sum += one = std::exp(one - most);
  for (double& one : out.weights) {
    one /= sum;
    squares += one * one;
  }
  out.effective = 1 / squares;
  return out;
}

std::vector<double> mean_of(const Weighted& of, std::size_t k) {
  std::vector<double> mean(k);
  for (std::size_t i = 0; i < of.weights.size(); ++i)
    for (std::size_t a = 0; a < k; ++a) mean[a] += of.weights[i] * of.z[i * k + a];
  return mean;
}

std::vector<double> covariance_of(const Weighted& of, const std::vector<double>& mean) {
  const std::size_t k = mean.size();
  std::vector<double> out(k * k);
  for (std::size_t i = 0; i < of.weights.size(); ++i)
    for (std::size_t a = 0; a < k; ++a)
      for (std::size_t b = 0; b < k; ++b)
        out[a * k + b] += of.weights[i] * (of.z[i * k + a] - mean[a]) * (of.z[i * k + b] - mean[b]);
  return out;
}

// The draws' covariance, with some of the first guess at it: few draws span few directions.
Proposal fitted_again(const Weighted& to, const std::vector<double>& first, std::size_t k) {
  auto mean = mean_of(to, k);
  auto covariance = covariance_of(to, mean);
  const double trust = std::min(1.0, to.effective / (10.0 * static_cast<double>(k)));
  for (std::size_t i = 0; i < covariance.size(); ++i)
    covariance[i] = trust * covariance[i] + (1 - trust) * first[i];
  return {std::move(mean), std::move(covariance)};
}

struct Sampled {
  Mode mode{};
  Weighted draws{};
};

Result<Sampled> sample(PredictedReadings& model, const Sampling& sampling) {
  const std::size_t k = model.unknowns();
  auto mode = find_mode(model, std::vector<double>(k));
  if (!mode) return tl::make_unexpected(mode.error());
  Draws draws(sampling.seed);
  std::vector<double> about = inverse_of(mode->hessian, k);
  Proposal from(mode->z, about);
  for (int round = 1;; ++round) {
    auto drawn = draw_all(model, from, draws, sampling.draws);
    if (!drawn) return tl::make_unexpected(drawn.error());
    const double wanted = std::max(static_cast<double>(sampling.draws) / 4, kLeastEffective);
    if (drawn->effective >= wanted || round == kMostRounds) {
      if (drawn->effective < kLeastEffective)
        return refuse(fmt::format(
            "{} draws are worth only {:.0f}: no interval; take more draws or fewer unknowns",
            sampling.draws, drawn->effective));
      return Sampled{std::move(*mode), std::move(*drawn)};
    }
    from = fitted_again(*drawn, about, k);
    // A draw below the mode: there is a deeper one.
    if (drawn->least_cost < mode->cost - 1e-6) {
      const auto best = std::span(drawn->z).subspan(drawn->least * k, k);
      auto deeper = find_mode(model, {best.begin(), best.end()});
      if (!deeper) return tl::make_unexpected(deeper.error());
      if (deeper->cost < mode->cost - 0.1) {
        mode = std::move(deeper);
        about = inverse_of(mode->hessian, k);
        from = Proposal(mode->z, about);
      }
    }
  }
}

double correlation(const std::vector<double>& covariance, std::size_t k, std::size_t a,
                   std::size_t b) {
  return covariance[a * k + b] / std::sqrt(covariance[a * k + a] * covariance[b * k + b]);
}

// About the mode as well as over all draws: a long bent ridge hides its own narrowness.
void tell_apart(const Sampled& sampled, Posterior& out) {
  const std::size_t k = out.unknowns;
  const auto all = covariance_of(sampled.draws, mean_of(sampled.draws, k));
  const auto near = inverse_of(sampled.mode.hessian, k);
  for (std::size_t a = 0; a < k; ++a) {
    if (std::sqrt(all[a * k + a]) >= kToldNothing) out.told_nothing.push_back(a);
    for (std::size_t b = a + 1; b < k; ++b) {
      const double far = correlation(all, k, a, b), close = correlation(near, k, a, b);
      const double worse = std::abs(far) > std::abs(close) ? far : close;
      if (std::abs(worse) > kInseparable) out.inseparable.push_back({a, b, worse});
    }
  }
}

void say(const Identification& in, Posterior& out) {
  if (!out.explained) {
    const auto worst =
        std::max_element(out.residuals.begin(), out.residuals.end(),
                         [](double a, double b) { return std::abs(a) < std::abs(b); });
    const auto i = static_cast<std::size_t>(worst - out.residuals.begin());
    out.said.push_back(fmt::format(
        "this network does not explain the readings: at best {} is {:.1f} times its uncertainty "
        "off; something else is wrong, or a reading is",
        node_called(in.network, static_cast<int>(in.readings[i].node)), std::abs(*worst)));
  }
  for (const InseparablePair& pair : out.inseparable)
    out.said.push_back(fmt::format("these readings cannot tell {} from {}",
                                   in.unknowns[pair.one].name, in.unknowns[pair.other].name));
  for (const std::size_t i : out.told_nothing)
    out.said.push_back(fmt::format("these readings say nothing of {}", in.unknowns[i].name));
}

}  // namespace

Result<Posterior> posterior(const Identification& in, const Sampling& sampling) {
  if (in.unknowns.empty()) return refuse("no unknown: nothing to find");
  if (static_cast<double>(sampling.draws) < kLeastEffective)
    return refuse(
        fmt::format("{} draws tell no interval: {:.0f} at least", sampling.draws, kLeastEffective));
  auto model = PredictedReadings::prepare(in);
  if (!model) return tl::make_unexpected(model.error());
  auto sampled = sample(*model, sampling);
  if (!sampled) return tl::make_unexpected(sampled.error());
  Posterior out;
  const std::size_t k = out.unknowns = in.unknowns.size();
  out.effective = sampled->draws.effective;
  out.residuals = sampled->mode.residuals;
  out.chi_square = sampled->mode.cost;
  out.tail = chi_square_tail(out.chi_square, static_cast<double>(in.readings.size()));
  out.explained = out.tail >= kUnexplained;
  out.mode.resize(k);
  model->values_of(sampled->mode.z, out.mode);
  tell_apart(*sampled, out);
  out.values.resize(sampled->draws.z.size());
  for (std::size_t i = 0; i < out.values.size(); i += k)
    model->values_of(std::span(sampled->draws.z).subspan(i, k),
                     std::span(out.values).subspan(i, k));
  out.weights = std::move(sampled->draws.weights);
  say(in, out);
  return out;
}

Interval interval_of(std::span<const double> values, std::span<const double> weights) {
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
  const auto at = [&](double share) {
    double below = 0, last_middle = 0, last_value = values[order.front()];
    for (const std::size_t i : order) {
      const double middle = below + weights[i] / sum / 2;
      if (middle >= share) {
        const double along =
            middle > last_middle ? (share - last_middle) / (middle - last_middle) : 1;
        return last_value + along * (values[i] - last_value);
      }
      below += weights[i] / sum;
      last_middle = middle;
      last_value = values[i];
    }
    return last_value;
  };
  return {at(0.025), at(0.5), at(0.975)};
}

Interval interval_of(const Posterior& of, std::size_t unknown) {
  std::vector<double> values;
  for (std::size_t i = 0; i < of.weights.size(); ++i) values.push_back(of.draw(i)[unknown]);
  return interval_of(values, of.weights);
}

Result<Forecast> forecast(const Identification& in, const Posterior& of, const Running& running,
                          const ApplyToNetwork& option, const ReadOff& read_off) {
  auto model = PredictedReadings::prepare(in);
  if (!model) return tl::make_unexpected(model.error());
  Forecast out;
  for (std::size_t i = 0; i < of.weights.size(); ++i) {
    if (const auto solved = model->solve_at(of.draw(i), running, option); !solved)
      return tl::make_unexpected(solved.error());
    out.values.push_back(read_off(model->solver()));
  }
  out.interval = interval_of(out.values, of.weights);
  return out;
}

}  // namespace tautmark::oil
