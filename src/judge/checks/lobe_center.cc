// SPDX-License-Identifier: Apache-2.0
// The phase of a camshaft by dial indicator and degree wheel, against its lobe in the definition
// and the limit of its center line. Positive early. A pass needs the top dead center by a stop of
// this case, every reading taken turning forward, the phaser's lock checked, the maker's own lift,
// and readings that nothing speaks against.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "clearance/adjustable_sprocket.h"
#include "judge/cam_measured.h"
#include "judge/case_recordings.h"
#include "judge/checks/checks.h"
#include "judge/drive_sensors.h"
#include "judge/event_words.h"
#include "judge/lobe_curve.h"
#include "judge/phaser_proof.h"
#include "judge/top_known.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "lobe-center";

// One camshaft, or one kind of its valves, by its last entry.
struct Measured {
  EntryOf<IndicatorReading> from{};
  const EnginePlace* place = nullptr;
  const Entry* opened = nullptr;  // the entry that opened the drive since
  std::optional<TopKnown> top{};
  Result<CamMeasured> cam{};
};

std::string degrees(CrankAngle angle, int decimals = 1) {
  return fmt::format("{:.{}f}°", std::abs(in_crank_deg(angle)), decimals);
}

std::string flank_words(CrankAngle early) { return phase_words(in_crank_deg(early)); }

struct Doubt {
  OpenBecause because{};
  std::string why{};
  std::string next{};
};

std::optional<Doubt> doubt_of_phaser(const Measured& one) {
  const IndicatorReading& body = *one.from.body;
  const bool has_phaser = one.place->camshaft->phaser.has_value();
  if (body.phaser == Locked::not_locked)
    return Doubt{OpenBecause::outside_model,
                 "its phaser was not locked, and the definition's lobe stands at its base",
                 "lock it, check that, and read again"};
  if (!has_phaser) return std::nullopt;
  if (body.phaser != Locked::locked || !proves_locked(body.phaser_checked_how.value_or("")))
    return Doubt{OpenBecause::not_measured,
                 "that its phaser was locked was not checked: anywhere in its travel the center "
                 "line is another",
                 fmt::format("check the lock and enter how: {}", kPhaserProofs)};
  return std::nullopt;
}

std::optional<Doubt> doubt_of_top(const Measured& one) {
  if (!one.top)
    return Doubt{OpenBecause::not_measured,
                 "no positive stop was entered before it, and the zero of the wheel goes in one to "
                 "one",
                 "find the top by a positive stop, enter it, and read again"};
  if (!one.top->doubt.empty())
    return Doubt{one.top->because,
                 fmt::format("the zero of the wheel is in doubt ({}): {}", one.top->from.entry->id,
                             one.top->doubt),
                 one.top->next};
  if (one.top->wheel_still_off)
    return Doubt{
        OpenBecause::not_measured,
        fmt::format("at top dead center the wheel read {} {} ({}), and nobody entered that "
                    "it was set",
                    degrees(one.top->found->wheel_reads),
                    one.top->found->wheel_reads.si() < 0 ? "before" : "after",
                    one.top->from.entry->id),
        "set the wheel until both stops read alike, enter wheel_set, and read again"};
  return std::nullopt;
}

std::optional<Doubt> doubt_of_lobe(const CheckInput& input, const Measured& one) {
  const Valves* valves = lobe_of(*one.from.body, input.drive->drive).valves;
  const std::optional<SourceRef>& own =
      valves->lobe->source ? valves->lobe->source : valves->source;
  if (is_makers(own, input.drive->drive.source)) return std::nullopt;
  return Doubt{OpenBecause::limit_origin,
               "the lift in the definition is not the maker's, and what it says of the center line "
               "cannot carry a pass",
               "name the maker's document for lift and center line"};
}

std::optional<Doubt> doubt_of_turning(const Measured& one) {
  if (one.from.body->forward_only == true) return std::nullopt;
  return Doubt{one.from.body->forward_only ? OpenBecause::outside_model : OpenBecause::not_measured,
               one.from.body->forward_only
                   ? "the engine was turned back between readings: the slack was on the wrong side"
                   : "whether every reading was taken turning forward was not entered",
               "read again turning forward only; past a reading, go on two turns, never back"};
}

bool disagree(const CamMeasured& cam) {
  return cam.fit && cam.fit->flanks && !cam.fit->flanks->agree;
}

