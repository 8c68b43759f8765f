// SPDX-License-Identifier: Apache-2.0
// In which order the nodes of a network are eliminated, and where what comes of it is kept.
#include <algorithm>
#include <map>
#include <set>

#include "oil/network_check.h"
#include "oil/network_solver.h"

namespace tautmark::oil {
namespace {

// The node with fewest neighbors next: pipes of oil are nearly trees, and stay so.
int fewest_neighbors(const std::vector<std::set<int>>& neighbors, const std::vector<char>& gone) {
  int best = -1;
  for (std::size_t i = 0; i < neighbors.size(); ++i)
    if (!gone[i] && (best < 0 || neighbors[i].size() < neighbors[best].size()))
      best = static_cast<int>(i);
  return best;
}

}  // namespace

void NetworkSolver::order_nodes() {
  const std::size_t nodes = network_.nodes.size();
  std::vector<std::set<int>> neighbors(nodes);
  std::map<std::pair<int, int>, int> slots;
  const auto slot = [&slots](int a, int b) {
    return slots.try_emplace(std::minmax(a, b), static_cast<int>(slots.size())).first->second;
  };
  for (const Element& one : network_.elements) {
    Branch branch;
    branch.from = one.from;
    branch.to = one.to;
    if (one.from != kSump && one.to != kSump) {
      branch.slot = slot(one.from, one.to);
      neighbors[one.from].insert(one.to);
      neighbors[one.to].insert(one.from);
    }
    branches_.push_back(branch);
  }
  std::vector<char> gone(nodes);
  for (std::size_t k = 0; k < nodes; ++k) {
    const int node = fewest_neighbors(neighbors, gone);
    gone[node] = 1;
    order_.push_back(node);
    first_spoke_.push_back(static_cast<int>(spokes_.size()));
    const std::vector<int> left(neighbors[node].begin(), neighbors[node].end());
    for (const int other : left) {
      spokes_.push_back({other, slot(node, other)});
      neighbors[other].erase(node);
    }
    for (std::size_t a = 0; a < left.size(); ++a)
      for (std::size_t b = a + 1; b < left.size(); ++b) {
        meshed_.push_back(slot(left[a], left[b]));
        neighbors[left[a]].insert(left[b]);
        neighbors[left[b]].insert(left[a]);
      }
  }
  first_spoke_.push_back(static_cast<int>(spokes_.size()));
  between_.resize(slots.size());
  share_.resize(spokes_.size());
}

Result<NetworkSolver> NetworkSolver::prepare(const Network& network) {
  if (const auto fine = check_places(network); !fine) return tl::make_unexpected(fine.error());
  NetworkSolver out;
  out.network_ = network;
  out.order_nodes();
  for (auto* one : {&out.ground_, &out.inverse_, &out.high_, &out.low_, &out.kept_high_,
                    &out.kept_low_, &out.excess_, &out.step_, &out.air_, &out.air_slope_})
    one->resize(network.nodes.size());
  return out;
}

void NetworkSolver::start_at(const std::vector<Pressure>& pressures) {
  start_.resize(high_.size());
  for (std::size_t i = 0; i < start_.size() && i < pressures.size(); ++i)
    start_[i] = pressures[i].si();
}

}  // namespace tautmark::oil
