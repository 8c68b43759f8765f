// SPDX-License-Identifier: Apache-2.0
#include "recording/synthesis_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.h"
#include "recording/read.h"

namespace tautmark {
namespace {

constexpr double kForever = std::numeric_limits<double>::infinity();

template <class Q>
double si_or(const std::optional<Written<Q>>& written, double otherwise) {
  return written ? written->value.si() : otherwise;
}
double degrees_or(const std::optional<Written<CrankAngle>>& written, double otherwise) {
  return written ? in_crank_deg(written->value) : otherwise;
}
double signed_degrees(const Written<CrankAngle>& angle, Way way) {
  return (way == Way::late ? -1 : 1) * in_crank_deg(angle.value);
}

// Turns one file into a plan; mistakes are collected.
class Planner {
 public:
  Planner(SynthesisPlan& plan, const Places& places, Diagnostics& diagnostics)
      : plan_(plan), spec_(plan.spec), places_(places), diagnostics_(diagnostics) {}

  void run(const std::string& to) {
    read_crank();
    if (spec_.cams.size() >= kMostChannels)
      return wrong("cams", fmt::format("at most {} camshafts", kMostChannels - 1));
    for (std::size_t i = 0; i < spec_.cams.size(); ++i) read_cam(i);
    if (spec_.speed.empty()) wrong("speed", "no speed", "speed: [{time: 6 s, from: 700 1/min}]");
    for (const SpeedText& text : spec_.speed) plan_.engine.speed.push_back(piece(text));
    if (spec_.seed) plan_.engine.seed = static_cast<std::uint64_t>(*spec_.seed);
    read_faults();
    read_output(to);
  }

 private:
  void wrong(const std::string& path, std::string message, std::string hint = {}) {
    if (places_.failed(path)) return;
    add_diagnostic(diagnostics_,
                   {Severity::error, places_.at(path), std::move(message), std::move(hint), {}});
  }

  std::vector<double> degrees(const WrittenList& list, const std::string& path) {
    std::vector<double> angles;
    if (!list.value.values.empty() && list.value.kind != Kind::crank_angle)
      wrong(path, fmt::format("crank angles are wanted here, not a {}", kind_name(list.value.kind)),
            "57.3 deg crank");
    for (const AnyQuantity& q : list.value.values)
      angles.push_back(in_crank_deg(CrankAngle::from_si(q.si)));
    return angles;
  }

  void check_angles(const std::vector<double>& angles, double limit, const std::string& path) {
    for (std::size_t i = 0; i < angles.size(); ++i)
      if (!(angles[i] >= 0 && angles[i] < limit) || (i > 0 && !(angles[i] > angles[i - 1])))
        return wrong(path, fmt::format("angles must grow from one to the next, from 0 on and "
                                       "below {:g} deg crank",
                                       limit));
  }

  // One for all, or one each.
  std::vector<double> widths(const std::optional<WrittenList>& list, std::size_t count,
                             double otherwise, const std::string& path) {
    std::vector<double> widths = list ? degrees(*list, path) : std::vector<double>{otherwise};
    if (widths.size() == 1) widths.resize(count, widths.front());
    if (widths.size() != count)
      wrong(path, fmt::format("{} widths; one for all is wanted, or {}", widths.size(), count));
    for (const double w : widths)
      if (!(w > 0)) wrong(path, "a width must be more than 0 deg crank");
    return widths;
  }

  HallSignal hall(const std::optional<HallText>& text, SensorSignal kind, const std::string& path) {
    HallSignal hall;
    if (!text) return hall;
    if (kind != SensorSignal::hall)
      wrong(path, fmt::format("levels of a hall sensor, but the signal is {}", choice_name(kind)),
            "signal: hall");
    hall.low = si_or(text->low, hall.low);
    hall.high = si_or(text->high, hall.high);
    hall.noise = si_or(text->noise, hall.noise);
    hall.rise_time = si_or(text->rise_time, hall.rise_time);
    if (!(hall.high > hall.low)) wrong(path, "the high level must be above the low one");
    return hall;
  }

