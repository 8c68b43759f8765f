// SPDX-License-Identifier: Apache-2.0
// Invented cases of the shipped, invented Quellmere with one camshaft off, for tests of the way.
#pragma once

#include <gtest/gtest.h>

#include <functional>
#include <string>

#include "judge/way_answer.h"
#include "support/temp_folder.h"

namespace tautmark::test {

struct WayCase {
  std::string chain = "on", pin = "out", valves = "worked by camshafts";
  std::string intake = "1 tooth late", exhaust = "right";
  std::string crank = "75 ± 1 deg crank", wanted = "0 deg crank";
  std::string before{}, after{};  // entries before the state and after the standing
};

inline std::string way_case_text(const WayCase& of, const std::string& drive = "quellmere-i4-16") {
  const std::string locked =
      "phaser: locked, phaser_checked_how: \"does not move by hand, both ways\"";
  return "tautmark: case/1\nname: way\ndrive: " + drive +
         "\ninstruments:\n  - {name: dial indicator, uncertainty: 0.02 mm}\nentries:\n"
         "  - {kind: stop, id: e1, cylinder: 1, before: 24.5 deg crank, after: 24.5 deg crank, "
         "reading: 0.5 deg crank, stop: 0.05 mm, pressed_up: true, wheel_set: true}\n" +
         of.before +
         "  - {kind: state, id: e2, apart: partly, turned: by hand in running direction, chain: " +
         of.chain + ", pin: " + of.pin + ", " + locked + ", valves: " + of.valves +
         ", resistance: false, dropped: false}\n"
         "  - kind: standing\n    id: e3\n    crank: " +
         of.crank + "\n    after: firing\n    crank_proof: positive stop\n    camshafts:\n" +
         "      - {at: bank 1 / intake camshaft, stands: " + of.intake + ", within: 1 deg crank, " +
         locked + "}\n" + "      - {at: bank 1 / exhaust camshaft, stands: " + of.exhaust +
         ", within: 1 deg crank, " + locked + "}\n" + "    wanted: " + of.wanted +
         "\n    wanted_after: firing\n    since_jump: turned by hand\n    adjusters: solid\n"
         "    surfaced: false\n    other_parts: false\n    in_cylinders: false\n" +
         of.after;
}

inline LoadedCase way_loaded_text(const std::string& text) {
  const TempFolder folder;
  const auto loaded =
      load_case(folder.write("case.yaml", text), {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return loaded ? *loaded : LoadedCase{};
}
inline LoadedCase way_loaded(const WayCase& of) { return way_loaded_text(way_case_text(of)); }

inline WayAnswer way_of(const LoadedCase& loaded) {
  return way_answer(loaded, loaded.drives.empty() ? nullptr : &loaded.drives.front());
}

// The body of its last entry of this kind, to be changed.
template <class Body>
Body& body_of(LoadedCase& loaded) {
  Body* found = nullptr;
  for (Entry& entry : loaded.value.entries)
    if (auto* body = std::get_if<Body>(&entry.body)) found = body;
  return *found;
}

inline Valves& intake_valves(LoadedCase& loaded) {
  return loaded.drives[0].drive.banks[0].camshafts[0].valves[0];
}

// The answer after a change of the standing.
inline WayAnswer way_with(const std::function<void(Standing&)>& change, const WayCase& of = {}) {
  LoadedCase loaded = way_loaded(of);
  change(body_of<Standing>(loaded));
  return way_of(loaded);
}

}  // namespace tautmark::test
