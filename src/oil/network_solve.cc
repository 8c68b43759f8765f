// SPDX-License-Identifier: Apache-2.0
// The sum over all elements of ∫ Q dΔp, less what the sources do, is convex in the pressures, and
// its slopes are the excesses at the nodes. Newton's direction always leads down; `search` finds
// out how far.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oil/network_check.h"
#include "oil/network_laws.h"
#include "oil/network_solver.h"

namespace tautmark::oil {
namespace {

constexpr int kMostSteps = 400;
constexpr int kStepsByExcess = 40;                  // after which only the content is trusted
constexpr double kFinest = 100;                     // Pa, no law bends within less but by Δp_c
constexpr int kNearSteps = 8, kMostNearSteps = 60;  // where rounding lets it come no nearer
constexpr double kSettled = 1e-12;                  // excess left, of what the sources bring
constexpr double kTolerated = 1e-10;                // at least
constexpr double kGuessed = 1e5;                    // Pa, over an element
constexpr double kAirBegins = -0.85e5;              // Pa
constexpr double kFarthest = 1e15;  // Pa, of a start; also false for what is no number
constexpr double kLeast = 1e-280;   // below it a conductance has lost its digits

// Rounding error of a + b where sum is their rounded sum.
double lost(double a, double b, double sum) {
  const double part = sum - a;
  return (a - (sum - part)) + (b - part);
}

}  // namespace

Result<void> NetworkSolver::read_numbers(const Running& running) {
  if (const auto fine = check_numbers(network_, running); !fine) return fine;
  const double root = std::sqrt(2 / running.density.si());
  brought_ = 0;
  pulled_ = false;
  for (std::size_t i = 0; i < branches_.size(); ++i) {
    Branch& one = branches_[i];
    one.size = one.opens = one.brought = 0;
    const ElementLaw& law = network_.elements[i].law;
    if (const auto* gap = std::get_if<Laminar>(&law)) {
      one.shape = Shape::straight;
      one.size = gap->conductance / (gap->film * running.viscosity.si());
    } else if (const auto* hole = std::get_if<Orifice>(&law)) {
      one.shape = Shape::root;
      one.size = hole->area * root;
    } else if (const auto* check = std::get_if<CheckedOrifice>(&law)) {
      one.shape = Shape::checked;
      one.size = check->area * root;
      one.opens = check->opens.si();
    } else if (const auto* relief = std::get_if<Relief>(&law)) {
      one.shape = Shape::relief;
      one.size = relief->slope;
      one.opens = relief->opens.si();
    } else if (const auto* pump = std::get_if<Pump>(&law)) {
      one.shape = Shape::straight;
      one.size = pump->slip / running.viscosity.si();
      one.brought = pump->per_turn * running.speed.si();
    } else if (const auto* fixed = std::get_if<FixedFlow>(&law)) {
      one.shape = Shape::source;
      one.brought = fixed->flow.si();
      pulled_ = pulled_ || one.brought != 0;
    }
    brought_ += std::abs(one.brought);
    if (!std::isfinite(one.size) || !std::isfinite(brought_))
      return refuse(fmt::format("{}: more flows than can be computed with",
                                called(network_, network_.elements[i])));
  }
  smoothing_ = network_.smoothing.si() * network_.smoothing.si();
  return {};
}

// Every element as if it had the same pressure difference.
void NetworkSolver::guess() {
  std::fill(high_.begin(), high_.end(), 0);
  std::fill(low_.begin(), low_.end(), 0);
  if (!start_.empty()) {
    for (std::size_t i = 0; i < start_.size(); ++i)
      if (std::abs(start_[i]) < kFarthest) high_[i] = start_[i];
    return;
  }
  std::fill(excess_.begin(), excess_.end(), 0);
  for (Branch& one : branches_) {
    one.slope = one.size;
    if (one.shape == Shape::root || one.shape == Shape::checked)
      one.slope = root_law(one.size, kGuessed, smoothing_).value / kGuessed;
    if (one.from != kSump) excess_[one.from] += one.brought;
    if (one.to != kSump) excess_[one.to] -= one.brought;
  }
  std::fill(air_slope_.begin(), air_slope_.end(), 0);
  int singular = 0;
  if (!factor(singular)) return;
  for (std::size_t i = 0; i < high_.size(); ++i) high_[i] = -excess_[i];
  back_substitute(high_);
  for (double& one : high_)
    if (!std::isfinite(one)) one = 0;
}

void NetworkSolver::evaluate() {
  std::fill(excess_.begin(), excess_.end(), 0);
  for (Branch& one : branches_) {
    const bool from = one.from != kSump, to = one.to != kSump;
    const double a = from ? high_[one.from] : 0, b = to ? -high_[one.to] : 0;
    const double first = a + b;
    const double dp =
        first + (lost(a, b, first) + ((from ? low_[one.from] : 0) - (to ? low_[one.to] : 0)));
    Smooth law{0, 0};
    switch (one.shape) {
      case Shape::straight:
        law = {one.size * dp, one.size};
        break;
      case Shape::root:
        law = root_law(one.size, dp, smoothing_);
        break;
      case Shape::checked:
        law = checked_law(one.size, one.opens, dp, smoothing_);
        break;
      case Shape::relief:
        law = relief_law(one.size, one.opens, dp);
        break;
      case Shape::source:
        break;
    }
    one.flow = law.value + one.brought;
    one.slope = law.slope;
    if (from) excess_[one.from] += one.flow;
    if (to) excess_[one.to] -= one.flow;
  }
  worst_ = norm_ = 0;
  for (std::size_t i = 0; i < excess_.size(); ++i) {
    if (pulled_) {
      constexpr double kWidth = kAirBegins - kLeastPressure;
      const Smooth air = ramp((kAirBegins - high_[i]) / kWidth);
      air_[i] = brought_ * air.value;
      air_slope_[i] = brought_ * air.slope / kWidth;
      excess_[i] -= air_[i];
    }
    worst_ = std::max(worst_, std::abs(excess_[i]));
    norm_ += excess_[i] * excess_[i];
  }
}

bool NetworkSolver::factor(int& singular) {
  std::fill(between_.begin(), between_.end(), 0);
  std::copy(air_slope_.begin(), air_slope_.end(), ground_.begin());
  for (const Branch& one : branches_) {
    if (one.slot != kSump)
      between_[one.slot] += one.slope;
    else
      ground_[one.from != kSump ? one.from : one.to] += one.slope;
  }
  std::size_t pair = 0;
  for (std::size_t k = 0; k < order_.size(); ++k) {
    const int node = order_[k];
    const auto begin = static_cast<std::size_t>(first_spoke_[k]);
    const auto end = static_cast<std::size_t>(first_spoke_[k + 1]);
    double all = ground_[node];
    for (std::size_t a = begin; a < end; ++a) all += between_[spokes_[a].slot];
    if (!(all > kLeast) || !std::isfinite(all)) {
      singular = node;
      return false;
    }
    inverse_[node] = 1 / all;
    for (std::size_t a = begin; a < end; ++a) {
      share_[a] = between_[spokes_[a].slot] * inverse_[node];
      ground_[spokes_[a].node] += share_[a] * ground_[node];
      for (std::size_t b = a + 1; b < end; ++b)
        between_[meshed_[pair++]] += share_[a] * between_[spokes_[b].slot];
    }
  }
  return true;
}

void NetworkSolver::back_substitute(std::span<double> x) const {
  for (std::size_t k = 0; k < order_.size(); ++k)
    for (int a = first_spoke_[k]; a < first_spoke_[k + 1]; ++a)
      x[spokes_[a].node] += share_[a] * x[order_[k]];
  for (std::size_t k = order_.size(); k-- > 0;) {
    double sum = x[order_[k]] * inverse_[order_[k]];
    for (int a = first_spoke_[k]; a < first_spoke_[k + 1]; ++a)
      sum += share_[a] * x[spokes_[a].node];
    x[order_[k]] = sum;
  }
}

void NetworkSolver::respond(std::span<double> by_node) const { back_substitute(by_node); }

void NetworkSolver::keep() {
  std::copy(high_.begin(), high_.end(), kept_high_.begin());
  std::copy(low_.begin(), low_.end(), kept_low_.begin());
}

void NetworkSolver::move(double along) {
  for (std::size_t i = 0; i < high_.size(); ++i) {
    const double by = along * step_[i];
    const double sum = kept_high_[i] + by;
    const double rest = kept_low_[i] + lost(kept_high_[i], by, sum);
    high_[i] = sum + rest;
    low_[i] = lost(sum, rest, high_[i]);
  }
  evaluate();
}

double NetworkSolver::along_step() const {
  double sum = 0;
  for (std::size_t i = 0; i < step_.size(); ++i) sum += step_[i] * excess_[i];
  return sum;
}

// Where the content still falls, but at most half as steeply: nearer than that, the whole is proven
// to arrive. In the first steps less than half of the excess left will do too.
void NetworkSolver::search(int step) {
  const double before = along_step(), norm = norm_;
  keep();
  double low = 0, low_slope = before, high = 1;
  move(high);
  double high_slope = along_step();
  if (step < kStepsByExcess && norm_ <= norm / 4) return;
  for (int more = 0; high_slope < before / 2 && more < 60; ++more) {
    low = high;
    low_slope = high_slope;
    move(high *= 2);
    high_slope = along_step();
  }
  for (int tries = 0; tries < 200; ++tries) {
    if (high_slope <= 0 && high_slope >= before / 2) return;
    // Aims at a quarter of the slope; by turns halves, or takes the root where they differ widely.
    double at = low + (high - low) * (before / 4 - low_slope) / (high_slope - low_slope);
    if (tries % 2 == 1) at = low > 0 && high > 8 * low ? std::sqrt(low * high) : (low + high) / 2;
    if (tries % 4 == 3 && low == 0) at = high * 1e-3;
    if (!(at > low && at < high)) at = (low + high) / 2;
    if (!(at > low && at < high)) break;  // no number between
    move(at);
    const double slope = along_step();
    if (slope <= 0 && slope >= before / 2) return;
    if (slope > 0 || !std::isfinite(slope)) {
      high = at;
      high_slope = slope;
    } else {
      low = at;
      low_slope = slope;
    }
  }
  move(low > 0 ? low : high);
}

Result<NetworkSolver::Nearness> NetworkSolver::aim() {
  int node = 0;
  const bool solved = factor(node);
  if (!std::isfinite(norm_))
    return refuse(fmt::format("{}: more flows than can be computed with",
                              node_called(network_, node_of_most_excess())));
  if (!solved)
    return refuse(
        fmt::format("{}: every way from it to the sump is shut", node_called(network_, node)));
  for (std::size_t i = 0; i < step_.size(); ++i) step_[i] = -excess_[i];
  back_substitute(step_);
  const double fine = 0.01 * std::min(kFinest, std::sqrt(smoothing_));
  Nearness out{true, true};
  for (std::size_t i = 0; i < step_.size(); ++i) {
    if (!std::isfinite(step_[i]))
      return refuse(fmt::format("{}: its pressure is more than can be computed with",
                                node_called(network_, static_cast<int>(i))));
    const double by = std::abs(step_[i]), is = std::abs(high_[i]);
    out.there = out.there && by <= 1e-11 * is + 1e-9;
    out.close = out.close && by <= 1e-13 * is + fine;
  }
  return out;
}

int NetworkSolver::node_of_most_excess() const {
  std::size_t most = 0;
  for (std::size_t i = 0; i < excess_.size(); ++i) {
    if (!std::isfinite(excess_[i])) return static_cast<int>(i);
    if (std::abs(excess_[i]) > std::abs(excess_[most])) most = i;
  }
  return static_cast<int>(most);
}

Result<void> NetworkSolver::solve(const Running& running) {
  if (const auto fine = read_numbers(running); !fine) return fine;
  std::fill(air_.begin(), air_.end(), 0);
  std::fill(air_slope_.begin(), air_slope_.end(), 0);
  guess();
  if (brought_ == 0) std::fill(high_.begin(), high_.end(), 0);
  evaluate();
  int patience = 0;
  for (steps_ = 0;; ++steps_) {
    const auto near = aim();
    if (!near) return tl::make_unexpected(near.error());
    if (near->there && worst_ <= kSettled * brought_) break;
    const int most = near->close ? kNearSteps : kMostNearSteps;
    if (worst_ <= kTolerated * brought_ && ++patience > most) break;
    if (steps_ == kMostSteps)
      return refuse(fmt::format("{}: its pressure does not settle",
                                node_called(network_, node_of_most_excess())));
    if (near->close) {
      keep();  // too near for a search, which rounding would lead astray
      move(1);
    } else {
      search(steps_);
    }
  }
  // Pumps alone leave no pressure below 0 but by rounding.
  for (double& one : high_)
    if (!pulled_ && one < 0) one = 0;
  return {};
}

Flow NetworkSolver::through(std::size_t element) const {
  return Flow::from_si(branches_[element].flow);
}

Flow NetworkSolver::brought(std::size_t element) const {
  return Flow::from_si(branches_[element].brought);
}

Flow NetworkSolver::air(std::size_t node) const { return Flow::from_si(air_[node]); }

Result<NetworkSolution> solve(const Network& network, const Running& running) {
  auto solver = NetworkSolver::prepare(network);
  if (!solver) return tl::make_unexpected(solver.error());
  if (const auto fine = solver->solve(running); !fine) return tl::make_unexpected(fine.error());
  NetworkSolution out;
  for (std::size_t i = 0; i < network.nodes.size(); ++i) {
    out.at.push_back(solver->at(i));
    out.air.push_back(solver->air(i));
  }
  for (std::size_t i = 0; i < network.elements.size(); ++i)
    out.through.push_back(solver->through(i));
  out.steps = solver->steps();
  return out;
}

}  // namespace tautmark::oil
