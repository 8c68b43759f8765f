// SPDX-License-Identifier: Apache-2.0
// A drive of two camshafts on one chain, and entries of marks for it.
#pragma once

#include <fmt/format.h>

#include <string>

#include "judge/judge_test_support.h"

namespace tautmark::test {

inline constexpr const char* kIntake = "bank 1 / intake camshaft";
inline constexpr const char* kExhaust = "bank 1 / exhaust camshaft";

// trade.md 6.B, by its own numbers.
inline std::string four(const std::string& more = "", const std::string& source = "maker") {
  return "tautmark: drive/1\nname: small\nsource: {origin: " + source + R"(, document: manual}
checked_by: second reader
crankshaft: {rotation: clockwise, seen_from: front, sprockets: [{teeth: 19}]}
chains:
  - name: chain
    pitch: 8.00 mm
    links: 138
    counted: pitches
    strands:
      - {from: crank, to: bank 1 / intake camshaft, links: 61}
      - {from: bank 1 / intake camshaft, to: bank 1 / exhaust camshaft, links: 16}
      - {from: bank 1 / exhaust camshaft, to: crank, links: 61}
    marks:
      - {at: crank, links: 1, sits: tooth, clock: 180 deg}
      - {at: bank 1 / intake camshaft, links: 1, sits: tooth, clock: 0 deg}
      - {at: bank 1 / exhaust camshaft, links: 1, sits: tooth, clock: 0 deg}
banks:
  - number: 1
    camshafts:
      - {name: intake camshaft, sprocket_teeth: 38, phaser: {base: full retard, range: 45 deg crank}}
      - {name: exhaust camshaft, sprocket_teeth: 38, phaser: {base: full advance, range: 30 deg crank}}
)" + more;
}

inline std::string with(const std::string& entries) {
  return "tautmark: case/1\nname: test\ndrive: small\nentries:\n" + entries;
}

inline std::string counts(int first, int second, int third, const std::string& id = "e1",
                          const std::string& counted = "pitches") {
  return fmt::format(
      "  - {{kind: marks, id: {}, chain: chain, counted: {}, strands: [{{from: crank, to: {}, "
      "links: "
      "{}}}, {{from: {}, to: {}, links: {}}}, {{from: {}, to: crank, links: {}}}]}}\n",
      id, counted, kIntake, first, kIntake, kExhaust, second, kExhaust, third);
}

inline std::string seen(const std::string& intake,
                        const std::string& more = "settled: yes, phaser: locked",
                        const std::string& against = "casting",
                        const std::string& exhaust = "right") {
  return fmt::format(
      "  - {{kind: marks, id: e2, chain: chain, {}, sprockets: [{{at: crank, stands: right, "
      "against: "
      "casting}}, {{at: {}, stands: {}, against: {}}}, {{at: {}, stands: {}, against: "
      "casting}}]}}\n",
      more, kIntake, intake, against, kExhaust, exhaust);
}

// The crank's mark alone and the intake's beside it.
inline std::string crank_seen(const std::string& crank, const std::string& intake) {
  return fmt::format(
      "  - {{kind: marks, id: e2, chain: chain, settled: yes, phaser: locked, sprockets: [{{at: "
      "crank, stands: {}, against: casting}}, {{at: {}, stands: {}, against: casting}}]}}\n",
      crank, kIntake, intake);
}

// Two strands of one chain.
inline std::string two_strands(const std::string& id, const std::string& chain,
                               const std::string& a, const std::string& b, int out, int back) {
  return fmt::format(
      "  - {{kind: marks, id: {0}, chain: {1}, counted: pitches, strands: [{{from: {2}, to: {3}, "
      "links: {4}}}, {{from: {3}, to: {2}, links: {5}}}]}}\n",
      id, chain, a, b, out, back);
}

}  // namespace tautmark::test
