// SPDX-License-Identifier: Apache-2.0
#include "casework/case_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <unordered_map>

#include "base/text.h"
#include "casework/case_fields.h"
#include "drive/places.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

// In SI: outside a slip of the unit is certain.
struct Size {
  double lower;
  double upper;
};
constexpr double kCelsius = 273.15;
constexpr Size kPartTemperature{kCelsius - 60, kCelsius + 250};
constexpr Size kOilTemperature{kCelsius - 60, kCelsius + 250};
constexpr Size kSpeed{0, 30000.0 / 60};
constexpr Size kOilPressure{-101325, 5e6};  // a gauge cannot show less than a vacuum

struct CaseCheck {
  const LoadedCase& loaded;
  Diagnostics& diagnostics;
  std::vector<std::vector<EnginePlace>> places;  // per drive
  // The same by key: a case of thousands of readings looks each place up once.
  std::vector<std::unordered_map<std::string, const EnginePlace*>> by_key;

  // Enough was said; advice is no longer worth its time.
  [[nodiscard]] bool is_full() const { return diagnostics.size() > kMostDiagnostics; }

  void error(const std::string& path, std::string message, std::string hint = {},
             const std::string& second_path = {}, std::string second_message = {}) const {
    if (loaded.places.failed(path)) return;
    Diagnostic diagnostic{Severity::error, loaded.places.at(path), std::move(message), std::move(hint), {}};
    if (!second_path.empty())
      diagnostic.second = DiagnosticNote{loaded.places.at(second_path), std::move(second_message)};
    add_diagnostic(diagnostics, std::move(diagnostic));
  }
};

