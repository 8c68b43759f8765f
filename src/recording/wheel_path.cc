// SPDX-License-Identifier: Apache-2.0
#include "recording/wheel_path.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/wide.h"
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

// How a slot was reached, in one number as wide as a score: slots moved, edges back, and whether by
// a jump, which moves 1 to `slots` of them. 0: a start.
using Move = std::uint64_t;
constexpr Move kMoveJump = Move{1} << 32;
constexpr Move move_of(std::size_t slots, int back) {
  return static_cast<Move>(back) << 16 | slots;
}

// What a move over k slots costs in missed teeth, from every slot; kNever where a slot is empty.
struct Moves {
  int slots = 0, longest = 0;
  int usual = 1;             // slots of most steps: 2 where an added tooth stands half way
  std::vector<double> cost;  // [k · slots + from]
  std::vector<int> skipped;  // teeth jumped over, likewise
  std::vector<double> log_k;
  std::vector<double> no_tooth;  // 0; kNever where a slot is empty
};

Moves moves_of(const SlotPattern& pattern) {
  Moves moves;
  moves.slots = slot_count(pattern);
  int gap = 0, longest_gap = 0;
  for (int s = 0; s < 2 * moves.slots; ++s) {
    gap = pattern.present[static_cast<std::size_t>(s % moves.slots)] ? 0 : gap + 1;
    longest_gap = std::max(longest_gap, gap);
  }
  moves.usual = usual_step(pattern);
  moves.longest = std::max(6 * moves.usual, longest_gap + 2);
  for (const bool tooth : pattern.present) moves.no_tooth.push_back(tooth ? 0 : kNever);
  const auto n = static_cast<std::size_t>(moves.slots);
  const auto ks = static_cast<std::size_t>(moves.longest) + 1;
  moves.skipped.assign(ks * n, 0);
  moves.cost.assign(ks * n, kNever);
  for (std::size_t s = 0; s < n; ++s) {
    for (std::size_t k = 1; k < ks; ++k) {
      int& skipped = moves.skipped[k * n + s];
      if (k > 1)
        skipped = moves.skipped[(k - 1) * n + s] + (pattern.present[(s + k - 1) % n] ? 1 : 0);
      if (pattern.present[s] && pattern.present[(s + k) % n])
        moves.cost[k * n + s] = kLogRare * skipped;
    }
  }
  for (std::size_t k = 0; k < ks; ++k)
    moves.log_k.push_back(k > 0 ? std::log(static_cast<double>(k)) : 0);
  return moves;
}

const double kPeak = -std::log(kSigma * std::sqrt(2 * std::numbers::pi));
const double kPeakPastExtra = -std::log(kSigmaPastExtra * std::sqrt(2 * std::numbers::pi));

double interval_score(double off) { return -0.5 * (off / kSigma) * (off / kSigma) + kPeak; }
double interval_score_past_extra(double off) {
  return -0.5 * (off / kSigmaPastExtra) * (off / kSigmaPastExtra) + kPeakPastExtra;
}

struct Block {
  std::size_t slots = 0, edges = 0;
  std::vector<double> score;  // [edge · slots + slot]
  std::vector<Move> move;     // likewise
  [[nodiscard]] std::span<const double> scores(std::size_t edge) const {
    return std::span(score).subspan(edge * slots, slots);
  }
};

// Better ways to every slot by a move over k slots; the inner loop of the search, over plain
// arrays: first the slots that stay within the turn, then those that pass its end.
TAUTMARK_WIDE void step_all(const double* from, const double* cost, double step, std::size_t k,
                            Move way, std::size_t slots, double* __restrict score,
                            Move* __restrict move) {
  const std::size_t within = slots - k % slots;
  for (std::size_t part = 0; part < 2; ++part) {
    const std::size_t begin = part == 0 ? 0 : within, count = part == 0 ? within : slots - within;
    double* const score_to = score + (part == 0 ? slots - within : 0);
    Move* const move_to = move + (part == 0 ? slots - within : 0);
    for (std::size_t s = 0; s < count; ++s) {
      const double total = from[begin + s] + cost[begin + s] + step;
      const double old = score_to[s];
      move_to[s] = total > old ? way : move_to[s];
      score_to[s] = total > old ? total : old;
    }
  }
}

// To every tooth from the best slot of the edge before, where no move came out better.
TAUTMARK_WIDE void jump_all(double total, std::size_t from, const double* no_tooth,
                            std::size_t slots, double* __restrict score, Move* __restrict move) {
  for (std::size_t s = 0; s < slots; ++s) {
    const Move way = (s > from ? s - from : s + slots - from) | move_of(0, 1) | kMoveJump;
    const double jumped = total + no_tooth[s], old = score[s];
    move[s] = jumped > old ? way : move[s];
    score[s] = jumped > old ? jumped : old;
  }
}

