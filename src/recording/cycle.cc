// SPDX-License-Identifier: Apache-2.0
#include "recording/cycle.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr int kMostEdges = 64;
constexpr double kWhole = 0.25;         // slots
constexpr double kUnderOneTooth = 0.9;  // without a gap: a miscount must not agree
constexpr double kLongest = 144;        // slots of a cycle; longer ones earn no wider tolerance
constexpr double kLoose = 1.0 / 16;     // of a cycle
constexpr double kLeastWeight = 8;      // for a multiple to count: a few edges agree by chance

std::vector<double> distances(const PlacePieces& places, std::size_t apart) {
  std::vector<double> result;
  for (const std::vector<double>& u : places)
    for (std::size_t j = 0; j + apart < u.size(); ++j) result.push_back(u[j + apart] - u[j]);
  return result;
}

}  // namespace

std::optional<Repetition> repetition_of(const PlacePieces& places, int multiple_of,
                                        double least_agreement, int length_wanted) {
  std::size_t count = 0;
  for (const auto& piece : places) count += piece.size();
  for (int k = 1; k <= kMostEdges && 3 * static_cast<std::size_t>(k) <= count; ++k) {
    const std::vector<double> all = distances(places, static_cast<std::size_t>(k));
    if (all.size() < 2) break;
    const double length = lower_median(all);
    const double whole = multiple_of * std::round(length / multiple_of);
    if (whole < 1 || std::abs(length - whole) > kWhole) continue;
    if (length_wanted > 0 && length_wanted % static_cast<int>(whole) != 0) continue;
    double tolerance = std::max(0.5, 0.03 * std::min(length, kLongest));
    if (multiple_of == 1) tolerance = std::min(tolerance, kUnderOneTooth);
    const auto near = std::count_if(all.begin(), all.end(),
                                    [&](double d) { return std::abs(d - length) < tolerance; });
    const double agreement = static_cast<double>(near) / static_cast<double>(all.size());
    if (agreement >= least_agreement)
      return Repetition{k, static_cast<int>(whole), agreement, count, 0, 0};
  }
  return std::nullopt;
}

std::optional<Repetition> loose_repetition(const PlacePieces& places, int length) {
  const double tolerance = kLoose * length;
  std::size_t count = 0;
  for (const auto& piece : places) count += piece.size();
  std::optional<Repetition> best;
  double nearest = tolerance;
  for (int k = 1; k <= kMostEdges && 3 * static_cast<std::size_t>(k) <= count; ++k) {
    const std::vector<double> all = distances(places, static_cast<std::size_t>(k));
    if (all.size() < 2) break;
    const double off = std::abs(lower_median(all) - length);
    if (off >= nearest) continue;
    const auto near = std::count_if(all.begin(), all.end(),
                                    [&](double d) { return std::abs(d - length) < tolerance; });
    const double agreement = static_cast<double>(near) / static_cast<double>(all.size());
    if (agreement < kHalfAgree) continue;
    nearest = off;
    best = Repetition{k, length, agreement, count, 0, 0};
  }
  return best;
}

int voted_length(std::span<const Repetition> repetitions) {
  std::map<int, double> weights;
  for (const Repetition& r : repetitions)
    weights[r.length] += r.agreement * static_cast<double>(r.count);
  if (weights.empty()) return 0;
  const auto winner = std::max_element(weights.begin(), weights.end(),
                                       [](auto& a, auto& b) { return a.second < b.second; });
  int length = winner->first;
  for (const int factor : {2, 3, 4, 6, 8}) {
    const auto multiple = weights.find(factor * winner->first);
    if (multiple != weights.end() && multiple->second >= kLeastWeight) length = multiple->first;
  }
  return length;
}

}  // namespace tautmark
