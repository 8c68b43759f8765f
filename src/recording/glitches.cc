// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cstdint>
#include <limits>
#include <queue>

#include "recording/edges.h"

namespace tautmark {
namespace {

constexpr double kGlitch = 0.03;  // of the local interval
constexpr int kWindow = 8;        // intervals on either side
using EdgeIndex = std::uint32_t;  // kMostEdges is below: half the memory
constexpr EdgeIndex kNone = std::numeric_limits<EdgeIndex>::max();

// The edges as a list from which pairs are taken.
class EdgeList {
 public:
  explicit EdgeList(const std::vector<SignalEdge>& edges) : edges_(edges) {
    before_.resize(edges.size());
    after_.resize(edges.size());
    const auto count = static_cast<EdgeIndex>(edges.size());
    for (EdgeIndex i = 0; i < count; ++i) {
      before_[i] = i == 0 ? kNone : i - 1;
      after_[i] = i + 1 == count ? kNone : i + 1;
    }
  }

  [[nodiscard]] EdgeIndex after(EdgeIndex i) const { return after_[i]; }
  [[nodiscard]] EdgeIndex before(EdgeIndex i) const { return before_[i]; }
  [[nodiscard]] double interval(EdgeIndex i) const {  // from edge i to the next
    return edges_[after_[i]].time - edges_[i].time;
  }
  // Not against the median but the lower third: narrow pulses, short and long by turns, are no
  // glitches, at the ends of the train either.
  [[nodiscard]] bool is_glitch(EdgeIndex i) const {
    const double pulse = interval(i);
    int count = 0, short_ones = 0;
    const auto look = [&](EdgeIndex at) {
      ++count;
      if (kGlitch * interval(at) <= pulse) ++short_ones;
    };
    EdgeIndex left = before_[i], right = after_[i];
    for (int k = 0; k < kWindow && short_ones <= (2 * kWindow - 1) / 3; ++k) {
      if (left != kNone) look(left), left = before_[left];
      if (right != kNone && after_[right] != kNone) look(right), right = after_[right];
    }
    return count >= 3 && short_ones <= (count - 1) / 3;  // of fewer there is no lower third
  }
  void drop_pair(EdgeIndex i) {
    const EdgeIndex j = after_[i], left = before_[i], right = after_[j];
    if (left != kNone) after_[left] = right;
    if (right != kNone) before_[right] = left;
    before_[i] = after_[i] = before_[j] = after_[j] = kNone;
    dropped_.push_back(i);
    dropped_.push_back(j);
  }
  [[nodiscard]] std::vector<EdgeIndex> dropped() {
    std::sort(dropped_.begin(), dropped_.end());
    return dropped_;
  }

 private:
  const std::vector<SignalEdge>& edges_;
  std::vector<EdgeIndex> before_, after_, dropped_;
};

}  // namespace

std::int64_t drop_glitches(std::vector<SignalEdge>& edges) {
  if (edges.size() < 4) return 0;
  EdgeList list(edges);
  using Candidate = std::pair<double, EdgeIndex>;
  std::priority_queue<Candidate, std::vector<Candidate>, std::greater<>> shortest;
  for (EdgeIndex i = 0; i + 1 < edges.size(); ++i)
    if (list.is_glitch(i)) shortest.emplace(list.interval(i), i);
  while (!shortest.empty()) {
    auto [interval, i] = shortest.top();
    shortest.pop();
    if (list.after(i) == kNone || list.interval(i) != interval || !list.is_glitch(i)) continue;
    // Of glitches in a row the last goes first: a bouncing edge begins with the true one.
    for (EdgeIndex next = list.after(i); list.after(next) != kNone && list.is_glitch(next);
         next = list.after(next))
      i = next;
    const EdgeIndex left = list.before(i), right = list.after(list.after(i));
    list.drop_pair(i);
    // The median around has grown: the neighbors are asked again.
    EdgeIndex k = left;
    for (int n = 0; n < kWindow && k != kNone; ++n, k = list.before(k))
      if (list.after(k) != kNone && list.is_glitch(k)) shortest.emplace(list.interval(k), k);
    k = right;
    for (int n = 0; n < kWindow && k != kNone && list.after(k) != kNone; ++n, k = list.after(k))
      if (list.is_glitch(k)) shortest.emplace(list.interval(k), k);
  }
  const std::vector<EdgeIndex> dropped = list.dropped();
  if (dropped.empty()) return 0;
  std::size_t next = 0, kept = 0;
  for (std::size_t i = 0; i < edges.size(); ++i) {
    if (next < dropped.size() && dropped[next] == i)
      ++next;
    else
      edges[kept++] = edges[i];
  }
  edges.resize(kept);
  return static_cast<std::int64_t>(dropped.size() / 2);
}

}  // namespace tautmark
