// SPDX-License-Identifier: Apache-2.0
// The graph of an oil circuit as a tree: every place hangs from the one that gives it most.
#include <algorithm>
#include <cmath>

#include "draw/oil_circuit_parts.h"

namespace tautmark::draw {
namespace {

double size_of(double flow) { return std::isfinite(flow) ? std::abs(flow) : 0; }

// "A" to "Z", then "A2" ...
std::string letter_of(std::size_t index) {
  constexpr std::size_t kLetters = 26;
  std::string letter(1, static_cast<char>('A' + index % kLetters));
  if (index >= kLetters) letter += std::to_string(index / kLetters + 1);
  return letter;
}

class Grower {
 public:
  explicit Grower(const CircuitDrawing& circuit)
      : circuit_(circuit), count_(circuit.nodes.size()), in_(count_, false), parent_(count_, -1) {
    tree_.feeds.resize(count_);
    tree_.drains.resize(count_);
    tree_.links.resize(count_);
    tree_.children.resize(count_);
  }

  CircuitTree grown() {
    for (std::size_t i = 0; i < circuit_.ways.size(); ++i) {
      const DrawnWay& way = circuit_.ways[i];
      if (is_pump_up(way)) add_root(way.to);
    }
    while (true) {
      while (add_nearest()) {
      }
      const auto lost = std::find(in_.begin(), in_.end(), false);
      if (lost == in_.end()) break;
      add_root(static_cast<int>(lost - in_.begin()));
    }
    for (std::size_t i = 0; i < circuit_.ways.size(); ++i) add_way(i);
    // As the engine is described, not as its flows happen to be.
    for (auto& children : tree_.children)
      std::sort(children.begin(), children.end(),
                [&](int a, int b) { return tree_.feeds[a].front() < tree_.feeds[b].front(); });
    return std::move(tree_);
  }

 private:
  [[nodiscard]] bool is_node(int index) const {
    return index >= 0 && static_cast<std::size_t>(index) < count_;
  }
  [[nodiscard]] bool is_pump_up(const DrawnWay& way) const {
    return way.kind == DrawnWayKind::pump && !is_node(way.from) && is_node(way.to);
  }
  void add_root(int node) {
    if (in_[node]) return;
    in_[node] = true;
    tree_.roots.push_back(node);
  }

  // The place not yet in it that the largest flow reaches; one that only feeds comes last.
  bool add_nearest() {
    int from = -1, to = -1;
    double most = -1;
    bool is_forward = false;
    for (const DrawnWay& way : circuit_.ways) {
      if (!is_node(way.from) || !is_node(way.to) || in_[way.from] == in_[way.to]) continue;
      const bool leaves = in_[way.from];
      const bool forward = leaves ? way.flow >= 0 : way.flow <= 0;
      const double size = size_of(way.flow);
      if (to >= 0 && (is_forward != forward ? is_forward : size <= most)) continue;
      from = leaves ? way.from : way.to;
      to = leaves ? way.to : way.from;
      most = size;
      is_forward = forward;
    }
    if (to < 0) return false;
    in_[to] = true;
    parent_[to] = from;
    tree_.children[from].push_back(to);
    return true;
  }

  void add_way(std::size_t index) {
    const DrawnWay& way = circuit_.ways[index];
    const bool from = is_node(way.from), to = is_node(way.to);
    if (way.from == way.to || (!from && !to)) {
      tree_.left_out.push_back(index);
    } else if (is_pump_up(way)) {
      tree_.feeds[way.to].push_back(index);
    } else if (!from || !to) {
      tree_.drains[from ? way.from : way.to].push_back(index);
    } else if (parent_[way.to] == way.from) {
      tree_.feeds[way.to].push_back(index);
    } else if (parent_[way.from] == way.to) {
      tree_.feeds[way.from].push_back(index);
    } else {
      const std::string letter = letter_of(links_++);
      tree_.links[way.from].push_back({index, letter});
      tree_.links[way.to].push_back({index, letter});
    }
  }

  const CircuitDrawing& circuit_;
  std::size_t count_, links_ = 0;
  std::vector<char> in_;
  std::vector<int> parent_;
  CircuitTree tree_;
};

}  // namespace

double flow_from(const DrawnWay& way, int node) { return way.from == node ? way.flow : -way.flow; }

CircuitTree circuit_tree(const CircuitDrawing& circuit) { return Grower(circuit).grown(); }

}  // namespace tautmark::draw
