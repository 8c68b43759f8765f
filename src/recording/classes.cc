// SPDX-License-Identifier: Apache-2.0
#include "recording/classes.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

#include "recording/angle.h"
#include "recording/slots.h"

namespace tautmark {
namespace {

constexpr double kWrongEdge = 20, kNearAgain = 8;  // degrees

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
  // What moves all places of a cycle together is taken off first: a phaser or a jump inside the run
  // would otherwise pull some medians and not others.
  const std::size_t cycles = (run.end - run.begin) / k;
  std::vector<double> together(cycles, 0);
  const auto residual = [&](std::size_t n, std::size_t c) {
    return wrapped(edges[run.begin + n * k + c].angle - edges[run.begin + c].angle, cycle);
  };
  for (std::size_t n = 0; n < cycles; ++n)
    for (std::size_t c = 0; c < k; ++c) together[n] += residual(n, c) / static_cast<double>(k);
  const double usual = lower_median(together);
  std::vector<double> places;
  for (std::size_t c = 0; c < k; ++c) {
    std::vector<double> own;
    for (std::size_t n = 0; n < cycles; ++n) own.push_back(residual(n, c) - together[n]);
    const double place = edges[run.begin + c].angle + usual + lower_median(std::move(own));
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

// Edges of the window that lie within `near` of a place moved by `offset`.
std::size_t matches(std::span<const CamEdge> window, const std::vector<double>& places,
                    double cycle, double offset, double near) {
  std::size_t count = 0;
  for (const CamEdge& edge : window) {
    for (const double angle : places) {
      if (std::abs(wrapped(edge.angle - angle - offset, cycle)) >= near) continue;
      ++count;
      break;
    }
  }
  return count;
}

// After a jump of several teeth no edge keeps its place: the smallest move of all places that
// explains what comes next, or the offset as it is.
double offset_after_jump(std::span<const CamEdge> window, const std::vector<double>& places,
                         double cycle, double offset) {
  const std::size_t enough = (9 * window.size() + 9) / 10;
  if (window.size() < places.size() + 1 || window.size() < 3 ||
      4 * matches(window, places, cycle, offset, kWrongEdge) >= 3 * window.size())
    return offset;
  double best = cycle;
  for (const double angle : places) {
    const double move = wrapped(window.front().angle - angle - offset, cycle);
    if (std::abs(move) < std::abs(best) &&
        matches(window, places, cycle, offset + move, kNearAgain) >= enough)
      best = move;
  }
  return best == cycle ? offset : offset + best;
}

void track(std::span<CamEdge> edges, const CamPlaces& places, double cycle) {
  std::vector<double> recent;
  double offset = 0;
  for (std::size_t n = 0; n < edges.size(); ++n) {
    place(edges[n], places.angles, cycle, offset);
    if (edges[n].place < 0) {
      const std::size_t window = std::min(edges.size() - n, 2 * places.angles.size() + 1);
      const double moved =
          offset_after_jump(edges.subspan(n, window), places.angles, cycle, offset);
      if (moved == offset) continue;
      offset = moved;
      recent.clear();
      place(edges[n], places.angles, cycle, offset);
      if (edges[n].place < 0) continue;
    }
    recent.push_back(edges[n].residual);
    if (recent.size() > places.angles.size()) recent.erase(recent.begin());
    offset =
        std::accumulate(recent.begin(), recent.end(), 0.0) / static_cast<double>(recent.size());
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
  track(std::span(edges).subspan(run.begin), result, cycle);
  std::vector<CamEdge> before(edges.begin(),
                              edges.begin() + static_cast<std::ptrdiff_t>(run.begin));
  std::reverse(before.begin(), before.end());
  track(before, result, cycle);
  std::copy(before.rbegin(), before.rend(), edges.begin());
  drop_seconds(edges);
  result.wrong =
      std::count_if(edges.begin(), edges.end(), [](const CamEdge& edge) { return edge.place < 0; });
  return result;
}

}  // namespace tautmark
