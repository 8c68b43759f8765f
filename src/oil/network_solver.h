// SPDX-License-Identifier: Apache-2.0
// A network made ready once and solved many times with other clearances, holes and oil: Monte
// Carlo, fits. A solve allocates nothing. Every solve starts from its own guess or from
// `start_at`, so that its answer does not depend on what was solved before.
//
// Damped Newton on the node pressures. Its matrix is that of a network of conductances; a node is
// eliminated by putting its neighbors' conductances in the place of its own (star to mesh), which
// only adds and divides, so that no conductance is lost beside one 12 decades larger. Pressures are
// kept in two doubles for the same reason: across a wide pipe they differ by less than one has
// digits.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "oil/network.h"

namespace tautmark::oil {

class NetworkSolver {
 public:
  // Refuses as `solve` does what is wrong with the places of the elements.
  static Result<NetworkSolver> prepare(const Network& network);

  // Other numbers, or another law that can stand in the same place.
  void change(std::size_t element, const ElementLaw& law) { network_.elements[element].law = law; }
  // A guess at the pressures, one for each node; any will do, a near one is quicker.
  void start_at(const std::vector<Pressure>& pressures);

  // Refuses as `oil::solve` does what is wrong with the numbers.
  Result<void> solve(const Running& running);

  // After a solve that was not refused.
  Pressure at(std::size_t node) const { return Pressure::from_si(high_[node]); }
  Flow through(std::size_t element) const;
  Flow air(std::size_t node) const;
  Flow brought(std::size_t element) const;  // by a pump before its slip, or a fixed flow
  int steps() const { return steps_; }
  const Network& network() const { return network_; }

  // In come the flows (m³/s) that are brought to the nodes, out go the pressures (Pa) that rise by
  // it: the linear network about the last solution.
  void respond(std::span<double> by_node) const;

 private:
  enum class Shape { straight, root, checked, relief, source };
  struct Branch {
    Shape shape = Shape::source;
    int from = kSump, to = kSump;
    int slot = kSump;    // of its conductance between two nodes
    double size = 0;     // m³/(s·Pa), or m³/(s·√Pa)
    double opens = 0;    // Pa
    double brought = 0;  // m³/s that a pump or fixed flow brings from -> to
    double flow = 0, slope = 0;
  };
  struct Spoke {
    int node = 0, slot = 0;
  };

  // Of a step of Newton to where it leads.
  struct Nearness {
    bool there = false, close = false;
  };

  void order_nodes();
  Result<void> read_numbers(const Running& running);
  void guess();
  void evaluate();
  void move(double along);
  void keep();
  bool factor(int& singular);
  void back_substitute(std::span<double> x) const;
  Result<Nearness> aim();
  int node_of_most_excess() const;
  double along_step() const;
  void search(int step);

  Network network_{};
  std::vector<Branch> branches_{};
  std::vector<int> order_{};        // nodes in the order of their elimination
  std::vector<int> first_spoke_{};  // by place in the order, and one more
  std::vector<Spoke> spokes_{};     // neighbors that are left when the node goes
  std::vector<int> meshed_{};       // slot of every pair of neighbors, one after another
  std::vector<double> between_{};   // conductances by slot
  std::vector<double> share_{};     // by spoke: its part of all of the node's conductances
  std::vector<double> ground_{};    // by node: conductance to the sump
  std::vector<double> inverse_{};   // by node: 1 / all of its conductances
  std::vector<double> high_{}, low_{}, kept_high_{}, kept_low_{}, start_{};
  std::vector<double> excess_{};  // by node: what flows out less what flows in
  std::vector<double> step_{};
  std::vector<double> air_{}, air_slope_{};
  double brought_ = 0;           // what all sources bring, m³/s
  double worst_ = 0, norm_ = 0;  // of excess_
  double smoothing_ = 0;         // Pa², square of Δp_c
  bool pulled_ = false;          // there is a fixed flow
  int steps_ = 0;
};

}  // namespace tautmark::oil