// What the readings themselves say against a pass.
std::optional<Doubt> doubt_of_readings(const CamMeasured& cam) {
  if (disagree(cam))
    return Doubt{OpenBecause::implausible,
                 "opening and closing flank say different things: lash, a follower that bleeds "
                 "down, a soft checking spring, or another lobe",
                 "look at lash and follower, and read again"};
  if (cam.fit && cam.center) {
    const CrankAngle by_pairs = clearance::early_by(*cam.nominal_center, cam.center->center);
    if (std::abs((by_pairs - cam.early).si()) > cam.U.si() + cam.center->U.si())
      return Doubt{OpenBecause::implausible,
                   fmt::format("pairs and table contradict each other: {} and {}",
                               flank_words(by_pairs), flank_words(cam.early)),
                   "read again, and enter a correction for what is wrong"};
  }
  if (!cam.warnings.empty())
    return Doubt{OpenBecause::too_close, cam.warnings.front(),
                 "read three pairs, or the lift every 5 or 10° over the whole lobe, turning "
                 "forward only"};
  return std::nullopt;
}

void apply(Finding& finding, const Doubt& doubt, const std::string& seen) {
  finding.verdict = Verdict::open;
  finding.open_because = doubt.because;
  finding.why = fmt::format("{}: {}", seen, doubt.why);
  finding.next = {doubt.next};
}

// What wear alone would do to this camshaft, by what the other one of its chain shows beside whole
// teeth: the tight strands are in a known ratio.
struct WearByOther {
  CrankAngle expected{}, U{};
  std::string words{};
  std::string entry{};
};
std::optional<WearByOther> wear_by_other(const CheckInput& input, const Measured& one,
                                         const std::vector<Measured>& all) {
  const auto own = cam_of_drive(input.drive->drive, one.place->path);
  for (const Measured& other : all) {
    if (other.place == one.place || !other.cam || other.opened != one.opened) continue;
    const auto beside = cam_of_drive(input.drive->drive, other.place->path);
    if (!own || !beside || own->chain != beside->chain || !(beside->strand_ratio > 0)) continue;
    if (!other.cam->explained || other.cam->explained->fitting.size() != 1) continue;
    const CrankAngle rest = other.cam->explained->fitting.front().rest;
    const double ratio = own->strand_ratio / beside->strand_ratio;
    return WearByOther{rest * ratio, other.cam->U * ratio,
                       fmt::format("{} shows {} beside whole teeth, so wear alone would make this "
                                   "one {}",
                                   other.place->path, flank_words(rest), flank_words(rest * ratio)),
                       other.from.entry->id};
  }
  return std::nullopt;
}

void explain(Finding& finding, const CheckInput& input, const Measured& one,
             const std::vector<Measured>& all) {
  const CamMeasured& cam = *one.cam;
  std::optional<clearance::PhaseExplanation> explained = cam.explained;
  std::vector<std::string>& say =
      finding.verdict == Verdict::pass ? finding.budget : finding.follows;
  if (const auto wear = wear_by_other(input, one, all); wear && explained) {
    const auto again = clearance::explain_phase({.early = cam.early,
                                                 .U = cam.U,
                                                 .cam_teeth = *one.place->camshaft->sprocket_teeth,
                                                 .wear_least = wear->expected - wear->U,
                                                 .wear_most = wear->expected + wear->U});
    if (again) explained = *again;
    say.push_back(wear->words);
    finding.evidence.push_back(wear->entry);
  } else if (finding.verdict != Verdict::pass) {
    finding.next.emplace_back(
        "measure the other camshaft of the chain too: its share tells wear from a tooth");
  }
  if (explained && std::abs(cam.early.si()) > cam.U.si()) say.push_back(explained->words);
  if (finding.verdict == Verdict::pass) return;
  if (explained && explained->cause == clearance::PhaseCause::jumped) {
    finding.follows.emplace_back("count the links between the marks before anything is moved");
    return;
  }
  const CamAngle turn = clearance::turn_to_correct(cam.early);
  if (std::abs(cam.early.si()) > cam.U.si())
    finding.follows.push_back(fmt::format(
        "an adjustable sprocket would take {:.1f}° cam {} to correct it; whether the valves have "
        "room there is another question, and comes first",
        std::abs(in_cam_deg(turn)), turn.si() > 0 ? "forward" : "back"));
}

