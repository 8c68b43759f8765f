// SPDX-License-Identifier: Apache-2.0
#include "recording/wheel_find.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <utility>
#include <vector>

#include "recording/slots.h"
#include "recording/wheel_path.h"

namespace tautmark {
namespace {

constexpr int kFewestSlots = 8, kMostSlots = 130, kFewestTeeth = 7;
constexpr std::size_t kScored = 500;       // edges
constexpr std::size_t kCorrelated = 6000;  // slots
constexpr double kShort = 0.8;             // slots
constexpr std::size_t kLags = 8, kCandidates = 8;
constexpr double kMostMissing = 0.6;  // of the turns of a fold
constexpr std::size_t kTurns = 4;     // of a fold
constexpr int kVariedGaps = 4, kDoubledSlots = 72;
constexpr double kWholePitch = 20;  // log score: wheels are made with whole or half degrees a slot
constexpr double kLeastScore = 0;   // per interval; exact teeth give 0.98, 5 % lost and extra 0.4

struct Candidate {
  SlotPattern pattern;
  double weight = 0;
};

// 1 for every slot without an edge. Two short intervals that make whole slots together are one,
// split by an extra edge.
std::vector<double> missing_slots(std::span<const double> times, std::size_t reach) {
  constexpr std::size_t kBeyond = 32;  // what the medians of the last slots look at
  times = times.first(std::min(times.size(), kCorrelated + kBeyond));
  const std::vector<double> intervals = intervals_of(times);
  const std::vector<double> base = running_median(intervals, 9, true);
  const std::vector<int> slots = whole_slots(intervals, reach);
  std::vector<double> missing;
  for (std::size_t i = 0; i < intervals.size() && missing.size() < kCorrelated; ++i) {
    int own = slots[i];
    if (i + 1 < intervals.size() && intervals[i] < kShort * base[i]) {
      const double both = (intervals[i] + intervals[i + 1]) / base[i];
      if (std::abs(both - std::round(both)) < 1 - kShort) {
        own = static_cast<int>(std::round(both));
        ++i;
      }
    }
    missing.push_back(0);
    for (int k = 1; k < std::min(own, kMostSlots); ++k) missing.push_back(1);
  }
  return missing;
}

std::vector<int> best_lags(const std::vector<double>& missing) {
  double mean = 0;
  for (const double z : missing) mean += z;
  mean /= static_cast<double>(missing.size());
  std::vector<std::pair<double, int>> lags;
  for (int lag = kFewestSlots; lag <= kMostSlots; ++lag) {
    const auto shift = static_cast<std::size_t>(lag);
    if (2 * shift > missing.size()) break;
    double sum = 0;
    for (std::size_t u = shift; u < missing.size(); ++u)
      sum += (missing[u] - mean) * (missing[u - shift] - mean);
    lags.emplace_back(-sum / static_cast<double>(missing.size() - shift), lag);
  }
  std::sort(lags.begin(), lags.end());
  std::vector<int> best;
  for (std::size_t i = 0; i < lags.size() && best.size() < kLags; ++i)
    best.push_back(lags[i].second);
  return best;
}

void fold(const std::vector<double>& missing, std::size_t slots, std::vector<Candidate>& found) {
  const std::size_t turns = std::min(kTurns, missing.size() / slots);
  if (turns < 2) return;
  for (std::size_t begin = 0; begin + turns * slots <= missing.size(); begin += turns * slots) {
    SlotPattern pattern;
    for (std::size_t s = 0; s < slots; ++s) {
      double absent = 0;
      for (std::size_t turn = 0; turn < turns; ++turn) absent += missing[begin + turn * slots + s];
      pattern.present.push_back(absent < kMostMissing * static_cast<double>(turns));
    }
    pattern = canonical(pattern);
    if (pattern.present.empty()) continue;
    pattern = canonical(primitive(pattern));
    if (slot_count(pattern) < kFewestSlots || tooth_count(pattern) < kFewestTeeth ||
        2 * tooth_count(pattern) < slot_count(pattern))
      continue;
    const auto same = std::find_if(found.begin(), found.end(),
                                   [&](const Candidate& c) { return c.pattern == pattern; });
    const auto weight = static_cast<double>(turns * slots);
    if (same != found.end())
      same->weight += weight;
    else
      found.push_back({std::move(pattern), weight});
  }
}

// An even wheel with one tooth more: edges that an even wheel leaves over, half way between two
// slots, again and again after the same number of slots.
std::optional<SlotPattern> added_tooth(std::span<const double> times) {
  constexpr double kLeastHalf = 0.35, kMostHalf = 0.65;
  constexpr double kMostTogether = 1.5;  // slots of the two halves: elsewhere they are two
  const std::span<const double> part = times.subspan(0, std::min(times.size(), 4 * kScored));
  const std::vector<double> intervals = intervals_of(part);
  const std::vector<double> base = running_median(intervals, 9, true);
  bool split = false;
  for (std::size_t i = 1; i < intervals.size() && !split; ++i)
    split = intervals[i - 1] + intervals[i] < kMostTogether * base[i];
  if (!split) return std::nullopt;
  const SlotPath path = find_slot_path(part, SlotPattern{std::vector<bool>(kFewestSlots, true)});
  std::vector<std::int64_t> left_over;  // slots before them
  for (std::size_t i = 1; i < path.edges.size(); ++i) {
    const PathEdge &a = path.edges[i - 1], &b = path.edges[i];
    if (b.edge != a.edge + 2 || b.slot != a.slot + 1) continue;
    const double where = (part[a.edge + 1] - part[a.edge]) / (part[b.edge] - part[a.edge]);
    if (where > kLeastHalf && where < kMostHalf) left_over.push_back(a.slot);
  }
  std::map<std::int64_t, std::size_t> apart;
  for (std::size_t i = 0; i < left_over.size(); ++i)
    for (std::size_t j = i + 1; j < std::min(left_over.size(), i + 4); ++j)
      ++apart[left_over[j] - left_over[i]];
  for (const auto& [slots, count] : apart) {
    if (slots < kFewestSlots || slots > kMostSlots || 2 * count < left_over.size() || count < 2)
      continue;
    SlotPattern pattern{std::vector<bool>(static_cast<std::size_t>(2 * slots), false)};
    for (std::size_t s = 0; s < pattern.present.size(); s += 2) pattern.present[s] = true;
    pattern.present[1] = true;
    return canonical(pattern);
  }
  return std::nullopt;
}

double turn_time_of(const SlotPath& path, std::span<const double> times, int slots) {
  std::vector<double> turns;
  for (std::size_t i = 0, j = 0; i < path.edges.size(); ++i) {
    while (j < path.edges.size() && path.edges[j].slot < path.edges[i].slot + slots) ++j;
    if (j == path.edges.size()) break;
    if (path.edges[j].slot == path.edges[i].slot + slots)
      turns.push_back(times[path.edges[j].edge] - times[path.edges[i].edge]);
  }
  return lower_median(std::move(turns));
}

// The pattern with one of its gaps a slot wider or narrower, or a tooth taken out
// beside it or put in.
std::vector<SlotPattern> variants_of(const SlotPattern& pattern) {
  std::vector<SlotPattern> variants;
  const std::size_t n = pattern.present.size();
  for (std::size_t s = 0; s < n; ++s) {
    if (pattern.present[s] || !pattern.present[(s + n - 1) % n]) continue;  // s begins a gap
    std::size_t end = s;
    while (!pattern.present[end % n]) ++end;
    SlotPattern wider = pattern, narrower = pattern, early = pattern, late = pattern;
    SlotPattern filled_early = pattern, filled_late = pattern;
    const auto at = [](SlotPattern& p, std::size_t slot) {
      return p.present.begin() + static_cast<std::ptrdiff_t>(slot);
    };
    wider.present.insert(at(wider, s), false);
    narrower.present.erase(at(narrower, s));
    early.present[(s + n - 1) % n] = false;
    late.present[end % n] = false;
    filled_early.present[s] = true;
    filled_late.present[(end - 1) % n] = true;
    for (SlotPattern& p : {std::ref(wider), std::ref(narrower), std::ref(early), std::ref(late),
                           std::ref(filled_early), std::ref(filled_late)}) {
      p = canonical(primitive(canonical(p)));
      if (slot_count(p) <= kMostSlots && gap_count(p) > 0 && tooth_count(p) >= kFewestTeeth &&
          2 * tooth_count(p) >= slot_count(p))
        variants.push_back(p);
    }
  }
  return variants;
}

// Every candidate, then what lies beside the best of them. False: an even wheel does as well.
template <class Contest>
bool search_all(const std::vector<Candidate>& candidates, std::span<const double> part,
                const Contest& contest) {
  // 8 even slots stand for any even wheel.
  const SlotPattern even{std::vector<bool>(kFewestSlots, true)};
  contest(even, find_slot_path(part, even));
  std::optional<SlotPattern> winner;
  const auto consider = [&](const SlotPattern& pattern) {
    if (!contest(pattern, find_slot_path(part, pattern))) return false;
    winner = pattern;
    return true;
  };
  for (const Candidate& candidate : candidates) consider(candidate.pattern);
  if (!winner) return false;
  // A gap under ripple may have been folded a slot too short; the right pattern is beside it. But a
  // whole pitch is not left for another: a sensor shifts the edges that border a gap.
  for (bool better = true; better && gap_count(*winner) <= kVariedGaps;) {
    better = false;
    const bool whole = 720 % slot_count(*winner) == 0;
    std::vector<SlotPattern> variants = variants_of(*winner);
    if (2 * slot_count(*winner) <= kDoubledSlots)  // unlike halves may have been folded into one
      for (SlotPattern& v : variants_of(repeated(*winner, 2))) variants.push_back(std::move(v));
    for (const SlotPattern& variant : variants)
      if (!whole || 720 % slot_count(variant) == 0) better = consider(variant) || better;
  }
  return true;
}

// The candidate that explains a part of the train best, if it does better than an even wheel.
std::optional<FoundPattern> best_of(const std::vector<Candidate>& candidates,
                                    std::span<const double> part) {
  const auto scored = static_cast<double>(part.size());
  const auto total = [&](const SlotPattern& pattern, const SlotPath& path) {
    return (720 % slot_count(pattern) == 0 ? kWholePitch : 0) + path.log_score * scored -
           0.5 * std::log(scored) * (has_added_tooth(pattern) ? 3 : 2 * gap_count(pattern) + 1);
  };
  double best = 0;
  SlotPath path;
  std::optional<SlotPattern> winner;
  const auto contest = [&](const SlotPattern& pattern, SlotPath other) {
    const double score = total(pattern, other);
    if (winner && score <= best) return false;
    best = score;
    winner = pattern;
    path = std::move(other);
    return true;
  };
  // One of whole pitch with a clean path wins over all others: every turn costs those more than
  // their fewer gaps save.
  for (const Candidate& candidate : candidates)
    if (720 % slot_count(candidate.pattern) == 0)
      if (auto clean = find_clean_path(part, candidate.pattern))
        contest(candidate.pattern, *std::move(clean));
  if (!winner && !search_all(candidates, part, contest)) return std::nullopt;
  if (path.log_score < kLeastScore || static_cast<double>(path.missed + path.extra) > scored / 4)
    return std::nullopt;
  FoundPattern found;
  found.pattern = *winner;
  found.log_score = path.log_score;
  found.turn_time = turn_time_of(path, part, slot_count(found.pattern));
  return found;
}

}  // namespace

std::optional<FoundPattern> find_gapped_pattern(std::span<const double> times) {
  const std::vector<double> clean = accepted_edges(times, kFineFilter);
  if (clean.size() < 2 * kFewestTeeth + 2) return std::nullopt;
  std::vector<Candidate> candidates;
  for (const std::size_t reach : {std::size_t{4}, std::size_t{2}}) {
    const std::vector<double> missing = missing_slots(clean, reach);
    for (const int lag : best_lags(missing))
      fold(missing, static_cast<std::size_t>(lag), candidates);
  }
  std::erase_if(candidates, [](const Candidate& c) { return gap_count(c.pattern) == 0; });
  std::stable_sort(candidates.begin(), candidates.end(),
                   [](const Candidate& a, const Candidate& b) { return a.weight > b.weight; });
  if (candidates.size() > kCandidates) candidates.resize(kCandidates);

  const std::vector<double> edges = accepted_edges(times, kPathFilter);
  if (auto added = added_tooth(edges)) candidates.push_back({std::move(*added), 0});

  // A start may be clear at one end only: of three places in a long train the clearest counts.
  const std::size_t scored = std::min(kScored, edges.size());
  const std::size_t last = edges.size() - scored;
  if (candidates.empty()) return std::nullopt;
  std::vector<std::size_t> begins = {last / 2};
  if (last > kScored) begins = {0, last / 2, last};
  std::optional<FoundPattern> best;
  for (const std::size_t begin : begins) {
    auto found = best_of(candidates, std::span(edges).subspan(begin, scored));
    if (found && (!best || found->log_score > best->log_score)) best = std::move(found);
  }
  if (best)
    best->dissimilarity = self_dissimilarity(intervals_of(clean),
                                             static_cast<std::size_t>(tooth_count(best->pattern)));
  return best;
}

}  // namespace tautmark