  void read_crank() {
    const CrankText& crank = spec_.crank;
    Synthesis& in = plan_.engine;
    in.crank_teeth = crank.wheel.angles;
    check_angles(in.crank_teeth, 360, "crank.wheel");
    double pitch = 360;
    for (std::size_t k = 1; k < in.crank_teeth.size(); ++k)
      pitch = std::min(pitch, in.crank_teeth[k] - in.crank_teeth[k - 1]);
    in.crank_widths =
        widths(crank.tooth_widths, in.crank_teeth.size(), pitch / 2, "crank.tooth_widths");
    in.tooth_error = degrees_or(crank.tooth_error, 0);
    in.crank_jitter = degrees_or(crank.jitter, 0);
    for (const int tooth : crank.dead_teeth) {
      if (tooth < 1 || tooth > static_cast<int>(in.crank_teeth.size()))
        wrong("crank.dead_teeth",
              fmt::format("no tooth {}: the wheel has {}", tooth, in.crank_teeth.size()));
      in.faults.dead_teeth.push_back(tooth - 1);
    }
    in.faults.inverted = crank.inverted.value_or(false);
    const SensorSignal kind = crank.signal.value_or(SensorSignal::logic);
    plan_.signals.push_back({kind, hall(crank.hall, kind, "crank.hall")});
    plan_.names.emplace_back("crank");
    read_inductive(crank, kind);
  }

  void read_inductive(const CrankText& crank, SensorSignal kind) {
    if (kind != SensorSignal::inductive) {
      if (crank.inductive)
        wrong("crank.inductive",
              fmt::format("the wave of a coil, but the signal is {}", choice_name(kind)),
              "signal: inductive");
      return;
    }
    // The wave is a function of the angle alone.
    if (crank.jitter)
      wrong("crank.jitter", "a coil's wave has no jitter", "inductive: {noise: 10 mV}");
    if (crank.tooth_widths) wrong("crank.tooth_widths", "a coil's wave has no widths of teeth");
    if (!crank.inductive) return;
    InductiveSignal& signal = plan_.inductive;
    const InductiveText& text = *crank.inductive;
    signal.amplitude = si_or(text.amplitude, signal.amplitude);
    signal.noise = si_or(text.noise, signal.noise);
    signal.hum = si_or(text.hum, signal.hum);
    signal.hum_frequency = si_or(text.hum_frequency, signal.hum_frequency);
    signal.drift = si_or(text.drift, signal.drift);
    signal.bits = text.bits.value_or(0);
  }

  void read_cam(std::size_t index) {
    const CamText& text = spec_.cams[index];
    const std::string path = fmt::format("cams[{}]", index);
    if (std::find(plan_.names.begin(), plan_.names.end(), text.name) != plan_.names.end())
      wrong(path + ".name", fmt::format("a second channel named \"{}\"", text.name));
    if (text.name.find_first_of(",;\t\n") != std::string::npos)
      wrong(path + ".name", "a name heads a column: no comma, semicolon or tab");
    plan_.names.push_back(text.name);
    SynthCam& cam = plan_.engine.cams.emplace_back();
    cam.targets = degrees(text.targets, path + ".targets");
    check_angles(cam.targets, 720, path + ".targets");
    cam.widths = widths(text.widths, cam.targets.size(), cam.width, path + ".widths");
    cam.teeth = text.sprocket_teeth;
    if (text.slip) cam.offset += signed_degrees(text.slip->angle, text.slip->way);
    if (const auto& slip = spec_.crank.slip) cam.offset += signed_degrees(slip->angle, slip->way);
    for (const JumpText& jump : text.jumps)
      cam.jumps.push_back({si_or(jump.time, 0), (jump.way == Way::late ? -1 : 1) * jump.teeth});
    cam.elongation = degrees_or(text.elongation, 0);
    cam.elongation_rate = degrees_or(text.elongation_per_second, 0);
    if (text.phaser) read_phaser(*text.phaser, cam.phaser, path + ".phaser");
    if (text.hunting) {
      cam.hunting = in_crank_deg(text.hunting->amplitude.value);
      cam.hunting_frequency = text.hunting->frequency.value.si();
    }
    if (text.chatter) {
      cam.chatter = in_crank_deg(text.chatter->angle.value);
      cam.chatter_chance = text.chatter->chance.value.si();
    }
    cam.jitter = degrees_or(text.jitter, 0);
    cam.delay = si_or(text.delay, 0);
    cam.inverted = text.inverted.value_or(false);
    const SensorSignal kind = text.signal.value_or(SensorSignal::logic);
    if (kind == SensorSignal::inductive)
      wrong(path + ".signal", "a cam's signal is logic or hall here", "signal: hall");
    plan_.signals.push_back({kind, hall(text.hall, kind, path + ".hall")});
  }

  void read_phaser(const PhaserText& text, SynthPhaser& phaser, const std::string& path) {
    for (const CommandText& command : text.commands) {
      const double time = command.time.value.si();
      if (!phaser.commands.empty() && !(time > phaser.commands.back().time))
        wrong(path + ".commands", "commands stand in order of time");
      phaser.commands.push_back(
          {time, signed_degrees(command.angle, command.way.value_or(Way::early))});
    }
    phaser.dead_time = si_or(text.dead_time, phaser.dead_time);
    phaser.slew = degrees_or(text.slew_per_second, phaser.slew);
    phaser.damping = si_or(text.damping, phaser.damping);
    if (text.frequency) phaser.frequency = 2 * std::numbers::pi * text.frequency->value.si();
    if (!text.stuck_from && !text.stuck_until) return;
    phaser.stuck_from = si_or(text.stuck_from, 0);
    phaser.stuck_until = si_or(text.stuck_until, kForever);
  }