void add_evidence(Finding& finding, const Measured& one) {
  const CamMeasured& cam = *one.cam;
  if (cam.center) {
    std::vector<std::string> each;
    for (std::size_t i = 0; i < cam.center->of_pair.size(); ++i)
      each.push_back(fmt::format("{} at {}", degrees(cam.center->of_pair[i], 2),
                                 one.from.body->pairs[i].lift.text));
    finding.budget.push_back(fmt::format("middle, pair by pair: {}", joined(each, ", ")));
    if (cam.longer && std::abs(in_crank_deg(*cam.longer)) >= 1)
      finding.budget.push_back(fmt::format(
          "open {} {} than the definition there: lash or the zero of the indicator, not phase",
          degrees(*cam.longer), cam.longer->si() > 0 ? "longer" : "shorter"));
  }
  if (cam.fit) {
    finding.budget.push_back(
        fmt::format("table of {} readings: zero of the indicator {:.2f} mm, scatter {:.3f} mm",
                    cam.fitted.size(), in_mm(cam.fit->gauge_zero), in_mm(cam.fit->scatter)));
    if (cam.fit->flanks)
      finding.budget.push_back(fmt::format("opening flank {}, closing flank {}: they {}",
                                           flank_words(cam.fit->flanks->opening),
                                           flank_words(cam.fit->flanks->closing),
                                           cam.fit->flanks->agree ? "agree" : "do not agree"));
  }
  if (one.top && one.top->found)
    finding.budget.push_back(fmt::format(
        "zero of the wheel: ± {} by the stop{}", degrees(one.top->U),
        one.from.body->top ? fmt::format(", ± {} as entered", one.from.body->top->text) : ""));
  finding.budget.emplace_back(
      "not in the uncertainty: lash, a follower that bleeds down, a soft checking spring");
}

// What a timing card says, as measured and as written.
void add_events(Finding& finding, const CheckInput& input, const Measured& one,
                const std::vector<Measured>& all) {
  const Drive& drive = input.drive->drive;
  const LobeOf own = lobe_of(*one.from.body, drive);
  const auto seen = events_of(*own.valves, one.cam->early), written = events_of(*own.valves);
  if (!seen || !written || event_words(*seen).empty()) return;
  finding.budget.push_back(fmt::format("at {:.2f} mm lift {}; by the definition {}",
                                       in_mm(kCheckingLift), event_words(*seen),
                                       event_words(*written)));
  for (const Measured& other : all) {
    if (other.place == one.place || !other.cam || other.opened != one.opened) continue;
    const LobeOf beside = lobe_of(*other.from.body, drive);
    if (beside.bank != own.bank) continue;
    const auto its = events_of(*beside.valves, other.cam->early);
    const auto its_written = events_of(*beside.valves);
    if (!its || !its_written || overlap_words(*seen, *its).empty()) continue;
    finding.budget.push_back(fmt::format("with {} as measured: {}; by the definition {}",
                                         other.place->path, overlap_words(*seen, *its),
                                         overlap_words(*written, *its_written)));
    finding.evidence.push_back(other.from.entry->id);
  }
}

std::string seen_words(const CamMeasured& cam) {
  const std::string phase =
      fmt::format("{} ± {}", phase_words(in_crank_deg(cam.early)), degrees(cam.U));
  if (!cam.center) return phase;
  const double center = in_crank_deg(cam.center->center);
  return fmt::format("center line {:.1f}° {} top dead center of gas exchange, {:.1f}° wanted: {}",
                     std::abs(center), center < 0 ? "before" : "after",
                     std::abs(in_crank_deg(*cam.nominal_center)), phase);
}

