// SPDX-License-Identifier: Apache-2.0
// A recording to be made, as a person writes it (`synthesis/1`): every quantity as text with its
// unit, angles in crank degrees, directions in words. Described like every other file
// (base/fields.h); the fields themselves are listed in synthesis_fields.cc.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/fields.h"
#include "base/written.h"

namespace tautmark {

enum class Way { early, late };
enum class SensorSignal { logic, hall, inductive };
enum class WrittenFormat { event_csv, sampled_csv, wav, vcd };

// "60-2": 60 even slots, 2 of them empty before the zero. "36-2-2-2": gaps evenly about the turn,
// the first before the zero; "36-2-1" likewise, the second half a turn on. "36+1": a tooth more,
// half a slot before the zero. "24": none missing. Or the angles one by one.
struct WheelText {
  std::string text;
  std::vector<double> angles;  // crank degrees in [0, 360), increasing
  bool operator==(const WheelText& other) const { return text == other.text; }
};
FromText<WheelText> read_wheel(std::string_view text, const TextRules& rules = {});

struct SpeedText {
  Written<Time> time;
  Written<RotationalSpeed> from;
  std::optional<Written<RotationalSpeed>> to;
  std::optional<Written<Ratio>> ripple;
  std::optional<int> firings;
  std::optional<Written<Angle>> ripple_phase;
  std::optional<Written<CrankAngle>> swing_back;
};
struct ShiftText {
  Written<CrankAngle> angle;
  Way way{};
};
struct JumpText {
  std::optional<Written<Time>> time;
  int teeth = 0;
  Way way{};
};
struct CommandText {
  Written<Time> time;
  Written<CrankAngle> angle;
  std::optional<Way> way;
};
struct PhaserText {
  std::vector<CommandText> commands;
  std::optional<Written<Time>> dead_time;
  std::optional<Written<CrankAngle>> slew_per_second, rated_slew_per_second;
  std::optional<Written<Ratio>> damping;
  std::optional<Written<Frequency>> frequency;
  std::optional<Written<Time>> stuck_from, stuck_until;
};
struct HuntingText {
  Written<CrankAngle> amplitude;
  Written<Frequency> frequency;
};
struct ChatterText {
  Written<CrankAngle> angle;
  Written<Ratio> chance;
};
struct HallText {
  std::optional<Written<Voltage>> low, high, noise;
  std::optional<Written<Time>> rise_time;
};
struct InductiveText {
  std::optional<Written<Voltage>> amplitude, noise, hum, drift;
  std::optional<Written<Frequency>> hum_frequency;
  std::optional<int> bits;
};
struct CrankText {
  WheelText wheel;
  std::optional<WrittenList> tooth_widths;
  std::optional<SensorSignal> signal;
  std::optional<HallText> hall;
  std::optional<InductiveText> inductive;
  std::optional<Written<CrankAngle>> tooth_error, jitter;
  std::optional<ShiftText> slip;
  std::vector<int> dead_teeth;  // from 1
  std::optional<bool> inverted;
};
struct CamText {
  std::string name;
  WrittenList targets;
  std::optional<WrittenList> widths;
  int sprocket_teeth = 0;
  std::optional<SensorSignal> signal;
  std::optional<HallText> hall;
  std::optional<ShiftText> slip;
  std::vector<JumpText> jumps;
  std::optional<Written<CrankAngle>> elongation, elongation_per_second;
  std::optional<PhaserText> phaser;
  std::optional<HuntingText> hunting;
  std::optional<ChatterText> chatter;
  std::optional<Written<CrankAngle>> jitter;
  std::optional<Written<Time>> delay;
  std::optional<bool> inverted;
};
struct FaultsText {
  std::optional<Written<Ratio>> dropped, extra, doubled;
};
struct OutputText {
  std::optional<WrittenFormat> format;
  std::optional<Written<Frequency>> sample_rate;
  std::optional<Written<Voltage>> full_scale;
};
struct SynthesisSpec {
  std::string tautmark;
  std::optional<std::string> title;
  std::optional<int> seed;
  std::optional<OutputText> output;
  CrankText crank;
  std::vector<SpeedText> speed;
  std::vector<CamText> cams;
  std::optional<FaultsText> faults;
};

template <>
struct ChoiceNames<Way> {
  static constexpr std::string_view names[] = {"early", "late"};
};
template <>
struct ChoiceNames<SensorSignal> {
  static constexpr std::string_view names[] = {"logic", "hall", "inductive"};
};
template <>
struct ChoiceNames<WrittenFormat> {
  static constexpr std::string_view names[] = {"event csv", "sampled csv", "wav", "vcd"};
};
template <>
struct TypeOf<WheelText> {
  static const TypeInfo& get();
};

#define TAUTMARK_DESCRIBE(type, called, says)        \
  template <>                                        \
  struct Description<type> {                         \
    static constexpr std::string_view name = called; \
    static constexpr std::string_view help = says;   \
    static std::span<const FieldInfo> fields();      \
  };
TAUTMARK_DESCRIBE(SpeedText, "speed", "The speed over a time: steady, a ramp, or at a stand.")
TAUTMARK_DESCRIBE(ShiftText, "slip", "A sensor wheel that sits wrong on its shaft.")
TAUTMARK_DESCRIBE(JumpText, "jump", "A chain that jumps on the cam sprocket.")
TAUTMARK_DESCRIBE(CommandText, "command", "Where the phaser is told to go.")
TAUTMARK_DESCRIBE(PhaserText, "phaser",
                  "A phaser: second order, limited in speed, after a dead time.")
TAUTMARK_DESCRIBE(HuntingText, "hunting", "A phaser that swings about its place.")
TAUTMARK_DESCRIBE(ChatterText, "chatter", "A lock pin that lets go and catches, cycle by cycle.")
TAUTMARK_DESCRIBE(HallText, "hall",
                  "Two levels with noise and flanks; the edge is half way up or down.")
TAUTMARK_DESCRIBE(InductiveText, "inductive",
                  "A coil: the voltage grows with speed and falls through zero at each tooth's "
                  "angle.")
TAUTMARK_DESCRIBE(CrankText, "crank", "The sensor wheel of the crankshaft, channel 1.")
TAUTMARK_DESCRIBE(CamText, "cam", "A camshaft and its sensor wheel; channels 2, 3, ...")
TAUTMARK_DESCRIBE(FaultsText, "faults", "Faults of wiring and sensors, on every channel.")
TAUTMARK_DESCRIBE(OutputText, "output", "How it is written.")
TAUTMARK_DESCRIBE(SynthesisSpec, "synthesis", "A recording with known truth.")
#undef TAUTMARK_DESCRIBE

}  // namespace tautmark