  static SpeedPiece piece(const SpeedText& text) {
    SpeedPiece piece;
    piece.duration = text.time.value.si();
    piece.from = in_per_min(text.from.value);
    piece.to = text.to ? in_per_min(text.to->value) : piece.from;
    piece.ripple = si_or(text.ripple, 0);
    if (text.firings) piece.order = *text.firings / 2.0;
    piece.phase = si_or(text.ripple_phase, 0);
    piece.swing_back = degrees_or(text.swing_back, 0);
    return piece;
  }

  void read_faults() {
    if (!spec_.faults) return;
    SynthFaults& faults = plan_.engine.faults;
    faults.dropped = si_or(spec_.faults->dropped, 0);
    faults.extra = si_or(spec_.faults->extra, 0);
    faults.doubled = si_or(spec_.faults->doubled, 0);
    if (plan_.signals.front().kind == SensorSignal::inductive &&
        faults.dropped + faults.extra + faults.doubled > 0)
      wrong("faults", "pulses are not lost or doubled in a coil's wave",
            "use a crank signal of logic or hall, or dead_teeth");
  }

  void read_output(const std::string& to) {
    const OutputText output = spec_.output.value_or(OutputText{});
    plan_.sample_rate = si_or(output.sample_rate, 0);
    plan_.full_scale = si_or(output.full_scale, plan_.full_scale);
    const auto* coarse =
        std::find_if(plan_.signals.data(), plan_.signals.data() + plan_.signals.size(),
                     [](const ChannelSignal& s) { return s.kind != SensorSignal::logic; });
    const bool volts = coarse != plan_.signals.data() + plan_.signals.size();
    const std::string name = lower_ascii(to);
    if (output.format)
      plan_.format = *output.format;
    else if (name.ends_with(".wav"))
      plan_.format = WrittenFormat::wav;
    else if (name.ends_with(".vcd"))
      plan_.format = WrittenFormat::vcd;
    else
      plan_.format = volts ? WrittenFormat::sampled_csv : WrittenFormat::event_csv;
    const bool samples =
        plan_.format == WrittenFormat::sampled_csv || plan_.format == WrittenFormat::wav;
    if (!samples && volts) {
      const auto channel = coarse - plan_.signals.data();
      wrong(channel == 0 ? "crank.signal" : fmt::format("cams[{}].signal", channel - 1),
            fmt::format("{} holds edges only; a {} signal needs samples", choice_name(plan_.format),
                        choice_name(coarse->kind)),
            "output: {format: sampled csv, sample_rate: 48 kHz}");
    }
    if (samples && plan_.sample_rate == 0)
      wrong("output", fmt::format("{} needs a sample_rate", choice_name(plan_.format)),
            "sample_rate: 48 kHz");
    if (plan_.format == WrittenFormat::wav && plan_.sample_rate != std::floor(plan_.sample_rate))
      wrong("output.sample_rate", "a sound file has whole samples in a second");
    // Samples round by themselves.
    plan_.engine.sample_rate = samples ? 0 : plan_.sample_rate;
    plan_.inductive.sample_rate = plan_.sample_rate;
    plan_.inductive.full_scale = plan_.full_scale;
  }

  SynthesisPlan& plan_;
  const SynthesisSpec& spec_;
  const Places& places_;
  Diagnostics& diagnostics_;
};

}  // namespace

Parsed<SynthesisPlan> read_synthesis(const TextFileRef& file, const std::string& to) {
  const auto node = parse_tree(file);
  if (!node) return tl::unexpected(node.error());
  Diagnostics diagnostics;
  // A file of another format would only give mistakes that are none.
  if (const Node* format = node->find("tautmark");
      format != nullptr && format->text != "synthesis/1") {
    diagnostics.push_back(error_at(*format,
                                   fmt::format("\"{}\" is not a synthesis file", format->text),
                                   "the first line of a synthesis file is: tautmark: synthesis/1"));
    return tl::unexpected(diagnostics);
  }
  SynthesisPlan plan;
  Places places;
  ReadContext context;
  context.diagnostics = &diagnostics;
  context.places = &places;
  read_record(*node, plan.spec, context);
  if (!has_errors(diagnostics)) Planner(plan, places, diagnostics).run(to);
  if (!has_errors(diagnostics)) return plan;
  sort_by_place(diagnostics);
  return tl::unexpected(diagnostics);
}

}  // namespace tautmark
