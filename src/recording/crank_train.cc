// SPDX-License-Identifier: Apache-2.0
#include "recording/crank_train.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "recording/slots.h"
#include "recording/wheel_find.h"
#include "recording/wheel_path.h"

namespace tautmark {
namespace {

constexpr std::size_t kFewestEdges = 8;
constexpr double kAllAgree = 0.97;
constexpr double kEven = 0.3, kFewEven = 0.12;  // unevenness
constexpr int kFewestEven = 6;
constexpr double kSameSpeed = 1.1;    // ratio of turn times
constexpr double kMoreEven = 0.01;    // log score per interval
constexpr double kClearlyBetter = 2;  // factor in self-dissimilarity between polarities

// At a stop the crank swings back; its edges then come again in reverse. The turn back is the
// slowest place of the last two turns that is well below the usual speed and has faster edges after
// it.
bool cut_reversal(Knots& knots, double per_turn) {
  if (knots.time.size() < kFewestEdges + 1) return false;
  const std::size_t count = knots.time.size() - 1;
  const auto speed = [&](std::size_t i) {
    return (knots.angle[i + 1] - knots.angle[i]) / (knots.time[i + 1] - knots.time[i]);
  };
  std::vector<double> all(count);
  for (std::size_t i = 0; i < count; ++i) all[i] = speed(i);
  const double usual = lower_median(std::move(all));
  std::size_t from = count;
  while (from > count / 2 && knots.angle[count] - knots.angle[from] < 2 * per_turn) --from;
  std::size_t slowest = from, i = from;
  for (; i < count; ++i) {
    if (speed(i) < speed(slowest)) slowest = i;
    if (speed(slowest) < usual / 3 && speed(i) > 1.5 * speed(slowest)) break;
  }
  if (i >= count) return false;
  knots.time.resize(slowest + 1);
  knots.angle.resize(slowest + 1);
  return true;
}

void add_piece(CrankTrain& train, Knots knots, double per_turn) {
  if (cut_reversal(knots, per_turn)) train.reversed = true;
  if (knots.time.size() >= 4) train.pieces.push_back(std::move(knots));
}

CrankTrain counted_teeth(const std::vector<double>& times) {
  CrankTrain train;
  const std::vector<double> edges = accepted_edges(times, kFewToothFilter);
  train.extra = static_cast<std::int64_t>(times.size() - edges.size());
  const std::vector<Part> parts = parts_between_stalls(edges);
  train.stopped = parts.size() > 1;
  for (const Part& part : parts) {
    Knots knots;
    for (std::size_t i = part.begin; i < part.end; ++i) {
      knots.time.push_back(edges[i]);
      knots.angle.push_back(static_cast<double>(i - part.begin));
    }
    add_piece(train, std::move(knots), 4);
  }
  return train;
}

// Teeth counted as even ones: lost and extra edges are found, unequal teeth are not borne.
CrankTrain counted_even(const std::vector<double>& times) {
  CrankTrain train = counted(times, SlotPattern{std::vector<bool>(kFewestEdges, true)});
  train.pattern.reset();
  train.even = true;
  return train;
}

// Median of |ln(step/step before)|: 0.45 for 70/110, up to 0.2 for even teeth under a ripple of
// 25 %.
double unevenness(const CrankTrain& train) {
  std::vector<double> ratios;
  for (const Knots& k : train.pieces)
    for (std::size_t i = 2; i < k.time.size(); ++i)
      if (k.angle[i] - k.angle[i - 2] < 2.5)
        ratios.push_back(
            std::abs(std::log((k.time[i] - k.time[i - 1]) / (k.time[i - 1] - k.time[i - 2]))));
  return lower_median(std::move(ratios));
}

struct Gapped {
  std::size_t index = 0;  // of the channel
  int polarity = 0;
  FoundPattern found;
};

// The better polarity of a channel: the one that repeats more exactly; when alike, the one with
// fewer gaps, because the wrong polarity of an inductive sensor splits a gap in two; then the one
// with clearly more even teeth; rising edges when nothing tells them apart, so that two recordings
// of one engine get the same.
std::optional<Gapped> gapped_channel(const SignalTrain& train, std::size_t index, int told) {
  std::optional<Gapped> best;
  for (const int polarity : {+1, -1}) {
    if (told != 0 && polarity != told) continue;
    auto found = find_gapped_pattern(times_of(train, polarity));
    if (!found) continue;
    const bool better = [&] {
      if (!best) return true;
      const double ratio = found->dissimilarity / best->found.dissimilarity;
      if (ratio > kClearlyBetter || ratio < 1 / kClearlyBetter) return ratio < 1;
      const int gaps = gap_count(found->pattern), other = gap_count(best->found.pattern);
      return gaps != other ? gaps < other : found->log_score > best->found.log_score + kMoreEven;
    }();
    if (better) best = Gapped{index, polarity, std::move(*found)};
  }
  return best;
}

std::vector<Repetition> repetitions(const SignalTrains& trains, const CrankTrain& crank,
                                    int multiple_of) {
  std::vector<Repetition> found;
  for (std::size_t other = 0; other < trains.channels.size(); ++other) {
    if (trains.channels[other].channel == crank.channel) continue;
    for (const int polarity : {+1, -1}) {
      const PlacePieces places = places_in(crank, times_of(trains.channels[other], polarity));
      auto r = repetition_of(places, multiple_of, kMostAgree);
      if (!r) r = repetition_of(places, multiple_of, kManyAgree);  // lost edges
      if (!r) continue;
      r->channel = other;
      r->polarity = polarity;
      found.push_back(*r);
    }
  }
  // A lost edge may hide a short cycle behind twice its length.
  std::sort(found.begin(), found.end(),
            [](const Repetition& a, const Repetition& b) { return a.length < b.length; });
  const std::vector<Repetition> all = found;
  for (Repetition& r : found) {
    for (const Repetition& shorter : all) {
      if (shorter.length == r.length || r.length % shorter.length != 0) continue;
      const PlacePieces places = places_in(crank, times_of(trains.channels[r.channel], r.polarity));
      if (const auto again = repetition_of(places, multiple_of, kHalfAgree, shorter.length)) {
        r.edges = again->edges, r.length = again->length, r.agreement = again->agreement;
        break;
      }
    }
  }
  return found;
}

// Edges that agree with the cycle voted for, which must be whole turns.
double agreement_of(std::span<const Repetition> found) {
  const int length = voted_length(found);
  double sum = 0, all = 0;
  for (const Repetition& r : found) {
    all += static_cast<double>(r.count);
    if (length % 2 == 0 && length >= 4 && length % r.length == 0)
      sum += r.agreement * static_cast<double>(r.count);
  }
  return all > 0 ? sum / all : 0;
}

std::string channel_words(const SignalTrain& train) {
  return train.name.empty() ? fmt::format("channel {}", train.channel)
                            : fmt::format("channel {} (\"{}\")", train.channel, train.name);
}

Result<CrankTrain> with_gap(const SignalTrains& trains, std::vector<Gapped> gapped, bool told) {
  std::sort(gapped.begin(), gapped.end(),
            [](const Gapped& a, const Gapped& b) { return a.found.turn_time < b.found.turn_time; });
  if (!told && gapped.size() > 1 &&
      gapped[1].found.turn_time < kSameSpeed * gapped[0].found.turn_time) {
    return refuse(fmt::format(
        "two channels look like the crank: {} and {} repeat in the same time; say which one it is",
        channel_words(trains.channels[gapped[0].index]),
        channel_words(trains.channels[gapped[1].index])));
  }
  const Gapped& best = gapped.front();
  const SignalTrain& channel = trains.channels[best.index];
  CrankTrain train = counted(times_of(channel, best.polarity), best.found.pattern);
  train.channel = channel.channel;
  train.polarity = best.polarity;
  if (train.pieces.empty()) return refuse("too few crank edges between stops");
  train.length = voted_length(repetitions(trains, train, slot_count(best.found.pattern)));
  return train;
}

// Even teeth whose widths are a code.
Result<CrankTrain> with_code(const SignalTrains& trains, const SignalTrain& channel,
                             CodedTeeth code) {
  CrankTrain train = counted(times_of(channel, code.polarity),
                             SlotPattern{std::vector<bool>(code.wide.size(), true)});
  train.channel = channel.channel;
  train.polarity = code.polarity;
  std::vector<Knots> pieces;
  for (const Knots& piece : train.pieces)
    for (Knots& part : turned_to_code(piece, channel, code)) pieces.push_back(std::move(part));
  train.pieces = std::move(pieces);
  if (train.pieces.empty()) return refuse("too few crank edges between stops");
  train.length = voted_length(repetitions(trains, train, static_cast<int>(code.wide.size())));
  train.code = std::move(code);
  return train;
}

// One channel as a crank without a gap: the other channels say after how many teeth.
Result<CrankTrain> without_gap(const SignalTrains& trains, const SignalTrain& channel, bool told,
                               int told_polarity) {
  std::optional<CrankTrain> best;
  double best_score = std::numeric_limits<double>::infinity();
  std::string why = "no other channel repeats with it";
  for (const int polarity : {+1, -1}) {
    if (told_polarity != 0 && polarity != told_polarity) continue;
    CrankTrain train = counted_teeth(times_of(channel, polarity));
    train.channel = channel.channel;
    train.polarity = polarity;
    std::vector<Repetition> found = repetitions(trains, train, 1);
    CrankTrain even = counted_even(times_of(channel, polarity));
    even.channel = channel.channel;
    even.polarity = polarity;
    if (even.missed + even.extra > train.extra && agreement_of(found) < kAllAgree) {
      std::vector<Repetition> again = repetitions(trains, even, 1);
      const int teeth = voted_length(again) / 2;
      if (agreement_of(again) > agreement_of(found) &&
          unevenness(even) < (teeth < kFewestEven ? kFewEven : kEven)) {
        train = std::move(even);
        found = std::move(again);
      }
    }
    std::size_t own = 0;
    for (const Knots& piece : train.pieces) own += piece.time.size();
    const bool twin = std::any_of(found.begin(), found.end(), [&](const Repetition& r) {
      return r.edges == 1 && r.length == 1 && 10 * r.count > 9 * own && 9 * r.count < 10 * own;
    });
    if (twin && !told)
      return refuse(
          "two channels look like the crank: they have the same teeth; say which one "
          "it is");
    std::erase_if(found, [](const Repetition& r) { return r.length == 1; });
    train.length = voted_length(found);
    if (train.length == 0) continue;
    if (train.length % 2 != 0) {
      why = fmt::format(
          "the others repeat after {} of its teeth, which is no whole number of "
          "teeth per turn",
          train.length);
      continue;
    }
    // A wheel that repeats only after the whole cycle turns with the cams.
    std::vector<double> intervals;
    for (const Knots& piece : train.pieces)
      for (const double d : intervals_of(piece.time)) intervals.push_back(d);
    const auto length = static_cast<std::size_t>(train.length);
    const double turn = self_dissimilarity(intervals, length / 2);
    const double whole = self_dissimilarity(intervals, length);
    if (turn > 0.15 && turn > 4 * whole) {
      why = "it turns at the speed of the cams";
      continue;
    }
    // Alike: rising edges, which the magnets and gates of few-tooth wheels make sharper.
    if (!(kClearlyBetter * turn < best_score)) continue;
    best_score = turn;
    best = std::move(train);
  }
  if (!best)
    return refuse(fmt::format("no crank signal found: {} {}, but {}", channel_words(channel),
                              told ? "is named as the crank" : "has most edges", why));
  return *best;
}

}  // namespace

CrankTrain counted(std::vector<double> times, const SlotPattern& pattern) {
  CrankTrain train;
  train.pattern = pattern;
  const std::vector<double> edges = accepted_edges(times, kPathFilter);
  train.extra = static_cast<std::int64_t>(times.size() - edges.size());
  times = std::vector<double>();  // frees it: of a long recording every edge costs
  const std::vector<Part> parts = parts_between_stalls(edges);
  train.stopped = parts.size() > 1;
  for (const Part& part : parts) {
    const std::span<const double> own(edges.data() + part.begin, part.end - part.begin);
    SlotPath path = find_slot_path(own, pattern);
    train.missed += path.missed;
    train.extra += path.extra;
    Knots knots;
    knots.time.reserve(path.edges.size());
    knots.angle.reserve(path.edges.size());
    for (const PathEdge& edge : path.edges) {
      if (edge.after_jump) {
        add_piece(train, std::move(knots), slot_count(pattern));
        knots = {};
      }
      knots.time.push_back(own[edge.edge]);
      knots.angle.push_back(static_cast<double>(edge.slot));
    }
    path.edges = std::vector<PathEdge>();
    add_piece(train, std::move(knots), slot_count(pattern));
  }
  return train;
}

PlacePieces places_in(const CrankTrain& crank, const std::vector<double>& times) {
  PlacePieces places;
  for (const Knots& knots : crank.pieces) {
    std::vector<double>& own = places.emplace_back();
    for (const double time : times) {
      const auto place = angle_at(knots, time, Interpolation::monotone_cubic);
      if (place) own.push_back(*place);
    }
  }
  return places;
}

Result<CrankTrain> find_crank_train(const SignalTrains& trains, int crank_channel,
                                    int crank_polarity) {
  const bool told = crank_channel > 0;
  std::vector<const SignalTrain*> candidates;
  std::vector<Gapped> gapped;
  for (std::size_t i = 0; i < trains.channels.size(); ++i) {
    const SignalTrain& train = trains.channels[i];
    if (told && train.channel != crank_channel) continue;
    if (train.kind == SignalKind::dead || train.edges.size() < 2 * kFewestEdges) continue;
    candidates.push_back(&train);
    if (auto found = gapped_channel(train, i, crank_polarity)) gapped.push_back(std::move(*found));
  }
  if (candidates.empty()) {
    if (told)
      return refuse(fmt::format(
          "no crank signal: channel {}, named as the crank, is not in the recording or has fewer "
          "than 16 edges",
          crank_channel));
    std::size_t most = 0;
    for (const SignalTrain& train : trains.channels) most = std::max(most, train.edges.size());
    return refuse(
        fmt::format("no crank signal: no channel has 16 edges or more (the most is {})", most));
  }
  std::optional<CrankTrain> with;
  if (!gapped.empty()) {
    auto train = with_gap(trains, std::move(gapped), told);
    // A pattern with which nothing repeats may be one that few unequal teeth in a start imitate.
    if (!train || train->length > 0 || trains.channels.size() == 1) return train;
    with = std::move(*train);
  }
  // The crank has most edges, or nearly: a cam wheel with many targets may have as many.
  std::stable_sort(
      candidates.begin(), candidates.end(),
      [](const SignalTrain* a, const SignalTrain* b) { return a->edges.size() > b->edges.size(); });
  for (const SignalTrain* candidate : candidates) {
    if (with || 2 * candidate->edges.size() < candidates.front()->edges.size()) break;
    if (auto code = find_coded_teeth(*candidate, crank_polarity))
      return with_code(trains, *candidate, std::move(*code));
  }
  if (!with && trains.channels.size() == 1)
    return refuse("an even wheel has no zero of its own: without a cam signal there is no angle");
  if (with) {
    const auto without = without_gap(trains, *candidates.front(), told, crank_polarity);
    return without && without->channel == with->channel ? *without : *with;
  }
  Result<CrankTrain> first = without_gap(trains, *candidates.front(), told, crank_polarity);
  for (const SignalTrain* next : candidates) {
    if (first || 2 * next->edges.size() < candidates.front()->edges.size()) break;
    if (auto train = without_gap(trains, *next, told, crank_polarity)) return train;
  }
  return first;
}

}  // namespace tautmark
