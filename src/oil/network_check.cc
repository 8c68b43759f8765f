// SPDX-License-Identifier: Apache-2.0
#include "oil/network_check.h"

#include <fmt/format.h>

#include <cmath>
#include <numeric>

namespace tautmark::oil {
namespace {

bool is_passive(const Element& element) {
  return !std::holds_alternative<Pump>(element.law) &&
         !std::holds_alternative<FixedFlow>(element.law);
}

bool not_negative(double v) { return v >= 0 && std::isfinite(v); }
bool positive(double v) { return v > 0 && std::isfinite(v); }

// Nodes that passive elements join; the sump is the last.
struct Pieces {
  std::vector<int> parent;

  explicit Pieces(std::size_t nodes) : parent(nodes + 1) {
    std::iota(parent.begin(), parent.end(), 0);
  }
  int slot(int node) const { return node == kSump ? static_cast<int>(parent.size()) - 1 : node; }
  int root(int node) const {
    int at = slot(node);
    while (parent[at] != at) at = parent[at];
    return at;
  }
  void join(int a, int b) { parent[root(a)] = root(b); }
};

Result<void> check_ends(const Network& network, const Element& element) {
  const auto nodes = static_cast<int>(network.nodes.size());
  for (const int end : {element.from, element.to})
    if (end != kSump && (end < 0 || end >= nodes))
      return refuse(fmt::format("{}: one of its ends is no node", called(network, element)));
  if (element.from == element.to)
    return refuse(fmt::format("{}: it begins where it ends, at {}", called(network, element),
                              node_called(network, element.from)));
  if (std::holds_alternative<Pump>(element.law) && element.from != kSump)
    return refuse(fmt::format("{}: a pump draws from the sump", called(network, element)));
  return {};
}

Result<void> check_pieces(const Network& network) {
  Pieces pieces(network.nodes.size());
  std::vector<char> fed(network.nodes.size() + 1);
  for (const Element& one : network.elements)
    if (is_passive(one) && one.from != kSump && one.to != kSump) pieces.join(one.from, one.to);
  std::vector<char> drained(network.nodes.size() + 1);
  for (const Element& one : network.elements)
    for (const int end : {one.from, one.to}) {
      if (end == kSump) continue;
      if (!is_passive(one)) fed[pieces.root(end)] = 1;
      if (is_passive(one) && (one.from == kSump || one.to == kSump)) drained[pieces.root(end)] = 1;
    }
  for (std::size_t i = 0; i < network.nodes.size(); ++i) {
    const int root = pieces.root(static_cast<int>(i));
    const std::string name = node_called(network, static_cast<int>(i));
    if (!fed[root]) return refuse(fmt::format("{}: nothing pumps oil into it", name));
    if (!drained[root])
      return refuse(fmt::format("{}: nothing drains it to the sump but a pump's slip", name));
  }
  return {};
}

// What is wrong with the numbers of a law, or nothing.
struct Mistake {
  const char* operator()(const Laminar& law) const {
    if (!not_negative(law.conductance)) return "its conductance is negative or not a number";
    if (!positive(law.film)) return "the viscosity of its film is not above zero";
    return nullptr;
  }
  const char* operator()(const Orifice& law) const {
    return not_negative(law.area) ? nullptr : "its area is negative or not a number";
  }
  const char* operator()(const CheckedOrifice& law) const {
    if (!not_negative(law.area)) return "its area is negative or not a number";
    return opening(law.opens);
  }
  const char* operator()(const Relief& law) const {
    if (!not_negative(law.slope)) return "its slope is negative or not a number";
    return opening(law.opens);
  }
  const char* operator()(const Pump& law) const {
    if (!not_negative(law.slip)) return "its slip is negative or not a number";
    return not_negative(law.per_turn) ? nullptr : "its displacement is negative or not a number";
  }
  const char* operator()(const FixedFlow& law) const {
    return std::isfinite(law.flow.si()) ? nullptr : "its flow is not a number";
  }
  static const char* opening(Pressure opens) {
    return not_negative(opens.si()) ? nullptr : "its opening pressure is negative or not a number";
  }
};

}  // namespace

std::string called(const Network& network, const Element& element) {
  if (!element.name.empty()) return fmt::format("element \"{}\"", element.name);
  return fmt::format("element {}", &element - network.elements.data() + 1);
}

std::string node_called(const Network& network, int node) {
  if (node == kSump) return "the sump";
  const std::string& name = network.nodes[static_cast<std::size_t>(node)];
  return name.empty() ? fmt::format("node {}", node + 1) : fmt::format("node \"{}\"", name);
}

Result<void> check_places(const Network& network) {
  if (network.nodes.empty()) return refuse("an oil network without nodes");
  std::vector<int> ends(network.nodes.size());
  for (const Element& one : network.elements) {
    if (const auto fine = check_ends(network, one); !fine) return fine;
    if (one.from != kSump) ++ends[one.from];
    if (one.to != kSump) ++ends[one.to];
  }
  for (std::size_t i = 0; i < ends.size(); ++i) {
    const std::string name = node_called(network, static_cast<int>(i));
    if (ends[i] == 0) return refuse(fmt::format("{}: no element reaches it", name));
    if (ends[i] == 1)
      return refuse(fmt::format("{}: only one element reaches it, so nothing flows through", name));
  }
  return check_pieces(network);
}

Result<void> check_numbers(const Network& network, const Running& running) {
  if (!positive(running.viscosity.si()))
    return refuse("the viscosity of the oil is not above zero");
  if (!positive(running.density.si())) return refuse("the density of the oil is not above zero");
  if (!not_negative(running.speed.si()))
    return refuse("the speed of the crankshaft is negative or not a number");
  if (!positive(network.smoothing.si()))
    return refuse("the smoothing of the orifices is not above zero");
  for (const Element& one : network.elements)
    if (const char* wrong = std::visit(Mistake{}, one.law))
      return refuse(fmt::format("{}: {}", called(network, one), wrong));
  return {};
}

}  // namespace tautmark::oil