// Scores of edges [begin, end) from the start scores of edge `begin`.
Block search(std::span<const double> times, std::span<const double> slot_time,
             const SlotPattern& pattern, const Moves& moves, std::size_t begin, std::size_t end,
             const std::vector<double>& start) {
  const std::size_t slots = pattern.present.size();
  Block block;
  block.slots = slots;
  block.edges = end - begin;
  block.score.assign(block.edges * slots, kNever);
  block.move.resize(block.edges * slots);
  std::copy(start.begin(), start.end(), block.score.begin());
  for (std::size_t i = begin + 1; i < end; ++i) {
    double* score = block.score.data() + (i - begin) * slots;
    Move* move = block.move.data() + (i - begin) * slots;
    for (int back = 1; back <= 1 + kMostExtra && i >= begin + static_cast<std::size_t>(back);
         ++back) {
      const double* from = score - static_cast<std::size_t>(back) * slots;
      const double interval = times[i] - times[i - static_cast<std::size_t>(back)];
      if (interval <= 0) continue;
      const double log_ratio = std::log(interval / slot_time[i - 1]);
      for (std::size_t k = 1; k <= static_cast<std::size_t>(moves.longest); ++k) {
        const double off = log_ratio - moves.log_k[k];
        const double step = back == 1 ? std::max(interval_score(off), kFloor)
                                      : interval_score_past_extra(off) + (back - 1) * kLogRare;
        if (step < kJump) continue;
        step_all(from, moves.cost.data() + k * slots, step, k, move_of(k, back), slots, score,
                 move);
      }
    }
    const std::span<const double> last = block.scores(i - begin - 1);
    const auto best = std::max_element(last.begin(), last.end());
    jump_all(*best + kJump, static_cast<std::size_t>(best - last.begin()), moves.no_tooth.data(),
             slots, score, move);
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
  std::size_t i = block.edges - 1;
  const std::span<const double> last = block.scores(i);
  auto slot = static_cast<std::size_t>(std::max_element(last.begin(), last.end()) - last.begin());
  for (;;) {
    const Move move = block.move[i * block.slots + slot];
    path.push_back({begin + i, static_cast<int>(slot), (move & kMoveJump) != 0});
    if (move == 0) break;
    i -= move >> 16 & 0xFFFF;
    slot = (slot + block.slots - (move & 0xFFFF) % block.slots) % block.slots;
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
    log_score += interval_score(off);
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

namespace {

// Time of a slot at place i, from two on either side: a parabola, damped against noise, unless one
// of the neighbors stands out; then their middle. Only a slot longer than its neighbors is
// foretold: an inductive sensor shortens the steps that border a gap by a tenth, which is no
// ripple.
double between_neighbors(std::span<const double> unit, std::size_t i) {
  constexpr double kCurvature = 0.4, kMostBend = 0.15, kOutlier = 0.25;
  const double inner = (unit[i - 1] + unit[i + 1]) / 2, outer = (unit[i - 2] + unit[i + 2]) / 2;
  std::array<double, 4> sorted = {unit[i - 2], unit[i - 1], unit[i + 1], unit[i + 2]};
  std::sort(sorted.begin(), sorted.end());
  const double middle = (sorted[1] + sorted[2]) / 2;
  if (sorted[3] > (1 + kOutlier) * middle || sorted[0] < (1 - kOutlier) * middle) return middle;
  if (inner < outer) return middle;
  return inner + std::min(kCurvature * (inner - outer), kMostBend * inner);
}

// Time of a slot at every interval, from what a first path makes of the intervals beside it. A wide
// median lags behind the ripple of a crank that is cranked, and a gap of 3 slots looks like one
// of 2.
std::vector<double> slot_times(std::span<const double> times, const SlotPath& path,
                               std::vector<double> fallback) {
  std::vector<double> unit;
  for (std::size_t i = 1; i < path.edges.size(); ++i)
    unit.push_back((times[path.edges[i].edge] - times[path.edges[i - 1].edge]) /
                   static_cast<double>(path.edges[i].slot - path.edges[i - 1].slot));
  for (std::size_t i = 2; i + 2 < unit.size(); ++i) {
    bool broken = false;
    for (std::size_t j = i - 1; j <= i + 3; ++j) broken = broken || path.edges[j].after_jump;
    if (broken) continue;
    const double time = between_neighbors(unit, i);
    for (std::size_t e = path.edges[i].edge; e < path.edges[i + 1].edge; ++e) fallback[e] = time;
  }
  return fallback;
}

SlotPath path_with(std::span<const double> times, const SlotPattern& pattern, const Moves& moves,
                   std::span<const double> slot_time) {
  SlotPath result;
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
      const std::span<const double> last = block.scores(block.edges - 1);
      result.log_score += *std::max_element(last.begin(), last.end());
      break;
    }
    while (path.size() > 2 && path.back().edge > begin + kBlock) path.pop_back();
    all.insert(all.end(), path.begin() + (all.empty() ? 0 : 1), path.end());
    const Placed& next = all.back();
    result.log_score += block.scores(next.edge - begin)[static_cast<std::size_t>(next.slot)];
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
        result.missed += moves.skipped[static_cast<std::size_t>(
            std::min(k, moves.longest) * moves.slots + all[i - 1].slot)];
      }
      result.extra += static_cast<std::int64_t>(all[i].edge - all[i - 1].edge) - 1;
      slot += k;
    }
    result.edges.push_back({slot, static_cast<std::uint32_t>(all[i].edge), all[i].jump});
  }
  return result;
}

}  // namespace

SlotPath find_slot_path(std::span<const double> times, const SlotPattern& pattern) {
  if (times.size() < 2 || pattern.present.empty()) return {};
  if (auto clean = find_clean_path(times, pattern)) return *std::move(clean);
  const Moves moves = moves_of(pattern);
  std::vector<double> slot_time = running_median(intervals_of(times), 9, true);
  for (double& time : slot_time) time /= moves.usual;
  const SlotPath first = path_with(times, pattern, moves, slot_time);
  slot_time = slot_times(times, first, std::move(slot_time));
  return path_with(times, pattern, moves, slot_time);
}

}  // namespace tautmark
