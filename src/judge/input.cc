// SPDX-License-Identifier: Apache-2.0
#include "judge/case_recordings.h"
#include "judge/check.h"

namespace tautmark {
namespace {

// Without a drive the case itself says what places there are.
void add_place(std::vector<EnginePlace>& places, const std::string& path, PlaceType type) {
  if (find_place(places, path) != nullptr) return;
  EnginePlace place;
  place.path = path;
  place.type = type;
  places.push_back(std::move(place));
}

}  // namespace

CheckInput check_input(const LoadedCase& loaded, const LoadedDrive* drive) {
  CheckInput input;
  input.value = &loaded.value;
  input.folder = loaded.file.parent_path();
  input.drive = drive;
  input.entries = entries_in_force(loaded.value);
  input.readings = all_of_kind<Reading>(input.entries);
  input.recordings = std::make_shared<const std::vector<RecordingSeen>>(case_recordings(input));
  if (drive != nullptr) {
    input.places = places_of(drive->drive);
    return input;
  }
  for (const auto& [entry, reading] : input.readings)
    add_place(input.places, reading->place, measurand_info(reading->quantity).place);
  for (const auto& [entry, pressure] : all_of_kind<PressureReading>(input.entries))
    add_place(input.places, pressure->place, PlaceType::oil_port);
  return input;
}

}  // namespace tautmark
