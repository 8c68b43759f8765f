// SPDX-License-Identifier: Apache-2.0
// From a fastener of a definition to what a recorded tightening of it is judged against, and what
// the other traces of the same fastener say of its slope.
//
//   S_m  median of the gradients of the others, N·m per degree    k  torque per force, preload.h
//   r    1.4826 x median |S - S_m| / S_m, at least kLeastSpread
//   s  = S_m (1/k_low + 1/k_high) / 2        U = 2 √(r² + (friction half-range / 2)²)
//
// k_low, k_high: torque per force at both ends of the friction class. Nothing is guessed: a pitch,
// a class or a condition that is not there is asked for. Without an own trace of the joint the
// slope rests on the friction class, so a clamp load by angle says little more than one by torque.
// A fault that all bolts of a set share shows in no comparison between them.
// Source of r: consistent estimate of a normal standard deviation from the median absolute
// deviation (Huber, Robust Statistics). kLeastSpread is ours: friction of bolts of one set.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "drive/drive.h"
#include "tighten/trace_analysis.h"

namespace tautmark {

inline constexpr double kLeastSpread = 0.06;
inline constexpr std::size_t kLeastOthers = 3;

struct TraceExpected {
  std::optional<tighten::ExpectedStep> step{};  // set when nothing is missing
  std::vector<std::string> missing{};           // "thread pitch (M10: 1.5, 1.25 or 1 mm)"
  std::vector<std::string> assumed{};           // what was taken where the definition says nothing
};

// `step` counts from 1; empty: all steps of the fastener together.
TraceExpected trace_expected(const Fastener& fastener, std::optional<int> step = {});

struct OtherTraces {
  Torque gradient{};  // S_m, per degree
  double spread = 0;  // r
  std::size_t count = 0;
};
// Empty for fewer than kLeastOthers gradients.
std::optional<OtherTraces> other_traces(std::span<const Torque> gradients);

tighten::ExpectedSlope slope_of(const OtherTraces& others, const tighten::ExpectedStep& step);

// What shows where a gradient lies more than 3 r off the others; empty: nothing.
std::string differs_from_others(Torque gradient, const OtherTraces& others);

}  // namespace tautmark
