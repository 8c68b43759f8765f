// SPDX-License-Identifier: Apache-2.0
#include "judge/recording_meaning.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/text.h"
#include "drive/places.h"
#include "judge/verdict.h"
#include "recording/evidence.h"

namespace tautmark {
namespace {

constexpr double kToothSpacing = 0.1;  // degrees, standard
constexpr int kFewestCycles = 8;       // signals.md 8: "confidence needs"
constexpr int kFewestToFail = 3;
constexpr double kUnsteady = 1.0, kHunting = 3.0;  // degrees: jitter, peak to peak (signals.md 8)
constexpr double kSameWheel = 2;                   // degrees: how far its teeth may be apart
constexpr double kNextPlace = 90;                  // degrees: nearer than this is no other engine

const Phaser* phaser_of(const Drive& drive, std::string_view cam) {
  const std::vector<EnginePlace> places = places_of(drive);
  const EnginePlace* place = find_place(places, cam);
  return place != nullptr && place->camshaft != nullptr && place->camshaft->phaser
             ? &*place->camshaft->phaser
             : nullptr;
}

double peak_to_peak(const CamPhase& phase) {
  double least = 1e300, most = -1e300;
  for (const CyclePhase& cycle : phase.cycles) {
    least = std::min(least, cycle.psi);
    most = std::max(most, cycle.psi);
  }
  return phase.cycles.empty() ? 0 : most - least;
}

// What no position of the phaser explains stands whatever the phaser did.
bool beyond_phaser(const Drive& drive, const CamMeaning& cam) {
  const auto travel = cam_of_drive(drive, cam.cam);
  if (!travel || !travel->travel_from || !cam.window) return false;
  const double reach = *cam.window + cam.U;
  return cam.found->phase < *travel->travel_from - reach ||
         cam.found->phase > *travel->travel_to + reach;
}

std::string phaser_words(const Drive& drive, const CamMeaning& cam, PhasersAt phasers) {
  if (phasers == PhasersAt::commanded)
    return "its phaser was commanded, and the edges hold for its base";
  return fmt::format("nobody said that its phaser is at its base{}",
                     phaser_of(drive, cam.cam) == nullptr ? ", or that it has none" : "");
}

// Why a window cannot be judged whatever the number is; empty: it can.
std::string not_judged(const Drive& drive, const Decoded& decoded, const CamMeaning& cam,
                       PhasersAt phasers, bool contradicted) {
  if (contradicted) return "the recording contradicts the definition";
  if (!decoded.cycle_resolved) return "angles are known modulo 360° only";
  if (!cam.window) return "the drive gives no window";
  if (phasers == PhasersAt::commanded ||
      (phasers == PhasersAt::unknown && !beyond_phaser(drive, cam)))
    return phaser_words(drive, cam, phasers);
  if (cam.found->cycles < kFewestToFail)
    return fmt::format("{} cycles; {} are needed", cam.found->cycles, kFewestCycles);
  return {};
}

// What the window's origin allows; the numbers have said that it is inside.
std::string origin_forbids(const LoadedDrive& drive, const CamSensor& sensor) {
  const double window = sensor.window->value.si();
  WrittenAnyRange range;
  range.value = {Kind::crank_angle, -window, window, &default_unit(Kind::crank_angle), 1};
  const LimitInUse limit = limit_from(range, sensor.source, &drive);
  if (!can_carry_pass(limit.origin))
    return fmt::format("inside, but the window is {} and cannot carry a pass",
                       limit.origin == Origin::unknown ? "of no stated origin"
                                                       : std::string(origin_text(limit.origin)));
  return limit.source.empty() ? "inside, but no document is named for the window" : "";
}

void decide_window(CamMeaning& cam, const LoadedDrive& drive, const CamSensor& sensor,
                   const Decoded& decoded) {
  const auto decision = decide({cam.found->phase, cam.U / 2}, {-*cam.window, *cam.window}, kLevel);
  if (!decision)
    cam.open_because = decision.error().why;
  else if (decision->conformity == Conformity::fail)
    cam.verdict = Verdict::fail;
  else if (decision->conformity != Conformity::pass)
    cam.open_because = fmt::format("too close to call: known to ± {:.1f}°", cam.U);
  else
    cam.open_because = pass_forbidden(decoded, *cam.found);
  if (decision && decision->conformity == Conformity::pass && cam.open_because.empty())
    cam.open_because = origin_forbids(drive, sensor);
  if (decision && decision->conformity == Conformity::pass && cam.open_because.empty())
    cam.verdict = Verdict::pass;
}

std::string window_words(const CamMeaning& cam) {
  const std::string phase = phase_words(cam.found->phase);
  if (!cam.window) return phase + " of the definition";
  const bool inside = std::abs(cam.found->phase) <= *cam.window;
  return fmt::format("{}: {} ± {:.1f}° of the definition", phase, inside ? "inside" : "outside",
                     *cam.window);
}

CamMeaning cam_meaning(const LoadedDrive& drive, const Decoded& decoded,
                       const CamAgainstNominal& found, PhasersAt phasers, bool contradicted) {
  CamMeaning cam;
  cam.cam = found.cam;
  cam.found = found;
  const CamSensor& sensor = *cam_sensor_of(drive.drive, found.cam);
  cam.U = 2 * phase_uncertainty(sensor, found);
  if (sensor.window) cam.window = in_crank_deg(sensor.window->value);
  cam.says = contradicted ? "not held against the window" : window_words(cam);
  cam.open_because = not_judged(drive.drive, decoded, cam, phasers, contradicted);
  if (cam.open_because.empty() && drive.unconfirmed.contains(std::string(topic::kSensorEdges)))
    cam.open_because = "the variant took its sensor edges over without confirming them";
  if (cam.open_because.empty()) decide_window(cam, drive, sensor, decoded);
  return cam;
}

const DecodedCam* cam_of(const Decoded& decoded, int channel, int polarity) {
  for (const DecodedCam& cam : decoded.cams)
    if (cam.channel == channel && cam.polarity == polarity) return &cam;
  return nullptr;
}

// How far b's edges lie after a's, the turn of the wheel that fits best and moves least; nothing
// where the wheels differ.
std::optional<double> same_wheel(const DecodedCam& a, const DecodedCam& b, double cycle) {
  const std::vector<double>&from = a.places.angles, &to = b.places.angles;
  if (from.size() != to.size() || from.size() < 2) return std::nullopt;
  std::optional<double> best;
  for (std::size_t turn = 0; turn < from.size(); ++turn) {
    const double first = wrapped(to[turn] - from[0], cycle);
    double sum = 0, most = 0;
    for (std::size_t i = 0; i < from.size(); ++i) {
      const double off = wrapped(to[(i + turn) % to.size()] - from[i] - first, cycle);
      sum += off;
      most = std::max(most, std::abs(off));
    }
    const double late = first + sum / static_cast<double>(from.size());
    if (most < kSameWheel && (!best || std::abs(late) < std::abs(*best))) best = late;
  }
  return best;
}

// Bank against bank: all that can be said without edges known to be right.
void compare_cams(const Decoded& decoded, RecordingMeaning& out) {
  std::set<int> channels;
  for (const DecodedCam& cam : decoded.cams) channels.insert(cam.channel);
  for (const int a : channels)
    for (const int b : channels) {
      const DecodedCam *first = cam_of(decoded, a, 1), *second = cam_of(decoded, b, 1);
      if (a >= b || first == nullptr || second == nullptr) continue;
      const auto late = same_wheel(*first, *second, decoded.cycle);
      if (!late) continue;
      out.notes.push_back(fmt::format(
          "channels {} and {} have the same wheel; the edges of channel {} come {:.1f}° "
          "(crank), {:.1f}° cam {} those of channel {}: hold that against a good engine",
          a, b, b, std::abs(*late), std::abs(*late) / 2, *late < 0 ? "before" : "after", a));
    }
}

// An inverted channel moves all its edges by the width of the teeth.
void say_inverted(const Decoded& decoded, const Nominals& nominals, RecordingMeaning& out) {
  Nominals other = nominals;
  for (NominalCam& cam : other.cams) {
    for (const CamMeaning& known : out.cams)
      if (known.found && known.cam == cam.cam) cam.channel = known.found->channel;
    for (NominalEdge& edge : cam.edges) edge.polarity = -edge.polarity;
  }
  const auto inverted = against_nominals(decoded, other);
  if (!inverted) return;
  for (const CamMeaning& cam : out.cams)
    for (const CamAgainstNominal& as : inverted->cams)
      if (cam.found && cam.window && cam.cam == as.cam && as.channel == cam.found->channel &&
          std::abs(cam.found->phase) > *cam.window && std::abs(as.phase) <= *cam.window)
        out.notes.push_back(
            fmt::format("if channel {} is inverted, {} would be {}: make sure of its polarity",
                        as.channel, cam.cam, phase_words(as.phase)));
}

void weigh(const Drive& drive, PhasersAt phasers, const AgainstNominals& found, const Wheel& wheel,
           RecordingMeaning& out) {
  if (phasers == PhasersAt::commanded) {
    out.notes.emplace_back(
        "a phaser was commanded: what the phases mean is weighed with every phaser at its base "
        "only");
    return;
  }
  auto evidence = evidence_of(drive, found);
  if (evidence)
    for (PhaseEvidence& cam : *evidence) cam.phaser_at_base = at_base(phasers);
  const auto report = evidence ? weigh_meanings(*evidence, kDefaultPriors, common_angles(wheel))
                               : Result<MeaningReport>(tl::make_unexpected(evidence.error()));
  if (!report) {
    out.notes.push_back("what the phases mean cannot be weighed: " + report.error().why);
    return;
  }
  out.hypotheses = *report;
  if (phasers == PhasersAt::unknown)
    out.notes.emplace_back(
        "the meanings take every phaser for being at its base, which nobody said: record with the "
        "phasers locked, or say --phasers base");
  if (found.cams.size() == 1)
    out.notes.emplace_back(
        "one camshaft alone: the other camshafts of the engine would tell wear from a jump");
}

void open(CamMeaning& cam, std::string because) {
  cam.verdict = Verdict::open;
  cam.open_because = std::move(because);
}

// What changed inside the recording and stayed.
void say_change(const CamMeaning& cam, RecordingMeaning& out) {
  if (cam.found->change == 0) return;
  out.notes.push_back(
      fmt::format("{} moved by {:.1f}° {} (crank), {:.1f}° cam at {:.2f} s and stayed; what is "
                  "said of it holds "
                  "for what came after",
                  cam.cam, std::abs(cam.found->change), cam.found->change > 0 ? "earlier" : "later",
                  std::abs(cam.found->change) / 2, cam.found->change_time));
}

}  // namespace

double phase_uncertainty(const CamSensor& sensor, const CamAgainstNominal& found) {
  double nominal = 0;
  if (sensor.engines)
    nominal = (sensor.spread ? in_crank_deg(sensor.spread->value) : kUsualSpread) /
              std::sqrt(*sensor.engines);
  return std::hypot(std::hypot(found.statistical, found.detail.systematic),
                    std::hypot(kToothSpacing, nominal));
}

std::string pass_forbidden(const Decoded& decoded, const CamAgainstNominal& found) {
  if (const double zeros = 360.0 / std::max(1, decoded.crank.wheel.symmetry); zeros < kNextPlace)
    return fmt::format(
        "the crank's wheel repeats every {:.0f}°: a tooth that all cams jumped hides in that",
        zeros);
  if (found.cycles < kFewestCycles)
    return fmt::format("{} cycles; {} are needed", found.cycles, kFewestCycles);
  if (found.jitter > kUnsteady || peak_to_peak(found.detail) > kHunting)
    return fmt::format("it does not hold still: {:.1f}° peak to peak", peak_to_peak(found.detail));
  if (found.other_places != 0 && std::abs(found.other_places) < kNextPlace)
    return fmt::format("with the next tooth of its wheel it would be {}",
                       phase_words(found.other_places));
  return {};
}

Result<Decoded> decode_by_drive(const SignalTrains& trains, const Nominals& nominals) {
  DecodeOptions options = decode_options(nominals);
  auto decoded = decode_recording(trains, options);
  if (decoded || options.crank_polarity == 0) return decoded;
  options.crank_polarity = 0;
  auto other = decode_recording(trains, options);
  return other ? other : decoded;
}

std::string signal_doubt(std::span<const HealthFinding> health, const Decoded& decoded,
                         int channel) {
  for (const HealthFinding& finding : health)
    if (finding.severity == HealthSeverity::bad &&
        (finding.channel == 0 || finding.channel == channel ||
         finding.channel == decoded.crank.channel))
      return finding.words;
  return {};
}

bool is_harmless(const MeaningReport& report) {
  const Meaning first = report.answers.front().meaning;
  return !report.none_fits && (first == Meaning::right || first == Meaning::elongation);
}

RecordingMeaning meaning_of(const LoadedDrive& drive, const Decoded& decoded,
                            const Nominals& nominals, PhasersAt phasers,
                            std::span<const HealthFinding> health) {
  RecordingMeaning out;
  out.drive = drive.drive.name;
  if (nominals.cams.empty()) {
    out.refused =
        "the drive names no sensor edges: nothing can pass; bank against bank and before against "
        "after can be compared, and an error equal on both is invisible";
    compare_cams(decoded, out);
    return out;
  }
  const auto found = against_nominals(decoded, nominals);
  if (!found) {
    out.refused = found.error().why;
    return out;
  }
  out.contradictions = found->contradictions;
  out.notes = found->notes;
  for (const NominalCam& nominal : nominals.cams) {
    const auto cam = std::find_if(found->cams.begin(), found->cams.end(),
                                  [&](const auto& c) { return c.cam == nominal.cam; });
    if (cam != found->cams.end()) {
      out.cams.push_back(
          cam_meaning(drive, decoded, *cam, phasers, !found->contradictions.empty()));
      continue;
    }
    CamMeaning missing;
    missing.cam = nominal.cam;
    missing.says = "not in the recording";
    missing.open_because = nominal.channel != 0
                               ? fmt::format("channel {} shows none of its edges", nominal.channel)
                               : "no channel shows its edges";
    out.cams.push_back(std::move(missing));
  }
  if (found->cams.empty()) return out;
  if (!out.contradictions.empty()) return out;
  say_inverted(decoded, nominals, out);
  weigh(drive.drive, phasers, *found, decoded.crank.wheel, out);
  // Where one camshaft fails, what the others are stands; where none does, a meaning that is
  // neither right nor wear leaves no pass standing.
  const bool one_fails = verdict_of(out) == Verdict::fail;
  for (CamMeaning& cam : out.cams) {
    if (!cam.found) continue;
    say_change(cam, out);
    if (const std::string doubt = signal_doubt(health, decoded, cam.found->channel); !doubt.empty())
      open(cam, doubt);
    else if (cam.verdict == Verdict::pass && !one_fails && out.hypotheses &&
             !is_harmless(*out.hypotheses))
      open(cam, "inside its window, but together the phases mean: " + out.hypotheses->sentence);
  }
  return out;
}

Verdict verdict_of(const RecordingMeaning& meaning) {
  bool all_pass = !meaning.cams.empty();
  for (const CamMeaning& cam : meaning.cams) {
    if (cam.verdict == Verdict::fail) return Verdict::fail;
    all_pass = all_pass && cam.verdict == Verdict::pass;
  }
  return all_pass ? Verdict::pass : Verdict::open;
}

std::string wrong_hints(const Drive& drive, std::span<const ChannelHint> hints) {
  std::vector<std::string> known;
  for (const EnginePlace& place : places_of(drive))
    if (place.type == PlaceType::camshaft) known.push_back(place.path);
  std::set<int> channels;
  std::set<std::string> said;
  for (const ChannelHint& hint : hints) {
    const std::string is = folded(hint.is);
    const auto cam = std::find_if(known.begin(), known.end(),
                                  [&](const std::string& k) { return same_place(k, hint.is); });
    if (is != "crank" && is != "not used" && cam == known.end())
      return fmt::format("channel {}: this drive has no \"{}\"; there are: crank, {}, not used",
                         hint.channel, hint.is, joined(known, ", "));
    if (!channels.insert(hint.channel).second)
      return fmt::format("channel {} is named twice", hint.channel);
    if (is != "not used" && !said.insert(cam == known.end() ? is : *cam).second)
      return fmt::format("\"{}\" is named for two channels", hint.is);
  }
  return {};
}

std::string_view meaning_name(Meaning meaning) {
  switch (meaning) {
    case Meaning::right:
      return "right";
    case Meaning::elongation:
      return "elongation";
    case Meaning::jump:
      return "jump";
    case Meaning::slipped:
      return "sensor wheel slipped";
    case Meaning::jump_and_elongation:
      return "jump and elongation";
    case Meaning::crank_reference:
      return "crank reference";
    case Meaning::phaser:
      break;
  }
  return "phaser";
}

}  // namespace tautmark
