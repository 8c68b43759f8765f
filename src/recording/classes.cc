// SPDX-License-Identifier: Apache-2.0
#include "recording/classes.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "recording/angle.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kWrongEdge = 20;  // degrees

struct Run {
  std::size_t begin = 0, end = 0;
};

// Longest run in which each edge has its like one cycle later; [begin, end) with the last cycle.
Run longest_run(const std::vector<CamEdge>& edges, std::size_t k, double cycle, double tolerance) {
  Run best;
  std::size_t begin = 0;
  for (std::size_t j = 0; j + k <= edges.size(); ++j) {
    const bool repeats = j + k < edges.size() && edges[j].piece == edges[j + k].piece &&
                         std::abs(edges[j + k].angle - edges[j].angle - cycle) < tolerance;
    if (repeats) continue;
    if (j > begin && j - begin > best.end - best.begin) best = {begin, j};
    begin = j + 1;
  }
  if (best.end > best.begin) best.end += k;
  return best;
}

std::vector<double> places_of(const std::vector<CamEdge>& edges, const Run& run, std::size_t k,
                              double cycle) {
  std::vector<double> places;
  for (std::size_t c = 0; c < k; ++c) {
    const double base = edges[run.begin + c].angle;
    std::vector<double> residuals;
    for (std::size_t j = run.begin + c; j < run.end; j += k)
      residuals.push_back(wrapped(edges[j].angle - base, cycle));
    const double place = base + lower_median(std::move(residuals));
    places.push_back(place - cycle * std::floor(place / cycle));
  }
  std::sort(places.begin(), places.end());
  return places;
}

// Gives one edge its place, `offset` being how far all places have moved.
void place(CamEdge& edge, const std::vector<double>& places, double cycle, double offset) {
  double nearest = kWrongEdge;
  edge.place = -1;
  for (std::size_t c = 0; c < places.size(); ++c) {
    const double residual = wrapped(edge.angle - places[c] - offset, cycle);
    if (std::abs(residual) >= nearest) continue;
    nearest = std::abs(residual);
    edge.place = static_cast<int>(c);
    edge.residual = residual + offset;
    edge.cycle = std::llround((edge.angle - places[c] - edge.residual) / cycle);
  }
}

void track(std::vector<CamEdge>& edges, const CamPlaces& places, double cycle, std::size_t begin,
           std::size_t end, bool forward) {
  std::vector<double> recent;
  double offset = 0;
  for (std::size_t n = 0; n < end - begin; ++n) {
    CamEdge& edge = edges[forward ? begin + n : end - 1 - n];
    place(edge, places.angles, cycle, offset);
    if (edge.place < 0) continue;
    recent.push_back(edge.residual);
    if (recent.size() > places.angles.size()) recent.erase(recent.begin());
    offset = std::accumulate(recent.begin(), recent.end(), 0.0) / static_cast<double>(recent.size());
  }
}

// Of two edges at one place in one cycle the one nearer to its neighbors in other cycles stays.
void drop_seconds(std::vector<CamEdge>& edges) {
  for (std::size_t i = 0; i < edges.size(); ++i) {
    for (std::size_t j = i + 1; j < edges.size() && j < i + 4; ++j) {
      if (edges[i].place < 0 || edges[j].place != edges[i].place ||
          edges[j].cycle != edges[i].cycle || edges[j].piece != edges[i].piece)
        continue;
      const bool keep_first = std::abs(edges[i].residual) <= std::abs(edges[j].residual);
      edges[keep_first ? j : i].place = -1;
    }
  }
}

}  // namespace

std::optional<CamPlaces> sort_into_places(std::vector<CamEdge>& edges, int per_cycle, double cycle,
                                          double tolerance) {
  const auto k = static_cast<std::size_t>(per_cycle);
  const Run run = longest_run(edges, k, cycle, tolerance);
  if (run.end <= run.begin + k) return std::nullopt;
  CamPlaces result;
  result.angles = places_of(edges, run, k, cycle);
  track(edges, result, cycle, run.begin, edges.size(), true);
  track(edges, result, cycle, 0, run.begin, false);
  drop_seconds(edges);
  result.wrong = std::count_if(edges.begin(), edges.end(),
                               [](const CamEdge& edge) { return edge.place < 0; });
  return result;
}

}  // namespace tautmark
