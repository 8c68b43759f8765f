// SPDX-License-Identifier: Apache-2.0
#include "casework/case_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "casework/case_fields.h"
#include "drive/places.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

struct CaseCheck {
  const LoadedCase& loaded;
  Diagnostics& diagnostics;
  std::vector<std::vector<EnginePlace>> places;  // per drive

  void error(const std::string& path, std::string message, std::string hint = {},
             const std::string& second_path = {}, std::string second_message = {}) const {
    if (loaded.places.failed(path)) return;
    Diagnostic diagnostic{Severity::error, loaded.places.at(path), std::move(message), std::move(hint), {}};
    if (!second_path.empty())
      diagnostic.second = DiagnosticNote{loaded.places.at(second_path), std::move(second_message)};
    diagnostics.push_back(std::move(diagnostic));
  }
};

std::string entry_path(std::size_t index, std::string_view key = {}) {
  return key.empty() ? fmt::format("entries[{}]", index) : fmt::format("entries[{}].{}", index, key);
}

void check_ids(const CaseCheck& check) {
  const auto& entries = check.loaded.value.entries;
  std::map<std::string, std::size_t> by_id;
  std::map<std::string, std::size_t> replaced_by;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    if (entry.id.empty()) continue;
    if (entry.replaces) {
      const auto found = by_id.find(*entry.replaces);
      std::vector<std::string> known;
      for (const auto& [id, index] : by_id) known.push_back(id);
      if (*entry.replaces == entry.id) {
        check.error(entry_path(i, "replaces"), "an entry cannot replace itself");
      } else if (found == by_id.end()) {
        const auto near = nearest(*entry.replaces, known);
        check.error(entry_path(i, "replaces"), fmt::format("no earlier entry \"{}\"", *entry.replaces),
                    near ? fmt::format("did you mean \"{}\"?", *near) : "a correction names an entry above it");
      } else if (const auto [first, is_new] = replaced_by.emplace(*entry.replaces, i); !is_new) {
        check.error(entry_path(i, "replaces"),
                    fmt::format("\"{}\" is replaced a second time; correct \"{}\" instead", *entry.replaces,
                                entries[first->second].id), {},
                    entry_path(first->second, "replaces"), "the first correction is here");
      }
    }
    const auto [first, is_new] = by_id.emplace(entry.id, i);
    if (!is_new)
      check.error(entry_path(i, "id"), fmt::format("entry \"{}\" stands here a second time", entry.id), {},
                  entry_path(first->second, "id"), "the first one is here");
  }
}

void check_instruments(const CaseCheck& check) {
  const auto& instruments = check.loaded.value.instruments;
  std::map<std::string, std::size_t> names;
  for (std::size_t i = 0; i < instruments.size(); ++i) {
    const std::string path = fmt::format("instruments[{}]", i);
    if (instruments[i].name.empty()) continue;
    const auto [first, is_new] = names.emplace(folded(instruments[i].name), i);
    if (!is_new)
      check.error(path + ".name", fmt::format("an instrument named \"{}\" stands here a second time", instruments[i].name),
                  {}, fmt::format("instruments[{}].name", first->second), "the first one is here");
    for (const auto& [text, key] : {std::pair{&instruments[i].resolution, ".resolution"},
                                    std::pair{&instruments[i].uncertainty, ".uncertainty"}})
      if (*text && !((*text)->value.si > 0))
        check.error(path + key, fmt::format("{} must be more than zero", (*text)->text));
  }
}

// The place must be one of the drive's, of the right type, in at least one candidate.
void check_place(const CaseCheck& check, const std::string& place, const std::string& path,
                 std::optional<PlaceType> type) {
  if (check.places.empty() || place.empty()) return;
  std::vector<std::string> known;
  const EnginePlace* wrong_type = nullptr;
  for (const auto& places : check.places) {
    if (const EnginePlace* found = find_place(places, place)) {
      if (!type || found->type == *type) return;
      wrong_type = found;
    }
    for (const EnginePlace& candidate : places)
      if (!type || candidate.type == *type) known.push_back(candidate.path);
  }
  if (wrong_type != nullptr) {
    check.error(path, fmt::format("\"{}\" is a {}; a {} is meant here", place, place_type_name(wrong_type->type),
                                  place_type_name(*type)),
                known.empty() ? std::string() : fmt::format("for example: {}", known.front()));
    return;
  }
  const std::string word = lower_ascii(place);
  if (word.find("left") != std::string::npos || word.find("right") != std::string::npos) {
    check.error(path, fmt::format("\"{}\": left or right from which end?", place),
                "name the bank by its number; bank 1 holds cylinder 1");
    return;
  }
  if (known.empty()) {
    check.error(path, fmt::format("the drive has no {} to measure at", type ? place_type_name(*type) : "place"),
                "complete the drive file, or give the reading its own limit in a case without drive");
    return;
  }
  const auto near = nearest(place, known);
  check.error(path, fmt::format("no place \"{}\" in this drive", place),
              near ? fmt::format("did you mean \"{}\"?", *near)
                   : fmt::format("known: {}", joined(known, "; ")));
}

void check_kind(const CaseCheck& check, Kind kind, const MeasurandInfo& info, const std::string& path,
                const std::string& text) {
  if (accepts_kind(info, kind)) return;
  check.error(path, fmt::format("{} is {}; {} is {}", text, kind_name(kind), info.name, kind_name(info.kinds.front())));
}

