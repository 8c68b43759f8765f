// SPDX-License-Identifier: Apache-2.0
#include "recording/wheel_path.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kSigma = 0.15, kSigmaPastExtra = 0.12;  // of ln(interval / slots)
constexpr double kLogRare = -4.605170185988091;          // ln 0.01: missed, extra, outlier
constexpr double kFloor = kLogRare - 2;
constexpr double kJump = kLogRare - 14;
constexpr int kMostExtra = 2;
constexpr std::size_t kBlock = 4096, kOverlap = 256;
constexpr double kNever = -std::numeric_limits<double>::infinity();

struct Move {
  std::int16_t from = -1;  // slot; -1: none
  std::int8_t back = 0;    // edges back
  std::int8_t jump = 0;
};

// Teeth that a move from slot `from` over k slots jumps over, per k.
struct Moves {
  int slots = 0, longest = 0;
  std::vector<std::vector<int>> skipped;  // [from][k]
  std::vector<double> log_k;
};

Moves moves_of(const SlotPattern& pattern) {
  Moves moves;
  moves.slots = slot_count(pattern);
  int gap = 0, longest_gap = 0;
  for (int s = 0; s < 2 * moves.slots; ++s) {
    gap = pattern.present[static_cast<std::size_t>(s % moves.slots)] ? 0 : gap + 1;
    longest_gap = std::max(longest_gap, gap);
  }
  moves.longest = std::max(6, longest_gap + 2);
  moves.skipped.assign(static_cast<std::size_t>(moves.slots),
                       std::vector<int>(static_cast<std::size_t>(moves.longest) + 1, 0));
  for (int s = 0; s < moves.slots; ++s)
    for (int k = 2; k <= moves.longest; ++k)
      moves.skipped[static_cast<std::size_t>(s)][static_cast<std::size_t>(k)] =
          moves.skipped[static_cast<std::size_t>(s)][static_cast<std::size_t>(k) - 1] +
          (pattern.present[static_cast<std::size_t>((s + k - 1) % moves.slots)] ? 1 : 0);
  for (int k = 0; k <= moves.longest; ++k) moves.log_k.push_back(k > 0 ? std::log(k) : 0);
  return moves;
}

double interval_score(double log_ratio, double log_k, double sigma) {
  const double x = (log_ratio - log_k) / sigma;
  return -0.5 * x * x - std::log(sigma * std::sqrt(2 * std::numbers::pi));
}

struct Block {
  std::vector<std::vector<double>> score;
  std::vector<std::vector<Move>> move;
};

// Scores of edges [begin, end) from the start scores of edge `begin`.
Block search(std::span<const double> times, std::span<const double> slot_time,
             const SlotPattern& pattern, const Moves& moves, std::size_t begin, std::size_t end,
             std::vector<double> start) {
  const std::size_t slots = pattern.present.size();
  Block block;
  block.score.push_back(std::move(start));
  block.move.emplace_back(slots);
  for (std::size_t i = begin + 1; i < end; ++i) {
    std::vector<double> score(slots, kNever);
    std::vector<Move> move(slots);
    for (int back = 1; back <= 1 + kMostExtra && i >= begin + static_cast<std::size_t>(back);
         ++back) {
      const std::vector<double>& from = block.score[i - begin - static_cast<std::size_t>(back)];
      const double interval = times[i] - times[i - static_cast<std::size_t>(back)];
      if (interval <= 0) continue;
      const double log_ratio = std::log(interval / slot_time[i - 1]);
      for (int k = 1; k <= moves.longest; ++k) {
        double step = interval_score(log_ratio, moves.log_k[static_cast<std::size_t>(k)],
                                     back == 1 ? kSigma : kSigmaPastExtra);
        if (back == 1) step = std::max(step, kFloor);
        step += (back - 1) * kLogRare;
        if (step < kJump) continue;
        for (std::size_t s = 0; s < slots; ++s) {
          const std::size_t to = (s + static_cast<std::size_t>(k)) % slots;
          if (from[s] == kNever || !pattern.present[to]) continue;
          const double total =
              from[s] + step + kLogRare * moves.skipped[s][static_cast<std::size_t>(k)];
          if (total > score[to]) {
            score[to] = total;
            move[to] = {static_cast<std::int16_t>(s), static_cast<std::int8_t>(back), 0};
          }
        }
      }
    }
    const std::vector<double>& last = block.score.back();
    const auto best = std::max_element(last.begin(), last.end());
    for (std::size_t s = 0; s < slots; ++s) {
      if (!pattern.present[s] || *best + kJump <= score[s]) continue;
      score[s] = *best + kJump;
      move[s] = {static_cast<std::int16_t>(best - last.begin()), 1, 1};
    }
    block.score.push_back(std::move(score));
    block.move.push_back(std::move(move));
  }
  return block;
}

struct Placed {
  std::size_t edge;
  int slot;
  bool jump;
};

// The best path of a block, the start edge left out unless it is the first of all.
std::vector<Placed> trace(const Block& block, std::size_t begin) {
  std::vector<Placed> path;
  std::size_t i = block.score.size() - 1;
  const std::vector<double>& last = block.score.back();
  auto slot = static_cast<int>(std::max_element(last.begin(), last.end()) - last.begin());
  for (;;) {
    const Move& move = block.move[i][static_cast<std::size_t>(slot)];
    path.push_back({begin + i, slot, move.jump != 0});
    if (move.from < 0) break;
    i -= static_cast<std::size_t>(move.back);
    slot = move.from;
  }
  std::reverse(path.begin(), path.end());
  return path;
}

