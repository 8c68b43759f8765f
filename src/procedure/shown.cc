// SPDX-License-Identifier: Apache-2.0
#include "procedure/shown.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "base/text.h"
#include "drive/places.h"
#include "procedure/walk.h"

namespace tautmark::procedure {
namespace {

// "A.", "a" and "A. (bay 3)" are one person.
std::string person(std::string_view name) {
  name = name.substr(0, name.find('('));
  return std::string(trimmed(replaced(folded(name), ".", "")));
}

bool is_reading(const Entry& entry) {
  return std::holds_alternative<Reading>(entry.body) ||
         std::holds_alternative<MarksSeen>(entry.body) ||
         std::holds_alternative<PressureReading>(entry.body) ||
         std::holds_alternative<SensorRecording>(entry.body) ||
         std::holds_alternative<PhaseSamples>(entry.body);
}

bool by_angle(const std::vector<TighteningStep>& steps) {
  return std::any_of(steps.begin(), steps.end(),
                     [](const TighteningStep& one) { return one.angle.has_value(); });
}

// Seconds since an epoch, and how fine they are: the minute where no seconds are written.
struct Moment {
  double seconds = 0;
  double fine = 60;
  std::string_view zone{};
};

std::optional<Moment> moment_of(const Entry& entry) {
  if (!entry.at || entry.at->text.size() < 16) return std::nullopt;
  if (const auto* done = std::get_if<StepDone>(&entry.body); done != nullptr && done->late == true)
    return std::nullopt;
  const std::string_view text = entry.at->text;
  const auto number = [&](std::size_t at, std::size_t length) {
    int value = 0;
    for (const char digit : text.substr(at, length)) value = 10 * value + (digit - '0');
    return value;
  };
  const std::chrono::sys_days day{std::chrono::year{number(0, 4)} / static_cast<int>(number(5, 2)) /
                                  static_cast<int>(number(8, 2))};
  const double minutes = number(11, 2) * 60 + number(14, 2);
  Moment moment{86400.0 * static_cast<double>(day.time_since_epoch().count()) + 60 * minutes};
  const bool has_seconds = text.size() >= 19 && text[16] == ':';
  if (has_seconds) {
    moment.seconds += number(17, 2);
    moment.fine = 1;
  }
  moment.zone = text.substr(has_seconds ? 19 : 16);
  return moment;
}

}  // namespace

std::string gate_open(const ProcedureStep& step, const Entry& entry, const StepDone& done,
                      const std::vector<const Entry*>& entries) {
  if (!step.gate || step.gate == GateWants::tick) return {};
  if (step.gate == GateWants::second_name) {
    if (!is_said(done.second_name)) return "the name of a second person who looked";
    if (!is_said(entry.by)) return "who did it: the second name is to be another's";
    if (person(*done.second_name) == person(*entry.by))
      return "a second person: both names are the same";
    return {};
  }
  const auto shows = [&](const Entry* one) {
    const bool fits = step.gate == GateWants::photo ? std::holds_alternative<Attachment>(one->body)
                                                    : is_reading(*one);
    return fits &&
           std::find(done.shown_by.begin(), done.shown_by.end(), one->id) != done.shown_by.end();
  };
  if (std::any_of(entries.begin(), entries.end(), shows)) return {};
  return std::string(gate_wants_text(*step.gate));
}

FastenersOf fasteners_of(const Drive& drive, const ProcedureStep& step) {
  FastenersOf all{.most = 0};
  for (const Tightens& tightens : step.tightens) {
    const Fastener* fastener = fastener_named(drive, tightens.fastener, step.bank);
    const std::optional<int> count = fastener != nullptr ? fastener->count : std::nullopt;
    const bool all_here =
        fastener != nullptr && (!step.bank || fastener->bank || drive.banks.size() < 2);
    all.least += count && all_here ? *count : 1;
    all.most = all.most && count ? std::optional(*all.most + *count) : std::nullopt;
  }
  return all;
}

std::string too_few(const Drive& drive, const ProcedureStep& step, const StepDone& done) {
  const FastenersOf all = fasteners_of(drive, step);
  if (!done.fasteners || step.tightens.empty() || *done.fasteners >= all.least) return {};
  return fmt::format(
      "\"{}\" is not done: {} of {} fasteners ticked. Tighten the others, then enter it again with "
      "all of them.",
      step.name, *done.fasteners, all.least);
}

std::string too_many(const Drive& drive, const ProcedureStep& step, const StepDone& done) {
  const FastenersOf all = fasteners_of(drive, step);
  if (!done.fasteners || !all.most || *done.fasteners <= *all.most) return {};
  return fmt::format("\"{}\": {} fasteners ticked, and the definition has {} of them: count again",
                     step.name, *done.fasteners, *all.most);
}

std::string interrupted_words(const Drive& drive, const ProcedureStep& step) {
  std::string words = fmt::format("\"{}\" was interrupted and is not done.", step.name);
  for (const Tightens& tightens : step.tightens) {
    const Fastener* bolt = fastener_named(drive, tightens.fastener, step.bank);
    if (!by_angle(tightens.steps) && (bolt == nullptr || !by_angle(bolt->steps))) continue;
    const bool may_go_on = bolt != nullptr && bolt->single_use == false;
    if (may_go_on && is_said(bolt->restart)) {
      words += fmt::format(" {}: {}", tightens.fastener, *bolt->restart);
    } else if (may_go_on) {
      words += fmt::format(
          " {}: an angle lost in the middle is not found again; the definition has no restart "
          "rule: ask the engine maker before it is touched.",
          tightens.fastener);
    } else {
      words += fmt::format(
          " {}: an angle lost in the middle is not found again; it is used once{}: take it out "
          "and begin with a new one.",
          tightens.fastener, bolt != nullptr && bolt->single_use ? "" : " (nobody says otherwise)");
    }
  }
  return words;
}

Within within_time(const Entry* since, const Entry& done, Time limit) {
  const auto from = since == nullptr ? std::nullopt : moment_of(*since);
  const auto to = moment_of(done);
  if (!from || !to || from->zone != to->zone) return Within::no_times;
  const double taken = to->seconds - from->seconds;
  const bool is_kept = taken >= 0 && taken + std::max(from->fine, to->fine) <= limit.si();
  return is_kept ? Within::kept : Within::not_shown;
}

}  // namespace tautmark::procedure
