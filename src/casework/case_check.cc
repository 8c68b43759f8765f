// SPDX-License-Identifier: Apache-2.0
#include "casework/case_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "casework/case_check_report.h"
#include "casework/case_fields.h"
#include "casework/marks_check.h"
#include "casework/reading_check.h"
#include "casework/timing_check.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

void check_ids(const CaseCheck& check) {
  const auto& entries = check.loaded().value.entries;
  std::map<std::string, std::size_t> by_id;
  std::map<std::string, std::size_t> replaced_by;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    if (entry.id.empty()) continue;
    if (entry.replaces) {
      const auto found = by_id.find(*entry.replaces);
      if (*entry.replaces == entry.id) {
        check.error(entry_path(i, "replaces"), "an entry cannot replace itself");
      } else if (found == by_id.end()) {
        if (check.is_full()) continue;
        std::vector<std::string> known;
        for (const auto& [id, index] : by_id) known.push_back(id);
        const auto near = nearest(*entry.replaces, known);
        check.error(entry_path(i, "replaces"),
                    fmt::format("no earlier entry \"{}\"", *entry.replaces),
                    near ? fmt::format("did you mean \"{}\"?", *near)
                         : "a correction names an entry above it");
      } else if (const auto [first, is_new] = replaced_by.emplace(*entry.replaces, i); !is_new) {
        check.error(entry_path(i, "replaces"),
                    fmt::format("\"{}\" is replaced a second time; correct \"{}\" instead",
                                *entry.replaces, entries[first->second].id),
                    {}, entry_path(first->second, "replaces"), "the first correction is here");
      }
    }
    const auto [first, is_new] = by_id.emplace(entry.id, i);
    if (!is_new)
      check.error(entry_path(i, "id"),
                  fmt::format("entry \"{}\" stands here a second time", entry.id), {},
                  entry_path(first->second, "id"), "the first one is here");
  }
}

void check_instruments(const CaseCheck& check) {
  const auto& instruments = check.loaded().value.instruments;
  std::map<std::string, std::size_t> names;
  for (std::size_t i = 0; i < instruments.size(); ++i) {
    const std::string path = fmt::format("instruments[{}]", i);
    if (instruments[i].name.empty()) continue;
    const auto [first, is_new] = names.emplace(folded(instruments[i].name), i);
    if (!is_new)
      check.error(
          path + ".name",
          fmt::format("an instrument named \"{}\" stands here a second time", instruments[i].name),
          {}, fmt::format("instruments[{}].name", first->second), "the first one is here");
    for (const auto& [text, key] : {std::pair{&instruments[i].resolution, ".resolution"},
                                    std::pair{&instruments[i].uncertainty, ".uncertainty"}})
      if (*text && !((*text)->value.si > 0))
        check.error(path + key, fmt::format("{} must be more than zero", (*text)->text));
  }
}

void check_bank(const CaseCheck& check, const PartEntry& part, std::size_t index) {
  if (!part.bank || check.loaded().drives.empty()) return;
  for (const LoadedDrive& drive : check.loaded().drives) {
    const auto& banks = drive.drive.banks;
    if (banks.empty() || std::any_of(banks.begin(), banks.end(),
                                     [&](const Bank& bank) { return bank.number == *part.bank; }))
      return;
  }
  check.error(entry_path(index, "bank"), fmt::format("bank {} is not in the drive", *part.bank));
}

void check_codes(const CaseCheck& check, const Codes& codes, std::size_t index) {
  const bool none = codes.none_stored == true;
  if (none && !codes.codes.empty())
    check.error(entry_path(index, "none_stored"), "codes are named, so some were stored",
                "leave it out, or the codes");
  if (none && codes.read_from.empty())
    check.error(entry_path(index, "none_stored"),
                "no code stored is said of the control units that were read, and none is named",
                "name them: read_from: [engine]");
}