// The slots that every interval spans, when each lies within one standard deviation of a whole
// number of them.
std::optional<std::vector<std::uint16_t>> clear_steps(std::span<const double> times,
                                                      double& log_score) {
  const std::vector<double> slot_time = running_median(intervals_of(times), 9, true);
  std::vector<std::uint16_t> steps;
  for (std::size_t i = 1; i < times.size(); ++i) {
    const double ratio = (times[i] - times[i - 1]) / slot_time[i - 1];
    if (!(ratio > 0.5 && ratio < 1000)) return std::nullopt;
    steps.push_back(static_cast<std::uint16_t>(std::round(ratio)));
    const double off = std::log(ratio / steps.back());
    if (std::abs(off) > kSigma) return std::nullopt;
    log_score += interval_score(off, 0, kSigma);
  }
  return steps;
}

}  // namespace

std::optional<SlotPath> find_clean_path(std::span<const double> times, const SlotPattern& pattern) {
  std::vector<int> turn;  // steps from tooth to tooth
  std::vector<std::size_t> teeth;
  for (std::size_t s = 0; s < pattern.present.size(); ++s)
    if (pattern.present[s]) teeth.push_back(s);
  for (std::size_t t = 0; t < teeth.size(); ++t)
    turn.push_back(static_cast<int>(
        (t + 1 < teeth.size() ? teeth[t + 1] : teeth[0] + pattern.present.size()) - teeth[t]));
  if (turn.empty() || times.size() < 2 * turn.size() + 1) return std::nullopt;
  SlotPath path;
  const auto steps = clear_steps(times, path.log_score);
  if (!steps) return std::nullopt;
  const auto fits = [&](std::size_t first) {
    for (std::size_t i = 0; i < steps->size(); ++i)
      if ((*steps)[i] != turn[(first + i) % turn.size()]) return false;
    return true;
  };
  std::optional<std::size_t> first;
  for (std::size_t t = 0; t < turn.size(); ++t) {
    if (!fits(t)) continue;
    if (first) return std::nullopt;
    first = t;
  }
  if (!first) return std::nullopt;
  path.log_score /= static_cast<double>(steps->size());
  auto slot = static_cast<std::int64_t>(teeth[*first]);
  path.edges.reserve(times.size());
  path.edges.push_back({slot, 0, false});
  for (const int step : *steps)
    path.edges.push_back({slot += step, static_cast<std::uint32_t>(path.edges.size()), false});
  return path;
}

SlotPath find_slot_path(std::span<const double> times, const SlotPattern& pattern) {
  SlotPath result;
  if (times.size() < 2 || pattern.present.empty()) return result;
  if (auto clean = find_clean_path(times, pattern)) return *std::move(clean);
  const Moves moves = moves_of(pattern);
  const std::vector<double> slot_time = running_median(intervals_of(times), 9, true);
  std::vector<double> start(pattern.present.size(), kNever);
  for (std::size_t s = 0; s < start.size(); ++s)
    if (pattern.present[s]) start[s] = 0;
  std::vector<Placed> all;
  for (std::size_t begin = 0;;) {
    const std::size_t end = std::min(times.size(), begin + kBlock + kOverlap);
    const Block block = search(times, slot_time, pattern, moves, begin, end, start);
    std::vector<Placed> path = trace(block, begin);
    if (end == times.size()) {
      all.insert(all.end(), path.begin() + (all.empty() ? 0 : 1), path.end());
      result.log_score += *std::max_element(block.score.back().begin(), block.score.back().end());
      break;
    }
    while (path.size() > 2 && path.back().edge > begin + kBlock) path.pop_back();
    all.insert(all.end(), path.begin() + (all.empty() ? 0 : 1), path.end());
    const Placed& next = all.back();
    result.log_score += block.score[next.edge - begin][static_cast<std::size_t>(next.slot)];
    begin = next.edge;
    std::fill(start.begin(), start.end(), kNever);
    start[static_cast<std::size_t>(next.slot)] = 0;
  }
  result.log_score /= static_cast<double>(times.size() - 1);
  std::int64_t slot = all.front().slot;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (i > 0) {
      int k = (all[i].slot - all[i - 1].slot + moves.slots) % moves.slots;
      if (k == 0) k = moves.slots;
      if (all[i].jump) {
        const double passed =
            (times[all[i].edge] - times[all[i - 1].edge]) / slot_time[all[i].edge - 1];
        k += moves.slots *
             std::max(0, static_cast<int>(std::min(1e6, std::round((passed - k) / moves.slots))));
        ++result.jumps;
      } else {
        result.missed += moves.skipped[static_cast<std::size_t>(all[i - 1].slot)]
                                      [static_cast<std::size_t>(std::min(k, moves.longest))];
      }
      result.extra += static_cast<std::int64_t>(all[i].edge - all[i - 1].edge) - 1;
      slot += k;
    }
    result.edges.push_back({slot, static_cast<std::uint32_t>(all[i].edge), all[i].jump});
  }
  return result;
}

}  // namespace tautmark