// Equal for texts that name the same place.
std::string place_key(std::string_view place) {
  std::vector<std::string> parts = split(place, '/');
  for (std::string& part : parts) part = folded(part);
  return joined(parts, "/");
}

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
      if (*entry.replaces == entry.id) {
        check.error(entry_path(i, "replaces"), "an entry cannot replace itself");
      } else if (found == by_id.end()) {
        if (check.is_full()) continue;
        std::vector<std::string> known;
        for (const auto& [id, index] : by_id) known.push_back(id);
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
  if (check.places.empty() || place.empty() || check.is_full()) return;
  const EnginePlace* wrong_type = nullptr;
  const std::string key = place_key(place);
  for (const auto& by_key : check.by_key) {
    const auto found = by_key.find(key);
    if (found == by_key.end()) continue;
    if (!type || found->second->type == *type) return;
    wrong_type = found->second;
  }
  std::vector<std::string> known;
  for (const auto& places : check.places)
    for (const EnginePlace& candidate : places)
      if (!type || candidate.type == *type) known.push_back(candidate.path);
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

bool is_inside(double value, const Size& size) { return value >= size.lower && value <= size.upper; }

template <class Q>
void check_size(const CaseCheck& check, const std::string& path,
                const std::optional<Written<Q>>& value, const Size& size, std::string_view what) {
  if (value && !is_inside(value->value.si(), size))
    check.error(path, fmt::format("{} cannot be {}: is the unit right?", value->text, what));
}

// Values that no gauge can show. What is merely unlikely is the judge's matter.
void check_possible(const CaseCheck& check, const Reading& reading, std::size_t index) {
  const auto smallest = [&](Kind kind) -> std::optional<double> {
    if (kind != Kind::length && kind != Kind::time) return std::nullopt;
    switch (reading.quantity) {
      case Measurand::journal_diameter:
      case Measurand::bore_diameter:
      case Measurand::chain_length:
      case Measurand::sink_time: return std::numeric_limits<double>::min();
      case Measurand::tensioner_extension:
      case Measurand::groove_depth: return 0;
      default: return std::nullopt;
    }
  };
  const auto refuse = [&](std::string_view key, const std::string& text, double value) {
    check.error(entry_path(index, key),
                fmt::format("a {} of {} is not possible: {}", choice_name(reading.quantity),
                            value < 0 ? "less than nothing" : "nothing", text));
  };
  if (reading.values)
    for (const AnyQuantity& value : reading.values->value.values)
      if (const auto least = smallest(value.kind); least && value.si < *least) {
        refuse("values", reading.values->text, value.si);
        break;
      }
  if (reading.value) {
    const AnyQuantity& value = reading.value->value.value;
    if (const auto least = smallest(value.kind); least && value.si < *least)
      refuse("value", reading.value->text, value.si);
  }
}

// What says something only beside something else.
void check_extras(const CaseCheck& check, const Reading& reading, std::size_t index) {
  const auto belongs = [&](bool there, bool fits, std::string_view key, std::string_view of) {
    if (there && !fits)
      check.error(entry_path(index, key), fmt::format("{} belongs to a {} only, not to a {}", key,
                                                      of, choice_name(reading.quantity)));
  };
  const Measurand quantity = reading.quantity;
  belongs(reading.links.has_value(), quantity == Measurand::chain_length, "links", "chain length");
  belongs(reading.radius.has_value(), quantity == Measurand::lock_play, "radius", "lock play");
  belongs(reading.drop.has_value(), quantity == Measurand::sink_time, "drop", "sink time");
  belongs(reading.force.has_value(),
          quantity == Measurand::sink_time || quantity == Measurand::chain_length, "force",
          "sink time or a chain length");
  belongs(reading.cap.has_value(),
          quantity == Measurand::bore_diameter || quantity == Measurand::journal_clearance, "cap",
          "bore or a clearance");
  if (reading.limit) return;
  if (reading.applies_to)
    check.error(entry_path(index, "applies_to"), "applies_to says something about a limit, and "
                "this reading has none of its own");
  if (reading.limit_source)
    check.error(entry_path(index, "limit_source"), "the source of a limit, and this reading has no "
                "limit of its own");
}

// What an instrument declares must be of the kind that it measures.
void check_instrument(const CaseCheck& check, const std::optional<std::string>& name, Kind kind,
                      std::size_t index) {
  if (!name) return;
  const auto& instruments = check.loaded.value.instruments;
  for (std::size_t i = 0; i < instruments.size(); ++i) {
    if (folded(instruments[i].name) != folded(*name)) continue;
    for (const auto& [declared, key] : {std::pair{&instruments[i].uncertainty, "uncertainty"},
                                        std::pair{&instruments[i].resolution, "resolution"}}) {
      if (!*declared || (*declared)->value.kind == kind) continue;
      check.error(entry_path(index, "instrument"),
                  fmt::format("{} is declared with {}, which is {}; this reading is {}", *name,
                              (*declared)->text, kind_name((*declared)->value.kind),
                              kind_name(kind)),
                  {}, fmt::format("instruments[{}].{}", i, key), "it is declared here");
    }
  }
}

void check_conditions(const CaseCheck& check, const Reading& reading, std::size_t index) {
  check_size(check, entry_path(index, "temperature"), reading.temperature, kPartTemperature,
             "the temperature of a part in a shop");
  check_size(check, entry_path(index, "instrument_temperature"), reading.instrument_temperature,
             kPartTemperature, "the temperature of an instrument");
  if (reading.count && reading.values)
    check.error(entry_path(index, "count"),
                "count belongs to a reported mean (value); the readings one by one count themselves");
  if (reading.values)
    check_instrument(check, reading.instrument, reading.values->value.kind, index);
  else if (reading.value)
    check_instrument(check, reading.instrument, reading.value->value.value.kind, index);
}

void check_pressure(const CaseCheck& check, const PressureReading& pressure, std::size_t index) {
  check_size(check, entry_path(index, "speed"), pressure.speed, kSpeed, "the speed of an engine");
  check_size(check, entry_path(index, "oil_temperature"), pressure.oil_temperature,
             kOilTemperature, "the temperature of oil in an engine");
  check_place(check, pressure.place, entry_path(index, "place"), PlaceType::oil_port);
  const AnyList& values = pressure.values.value;
  if (values.kind != Kind::pressure) {
    check.error(entry_path(index, "values"),
                fmt::format("{} is {}; oil pressure is a pressure", pressure.values.text,
                            kind_name(values.kind)));
    return;
  }
  check_instrument(check, pressure.instrument, Kind::pressure, index);
  for (const AnyQuantity& value : values.values) {
    if (is_inside(value.si, kOilPressure)) continue;
    check.error(entry_path(index, "values"),
                fmt::format("{} cannot be an oil pressure of any engine: is the unit right?",
                            pressure.values.text));
    break;
  }
}

void check_bank(const CaseCheck& check, const PartEntry& part, std::size_t index) {
  if (!part.bank || check.loaded.drives.empty()) return;
  for (const LoadedDrive& drive : check.loaded.drives) {
    const auto& banks = drive.drive.banks;
    if (banks.empty() || std::any_of(banks.begin(), banks.end(), [&](const Bank& bank) {
          return bank.number == *part.bank;
        }))
      return;
  }
  check.error(entry_path(index, "bank"), fmt::format("bank {} is not in the drive", *part.bank));
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
  check_possible(check, reading, index);
  check_extras(check, reading, index);
  check_conditions(check, reading, index);
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
    check.error(path, fmt::format("\"{}\" leads out of the case folder", attachment.file),
                "copy the file itself into the folder; a link is not enough");
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
  CaseCheck check{loaded, diagnostics, {}, {}};
  for (const LoadedDrive& drive : loaded.drives) {
    const auto& places = check.places.emplace_back(places_of(drive.drive));
    auto& by_key = check.by_key.emplace_back();
    for (const EnginePlace& place : places) by_key.emplace(place_key(place.path), &place);
  }
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
      check_pressure(check, *pressure, i);
    } else if (const auto* observation = std::get_if<Observation>(&body)) {
      check_place(check, observation->place, entry_path(i, "place"), std::nullopt);
    } else if (const auto* part = std::get_if<PartEntry>(&body)) {
      check_bank(check, *part, i);
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