void check_file(const CaseCheck& check, const std::string& name, const std::string& path) {
  if (const auto problem = path_problem(name)) {
    check.error(path, *problem, "attachments lie inside the case folder");
    return;
  }
  const fs::path folder = check.loaded().file.parent_path();
  const fs::path file = (folder.empty() ? fs::path(".") : folder) / name;
  std::error_code code;
  if (!fs::exists(file, code)) {
    check.error(path, fmt::format("\"{}\" is not in the case folder", name),
                "copy the file beside the case, or correct the name");
    return;
  }
  // A link inside the folder must not lead out of it.
  const fs::path root = fs::weakly_canonical(folder.empty() ? fs::path(".") : folder, code);
  const fs::path real = fs::weakly_canonical(file, code);
  const auto [end, rest] = std::mismatch(root.begin(), root.end(), real.begin(), real.end());
  if (code || end != root.end())
    check.error(path, fmt::format("\"{}\" leads out of the case folder", name),
                "copy the file itself into the folder; a link is not enough");
  else if (!fs::is_regular_file(real, code))
    check.error(path, fmt::format("\"{}\" is not a file", name));
}

void check_recording(const CaseCheck& check, const SensorRecording& recording, std::size_t index) {
  if (recording.file) check_file(check, *recording.file, entry_path(index, "file"));
  if (recording.command_log)
    check_file(check, *recording.command_log, entry_path(index, "command_log"));
  if (recording.command_log && (!recording.command_positive || !recording.command_degrees))
    check.error(entry_path(index, "command_log"), "a command log without the sense of its angles",
                "add command_positive: early or late, and command_degrees: crank or cam");
  if (!recording.file && recording.edges.empty())
    check.error(entry_path(index), "a recording without anything recorded",
                "give its file, or edges read off a screen");
  for (std::size_t i = 0; i < recording.edges.size(); ++i) {
    const std::string path = fmt::format("{}[{}]", entry_path(index, "edges"), i);
    check.check_place(recording.edges[i].cam, path + ".cam", PlaceType::camshaft);
    if (recording.edges[i].values.value.kind != Kind::crank_angle)
      check.error(path + ".values",
                  fmt::format("\"{}\" are not crank degrees", recording.edges[i].values.text),
                  "write them as 117.3 117.5 117.2 deg crank");
    else
      for (const AnyQuantity& value : recording.edges[i].values.value.values)
        if (!(value.si >= 0 && value.si <= 720 * kRadiansPerDegree))
          check.error(path + ".values",
                      fmt::format("{:.4g} degrees after the gap: a cycle has 0 to 720",
                                  value.si / kRadiansPerDegree));
  }
  for (std::size_t i = 0; i < recording.channels.size(); ++i) {
    const std::string& is = recording.channels[i].is;
    if (folded(is) == "crank" || folded(is) == "not used") continue;
    check.check_place(is, fmt::format("{}[{}].is", entry_path(index, "channels"), i),
                      PlaceType::camshaft);
  }
}

void check_trace(const CaseCheck& check, const TorqueTrace& trace, std::size_t index) {
  check_file(check, trace.file, entry_path(index, "file"));
  std::vector<std::string> known;
  const Fastener* found = nullptr;
  for (const LoadedDrive& drive : check.loaded().drives) {
    for (const Fastener& fastener : drive.drive.fasteners) {
      known.push_back(fastener.name);
      if (folded(fastener.name) == folded(trace.fastener)) found = &fastener;
    }
  }
  if (known.empty()) return;
  if (found == nullptr) {
    const auto near = nearest(trace.fastener, known);
    check.error(entry_path(index, "fastener"),
                fmt::format("\"{}\" is no fastener of the drive", trace.fastener),
                near ? fmt::format("did you mean \"{}\"?", *near)
                     : fmt::format("known: {}", joined(known, ", ")));
  } else if (trace.step && *trace.step > static_cast<int>(found->steps.size())) {
    check.error(entry_path(index, "step"),
                fmt::format("{} has {} steps", found->name, found->steps.size()));
  } else if (trace.bolt && found->count && *trace.bolt > *found->count) {
    check.error(entry_path(index, "bolt"),
                fmt::format("there are {} of {}", *found->count, found->name));
  }
}

