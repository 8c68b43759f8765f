// SPDX-License-Identifier: Apache-2.0
#include "oil/identify_mode.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>
#include <set>

#include "oil/estimated.h"
#include "oil/network_check.h"

namespace tautmark::oil {
namespace {

constexpr int kMostSteps = 60;
constexpr double kDifference = 1e-3;  // of z: solves are good to 1e-9
constexpr double kStill = 1e-6;       // of z, far below a standard deviation of 1
constexpr int kMostHalvings = 30;

bool same(const Running& a, const Running& b) {
  return a.viscosity.si() == b.viscosity.si() && a.density.si() == b.density.si() &&
         a.speed.si() == b.speed.si();
}

double value_of(const Prior& prior, double z) {
  if (const auto* ln = std::get_if<NormalLn>(&prior)) return ln->median * std::exp(ln->sd * z);
  const auto& ends = std::get<Between>(prior);
  return ends.low + (ends.high - ends.low) * normal_below(z);
}

Result<void> check_unknown(const Unknown& one) {
  if (one.name.empty()) return refuse("an unknown without a name cannot be told of");
  if (const auto* ln = std::get_if<NormalLn>(&one.prior)) {
    if (!is_positive(ln->median) || !is_positive(ln->sd))
      return refuse(fmt::format("{}: its usual value and the spread of it are above 0", one.name));
  } else {
    const auto& ends = std::get<Between>(one.prior);
    if (!std::isfinite(ends.low) || !std::isfinite(ends.high) || !(ends.low < ends.high))
      return refuse(fmt::format("{}: its lower end is not below its upper end", one.name));
  }
  return {};
}

}  // namespace

double normal_below(double z) { return std::erfc(-z / std::numbers::sqrt2) / 2; }

double chi_square_tail(double chi_square, double degrees) {
  return boost::math::gamma_q(degrees / 2, chi_square / 2);
}

Result<void> check_identification(const Identification& in) {
  if (in.readings.empty()) return refuse("no reading: nothing to go by");
  std::set<std::string> names;
  for (const Unknown& one : in.unknowns) {
    if (const auto fine = check_unknown(one); !fine) return fine;
    if (!names.insert(one.name).second)
      return refuse(fmt::format("{}: two unknowns have this name", one.name));
  }
  if (!in.unknowns.empty() && !in.apply && !in.apply_to_running)
    return refuse("nothing says what the unknowns do to the network");
  for (std::size_t i = 0; i < in.readings.size(); ++i) {
    const PressureReading& one = in.readings[i];
    if (one.node >= in.network.nodes.size())
      return refuse(fmt::format("reading {}: the network has no node {}", i + 1, one.node + 1));
    const std::string where = node_called(in.network, static_cast<int>(one.node));
    if (!std::isfinite(one.read.si()))
      return refuse(fmt::format("reading {}, {}: not a pressure", i + 1, where));
    if (!is_positive(one.standard.si()))
      return refuse(fmt::format("reading {}, {}: its uncertainty is above 0", i + 1, where));
  }
  return {};
}

Cholesky::Cholesky(std::vector<double> matrix, std::size_t size) : l_(std::move(matrix)), n_(size) {
  for (std::size_t i = 0; i < n_; ++i)
    for (std::size_t j = 0; j <= i; ++j) {
      double rest = l_[i * n_ + j];
      for (std::size_t k = 0; k < j; ++k) rest -= l_[i * n_ + k] * l_[j * n_ + k];
      if (i == j)
        // At least 1 but for rounding: the prior is in it.
        l_[i * n_ + i] = std::sqrt(std::max(rest, 1e-12));
      else
        l_[i * n_ + j] = rest / l_[j * n_ + j];
    }
}

void Cholesky::to_factor(std::span<double> x) const {
  for (std::size_t i = 0; i < n_; ++i) {
    for (std::size_t k = 0; k < i; ++k) x[i] -= l_[i * n_ + k] * x[k];
    x[i] /= l_[i * n_ + i];
  }
}

void Cholesky::solve_transposed(std::span<double> x) const {
  for (std::size_t i = n_; i-- > 0;) {
    for (std::size_t k = i + 1; k < n_; ++k) x[i] -= l_[k * n_ + i] * x[k];
    x[i] /= l_[i * n_ + i];
  }
}

void Cholesky::solve(std::span<double> x) const {
  to_factor(x);
  solve_transposed(x);
}

double Cholesky::ln_determinant() const {
  double sum = 0;
  for (std::size_t i = 0; i < n_; ++i) sum += 2 * std::log(l_[i * n_ + i]);
  return sum;
}

Result<PredictedReadings> PredictedReadings::prepare(const Identification& in) {
  if (const auto fine = check_identification(in); !fine) return tl::make_unexpected(fine.error());
  auto solver = NetworkSolver::prepare(in.network);
  if (!solver) return tl::make_unexpected(solver.error());
  PredictedReadings out(std::move(*solver));
  for (const Element& one : in.network.elements) out.as_given_.push_back(one.law);
  for (const Unknown& one : in.unknowns) out.priors_.push_back(one.prior);
  out.apply_ = in.apply;
  out.apply_to_running_ = in.apply_to_running;
  out.readings_ = in.readings;
  for (const PressureReading& one : in.readings) {
    const auto at = std::find_if(out.runnings_.begin(), out.runnings_.end(),
                                 [&](const Running& it) { return same(it, one.running); });
    out.in_running_.push_back(static_cast<std::size_t>(at - out.runnings_.begin()));
    if (at == out.runnings_.end()) out.runnings_.push_back(one.running);
  }
  out.values_.resize(in.unknowns.size());
  out.residuals_.resize(in.readings.size());
  out.other_.resize(in.readings.size());
  return out;
}

void PredictedReadings::values_of(std::span<const double> z, std::span<double> values) const {
  for (std::size_t i = 0; i < priors_.size(); ++i) values[i] = value_of(priors_[i], z[i]);
}

Result<void> PredictedReadings::solve_at(std::span<const double> values, const Running& running,
                                         const ApplyToNetwork& option) {
  // An option may have changed what `apply` never sets.
  for (std::size_t i = 0; i < as_given_.size(); ++i) solver_.change(i, as_given_[i]);
  if (apply_) apply_(values, solver_);
  if (option) option(values, solver_);
  Running at = running;
  if (apply_to_running_) apply_to_running_(values, at);
  return solver_.solve(at);
}

Result<void> PredictedReadings::residuals(std::span<const double> z, std::span<double> out) {
  values_of(z, values_);
  for (std::size_t c = 0; c < runnings_.size(); ++c) {
    if (const auto solved = solve_at(values_, runnings_[c], {}); !solved) return solved;
    for (std::size_t i = 0; i < readings_.size(); ++i)
      if (in_running_[i] == c)
        out[i] =
            (readings_[i].read - solver_.at(readings_[i].node)).si() / readings_[i].standard.si();
  }
  return {};
}

Result<double> PredictedReadings::cost(std::span<const double> z) {
  if (const auto fine = residuals(z, residuals_); !fine) return tl::make_unexpected(fine.error());
  double sum = 0;
  for (const double r : residuals_) sum += r * r;
  for (const double one : z) sum += one * one;
  return sum;
}

Result<std::vector<double>> PredictedReadings::slopes(std::span<const double> z) {
  std::vector<double> out(readings() * unknowns());
  shifted_.assign(z.begin(), z.end());
  for (std::size_t k = 0; k < unknowns(); ++k) {
    shifted_[k] = z[k] + kDifference;
    if (const auto fine = residuals(shifted_, residuals_); !fine)
      return tl::make_unexpected(fine.error());
    shifted_[k] = z[k] - kDifference;
    if (const auto fine = residuals(shifted_, other_); !fine)
      return tl::make_unexpected(fine.error());
    shifted_[k] = z[k];
    for (std::size_t i = 0; i < readings(); ++i)
      out[i * unknowns() + k] = (residuals_[i] - other_[i]) / (2 * kDifference);
  }
  return out;
}

namespace {

std::vector<double> hessian_of(const std::vector<double>& slopes, std::size_t unknowns) {
  std::vector<double> out(unknowns * unknowns);
  for (std::size_t a = 0; a < unknowns; ++a)
    for (std::size_t b = 0; b < unknowns; ++b) {
      double sum = a == b ? 1 : 0;
      for (std::size_t i = 0; i + unknowns <= slopes.size(); i += unknowns)
        sum += slopes[i + a] * slopes[i + b];
      out[a * unknowns + b] = sum;
    }
  return out;
}

Result<void> look_about(PredictedReadings& model, Mode& mode) {
  auto slopes = model.slopes(mode.z);
  if (!slopes) return tl::make_unexpected(slopes.error());
  mode.slopes = std::move(*slopes);
  mode.hessian = hessian_of(mode.slopes, model.unknowns());
  mode.residuals.resize(model.readings());
  return model.residuals(mode.z, mode.residuals);
}

std::vector<double> step_of(const Mode& mode, std::size_t unknowns) {
  std::vector<double> step(unknowns);
  for (std::size_t k = 0; k < unknowns; ++k) {
    step[k] = -mode.z[k];
    for (std::size_t i = 0; i < mode.residuals.size(); ++i)
      step[k] -= mode.slopes[i * unknowns + k] * mode.residuals[i];
  }
  Cholesky(mode.hessian, unknowns).solve(step);
  return step;
}

// Whether z moved on.
Result<bool> go_down(PredictedReadings& model, Mode& mode, const std::vector<double>& step) {
  double t = 1, longest = 0;
  for (const double one : step) longest = std::max(longest, std::abs(one));
  if (longest > 2) t = 2 / longest;  // two standard deviations of the prior at once
  std::vector<double> trial(mode.z.size());
  for (int i = 0; i < kMostHalvings && t * longest > kStill; ++i, t /= 2) {
    for (std::size_t k = 0; k < trial.size(); ++k) trial[k] = mode.z[k] + t * step[k];
    const auto cost = model.cost(trial);
    if (!cost) return tl::make_unexpected(cost.error());
    if (*cost < mode.cost) {
      mode.z = trial;
      mode.cost = *cost;
      return true;
    }
  }
  return false;
}

}  // namespace

Result<Mode> find_mode(PredictedReadings& model, std::vector<double> start) {
  Mode mode;
  mode.z = std::move(start);
  const auto cost = model.cost(mode.z);
  if (!cost) return tl::make_unexpected(cost.error());
  mode.cost = *cost;
  for (int i = 0; i < kMostSteps; ++i) {
    if (const auto fine = look_about(model, mode); !fine) return tl::make_unexpected(fine.error());
    const auto moved = go_down(model, mode, step_of(mode, model.unknowns()));
    if (!moved) return tl::make_unexpected(moved.error());
    if (!*moved) break;
  }
  if (const auto fine = look_about(model, mode); !fine) return tl::make_unexpected(fine.error());
  return mode;
}

}  // namespace tautmark::oil