Finding judged(const CheckInput& input, const Measured& one, const std::vector<Measured>& all) {
  Finding finding;
  if (!one.cam) {
    const bool in_definition = one.cam.error().why.starts_with("the definition") ||
                               one.cam.error().why.starts_with("valves:");
    return open_finding("", "",
                        in_definition ? OpenBecause::not_in_drive : OpenBecause::implausible,
                        one.cam.error().why,
                        {in_definition ? "enter the maker's lift and center line in the drive"
                                       : "read again, and enter a correction"});
  }
  const CamMeasured& cam = *one.cam;
  const std::string seen = seen_words(cam);
  const auto limit = limit_for(input, Measurand::center_line_error, *one.place);
  if (!limit) {
    finding = open_finding("", "", OpenBecause::not_in_drive,
                           fmt::format("{}: the drive does not say how far it may be off", seen),
                           {"enter the maker's limit of the center line"});
    finding.value =
        shown_value({cam.early.si(), cam.u.si(), cam.nu}, default_unit(Kind::crank_angle));
  } else {
    decide_finding(finding, {.estimate = {cam.early.si(), cam.u.si(), cam.nu}}, std::nullopt,
                   *limit);
    const std::string plain = fmt::format("{} against {}", finding.value->shown, limit->shown);
    if (finding.why.starts_with(plain))
      finding.why.replace(0, plain.size(), fmt::format("{} against {}", seen, limit->shown));
  }
  finding.value->shown =
      fmt::format("{} ± {}", phase_words(in_crank_deg(cam.early)), degrees(cam.U));
  // What stands against any answer; then what stands against a pass.
  const std::vector<std::optional<Doubt>> grave = {doubt_of_top(one), doubt_of_turning(one),
                                                   doubt_of_phaser(one)};
  for (const std::optional<Doubt>& doubt : grave)
    if (doubt) {
      apply(finding, *doubt, seen);
      break;
    }
  if (finding.verdict == Verdict::fail && disagree(cam) && limit) {
    const auto outside = [&](CrankAngle flank) {
      return (limit->lower && flank.si() < *limit->lower) ||
             (limit->upper && flank.si() > *limit->upper);
    };
    if (!outside(cam.fit->flanks->opening) || !outside(cam.fit->flanks->closing))
      apply(finding, *doubt_of_readings(cam), seen);
  }
  for (const std::optional<Doubt>& doubt : {doubt_of_readings(cam), doubt_of_lobe(input, one)})
    if (doubt && finding.verdict == Verdict::pass) apply(finding, *doubt, seen);
  add_evidence(finding, one);
  if (finding.verdict == Verdict::pass)
    finding.follows.emplace_back(
        "this proves the camshaft at the phaser's base, of this state of the drive: turn nothing "
        "back, loosen nothing");
  finding.evidence = {one.from.entry->id};
  if (one.top) finding.evidence.push_back(one.top->from.entry->id);
  add_events(finding, input, one, all);
  explain(finding, input, one, all);
  if (finding.verdict == Verdict::fail)
    finding.follows.emplace_back("do not start the engine before it is known what it means");
  for (const std::string& warning : cam.warnings) finding.cautions.push_back(warning);
  return finding;
}

std::vector<Measured> all_measured(const CheckInput& input) {
  std::vector<Measured> all;
  const auto in_order = entries_in_order_of_work(*input.value);
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::camshaft || place.camshaft == nullptr) continue;
    for (const auto& from : all_of_kind<IndicatorReading>(in_order)) {
      if (!same_place(from.body->place, place.path)) continue;
      const auto same = [&](const Measured& other) {
        return other.place == &place && folded(other.from.body->valves.value_or("")) ==
                                            folded(from.body->valves.value_or(""));
      };
      std::erase_if(all, same);  // the last one counts
      all.push_back({.from = from, .place = &place});
    }
  }
  for (Measured& one : all) {
    one.opened = opened_after(input, one.from.entry);
    one.top = top_known(input, one.from.entry);
    one.cam = cam_measured(*one.from.body, *input.drive,
                           one.top && one.top->found ? &*one.top->found : nullptr);
  }
  return all;
}

}  // namespace

std::vector<Finding> lobe_center(const CheckInput& input) {
  std::vector<Finding> findings;
  if (input.drive == nullptr) {
    for (const auto& [entry, body] : all_of_kind<IndicatorReading>(input.entries)) {
      findings.push_back(open_finding(std::string(kCheck), body->place, OpenBecause::not_in_drive,
                                      "the case names no drive to compare with",
                                      {"name the drive of the engine"}));
      findings.back().evidence = {entry->id};
    }
    return findings;
  }
  const std::vector<Measured> all = all_measured(input);
  for (const Measured& one : all) {
    Finding finding = judged(input, one, all);
    finding.check = kCheck;
    finding.subject = one.place->path;
    if (one.place->camshaft->valves.size() > 1 && one.from.body->valves)
      finding.subject += ", " + *one.from.body->valves;
    if (one.opened != nullptr) finding.subject += ", as found";
    if (finding.evidence.empty()) finding.evidence = {one.from.entry->id};
    finding.cautions.emplace_back(
        "turn by hand and forward only, where turning is allowed at all, never with the starter; "
        "fingers out; the engine maker's procedure comes first");
    finding.sources = {
        "middle of equal lifts; least squares of a whole table against the lobe of the definition"};
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
