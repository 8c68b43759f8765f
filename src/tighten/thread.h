// SPDX-License-Identifier: Apache-2.0
// Screw threads: how people write them, their basic sizes and stress area.
//
//   metric (ISO 68-1, ISO 724, ISO 898-1)      unified (ASME B1.1, as in Shigley 9th ed. table 8-2)
//   d2 = d - 0.75 H,  H = √3/2 P               E  = D - 0.649519/n
//   d3 = d - 1.25 H - H/6                      minor = D - 1.299038/n
//   A_s = π/4 ((d2 + d3)/2)²                   A_t = π/4 (D - 0.974279/n)²
//
// Validity: full-form single-start external 60° thread, basic sizes, no allowance, no plating. The
// two stress areas are not interchangeable. A pitch that was not written is not guessed: every
// pitch usual for that size is a possible thread (M10: 1.5, 1.25 and 1; A_s differs by 11 %).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::tighten {

enum class ThreadSystem { metric, unified };

struct Thread {
  ThreadSystem system = ThreadSystem::metric;
  Length nominal{};
  Length pitch{};
  std::string shown{};  // "M10x1.25", "3/8-16"
};

// What was written: one thread, or, with no pitch in it, those usual for the size, coarse first.
struct ThreadRead {
  std::vector<Thread> possible{};  // never empty
  bool pitch_written = false;
};

// "M10x1.25", "M10 × 1,25", "M10-1.25", "M8", "3/8-16 UNC", "1/4-28", "No. 10-32", "#10-24", "3/8".
// Refused, with what was expected: anything else; a nominal size outside 2 to 64 mm; a pitch that
// leaves no core (more than a third of the nominal size).
Result<ThreadRead> read_thread(std::string_view text);

struct ThreadSizes {
  Length pitch_diameter{};   // d2, E
  Length root_diameter{};    // d3; unified: minor diameter of the external thread
  Length stress_diameter{};  // (d2 + d3) / 2
  double stress_area = 0;    // m²
  Angle helix{};             // atan(P / (π d2))
};
ThreadSizes thread_sizes(const Thread& thread);

// Ring under the head where the size alone is known: a hexagon head as of ISO 4014 (d_W,min) over
// the medium hole of ISO 273. Empty for a size without entry and for unified threads.
// Source: ISO 4014 and ISO 273 tables, from memory; they reproduce VDI 2230 table A1 (test).
struct BearingFace {
  Length outer{};  // d_W
  Length hole{};   // d_h
};
std::optional<BearingFace> hexagon_face(const Thread& thread);

}  // namespace tautmark::tighten
