// SPDX-License-Identifier: Apache-2.0
// Whether a bolt that comes out may go in again.
//
// Replace: the definition says single use; it does not say (unknown counts as single use); it is
// drawn past yield and no limit is given; a length or a diameter proven beyond its limit. Reuse:
// the definition says it may be used again, and every limit it gives is proven kept with the
// uncertainty of the reading. The length check is weak for short bolts, and necking is local: a
// diameter limit counts beside it. Source: fasteners.md 4.4 (Lee et al., J. Comm. in Reliability,
// Maintainability and Supportability 2(2), 1995, abstract: bolts tightened to yield are not
// reused).
#pragma once

#include <optional>
#include <string>

#include "base/quantity.h"

namespace tautmark::tighten {

struct Measured {
  Length value{};
  Length expanded{};  // U, k = 2
};

struct UsedBolt {
  std::optional<bool> single_use{};
  bool to_yield = false;             // torque and angle past yield
  std::optional<Length> longest{};   // limit of the free length
  std::optional<Length> thinnest{};  // limit of shank or thread diameter
  std::optional<Measured> length{};
  std::optional<Measured> diameter{};
};

enum class Reuse { replace, may_go_in_again, not_decided };
struct ReuseAnswer {
  Reuse answer = Reuse::replace;
  std::string why{};
};
ReuseAnswer reuse(const UsedBolt& bolt);

}  // namespace tautmark::tighten
