// SPDX-License-Identifier: Apache-2.0
#include "oil/identify.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <random>

#include "oil/identify_mode.h"
#include "oil/network_check.h"

namespace tautmark::oil {
namespace {

constexpr double kFromPrior = 0.1;  // what the way through the mode misses is still drawn
constexpr double kMostLost = 0.05;
constexpr int kMostTries = 60;
constexpr double kSolved = 1e-4;  // of ξ: the density is that of where it ended
constexpr double kUnexplained = 0.01;

// The library's distributions differ from one to the next.
class Draws {
 public:
  explicit Draws(std::uint64_t seed) : random_(seed) {}
  double uniform() { return (static_cast<double>(random_() >> 11) + 0.5) * 0x1p-53; }
  double normal() {
    return std::sqrt(-2 * std::log(uniform())) * std::cos(2 * std::numbers::pi * uniform());
  }

 private:
  std::mt19937_64 random_;
};

double ln_normal(std::span<const double> z) {
  double sum = 0;
  for (const double one : z) sum += one * one;
  return -(sum + static_cast<double>(z.size()) * std::log(2 * std::numbers::pi)) / 2;
}

double ln_sum(double a, double b) {
  return std::max(a, b) + std::log1p(std::exp(-std::abs(a - b)));
}

// Gauss with pivots; b becomes x. ln |det|; minus infinity and no x where it is singular.
double solve_square(std::vector<double> a, std::span<double> b) {
  const std::size_t n = b.size();
  double ln = 0;
  for (std::size_t c = 0; c < n; ++c) {
    std::size_t pivot = c;
    for (std::size_t r = c + 1; r < n; ++r)
      if (std::abs(a[r * n + c]) > std::abs(a[pivot * n + c])) pivot = r;
    if (pivot != c) {
      std::swap_ranges(a.begin() + c * n, a.begin() + (c + 1) * n, a.begin() + pivot * n);
      std::swap(b[c], b[pivot]);
    }
    const double head = a[c * n + c];
    if (head == 0) return -std::numeric_limits<double>::infinity();
    ln += std::log(std::abs(head));
    for (std::size_t r = c + 1; r < n; ++r) {
      const double times = a[r * n + c] / head;
      for (std::size_t j = c; j < n; ++j) a[r * n + j] -= times * a[c * n + j];
      b[r] -= times * b[c];
    }
  }
  for (std::size_t r = n; r-- > 0;) {
    for (std::size_t j = r + 1; j < n; ++j) b[r] -= a[r * n + j] * b[j];
    b[r] /= a[r * n + r];
  }
  return ln;
}

// F(z) = (z, r(z)); Q: an orthonormal basis of its tangents at the mode. G(z) = Qᵀ F(z).
class Projection {
 public:
  Projection(PredictedReadings& model, const Mode& mode)
      : model_(model),
        k_(model.unknowns()),
        m_(model.readings()),
        factor_(mode.hessian, k_),
        q_(mode.slopes),
        mode_(mode.z),
        at_mode_(k_ * k_),
        r_(m_) {
    // J L⁻ᵀ has orthonormal columns where L Lᵀ = JᵀJ; a row of it is L⁻¹ of a row of J. The rows
    // of z are L⁻¹ of the unit vectors: to_factor does them.
    for (std::size_t i = 0; i < m_; ++i) factor_.to_factor(std::span(q_).subspan(i * k_, k_));
    at_mode_ = projected(mode.slopes);
  }

  const std::vector<double>& at_mode() const { return at_mode_; }
  const std::vector<double>& mode() const { return mode_; }

  // And |F|².
  Result<double> at(std::span<const double> z, std::span<double> g) {
    if (const auto fine = model_.residuals(z, r_); !fine) return tl::make_unexpected(fine.error());
    std::copy(z.begin(), z.end(), g.begin());
    factor_.to_factor(g);
    double square = 0;
    for (const double one : z) square += one * one;
    for (std::size_t i = 0; i < m_; ++i) {
      square += r_[i] * r_[i];
      for (std::size_t a = 0; a < k_; ++a) g[a] += q_[i * k_ + a] * r_[i];
    }
    return square;
  }
  Result<std::vector<double>> slopes(std::span<const double> z) {
    const auto of_readings = model_.slopes(z);
    if (!of_readings) return tl::make_unexpected(of_readings.error());
    return projected(*of_readings);
  }

