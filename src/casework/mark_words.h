// SPDX-License-Identifier: Apache-2.0
// How a mark stands, in the words of the person who looks at it:
//
//   right      on the mark      spot on                    nothing off
//   one tooth late      a tooth and a half left      about half a tooth      2 teeth ahead
//   at 2 o'clock      half a turn away      cannot see      paint gone
//
// Words for the way a mark is off: early, late, with or against rotation, ahead, behind; left,
// right, clockwise, counterclockwise. These last say with or against rotation only when it is known
// from which end one looks and how the wheel turns; left and right also need the place of the mark:
// at the top of a wheel that turns clockwise right is with rotation, at the bottom left is, at 3
// and 9 o'clock neither says anything; from the flywheel end all of it is mirrored. Otherwise both
// possibilities are carried. Up and down are never taken for a way of rotation.
//
// Inside: half teeth, positive early, which is with rotation: ahead of the casting's mark.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.h"
#include "base/quantity_text.h"
#include "drive/drive.h"

namespace tautmark {

enum class MarkSeen { right, off, at_clock, half_turn_away, cannot_see, gone };
enum class MarkWay {
  early,
  late,
  with_rotation,
  against_rotation,
  left,
  right,
  clockwise,
  counterclockwise,
  up,
  down,
};

struct MarkWords {
  std::string said{};
  MarkSeen seen{};
  std::optional<int> half_teeth{};  // how far off; empty: not said
  bool doubt = false;               // "about", "maybe": give or take half a tooth
  std::optional<MarkWay> way{};
  std::optional<Angle> clock{};  // clockwise from straight up, as the viewer sees it
  std::string sort{};            // dot, line, letter, notch, arrow
  std::string color{};
  bool of_link = false;                // the words speak of a marked link
  std::vector<std::string> unheard{};  // words that nothing was made of
};

// Refuses, at the word: two amounts, two ways, a number without "teeth", a quarter of a tooth,
// degrees, "not right" (say how it stands), and a text in which nothing is understood.
FromText<MarkWords> read_mark_words(std::string_view text);

struct MarkView {
  std::optional<ViewedFrom> seen_from{};
  std::optional<Rotation> rotation{};  // of this wheel, seen from the front
  std::optional<Angle> place{};  // where its mark should stand: clockwise from up, from the front
};

struct MarkReading {
  // In half teeth, positive early: one when it is known, both when the way is not, none when the
  // amount is not or there is nothing to see.
  std::vector<int> possible{};
  std::optional<Angle> from_place{};  // at a clock position: from its place, in running direction
  std::string read_back{};            // a sentence
  std::string ask{};                  // what would decide between two; empty when nothing is open
};
MarkReading mark_reading(const MarkWords& words, const MarkView& view);

}  // namespace tautmark
