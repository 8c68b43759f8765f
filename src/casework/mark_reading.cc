// SPDX-License-Identifier: Apache-2.0
// What the words mean: with or against rotation, from the place of the viewer.
#include <fmt/format.h>

#include <cmath>

#include "base/diagnostic.h"
#include "base/text.h"
#include "casework/mark_words.h"
#include "drive/drive_fields.h"

namespace tautmark {
namespace {

// Nearer than half an hour of the clock to 3 or 9 o'clock left and right say nothing: sin 15°.
constexpr double kSidewaysCosine = 0.2588190451;

bool mirrored(const MarkView& view) { return view.seen_from == ViewedFrom::flywheel_end; }

// As the viewer sees it.
std::optional<bool> turns_clockwise(const MarkView& view) {
  if (!view.seen_from || !view.rotation) return std::nullopt;
  return (*view.rotation == Rotation::clockwise) != mirrored(view);
}
std::optional<Angle> place_seen(const MarkWords& words, const MarkView& view) {
  if (words.clock) return words.clock;
  if (!view.place || !view.seen_from) return std::nullopt;
  return mirrored(view) ? -*view.place : *view.place;
}

// +1 with rotation, -1 against it.
std::optional<int> sense(const MarkWords& words, const MarkView& view) {
  if (!words.way) return std::nullopt;
  const auto clockwise = turns_clockwise(view);
  switch (*words.way) {
    case MarkWay::early:
    case MarkWay::with_rotation:
      return 1;
    case MarkWay::late:
    case MarkWay::against_rotation:
      return -1;
    case MarkWay::clockwise:
    case MarkWay::counterclockwise:
      if (!clockwise) return std::nullopt;
      return *clockwise == (*words.way == MarkWay::clockwise) ? 1 : -1;
    case MarkWay::left:
    case MarkWay::right: {
      const auto place = place_seen(words, view);
      if (!clockwise || !place) return std::nullopt;
      // At this place a clockwise wheel moves to the right by the cosine of the clock angle.
      const double to_right = std::cos(place->si()) * (*clockwise ? 1 : -1);
      if (std::abs(to_right) < kSidewaysCosine) return std::nullopt;
      return (to_right > 0) == (*words.way == MarkWay::right) ? 1 : -1;
    }
    case MarkWay::up:
    case MarkWay::down:
      break;
  }
  return std::nullopt;
}

std::string clock_text(Angle place) {
  const double degrees = std::fmod(in_deg(place) + 720, 360);
  const int half_hours = static_cast<int>(std::lround(degrees / 15)) % 24;
  const int hour = half_hours / 2 == 0 ? 12 : half_hours / 2;
  return half_hours % 2 == 0 ? fmt::format("{} o'clock", hour) : fmt::format("{}:30 o'clock", hour);
}

std::string view_text(const MarkWords& words, const MarkView& view) {
  std::string text;
  if (view.seen_from) text = fmt::format(", seen from the {}", choice_name(*view.seen_from));
  if (const auto place = place_seen(words, view)) text += fmt::format(" at {}", clock_text(*place));
  if (const auto clockwise = turns_clockwise(view))
    text += fmt::format(", where it turns {}", *clockwise ? "clockwise" : "counterclockwise");
  return text;
}

std::string question(const MarkWords& words, const MarkView& view) {
  if (!words.way) return "early or late: with rotation or against it?";
  if (*words.way == MarkWay::up || *words.way == MarkWay::down)
    return "up and down say nothing of rotation: is the mark ahead of the casting's, or behind it?";
  std::string missing;
  const auto add = [&](const char* what) {
    missing += (missing.empty() ? "" : "; ") + std::string(what);
  };
  if (!view.seen_from) add("seen from the front or from the flywheel end?");
  if (!view.rotation) add("which way does this wheel turn?");
  const bool sideways = *words.way == MarkWay::left || *words.way == MarkWay::right;
  if (sideways && !words.clock && !view.place) add("at what o'clock does the mark stand?");
  if (missing.empty())
    add("at 3 and 9 o'clock left and right say nothing: is the mark ahead of the casting's, or "
        "behind it?");
  return missing;
}

void read_off(const MarkWords& words, const MarkView& view, MarkReading& reading) {
  const auto way = sense(words, view);
  const std::string about = words.doubt ? "about " : "";
  const std::string amount = words.half_teeth
                                 ? about + halves_text(*words.half_teeth, "tooth", "teeth")
                                 : std::string("off, by how much was not said");
  if (words.half_teeth) {
    if (!way || *way > 0) reading.possible.push_back(*words.half_teeth);
    if (!way || *way < 0) reading.possible.push_back(-*words.half_teeth);
  }
  if (way) {
    reading.read_back =
        fmt::format("that is {} {} rotation, so {}{}", amount, *way > 0 ? "with" : "against",
                    *way > 0 ? "early" : "late", view_text(words, view));
  } else {
    reading.read_back = fmt::format("that is {}, early or late{}", amount, view_text(words, view));
    reading.ask = question(words, view);
  }
  if (!words.half_teeth)
    reading.ask += (reading.ask.empty() ? "" : "; ") + std::string("how many teeth?");
}

void read_clock(const MarkWords& words, const MarkView& view, MarkReading& reading) {
  reading.read_back = fmt::format("that is at {}", clock_text(*words.clock));
  if (view.seen_from)
    reading.read_back += fmt::format(" seen from the {}", choice_name(*view.seen_from));
  const auto clockwise = turns_clockwise(view);
  if (!clockwise || !view.place) {
    reading.ask = !view.seen_from  ? "seen from the front or from the flywheel end?"
                  : !view.rotation ? "which way does this wheel turn?"
                                   : "how many teeth from the casting's mark?";
    return;
  }
  const Angle should = mirrored(view) ? -*view.place : *view.place;
  const double apart = std::remainder(in_deg(*words.clock) - in_deg(should), 360);
  reading.from_place = deg(*clockwise ? apart : -apart);
  reading.read_back += fmt::format("; it should stand at {}", clock_text(should));
  reading.ask = "a clock says no teeth: how many from the casting's mark?";
}

}  // namespace

MarkReading mark_reading(const MarkWords& words, const MarkView& view) {
  MarkReading reading;
  switch (words.seen) {
    case MarkSeen::right:
      reading.possible = {0};
      reading.read_back = words.doubt ? "that is about right" : "that is right";
      break;
    case MarkSeen::off:
      read_off(words, view, reading);
      break;
    case MarkSeen::at_clock:
      read_clock(words, view, reading);
      break;
    case MarkSeen::half_turn_away:
      reading.from_place = deg(180);
      reading.read_back = "that is half a turn of this wheel away";
      break;
    case MarkSeen::cannot_see:
      reading.read_back = "that is: it cannot be seen";
      break;
    case MarkSeen::gone:
      reading.read_back = "that is: there is no mark to see";
      break;
  }
  reading.read_back = fmt::format("you said: “{}”; {}", clipped(words.said), reading.read_back);
  if (!words.unheard.empty())
    reading.ask += fmt::format("{}not understood: {}", reading.ask.empty() ? "" : "; ",
                               clipped(joined(words.unheard, ", ")));
  return reading;
}

}  // namespace tautmark