void check_reading(const CaseCheck& check, const Reading& reading, std::size_t index) {
  const MeasurandInfo& info = measurand_info(reading.quantity);
  const bool blades = reading.passes || reading.stops;
  const int ways = (reading.values ? 1 : 0) + (reading.value ? 1 : 0) + (blades ? 1 : 0);
  if (!info.can_be_read)
    check.error(entry_path(index, "quantity"), fmt::format("{} is not read off a gauge: it follows {}", info.name, info.how));
  if (ways == 0)
    check.error(entry_path(index), "a reading without any value", "values: 27.957 27.958 27.956 mm");
  if (ways > 1)
    check.error(entry_path(index), "give the readings one by one (values), or a reported mean (value), or "
                "blades (passes and stops), not several of them");
  if (reading.values) check_kind(check, reading.values->value.kind, info, entry_path(index, "values"), reading.values->text);
  if (reading.value) check_kind(check, reading.value->value.value.kind, info, entry_path(index, "value"), reading.value->text);
  if (blades) {
    if (!reading.passes || !reading.stops)
      check.error(entry_path(index), "go / no-go needs both blades: the last that passes and the first that does not");
    else if (!(reading.passes->value.si < reading.stops->value.si))
      check.error(entry_path(index, "passes"), "the blade that passes must be thinner than the one that does not", {},
                  entry_path(index, "stops"), "the one that does not is here");
    for (const auto& [blade, key] : {std::pair{&reading.passes, "passes"}, std::pair{&reading.stops, "stops"}})
      if (*blade) check_kind(check, (*blade)->value.kind, info, entry_path(index, key), (*blade)->text);
  }
  if (reading.quantity == Measurand::chain_length && !reading.links)
    check.error(entry_path(index), "a chain length needs the number of links it is over", "links: 40");
  if (reading.quantity == Measurand::lock_play && !reading.radius) {
    const bool length = (reading.values && reading.values->value.kind == Kind::length) ||
                        (reading.value && reading.value->value.value.kind == Kind::length);
    if (length) check.error(entry_path(index), "play on the rim needs its radius", "radius: 50 mm");
  }
  if (reading.limit) check_kind(check, reading.limit->value.kind, info, entry_path(index, "limit"), reading.limit->text);
  check_place(check, reading.place, entry_path(index, "place"), info.place);
}

void check_attachment(const CaseCheck& check, const Attachment& attachment, std::size_t index) {
  const std::string path = entry_path(index, "file");
  if (const auto problem = path_problem(attachment.file)) {
    check.error(path, *problem, "attachments lie inside the case folder");
    return;
  }
  const fs::path folder = check.loaded.file.parent_path();
  const fs::path file = (folder.empty() ? fs::path(".") : folder) / attachment.file;
  std::error_code code;
  if (!fs::exists(file, code)) {
    check.error(path, fmt::format("\"{}\" is not in the case folder", attachment.file),
                "copy the file beside the case, or correct the name");
    return;
  }
  // A link inside the folder must not lead out of it.
  const fs::path root = fs::weakly_canonical(folder.empty() ? fs::path(".") : folder, code);
  const fs::path real = fs::weakly_canonical(file, code);
  const auto [end, rest] = std::mismatch(root.begin(), root.end(), real.begin(), real.end());
  if (code || end != root.end())
    check.error(path, fmt::format("\"{}\" leads out of the case folder", attachment.file));
  else if (!fs::is_regular_file(real, code))
    check.error(path, fmt::format("\"{}\" is not a file", attachment.file));
}

}  // namespace

std::optional<std::string> path_problem(const std::string& file) {
  if (file.empty()) return "the file name is empty";
  if (file.front() == '/' || file.front() == '\\' || (file.size() > 1 && file[1] == ':'))
    return fmt::format("\"{}\" is a path of one machine", file);
  for (const auto& part : split(file, '/'))
    if (part == "..") return fmt::format("\"{}\" leads out of the case folder", file);
  if (file.find('\\') != std::string::npos) return fmt::format("\"{}\": write / between folders", file);
  return std::nullopt;
}

void check_case(const LoadedCase& loaded, Diagnostics& diagnostics) {
  CaseCheck check{loaded, diagnostics, {}};
  for (const LoadedDrive& drive : loaded.drives) check.places.push_back(places_of(drive.drive));
  const Case& value = loaded.value;
  if (value.drive && !value.candidates.empty())
    check.error("candidates", "give one drive or several candidates, not both", {}, "drive", "the drive is here");
  check_ids(check);
  check_instruments(check);
  for (std::size_t i = 0; i < value.entries.size(); ++i) {
    if (loaded.places.failed(entry_path(i))) continue;
    const EntryBody& body = value.entries[i].body;
    if (const auto* reading = std::get_if<Reading>(&body)) {
      check_reading(check, *reading, i);
    } else if (const auto* pressure = std::get_if<PressureReading>(&body)) {
      if (pressure->values.value.kind != Kind::pressure)
        check.error(entry_path(i, "values"), fmt::format("{} is {}; oil pressure is a pressure", pressure->values.text,
                                                         kind_name(pressure->values.value.kind)));
      check_place(check, pressure->place, entry_path(i, "place"), PlaceType::oil_port);
    } else if (const auto* observation = std::get_if<Observation>(&body)) {
      check_place(check, observation->place, entry_path(i, "place"), std::nullopt);
    } else if (const auto* attachment = std::get_if<Attachment>(&body)) {
      check_attachment(check, *attachment, i);
    } else if (const auto* identification = std::get_if<Identification>(&body)) {
      std::vector<std::string> known;
      for (const LoadedDrive& drive : loaded.drives) known.push_back(drive.drive.name);
      if (!known.empty() && std::find(known.begin(), known.end(), identification->variant) == known.end()) {
        const auto near = nearest(identification->variant, known);
        check.error(entry_path(i, "variant"), fmt::format("\"{}\" is none of the drives of this case", identification->variant),
                    near ? fmt::format("did you mean \"{}\"?", *near) : fmt::format("known: {}", joined(known, ", ")));
      }
    }
  }
}

}  // namespace tautmark
