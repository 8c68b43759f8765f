// SPDX-License-Identifier: Apache-2.0
#include "judge/on_engine.h"

#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "casework/mark_words.h"
#include "casework/view.h"
#include "drive/places.h"
#include "judge/phaser_proof.h"
#include "judge/sure.h"

namespace tautmark {
namespace {

template <class Body>
bool is_of(const Body& body, std::size_t kinds, const ValvesOfCam& valves) {
  if (!same_place(body.place, valves.camshaft)) return false;
  return body.valves ? folded(*body.valves) == folded(valves.name) : kinds == 1;
}

// Which of two kinds it means is not said.
template <class Body>
bool is_of_either(const Body& body, std::size_t kinds, const ValvesOfCam& valves) {
  return kinds > 1 && !body.valves && same_place(body.place, valves.camshaft);
}

// Measured and definition cannot both be of this engine. Common practice, no source.
constexpr Length kLargerGap = mm(0.5);
constexpr double kOtherLift = 0.10;
constexpr CrankAngle kOtherCenter = crank_deg(5);

// Any part but one that is only ordered: which of them reach the gap, nobody reads here.
const Entry* fitted_after(const std::vector<const Entry*>& entries, const Entry& measured) {
  bool after = false;
  for (const Entry* entry : entries) {
    const auto* part = std::get_if<PartEntry>(&entry->body);
    if (after && part != nullptr &&
        (part->action == PartAction::fitted || part->action == PartAction::reused))
      return entry;
    after = after || entry == &measured;
  }
  return nullptr;
}

// Last said of this camshaft by a standing: anything but right. A lift against the wheel is then
// that of a camshaft turned away.
bool is_said_off(const std::vector<const Entry*>& entries, const ValvesOfCam& valves) {
  bool off = false;
  for (const auto& [entry, standing] : all_of_kind<Standing>(entries))
    for (const CamStanding& one : standing->camshafts) {
      if (!same_place(one.at, valves.camshaft)) continue;
      const auto words = read_mark_words(one.stands.value_or(""));
      off = !words || words->seen != MarkSeen::right || words->doubt || !words->unheard.empty();
    }
  return off;
}

void set_gap(const std::vector<const Entry*>& entries, std::size_t kinds, ValvesOfCam& valves) {
  clearance::ValveInputs& in = valves.inputs;
  std::optional<Length> least;                 // less its uncertainty
  std::optional<Length> makers = in.gap_shut;  // along the valve
  if (makers && in.flat_crown == true && in.inclination)
    makers = *makers / std::cos(in.inclination->si());
  const Length makers_u = in.uncertainty.measured_gap.value_or(Length{});
  for (const auto& [entry, measured] : all_of_kind<ValveGap>(entries)) {
    if (is_of_either(*measured, kinds, valves))
      valves.not_proven.push_back(fmt::format("{}: of which valves the gap is", entry->id));
    if (!is_of(*measured, kinds, valves)) continue;
    const auto refused = [&, &id = entry->id](std::string_view why) {
      valves.not_proven.push_back(fmt::format("{}: a measured gap {}", id, why));
    };
    if (!measured->gap.value.expanded_si) {
      refused("without ± is not used");
      continue;
    }
    if (!measured->how) {
      refused("without how it was measured is not used");
      continue;
    }
    if (is_said(entry->remark)) {
      refused("with a remark is not used");
      continue;
    }
    if (const Entry* part = fitted_after(entries, *entry); part != nullptr) {
      refused(fmt::format("before {} was fitted is not used", part->id));
      continue;
    }
    const Length gap = Length::from_si(measured->gap.value.value.si);
    const Length uncertain = Length::from_si(sure(measured->gap.value));
    if (makers && gap > *makers + makers_u + uncertain + kLargerGap) {
      refused("much larger than the definition's: one of the two is not of this engine");
      continue;
    }
    if (least && gap - uncertain >= *least) continue;
    least = gap - uncertain;
    valves.gap_from = entry->id;
    in.gap_shut = gap;
    // A flat crown is counted along the bore.
    if (in.flat_crown == true && in.inclination) in.gap_shut = gap * std::cos(in.inclination->si());
    in.uncertainty.measured_gap = uncertain;
  }
}

std::optional<Length> error_of(const Case& engine, const IndicatorReading& reading) {
  const Instrument* instrument =
      reading.instrument ? find_instrument(engine, *reading.instrument) : nullptr;
  if (instrument == nullptr || !instrument->uncertainty ||
      instrument->uncertainty->value.kind != Kind::length)
    return std::nullopt;
  return Length::from_si(instrument->uncertainty->value.si * kSureFromTwo);
}

// Why a reading is no lobe; empty: it is one.
std::string unusable(const Case& engine, const IndicatorReading& reading,
                     const ValvesOfCam& valves) {
  if (reading.forward_only != true) return "not said to be taken turning forward only";
  if (reading.table.empty()) return "no table over the whole lobe";
  if (!reading.top) return "the uncertainty of the wheel's zero (top)";
  if (!error_of(engine, reading)) return "the uncertainty of its indicator";
  const bool has_phaser = valves.phaser.size() > 1 || valves.phaser.front().words != "no phaser";
  if (has_phaser &&
      (reading.phaser != Locked::locked || !proves_locked(reading.phaser_checked_how.value_or(""))))
    return "its phaser checked locked";
  return {};
}

void set_lobe(const Case& engine, const std::vector<const Entry*>& entries, std::size_t kinds,
              ValvesOfCam& valves) {
  constexpr double kGasExchange = 360;  // crank deg of the cycle
  for (const auto& [entry, reading] : all_of_kind<IndicatorReading>(entries)) {
    if (reading->as_lobe != true) continue;
    if (is_of_either(*reading, kinds, valves))
      valves.not_proven.push_back(fmt::format("{}: of which valves the lift is", entry->id));
    if (!is_of(*reading, kinds, valves)) continue;
    const auto refused = [&, &id = entry->id](const std::string& why) {
      valves.not_proven.push_back(fmt::format("{}: a measured lift is not used: {}", id, why));
    };
    if (const std::string why = unusable(engine, *reading, valves); !why.empty()) {
      refused(why);
      continue;
    }
    if (is_said(entry->remark)) {
      refused("it carries a remark");
      continue;
    }
    if (is_said_off(entries, valves)) {
      refused("this camshaft is said to stand off");
      continue;
    }
    std::vector<clearance::LiftSample> samples;
    for (const LiftSeen& seen : reading->table)
      samples.push_back({crank_deg(kGasExchange) + seen.at.value, seen.lift.value});
    auto curve = clearance::lift_curve(samples);
    if (!curve) {
      refused(curve.error().why);
      continue;
    }
    if (const auto& own = valves.inputs.lift; own != nullptr && valves.lift_from.empty()) {
      const double center = in_crank_deg(curve->nose - own->nose);
      if (std::abs(curve->highest / own->highest - 1) > kOtherLift ||
          !(std::abs(std::remainder(center, 720)) <= in_crank_deg(kOtherCenter))) {
        refused("measured and definition contradict in lift or center");
        continue;
      }
    }
    // What the definition's own lobe lacks is not asked any more.
    std::erase_if(valves.not_proven,
                  [](const std::string& one) { return one.starts_with("lobe: "); });
    valves.lift_from = entry->id;
    valves.inputs.lift = std::make_shared<const clearance::LiftCurve>(std::move(*curve));
    valves.inputs.lift_is_assumed = false;
    valves.inputs.uncertainty.lift = error_of(engine, *reading);
    valves.inputs.uncertainty.phase = reading->top->value * kSureFromTwo;
  }
}

}  // namespace

void set_on_engine(const Case& engine, std::size_t kinds, ValvesOfCam& valves) {
  const std::vector<const Entry*> entries = entries_in_order_of_work(engine);
  set_gap(entries, kinds, valves);
  set_lobe(engine, entries, kinds, valves);
}

}  // namespace tautmark
