// SPDX-License-Identifier: Apache-2.0
#include "recording/phaser_quiet.h"

#include <algorithm>
#include <cmath>
#include <deque>

namespace tautmark::recording {
namespace {

constexpr double kSameSpeed = 1.2;     // largest over smallest of a stretch
constexpr double kSettling = 1;        // s after a command
constexpr double kLeastCommand = 4;    // degrees, of a step that is looked at
constexpr double kSmallCommand = 0.5;  // degrees: the command stands
constexpr std::size_t kBefore = 12;    // cycles before a command, at most

std::vector<bool> may_be_quiet(const PhaserInput& in, const std::vector<PhaseMotion>& motions) {
  const std::vector<CyclePhase>& cycles = in.phase.cycles;
  std::vector<bool> quiet(cycles.size(), true);
  const auto exclude = [&](double from, double to) {
    for (std::size_t i = 0; i < cycles.size(); ++i)
      if (cycles[i].time > from && cycles[i].time < to) quiet[i] = false;
  };
  if (in.command != nullptr)
    for (const CommandStep& step : command_steps(*in.command, kSmallCommand)) {
      const double at = step.time + in.clock.offset;
      exclude(at - log_period(*in.command), at + kSettling);
    }
  for (const PhaseMotion& m : motions) {
    // The way from 10 to 90 %, a part of it before and as much again after, where it settles.
    const double way = m.end_time - m.begin_time;
    exclude(m.begin_time - 0.25 * way, m.end_time + std::max(way, 0.2));
  }
  return quiet;
}

}  // namespace

Stretch quiet_stretch(const PhaserInput& in, const std::vector<PhaseMotion>& motions) {
  const std::vector<CyclePhase>& cycles = in.phase.cycles;
  const std::vector<bool> quiet = may_be_quiet(in, motions);
  Stretch best;
  std::size_t begin = 0;
  // Slowest and fastest of [begin, i] at the fronts.
  std::deque<std::size_t> slow, fast;
  const auto speed = [&](std::size_t i) { return cycles[i].per_minute; };
  for (std::size_t i = 0; i < cycles.size(); ++i) {
    if (!quiet[i]) {
      begin = i + 1;
      slow.clear();
      fast.clear();
      continue;
    }
    while (!slow.empty() && speed(slow.back()) >= speed(i)) slow.pop_back();
    while (!fast.empty() && speed(fast.back()) <= speed(i)) fast.pop_back();
    slow.push_back(i);
    fast.push_back(i);
    while (speed(fast.front()) > kSameSpeed * speed(slow.front())) {
      if (slow.front() == begin) slow.pop_front();
      if (fast.front() == begin) fast.pop_front();
      ++begin;
    }
    if (i + 1 - begin > best.size()) best = {begin, i + 1};
  }
  return best;
}

std::vector<CommandResponse> command_responses(const PhaserInput& in) {
  std::vector<CommandResponse> responses;
  if (in.command == nullptr) return responses;
  const std::vector<CyclePhase>& cycles = in.phase.cycles;
  std::vector<double> time, psi;
  for (const CyclePhase& c : cycles) time.push_back(c.time), psi.push_back(c.psi);
  const auto index = [&](double at) {
    return static_cast<std::size_t>(std::lower_bound(time.begin(), time.end(), at) - time.begin());
  };
  const std::vector<CommandStep> steps = command_steps(*in.command, kSmallCommand);
  const double period = log_period(*in.command);
  for (std::size_t s = 0; s < steps.size(); ++s) {
    if (std::abs(steps[s].to - steps[s].from) < kLeastCommand) continue;
    CommandResponse r;
    r.step = steps[s];
    r.step.time += in.clock.offset;
    const double until =
        s + 1 < steps.size() ? steps[s + 1].time + in.clock.offset - period : time.back() + 1;
    const double since = s > 0 ? steps[s - 1].time + in.clock.offset : time.front() - 1;
    const std::size_t at = index(r.step.time - period), end = index(until);
    const std::size_t from = std::max(index(since), at > kBefore ? at - kBefore : 0);
    if (at < from + 3 || end < at + 3) continue;  // not in the recording
    const std::span all(psi);
    const PhaseStatistics before = phase_statistics(all.subspan(from, at - from));
    const std::size_t last = at + static_cast<std::size_t>(0.7 * static_cast<double>(end - at));
    const PhaseStatistics after = phase_statistics(all.subspan(last, end - last));
    r.way = after.mean - before.mean;
    const double jitter = robust_jitter(psi);  // of 3 cycles the sd alone says little
    r.way_uncertainty = std::hypot(std::max(before.sd, jitter) / std::sqrt(before.count),
                                   std::max(after.sd, jitter) / std::sqrt(after.count));
    const double cycle = (time[end - 1] - time[at]) / static_cast<double>(end - 1 - at);
    // The command came up to a row before the one that shows it, and a cycle in which the cam moves
    // is a mean: both one-sided, root mean square of a length is it over the root of 3.
    r.time_uncertainty =
        std::hypot(in.clock.uncertainty, std::hypot(period, cycle) / std::sqrt(3.0));
    const auto response =
        step_response(std::span(time).subspan(at, end - at), all.subspan(at, end - at), r.step.time,
                      before.mean, before.mean + r.step.to - r.step.from, in.band);
    if (response) r.response = *response;
    responses.push_back(std::move(r));
  }
  return responses;
}

}  // namespace tautmark::recording
