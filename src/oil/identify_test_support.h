// SPDX-License-Identifier: Apache-2.0
// A small engine whose clearances are to be found.
#pragma once

#include "oil/identify.h"
#include "oil/network_test_support.h"

namespace tautmark::oil::test {

enum SmallNode { kSmallGallery, kSmallHead, kSmallJournal };
enum SmallElement { kSmallPump, kSmallMains, kSmallFeed, kSmallCams, kSmallDrilling, kSmallFront };

// Gallery, one head behind a restrictor, and a front journal behind a drilling.
inline Network small_engine() {
  Network net;
  net.nodes = {"gallery", "head", "front journal"};
  net.elements = {{"pump", kSump, kSmallGallery, Pump{22e-6, 5.0e-12}},
                  {"mains", kSmallGallery, kSump, Laminar{4.5e-12}},
                  {"feed", kSmallGallery, kSmallHead, Orifice{1.2e-6}},
                  {"cams", kSmallHead, kSump, Laminar{2.7e-13}},
                  {"drilling", kSmallHead, kSmallJournal, Orifice{1.0e-6}},
                  {"front", kSmallJournal, kSump, Laminar{1.5e-13}}};
  return net;
}

inline PressureReading gauge(const Running& at, std::size_t node, double kilopascals,
                             double standard) {
  return {at, node, Pressure::from_si(kilopascals * 1e3), Pressure::from_si(standard * 1e3)};
}

// A laminar element, so many times as open as it was given.
inline void open_by(NetworkSolver& solver, const Network& given, std::size_t element,
                    double factor) {
  Laminar law = std::get<Laminar>(given.elements[element].law);
  law.conductance *= factor;
  solver.change(element, law);
}

}  // namespace tautmark::oil::test
