// SPDX-License-Identifier: Apache-2.0
// What a tensioner that oil feeds does at a pressure that was read: oil/tensioner.h with the data
// of the definition. Clearance as new and cold, diametral in the definition; the hole that feeds it
// discharges 0.7 of its area where no way of the oil says otherwise, and lets no more in than the
// check valve. The viscosity is that of a typical oil of the grade. Source: oil.md 6.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "drive/drive.h"
#include "oil/tensioner_fault.h"

namespace tautmark {

// Whether the definition says of it that oil feeds it.
bool tells_oil(const Tensioner& tensioner);
// Keys that the definition still lacks; empty: nothing.
std::vector<std::string> tensioner_lacks(const Tensioner& tensioner);

inline constexpr double kTear = 1e-6;  // m², what a torn seal opens in the forecast
inline constexpr double kFeedDischarge = 0.7;

struct FedTensioner {
  Pressure at_feed{};
  DynamicViscosity viscosity{};
  Density density{};
  double discharge = kFeedDischarge;
  double tear = kTear;  // m²; discharges like the hole
};
struct TensionerOil {
  Force spring{};          // what lost feed leaves
  Force holds{};           // at rest
  Force torn{};            // at rest
  double damping = 0;      // N·s/m, plunger in the middle of its bore
  double damping_off = 0;  // at its wall: the least
  double refill = 0;       // m/s, at most
};
// Refuses what lacks something, and what the library refuses.
Result<TensionerOil> tensioner_oil(const Tensioner& tensioner, const FedTensioner& fed);

// Signs that the words of a complaint tell. Only what is said to be heard: no words tell a silence,
// and a clause with "no", "not", "quiet" tells nothing.
struct NoiseHeard {
  bool hot_idle = false, cold = false, after_standing = false, gets_worse = false;
};
NoiseHeard noise_heard(std::string_view words, std::string_view when);

// "lost or blocked feed: gets worse over seconds to minutes, then never recovers"
std::string fault_words(oil::TensionerFault fault);

}  // namespace tautmark
