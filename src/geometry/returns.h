// SPDX-License-Identifier: Apache-2.0
// When marks and colored links return on drives with several chains in series.
//
// A shaft makes v = a/b turns per crank turn (lowest terms). Crank turns until
//
//   every sprocket mark stands as it did       r = lcm of all b
//   every link of a chain stands as it did     r = b n / gcd(a N, b n)
//
//   n  links of the chain    N  teeth of its driving sprocket, v = a/b of that shaft
//
// and all together after the least common multiple. With one chain straight from the crankshaft
// (a/b = 1) and the camshaft at 1/2 this is geometry.md 4.5. Exact integers.
// Validity: counts 1 to 100 000, at most 16 shafts and chains; refuses otherwise, and where a
// result leaves 64 bits.
#pragma once

#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

struct Fraction {  // turns per crank turn, always positive
  long long over = 1, under = 1;
  bool operator==(const Fraction&) const = default;
};
Fraction lowest_terms(Fraction f);

struct ChainTurns {
  int links = 0;
  int driver_teeth = 0;
  Fraction driver{};  // turns of its driving shaft per crank turn
};
struct ReturnInputs {
  std::vector<Fraction> shafts{};
  std::vector<ChainTurns> chains{};
};
struct Returns {
  long long sprocket_marks = 0;          // crank turns
  std::vector<long long> links{};        // of each chain alone, links on its driving sprocket
  std::vector<long long> links_marks{};  // of each chain together with every sprocket mark
  long long all = 0;
};
Result<Returns> mark_returns(const ReturnInputs& in);

}  // namespace tautmark
