// SPDX-License-Identifier: Apache-2.0
// A sensor wheel as its edges: which slots hold a tooth, or the angles of a few unequal teeth.
//
// Angles in crank degrees from the wheel zero, growing with rotation. The zero is the first tooth
// after the largest gap; of several such the one whose list of steps, read backwards, is
// lexicographically largest. A wheel that looks the same after part of a turn has `symmetry` equal
// zeros; which of them counts is decided by a cam (decode.h).
// Source: signals.md sections 1, 3.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace tautmark {

struct SlotPattern {
  std::vector<bool> present;  // one per slot of a turn; slot 0 holds a tooth
  friend bool operator==(const SlotPattern&, const SlotPattern&) = default;
};
int slot_count(const SlotPattern& pattern);
int tooth_count(const SlotPattern& pattern);
int gap_count(const SlotPattern& pattern);
int usual_step(const SlotPattern& pattern);  // slots from tooth to tooth, the most frequent
// An even wheel with one tooth more half way between two: slots are half steps.
bool has_added_tooth(const SlotPattern& pattern);

// Turned to the wheel zero. Empty when no slot holds a tooth.
SlotPattern canonical(const SlotPattern& pattern);
// The shortest pattern of which this is a repetition, and the pattern repeated.
SlotPattern primitive(const SlotPattern& pattern);
SlotPattern repeated(const SlotPattern& pattern, int times);

// Where to begin so that the list read backwards is largest: its last step is the largest gap.
std::size_t zero_of_steps(const std::vector<int>& steps);

struct Wheel {
  std::string name;            // "36-2-1", "60-2", "4 (70/110)", "24 uniform", "36+1"
  std::vector<double> angles;  // degrees, increasing, first 0: one per tooth of a turn
  int slots = 0;               // even slots of a turn; 0 for unequal teeth
  int symmetry = 1;            // equal zeros
  bool nominal = true;         // angles are those of the even slots; false: learned shares
  // Degrees from every tooth to its other edge, where wide and narrow teeth are the wheel's code
  // ("24 teeth, wide and narrow"); empty: they are not.
  std::vector<double> widths = {};
};
int tooth_count(const Wheel& wheel);

Wheel slotted_wheel(const SlotPattern& pattern);

// From the steps between teeth (degrees, any order of start, their sum 360). Teeth turned to the
// zero; `first` says which step of the input begins at the zero. Steps are compared after rounding
// to 5 degrees. From 6 teeth on, teeth even within 30 % get even angles: speed
// ripple of 25 % looks like such spacing.
struct MeasuredWheel {
  Wheel wheel;
  std::size_t first = 0;
};
MeasuredWheel measured_wheel(const std::vector<double>& steps);

}  // namespace tautmark