 private:
  std::vector<double> projected(const std::vector<double>& slopes) const {
    std::vector<double> out(k_ * k_), unit(k_);
    for (std::size_t b = 0; b < k_; ++b) {
      std::fill(unit.begin(), unit.end(), 0.0);
      unit[b] = 1;
      factor_.to_factor(unit);
      for (std::size_t a = 0; a < k_; ++a) out[a * k_ + b] = unit[a];
    }
    for (std::size_t i = 0; i < m_; ++i)
      for (std::size_t a = 0; a < k_; ++a)
        for (std::size_t b = 0; b < k_; ++b) out[a * k_ + b] += q_[i * k_ + a] * slopes[i * k_ + b];
    return out;
  }
  PredictedReadings& model_;
  std::size_t k_, m_;
  Cholesky factor_;
  std::vector<double> q_, mode_, at_mode_, r_;
};

double length(std::span<const double> x) {
  return std::sqrt(std::inner_product(x.begin(), x.end(), x.begin(), 0.0));
}

// G(z) = wanted by Broyden's method with its own slopes where that stops. False: not found.
Result<bool> go_to(Projection& to, std::span<const double> wanted, std::span<double> z) {
  const std::size_t k = z.size();
  std::vector<double> slopes = to.at_mode(), off(k), trial(k), other(k), step(k);
  std::copy(to.mode().begin(), to.mode().end(), z.begin());
  const auto evaluate = [&](std::span<const double> at, std::span<double> out) -> Result<void> {
    if (const auto square = to.at(at, out); !square) return tl::make_unexpected(square.error());
    for (std::size_t a = 0; a < k; ++a) out[a] -= wanted[a];
    return {};
  };
  if (const auto fine = evaluate(z, off); !fine) return tl::make_unexpected(fine.error());
  bool own = true;
  for (int i = 0; i < kMostTries; ++i) {
    if (length(off) < kSolved) return true;
    for (std::size_t a = 0; a < k; ++a) step[a] = -off[a];
    if (!std::isfinite(solve_square(slopes, step))) return false;
    bool nearer = false;
    double t = std::min(1.0, 3 / length(step));  // three standard deviations at once
    for (int halved = 0; halved < (own ? 20 : 2) && !nearer; ++halved, t /= 2) {
      for (std::size_t a = 0; a < k; ++a) trial[a] = z[a] + t * step[a];
      if (const auto fine = evaluate(trial, other); !fine) return tl::make_unexpected(fine.error());
      nearer = length(other) < (1 - 0.1 * t) * length(off);
      if (nearer) break;
    }
    if (nearer) {
      const double square = t * t * std::inner_product(step.begin(), step.end(), step.begin(), 0.0);
      for (std::size_t a = 0; a < k; ++a) {
        const double more = other[a] - (1 - t) * off[a];
        for (std::size_t b = 0; b < k; ++b) slopes[a * k + b] += more * t * step[b] / square;
      }
      std::copy(trial.begin(), trial.end(), z.begin());
      off = other;
      own = false;
    } else if (own) {
      return false;
    } else {
      auto here = to.slopes(z);
      if (!here) return tl::make_unexpected(here.error());
      slopes = std::move(*here);
      own = true;
    }
  }
  return false;
}

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

void even_out(Weighted& of) {
  const double most = *std::max_element(of.weights.begin(), of.weights.end());
  double sum = 0, squares = 0;
  for (double& one : of.weights) sum += one = std::exp(one - most);
  for (double& one : of.weights) {
    one /= sum;
    squares += one * one;
  }
  of.effective = 1 / squares;
}

Result<Weighted> draw_all(PredictedReadings& model, const Mode& mode, Draws& draws,
                          std::size_t count) {
  const std::size_t k = model.unknowns();
  Projection projection(model, mode);
  Weighted out;
  std::vector<double> z(k), g(k), unused(k);
  std::size_t lost = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const bool prior = draws.uniform() < kFromPrior;
    for (double& one : g) one = draws.normal();
    if (prior) {
      z = g;
    } else {
      const auto found = go_to(projection, g, z);
      if (!found) return tl::make_unexpected(found.error());
      if (!*found) {
        ++lost;
        continue;
      }
    }
    const auto square = projection.at(z, g);
    if (!square) return tl::make_unexpected(square.error());
    const auto slopes = projection.slopes(z);
    if (!slopes) return tl::make_unexpected(slopes.error());
    const double ln_density =
        ln_sum(std::log(kFromPrior) + ln_normal(z),
               std::log(1 - kFromPrior) + ln_normal(g) + solve_square(*slopes, unused));
    if (out.weights.empty() || *square < out.least_cost)
      out.least = out.weights.size(), out.least_cost = *square;
    out.z.insert(out.z.end(), z.begin(), z.end());
    out.weights.push_back(-*square / 2 - ln_density);
  }
  if (static_cast<double>(lost) > kMostLost * static_cast<double>(count))
    return refuse(fmt::format(
        "{} of {} draws lead nowhere: the readings leave the unknowns too crooked a range; take "
        "narrower priors",
        lost, count));
  even_out(out);
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

struct Sampled {
  Mode mode{};
  Weighted draws{};
};

Result<Sampled> sample(PredictedReadings& model, const Sampling& sampling) {
  const std::size_t k = model.unknowns();
  auto mode = find_mode(model, std::vector<double>(k));
  if (!mode) return tl::make_unexpected(mode.error());
  Draws draws(sampling.seed);
  for (bool again = true;; again = false) {
    auto drawn = draw_all(model, *mode, draws, sampling.draws);
    if (!drawn) return tl::make_unexpected(drawn.error());
    // A draw below the mode: there is a deeper one.
    if (again && drawn->least_cost < mode->cost - 1e-6) {
      const auto z = std::span(drawn->z).subspan(drawn->least * k, k);
      mode = find_mode(model, {z.begin(), z.end()});
      if (!mode) return tl::make_unexpected(mode.error());
      continue;
    }
    if (drawn->effective < kLeastEffective)
      return refuse(fmt::format(
          "{} draws are worth only {:.0f}: no interval; take more draws or fewer unknowns",
          sampling.draws, drawn->effective));
    return Sampled{std::move(*mode), std::move(*drawn)};
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