void check_samples(const CaseCheck& check, const PhaseSamples& samples, std::size_t index) {
  check.check_place(samples.place, entry_path(index, "place"), PlaceType::camshaft);
  if (!samples.actual && !samples.sd && !samples.peak_to_peak && !samples.mean)
    check.error(entry_path(index), "a scan without samples",
                "give the actual angles sample by sample, or what was reported");
  if (samples.actual && samples.actual->value.kind != Kind::crank_angle)
    check.error(entry_path(index, "actual"),
                fmt::format("\"{}\" are not crank degrees", samples.actual->text),
                "write them as 7.1 12.4 9.0 deg crank");
}

}  // namespace

std::optional<std::string> path_problem(const std::string& file) {
  if (file.empty()) return "the file name is empty";
  if (file.front() == '/' || file.front() == '\\' || (file.size() > 1 && file[1] == ':'))
    return fmt::format("\"{}\" is a path of one machine", file);
  for (const auto& part : split(file, '/'))
    if (part == "..") return fmt::format("\"{}\" leads out of the case folder", file);
  if (file.find('\\') != std::string::npos)
    return fmt::format("\"{}\": write / between folders", file);
  return std::nullopt;
}

void check_case(const LoadedCase& loaded, Diagnostics& diagnostics) {
  const CaseCheck check(loaded, diagnostics);
  const Case& value = loaded.value;
  constexpr std::size_t kMostInstruments = 200;
  if (value.instruments.size() > kMostInstruments) {
    check.error("instruments", fmt::format("{} instruments; at most {} are read",
                                           value.instruments.size(), kMostInstruments));
    return;
  }
  if (value.drive && !value.candidates.empty())
    check.error("candidates", "give one drive or several candidates, not both", {}, "drive",
                "the drive is here");
  check_ids(check);
  check_instruments(check);
  for (std::size_t i = 0; i < value.entries.size(); ++i) {
    if (loaded.places.failed(entry_path(i))) continue;
    const EntryBody& body = value.entries[i].body;
    if (const auto* reading = std::get_if<Reading>(&body)) {
      check_reading(check, *reading, i);
    } else if (const auto* pressure = std::get_if<PressureReading>(&body)) {
      check_pressure(check, *pressure, i);
    } else if (const auto* oil = std::get_if<OilFound>(&body)) {
      check_oil_found(check, *oil, i);
    } else if (const auto* marks = std::get_if<MarksSeen>(&body)) {
      check_marks(check, *marks, i);
    } else if (const auto* stop = std::get_if<StopReading>(&body)) {
      check_stop(check, *stop, i);
    } else if (const auto* indicator = std::get_if<IndicatorReading>(&body)) {
      check_indicator(check, *indicator, i);
    } else if (const auto* gap = std::get_if<ValveGap>(&body)) {
      check_valve_gap(check, *gap, i);
    } else if (const auto* standing = std::get_if<Standing>(&body)) {
      check_standing(check, *standing, i);
    } else if (const auto* observation = std::get_if<Observation>(&body)) {
      check.check_place(observation->place, entry_path(i, "place"), std::nullopt);
    } else if (const auto* part = std::get_if<PartEntry>(&body)) {
      check_bank(check, *part, i);
    } else if (const auto* attachment = std::get_if<Attachment>(&body)) {
      check_file(check, attachment->file, entry_path(i, "file"));
    } else if (const auto* codes = std::get_if<Codes>(&body)) {
      check_codes(check, *codes, i);
    } else if (const auto* recording = std::get_if<SensorRecording>(&body)) {
      check_recording(check, *recording, i);
    } else if (const auto* trace = std::get_if<TorqueTrace>(&body)) {
      check_trace(check, *trace, i);
    } else if (const auto* samples = std::get_if<PhaseSamples>(&body)) {
      check_samples(check, *samples, i);
    } else if (const auto* identification = std::get_if<Identification>(&body)) {
      std::vector<std::string> known;
      for (const LoadedDrive& drive : loaded.drives) known.push_back(drive.drive.name);
      if (!known.empty() &&
          std::find(known.begin(), known.end(), identification->variant) == known.end()) {
        const auto near = nearest(identification->variant, known);
        check.error(
            entry_path(i, "variant"),
            fmt::format("\"{}\" is none of the drives of this case", identification->variant),
            near ? fmt::format("did you mean \"{}\"?", *near)
                 : fmt::format("known: {}", joined(known, ", ")));
      }
    }
  }
}

}  // namespace tautmark
