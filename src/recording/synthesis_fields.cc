// SPDX-License-Identifier: Apache-2.0
// The fields of a synthesis file, written down once.
#include "recording/synthesis_fields.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

constexpr FieldOptions kPositiveOnly{.bounds = kPositive};
constexpr FieldOptions kNotNegative{.bounds = between(0, std::numeric_limits<double>::infinity())};
constexpr FieldOptions kChance{.bounds = between(0, 1)};
constexpr FieldOptions kApart{.apart = true};
constexpr FieldOptions kNotNegativeApart{.bounds = kNotNegative.bounds, .apart = true};
constexpr int kMostSlots = 720;

TextError wheel_error(std::string_view text, std::string problem) {
  return {0, text.size(), std::move(problem),
          "write \"60-2\", \"36-2-2-2\", \"36+1\", \"24\", or the angles: [0 deg crank, 70 deg "
          "crank]"};
}

// Slots without a tooth: gap j ends where the j-th of equal parts of the turn ends, the first
// before the zero.
std::optional<std::vector<int>> empty_slots(int slots, const std::vector<int>& gaps) {
  std::vector<int> empty;
  const auto count = static_cast<int>(gaps.size());
  for (int j = 0; j < count; ++j) {
    if (slots * j % count != 0 || gaps[static_cast<std::size_t>(j)] >= slots / count) return {};
    const int end = j == 0 ? slots : slots * j / count;
    for (int s = end - gaps[static_cast<std::size_t>(j)]; s < end; ++s) empty.push_back(s);
  }
  return empty;
}

}  // namespace

FromText<WheelText> read_wheel(std::string_view text, const TextRules& rules) {
  WheelText wheel{std::string(text), {}};
  if (text.find("deg") != std::string_view::npos || text.find("rad") != std::string_view::npos) {
    const auto list = read_list(text, Kind::crank_angle, rules);
    if (!list) return tl::unexpected(list.error());
    for (const AnyQuantity& q : list->values)
      wheel.angles.push_back(in_crank_deg(CrankAngle::from_si(q.si)));
    return wheel;
  }
  const bool added = text.find('+') != std::string_view::npos;
  std::vector<int> numbers;
  for (const std::string& part : split(text, added ? '+' : '-')) {
    const auto number = read_integer(trimmed(part));
    if (!number || *number < 1 || *number > kMostSlots)
      return tl::unexpected(wheel_error(
          text, fmt::format("\"{}\" is not a sensor wheel of 1 to {} slots", text, kMostSlots)));
    numbers.push_back(static_cast<int>(*number));
  }
  const int slots = numbers.front();
  if (added) {
    if (numbers.size() != 2 || numbers[1] != 1)
      return tl::unexpected(wheel_error(text, "only one added tooth has a name"));
    wheel.angles = slotted_teeth(slots, {});
    wheel.angles.push_back(360.0 - 180.0 / slots);
    return wheel;
  }
  const auto empty = empty_slots(slots, {numbers.begin() + 1, numbers.end()});
  if (!empty)
    return tl::unexpected(
        wheel_error(text, fmt::format("the gaps of \"{}\" do not fit evenly into a turn", text)));
  wheel.angles = slotted_teeth(slots, *empty);
  return wheel;
}

const TypeInfo& TypeOf<WheelText>::get() {
  static const TypeInfo kInfo = [] {
    TypeInfo info;
    info.name = "sensor wheel";
    info.help = "60-2, 36-2-2-2, 36+1, 24, or a list of angles";
    info.accepts_scalar_list = true;
    info.read = [](std::string_view text, const TextRules& rules,
                   void* out) -> std::optional<TextError> {
      auto wheel = read_wheel(text, rules);
      if (!wheel) return wheel.error();
      *static_cast<WheelText*>(out) = std::move(*wheel);
      return std::nullopt;
    };
    info.write = [](const void* value) { return static_cast<const WheelText*>(value)->text; };
    return info;
  }();
  return kInfo;
}

