// SPDX-License-Identifier: Apache-2.0
// Networks that tests and benchmarks share.
#pragma once

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <random>
#include <string>

#include "oil/leakage.h"
#include "oil/network.h"
#include "oil/orifice.h"

namespace tautmark::oil::test {

constexpr Length um(double v) { return Length::from_si(v * 1e-6); }
constexpr Running running(double mu, double rho, double rpm) {
  return {DynamicViscosity::from_si(mu), Density::from_si(rho), per_min(rpm)};
}
inline constexpr Running kHotIdle = running(8.60e-3, 799, 650);

// Nodes of the worked case, oil.md 3.4: all values invented.
enum CaseNode { kPump, kGallery, kHeadL, kAdvanceL, kRetardL, kHeadR, kAdvanceR, kRetardR };

inline double land(double d_mm, double c_um, double land_mm, double eccentricity) {
  return *annular_land({mm(d_mm), um(c_um), mm(land_mm), eccentricity});
}

inline void add_head(Network& net, const std::string& side, int head, Length front_clearance) {
  const int advance = head + 1, retard = head + 2;
  const double front = land(32, front_clearance.si() * 1e6, 4, 0.7);
  const double edge = 0.70 * 6.0e-6;
  const auto add = [&](const char* name, int from, int to, ElementLaw law) {
    net.elements.push_back({side + name, from, to, law});
  };
  add(".head", kGallery, head, Orifice{*round_hole(mm(1.5), 0.70)});
  add(".cams", head, kSump, Laminar{4 * 2 * land(28, 30, 9, 0.6)});
  add(".tensioner", head, kSump, Laminar{land(14, 20, 20, 0)});
  add(".supply", head, advance, Orifice{edge});
  add(".A-edge", advance, kSump, Laminar{front});
  add(".A-R", advance, retard, Laminar{front});
  add(".R-edge", retard, kSump, Laminar{front});
  add(".internal", advance, retard, Laminar{3.0e-14});
  add(".return", retard, kSump, Orifice{edge});
}

// Eight cylinders, two heads with a phaser each, fed through the front journal of the camshaft; the
// valve at full advance, the phaser on its stop.
inline Network worked_case(double front_left_um, double front_right_um) {
  Network net;
  net.nodes = {"pump", "gallery", "L head", "L A", "L R", "R head", "R A", "R R"};
  net.elements = {
      {"pump", kSump, kPump, Pump{22e-6, 5.0e-12}},
      {"relief", kPump, kSump, Relief{2.0e-9, Pressure::from_si(4.0e5)}},
      {"filter", kPump, kGallery, Orifice{0.70 * 60e-6}},
      {"mains", kGallery, kSump, Laminar{5 * 2 * land(65, 34, 9, 0.7), 0.6}},
      {"rods", kGallery, kSump, Laminar{8 * 2 * land(53, 32, 9, 0.8), 0.6}},
      {"jet", kGallery, kSump, Orifice{*round_hole(mm(1.0), 0.70)}},
  };
  add_head(net, "L", kHeadL, um(front_left_um));
  add_head(net, "R", kHeadR, um(front_right_um));
  return net;
}

inline std::size_t element_named(const Network& net, const std::string& name) {
  for (std::size_t i = 0; i < net.elements.size(); ++i)
    if (net.elements[i].name == name) return i;
  throw std::logic_error("no element " + name);
}

// The worked case bearing by bearing, with drillings, a by-pass and piston jets: 60 elements.
inline Network sixty_elements() {
  Network net = worked_case(45, 30);
  net.elements.erase(net.elements.begin() + 3, net.elements.begin() + 5);
  const auto node = [&net](const std::string& name) {
    net.nodes.push_back(name);
    return static_cast<int>(net.nodes.size()) - 1;
  };
  const auto add = [&net](const std::string& name, int from, int to, ElementLaw law) {
    net.elements.push_back({name, from, to, law});
  };
  add("by-pass", kPump, kGallery, CheckedOrifice{2e-5, Pressure::from_si(1.5e5)});
  for (int i = 1; i <= 5; ++i) {
    const int main = node("main " + std::to_string(i));
    add("main drilling " + std::to_string(i), kGallery, main, Orifice{1.2e-5});
    add("main " + std::to_string(i), main, kSump, Laminar{2 * land(65, 30 + i, 9, 0.7), 0.6});
    for (int k = 2 * i - 1; k <= 2 * i && k <= 8; ++k)
      add("rod " + std::to_string(k), main, kSump,
          Laminar{2 * land(53, 30 + k / 4.0, 9, 0.8), 0.6});
  }
  for (int i = 1; i <= 8; ++i)
    add("piston jet " + std::to_string(i), kGallery, kSump,
        CheckedOrifice{8e-7, Pressure::from_si(1.6e5)});
  for (const int head : {kHeadL, kHeadR})
    for (int i = 1; i <= 2; ++i) {
      const int gallery = node("adjusters " + std::to_string(head) + std::to_string(i));
      add("riser " + net.nodes.back(), head, gallery, Orifice{3e-6});
      add(net.nodes.back(), gallery, kSump, Laminar{land(21, 12, 10, 0.5)});
    }
  add("balance", kHeadL, kHeadR, Orifice{1e-6});
  add("second chain jet", kGallery, kSump, Orifice{4e-7});
  add("vacuum pump", kGallery, kSump, Orifice{3e-7});
  return net;
}

// As tests/reference/oil_network_scipy.py reads networks.
inline std::string as_line(const Network& net, const Running& at) {
  std::string out = fmt::format("{} {} {} {} {}", net.nodes.size(), at.viscosity.si(),
                                at.density.si(), at.speed.si(), net.elements.size());
  for (const Element& one : net.elements) {
    const char* kind = "fixed";
    double a = 0, b = 0;
    if (const auto* gap = std::get_if<Laminar>(&one.law)) {
      kind = "laminar", a = gap->conductance, b = gap->film;
    } else if (const auto* hole = std::get_if<Orifice>(&one.law)) {
      kind = "orifice", a = hole->area;
    } else if (const auto* check = std::get_if<CheckedOrifice>(&one.law)) {
      kind = "checked", a = check->area, b = check->opens.si();
    } else if (const auto* relief = std::get_if<Relief>(&one.law)) {
      kind = "relief", a = relief->slope, b = relief->opens.si();
    } else if (const auto* pump = std::get_if<Pump>(&one.law)) {
      kind = "pump", a = pump->per_turn, b = pump->slip;
    } else {
      a = std::get<FixedFlow>(one.law).flow.si();
    }
    out += fmt::format(" {} {} {} {} {}", kind, one.from, one.to, a, b);
  }
  return out + "\n";
}

// Any mesh: a tree from the pump, more branches across, outlets; sizes over `decades` about usual
// ones. Every node has a way to the sump.
struct RandomNetwork {
  Network network;
  Running running;
};

inline RandomNetwork random_network(std::mt19937_64& random, int most_elements, double decades,
                                    bool valves = true) {
  const auto any = [&random](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const auto below = [&random](int n) { return std::uniform_int_distribution<>(0, n - 1)(random); };
  const auto law = [&]() -> ElementLaw {
    const double size = std::pow(10, any(-decades / 2, decades / 2));
    switch (below(valves ? 8 : 6)) {
      case 0:
      case 1:
      case 2:
        return Laminar{3e-13 * size, any(0.4, 1)};
      case 3:
      case 4:
      case 5:
        return Orifice{1e-6 * size};
      case 6:
        return CheckedOrifice{1e-6 * size, Pressure::from_si(any(0, 3e5))};
      default:
        return Relief{1e-10 * size, Pressure::from_si(any(0, 5e5))};
    }
  };
  RandomNetwork out;
  Network& net = out.network;
  const auto add = [&net](int from, int to, ElementLaw what) {
    net.elements.push_back({"e" + std::to_string(net.elements.size() + 1), from, to, what});
  };
  const int elements = 3 + below(most_elements - 2);
  const int nodes = 1 + below(std::max(1, elements * 2 / 5));
  for (int i = 0; i < nodes; ++i) net.nodes.push_back("n" + std::to_string(i + 1));
  std::vector<int> ends(nodes);
  add(kSump, 0, Pump{any(5e-6, 40e-6), below(3) ? 5e-12 * std::pow(10, any(-2, 1)) : 0});
  ++ends[0];
  for (int i = 1; i < nodes; ++i) {
    const int from = below(i);
    // The way to a node is open in one direction at least.
    add(from, i, law());
    ++ends[from];
    ++ends[i];
  }
  for (int i = 0; i < nodes; ++i)
    if (ends[i] < 2) {
      add(i, kSump, law());
      ++ends[i];
    }
  add(below(nodes), kSump, law());
  while (static_cast<int>(net.elements.size()) < elements) {
    const int from = below(nodes), to = below(nodes + 1) - 1;
    if (from != to) add(from, to, law());
  }
  out.running = running(std::pow(10, any(-2.5, -0.3)), any(740, 900), any(200, 7000));
  return out;
}

}  // namespace tautmark::oil::test
