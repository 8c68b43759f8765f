// SPDX-License-Identifier: Apache-2.0
#include "recording/coded_wheel.h"

#include <algorithm>
#include <cmath>
#include <span>

#include "recording/slots.h"
#include "recording/wheel.h"
#include "recording/wheel_path.h"

namespace tautmark {
namespace {

constexpr std::size_t kFewestTeeth = 8, kMostTeeth = 130, kFewestTurns = 3;
constexpr std::size_t kLooked = 2000;  // edges
constexpr double kEvenScore = 0.2;     // of the path over even slots, per interval
constexpr double kApart = 0.15, kSigmasApart = 4;
constexpr double kLeastOfAKind = 0.08;  // of all teeth
constexpr double kKeeps = 0.95, kFits = 0.8;
constexpr double kMisread = -3, kMiscount = -20;  // log likelihood: a width, a tooth count

struct Width {
  std::int64_t slot = 0;
  double part = 0;  // of the pitch
};

// Widths of teeth whose next even edge is one slot on, with one opposite edge between.
template <class SlotOf>
std::vector<Width> widths_of(std::span<const double> times, const std::vector<double>& opposite,
                             SlotOf slot_of) {
  std::vector<Width> widths;
  for (std::size_t i = 0; i + 1 < times.size(); ++i) {
    if (slot_of(i + 1) != slot_of(i) + 1) continue;
    const auto after = std::upper_bound(opposite.begin(), opposite.end(), times[i]);
    const auto next = std::lower_bound(after, opposite.end(), times[i + 1]);
    if (next - after != 1) continue;
    widths.push_back({slot_of(i), (*after - times[i]) / (times[i + 1] - times[i])});
  }
  return widths;
}

// Two kinds of widths, or nothing.
bool set_kinds(const std::vector<Width>& widths, CodedTeeth& code) {
  std::vector<double> sorted;
  for (const Width& w : widths) sorted.push_back(w.part);
  std::sort(sorted.begin(), sorted.end());
  const auto n = sorted.size();
  const auto edge = static_cast<std::size_t>(kLeastOfAKind * static_cast<double>(n));
  double widest = 0;
  std::size_t at = 0;
  for (std::size_t i = std::max<std::size_t>(1, edge); i + edge < n; ++i) {
    if (sorted[i] - sorted[i - 1] <= widest) continue;
    widest = sorted[i] - sorted[i - 1];
    at = i;
  }
  if (at == 0) return false;
  double spread = 0, mean[2] = {0, 0};
  for (std::size_t i = 0; i < n; ++i)
    mean[i < at ? 0 : 1] += sorted[i] / static_cast<double>(i < at ? at : n - at);
  for (std::size_t i = 0; i < n; ++i) spread += std::pow(sorted[i] - mean[i < at ? 0 : 1], 2);
  spread = std::sqrt(spread / static_cast<double>(n));
  code.narrow_part = mean[0];
  code.wide_part = mean[1];
  code.threshold = (mean[0] + mean[1]) / 2;
  return mean[1] - mean[0] > std::max(kApart, kSigmasApart * spread);
}

// Shortest period of the code; the code by majority, turned to its zero.
bool set_code(const std::vector<Width>& widths, CodedTeeth& code) {
  const std::int64_t first = widths.front().slot, last = widths.back().slot;
  std::vector<int> kinds(static_cast<std::size_t>(last - first) + 1, -1);
  for (const Width& w : widths)
    kinds[static_cast<std::size_t>(w.slot - first)] = w.part > code.threshold ? 1 : 0;
  for (std::size_t period = kFewestTeeth;
       period <= kMostTeeth && kFewestTurns * period <= kinds.size(); ++period) {
    double same = 0, compared = 0;
    for (std::size_t i = period; i < kinds.size(); ++i) {
      if (kinds[i] < 0 || kinds[i - period] < 0) continue;
      ++compared;
      same += kinds[i] == kinds[i - period] ? 1 : 0;
    }
    if (compared < static_cast<double>(period) || same < kKeeps * compared) continue;
    std::vector<int> votes(period, 0), steps;
    for (std::size_t i = 0; i < kinds.size(); ++i)
      if (kinds[i] >= 0) votes[i % period] += kinds[i] == 1 ? 1 : -1;
    for (const int vote : votes) steps.push_back(vote > 0 ? 2 : 1);
    const std::size_t zero = zero_of_steps(steps);
    for (std::size_t i = 0; i < period; ++i) code.wide.push_back(steps[(zero + i) % period] == 2);
    return true;
  }
  return false;
}

}  // namespace

std::optional<CodedTeeth> find_coded_teeth(const SignalTrain& train, int told) {
  std::optional<CodedTeeth> best;
  double best_score = kEvenScore;
  for (const int polarity : {+1, -1}) {
    if (told != 0 && polarity != told) continue;
    std::vector<double> times = accepted_edges(times_of(train, polarity), kPathFilter);
    if (times.size() > kLooked) times.resize(kLooked);
    if (times.size() < kFewestTurns * kFewestTeeth) continue;
    const SlotPath path = find_slot_path(times, SlotPattern{std::vector<bool>(kFewestTeeth, true)});
    if (path.log_score <= best_score || path.jumps > 0) continue;
    std::vector<double> own;
    for (const PathEdge& edge : path.edges) own.push_back(times[edge.edge]);
    const std::vector<Width> widths = widths_of(own, times_of(train, -polarity),
                                                [&](std::size_t i) { return path.edges[i].slot; });
    CodedTeeth code;
    code.polarity = polarity;
    if (widths.size() < kFewestTurns * kFewestTeeth || !set_kinds(widths, code) ||
        !set_code(widths, code))
      continue;
    best_score = path.log_score;
    best = std::move(code);
  }
  return best;
}

std::vector<Knots> turned_to_code(const Knots& knots, const SignalTrain& train,
                                  const CodedTeeth& code) {
  const std::size_t period = code.wide.size();
  const std::vector<Width> widths =
      widths_of(knots.time, times_of(train, -code.polarity),
                [&](std::size_t i) { return std::llround(knots.angle[i]); });
  if (widths.empty()) return {};
  // Likeliest turn of the code at every tooth: it changes only where a tooth was miscounted.
  std::vector<double> score(period, 0);
  std::vector<std::vector<std::size_t>> from(widths.size(), std::vector<std::size_t>(period));
  const auto fits = [&](const Width& w, std::size_t turn) {
    const auto tooth = (static_cast<std::size_t>(w.slot) + turn) % period;
    return (w.part > code.threshold) == code.wide[tooth];
  };
  for (std::size_t i = 0; i < widths.size(); ++i) {
    const auto best =
        static_cast<std::size_t>(std::max_element(score.begin(), score.end()) - score.begin());
    const double changed = score[best] + kMiscount;
    for (std::size_t turn = 0; turn < period; ++turn) {
      from[i][turn] = score[turn] >= changed ? turn : best;
      score[turn] = std::max(score[turn], changed) + (fits(widths[i], turn) ? 0 : kMisread);
    }
  }
  auto turn =
      static_cast<std::size_t>(std::max_element(score.begin(), score.end()) - score.begin());
  std::vector<std::size_t> turns(widths.size());
  std::size_t same = 0;
  for (std::size_t i = widths.size(); i-- > 0;) {
    turns[i] = turn;
    same += fits(widths[i], turn) ? 1 : 0;
    turn = from[i][turn];
  }
  if (static_cast<double>(same) < kFits * static_cast<double>(widths.size())) return {};
  std::vector<Knots> pieces(1);
  std::size_t w = 0, now = turns.front();
  for (std::size_t i = 0; i < knots.time.size(); ++i) {
    const auto slot = static_cast<std::int64_t>(std::llround(knots.angle[i]));
    while (w + 1 < widths.size() && widths[w].slot < slot) ++w;
    if (turns[w] != now) pieces.emplace_back(), now = turns[w];
    pieces.back().time.push_back(knots.time[i]);
    pieces.back().angle.push_back(knots.angle[i] + static_cast<double>(now));
  }
  std::erase_if(pieces, [](const Knots& piece) { return piece.time.size() < kFewestTeeth; });
  return pieces;
}

}  // namespace tautmark