std::span<const FieldInfo> Description<SpeedText>::fields() {
  static const FieldInfo kFields[] = {
      field<&SpeedText::time>("time", "How long.", "6 s", kPositiveOnly),
      field<&SpeedText::from>("from", "Speed of the crankshaft at its start; 0 is a stand.",
                              "700 1/min", kNotNegative),
      field<&SpeedText::to>("to", "Speed at its end, where it differs.", "720 1/min", kNotNegative),
      field<&SpeedText::ripple>("ripple", "Amplitude of the change of the period by the firing.",
                                "3 %", {.bounds = between(0, 0.99)}),
      field<&SpeedText::firings>("firings",
                                 "Firing strokes in a cycle of 720 degrees; 4 if unsaid.", "4",
                                 {.bounds = between(1, 100)}),
      field<&SpeedText::ripple_phase>("ripple_phase", "Where in its period the ripple starts.",
                                      "0 deg"),
      field<&SpeedText::swing_back>("swing_back",
                                    "At a stand: the crankshaft rocks back by so much and returns.",
                                    "15 deg crank", kNotNegativeApart),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ShiftText>::fields() {
  static const FieldInfo kFields[] = {
      field<&ShiftText::angle>("angle", "By how much.", "7 deg crank", kNotNegative),
      field<&ShiftText::way>("way", "Which way the camshaft seems to stand.", "late"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<JumpText>::fields() {
  static const FieldInfo kFields[] = {
      field<&JumpText::time>("time", "When; from the start if unsaid.", "4 s", kNotNegative),
      field<&JumpText::teeth>("teeth", "Whole teeth of the cam sprocket.", "1",
                              {.bounds = between(1, 20)}),
      field<&JumpText::way>("way", "Which way the camshaft moves.", "late"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CommandText>::fields() {
  static const FieldInfo kFields[] = {
      field<&CommandText::time>("time", "When.", "2 s", kNotNegative),
      field<&CommandText::angle>("angle", "How far from its base.", "15 deg crank", kNotNegative),
      field<&CommandText::way>("way", "Which way from its base; early if unsaid.", "early"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<PhaserText>::fields() {
  static const FieldInfo kFields[] = {
      field<&PhaserText::commands>("commands", "Commands in order of time.",
                                   "{time: 6 s, angle: 0 deg crank}"),
      field<&PhaserText::dead_time>("dead_time", "From a command to the first motion; 50 ms.",
                                    "50 ms", kNotNegative),
      field<&PhaserText::slew_per_second>("slew_per_second",
                                          "Most that it moves in a second; 100 deg crank.",
                                          "100 deg crank", kPositiveOnly),
      field<&PhaserText::rated_slew_per_second>(
          "rated_slew_per_second",
          "What a sound one does: under half of it the truth file says slow.", "100 deg crank",
          kPositiveOnly),
      field<&PhaserText::damping>("damping", "Damping ratio; 80 %.", "80 %", kPositiveOnly),
      field<&PhaserText::frequency>("frequency", "Undamped frequency; 3.2 Hz.", "3.2 Hz",
                                    {.bounds = Bounds{0, 50, true}}),
      field<&PhaserText::stuck_from>("stuck_from",
                                     "Stands still from here on; from the start if only the end "
                                     "is said.",
                                     "3 s", kNotNegativeApart),
      field<&PhaserText::stuck_until>("stuck_until",
                                      "Until here; to the end if only the start is said.", "5 s",
                                      kNotNegativeApart),
  };
  return kFields;
}

std::span<const FieldInfo> Description<HuntingText>::fields() {
  static const FieldInfo kFields[] = {
      field<&HuntingText::amplitude>("amplitude", "To each side.", "2 deg crank", kNotNegative),
      field<&HuntingText::frequency>("frequency", "Swings in a second.", "0.8 Hz", kPositiveOnly),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ChatterText>::fields() {
  static const FieldInfo kFields[] = {
      field<&ChatterText::angle>("angle", "How far it is early of its base when loose.",
                                 "3 deg crank", kNotNegative),
      field<&ChatterText::chance>("chance", "Of letting go or catching, in each cycle.", "20 %",
                                  kChance),
  };
  return kFields;
}

std::span<const FieldInfo> Description<HallText>::fields() {
  static const FieldInfo kFields[] = {
      field<&HallText::low>("low", "Low level; 0.2 V.", "0.2 V"),
      field<&HallText::high>("high", "High level; 4.8 V.", "4.8 V"),
      field<&HallText::noise>("noise", "Standard deviation of its noise; none if unsaid.", "20 mV",
                              kNotNegative),
      field<&HallText::rise_time>("rise_time", "From one level to the other; 0 s.", "40 us",
                                  {.bounds = between(0, 0.01)}),
  };
  return kFields;
}

std::span<const FieldInfo> Description<InductiveText>::fields() {
  static const FieldInfo kFields[] = {
      field<&InductiveText::amplitude>("amplitude", "Peak at 1000 1/min; 2 V.", "2 V",
                                       kPositiveOnly),
      field<&InductiveText::noise>("noise", "Standard deviation of its noise; none if unsaid.",
                                   "10 mV", kNotNegative),
      field<&InductiveText::hum>("hum", "Amplitude of hum; none if unsaid.", "20 mV", kNotNegative),
      field<&InductiveText::hum_frequency>("hum_frequency", "Its frequency; 50 Hz.", "50 Hz",
                                           kPositiveOnly),
      field<&InductiveText::drift>("drift", "Amplitude of a slow drift (0.2 Hz) of the baseline.",
                                   "50 mV", kNotNegative),
      field<&InductiveText::bits>("bits", "Bits of the recorder over twice the full scale.", "12",
                                  {.bounds = between(2, 24)}),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CrankText>::fields() {
  static const FieldInfo kFields[] = {
      field<&CrankText::wheel>("wheel",
                               "Slots less the missing ones, or the angle of every tooth; 0 is "
                               "the first tooth after the gap.",
                               "60-2"),
      field<&CrankText::tooth_widths>("tooth_widths",
                                      "From the rising to the falling edge; one for all, or one "
                                      "each. Half a slot if unsaid.",
                                      "[3 deg crank]"),
      field<&CrankText::signal>("signal", "Kind of sensor; logic if unsaid.", "hall"),
      field<&CrankText::hall>("hall", "Levels, where it is a hall sensor.", ""),
      field<&CrankText::inductive>("inductive", "Wave, where it is a coil.", "", kApart),
      field<&CrankText::tooth_error>("tooth_error",
                                     "Standard deviation of the teeth's places, the same every "
                                     "turn.",
                                     "0.02 deg crank", kNotNegative),
      field<&CrankText::jitter>("jitter", "Standard deviation of each edge; not of a coil.",
                                "0.03 deg crank", kNotNegative),
      field<&CrankText::slip>("slip", "The wheel sits wrong: every camshaft seems to stand so.",
                              ""),
      field<&CrankText::dead_teeth>("dead_teeth",
                                    "Teeth that are never seen, counted from 1, the first after "
                                    "the gap.",
                                    "[17]"),
      field<&CrankText::inverted>("inverted", "High and low exchanged.", "no"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CamText>::fields() {
  static const FieldInfo kFields[] = {
      field<&CamText::name>("name", "Name.", "intake"),
      field<&CamText::targets>("targets",
                               "Rising edges in the cycle of 720 degrees when all is right.",
                               "[57.3 deg crank, 240.5 deg crank, 310.2 deg crank]"),
      field<&CamText::widths>("widths",
                              "To the falling edge; one for all, or one each. 20 deg "
                              "crank if unsaid.",
                              "[20 deg crank, 35 deg crank, 20 deg crank]"),
      field<&CamText::sprocket_teeth>("sprocket_teeth", "Teeth of its sprocket.", "38",
                                      {.bounds = between(8, 200)}),
      field<&CamText::signal>("signal", "Kind of sensor, logic or hall; logic if unsaid.", "hall"),
      field<&CamText::hall>("hall", "Levels, where it is a hall sensor.", ""),
      field<&CamText::slip>("slip", "Its sensor wheel sits wrong.", ""),
      field<&CamText::jumps>("jumps", "Jumps of the chain.", ""),
      field<&CamText::elongation>("elongation", "Late by elongation, at the start.",
                                  "2.4 deg crank", kNotNegative),
      field<&CamText::elongation_per_second>("elongation_per_second",
                                             "Growing by so much in a second.", "0.01 deg crank",
                                             kNotNegative),
      field<&CamText::phaser>("phaser", "Its phaser.", ""),
      field<&CamText::hunting>("hunting", "Its phaser hunts.", ""),
      field<&CamText::chatter>("chatter", "Its lock pin chatters.", ""),
      field<&CamText::jitter>("jitter", "Standard deviation of each edge.", "0.05 deg crank",
                              kNotNegative),
      field<&CamText::delay>("delay", "Of its channel.", "20 us"),
      field<&CamText::inverted>("inverted", "High and low exchanged.", "no"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<FaultsText>::fields() {
  static const FieldInfo kFields[] = {
      field<&FaultsText::dropped>("dropped", "Chance that a pulse is missing.", "0 %", kChance),
      field<&FaultsText::extra>("extra", "Chance of a pulse too many per crank tooth.", "0 %",
                                kChance),
      field<&FaultsText::doubled>("doubled", "Chance that an edge bounces once, 1 to 50 us apart.",
                                  "0 %", kChance),
  };
  return kFields;
}

std::span<const FieldInfo> Description<OutputText>::fields() {
  static const FieldInfo kFields[] = {
      field<&OutputText::format>("format",
                                 "By the ending of the file if unsaid: .wav, .vcd, .csv (sampled "
                                 "where a sensor is hall or inductive).",
                                 "sampled csv"),
      field<&OutputText::sample_rate>("sample_rate",
                                      "Samples in a second; without it edges keep their exact "
                                      "time.",
                                      "48 kHz", kPositiveOnly),
      field<&OutputText::full_scale>("full_scale", "Largest voltage of a sound file; 10 V.", "10 V",
                                     kPositiveOnly),
  };
  return kFields;
}

std::span<const FieldInfo> Description<SynthesisSpec>::fields() {
  static const FieldInfo kFields[] = {
      field<&SynthesisSpec::tautmark>("tautmark", "Format and version; always the first line.",
                                      "synthesis/1"),
      field<&SynthesisSpec::title>("title", "What it shows.", "Exercise 3"),
      field<&SynthesisSpec::seed>("seed", "Chooses the chances; 1 if unsaid.", "1",
                                  {.bounds = between(0, 2147483647)}),
      field<&SynthesisSpec::output>("output", "How it is written.", ""),
      field<&SynthesisSpec::crank>("crank", "The crankshaft's sensor wheel.", ""),
      field<&SynthesisSpec::speed>("speed", "Speeds, one after the other.",
                                   "{time: 1 s, from: 720 1/min, to: 0 1/min}"),
      field<&SynthesisSpec::cams>("cams", "The camshafts.", ""),
      field<&SynthesisSpec::faults>("faults", "Faults of wiring and sensors.", ""),
  };
  return kFields;
}

}  // namespace tautmark
