// SPDX-License-Identifier: Apache-2.0
#include "judge/case_recordings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/diagnostic.h"
#include "base/hash.h"
#include "base/text.h"
#include "judge/drive_sensors.h"
#include "judge/recording_meaning.h"
#include "recording/angle.h"
#include "recording/mapped_file.h"
#include "recording/phase_statistics.h"
#include "recording/read.h"

namespace tautmark {
namespace {

constexpr double kCursor = 0.1;  // degrees, standard: an edge set by eye on a screen; ours

// Cursor readings against the first edge of that kind that the drive names.
std::optional<CamSeen> typed_cam(const Nominals& nominals, const TypedEdge& typed) {
  const int polarity = typed.edge == EdgeSense::falling ? -1 : 1;
  for (const NominalCam& cam : nominals.cams) {
    if (!same_place(cam.cam, typed.cam)) continue;
    const auto named = std::find_if(cam.edges.begin(), cam.edges.end(),
                                    [&](const NominalEdge& e) { return e.polarity == polarity; });
    if (named == cam.edges.end()) return std::nullopt;
    std::vector<double> psi;
    for (const AnyQuantity& value : typed.values.value.values)
      psi.push_back(-wrapped(value.si / kRadiansPerDegree - named->angle));
    const PhaseStatistics s = phase_statistics(psi);
    CamAgainstNominal seen;
    seen.cam = cam.cam;
    seen.phase = s.mean;
    seen.first_edge = named->angle - s.mean;
    seen.sd = s.sd;
    seen.cycles = s.count;
    seen.statistical = std::max(s.sd, kCursor) / std::sqrt(s.count);
    for (const NominalEdge& other : cam.edges) {
      if (other.polarity != polarity || &other == &*named) continue;
      const double instead = -wrapped(seen.first_edge - other.angle);
      if (seen.other_places == 0 || std::abs(instead) < std::abs(seen.other_places))
        seen.other_places = instead;
    }
    return CamSeen{std::move(seen), {}};
  }
  return std::nullopt;
}

void read_typed(const Nominals& nominals, RecordingSeen& seen) {
  for (const TypedEdge& typed : seen.body->edges) {
    if (auto cam = typed_cam(nominals, typed))
      seen.cams.push_back(std::move(*cam));
    else
      seen.notes.push_back(fmt::format("{}: the drive names no such edge of it", typed.cam));
  }
}

void set_problem(RecordingSeen& seen, std::string problem, std::string decides) {
  seen.problem = std::move(problem);
  seen.decides = std::move(decides);
}

void read_file(const CheckInput& input, const Nominals& nominals, RecordingSeen& seen) {
  const std::filesystem::path file = input.folder / *seen.body->file;
  if (changed_since(seen.body->sha256, file))
    return set_problem(seen,
                       fmt::format("{} is not the file that was entered: its SHA-256 sum is "
                                   "another",
                                   *seen.body->file),
                       "find the file as it was recorded, or enter the recording anew");
  auto trains = read_recording(file.string());
  if (!trains)
    return set_problem(seen,
                       fmt::format("{}: {}", *seen.body->file, trains.error().front().message),
                       "record again, or save it as comma separated values");
  auto decoded = decode_by_drive(*trains, nominals);
  if (!decoded)
    return set_problem(seen, fmt::format("{}: {}", *seen.body->file, decoded.error().why),
                       "record crank and cam sensors together, five cycles or more");
  seen.notes = trains->notes;
  seen.notes.insert(seen.notes.end(), decoded->notes.begin(), decoded->notes.end());
  seen.trains = std::move(*trains);
  seen.decoded = std::move(*decoded);
  seen.health = signal_health(*seen.trains, *seen.decoded);
  if (nominals.cams.empty()) return;
  auto found = against_nominals(*seen.decoded, nominals);
  if (!found)
    return set_problem(seen, found.error().why, "say in the entry which channel is which camshaft");
  for (CamAgainstNominal& cam : found->cams) {
    std::string doubt = signal_doubt(seen.health, *seen.decoded, cam.channel);
    seen.cams.push_back({std::move(cam), std::move(doubt)});
  }
  seen.missing = found->missing;
  seen.contradictions = found->contradictions;
  seen.notes.insert(seen.notes.end(), found->notes.begin(), found->notes.end());
}

bool opens_the_drive(const EntryBody& body) {
  if (const auto* part = std::get_if<PartEntry>(&body))
    return part->action == PartAction::fitted || part->action == PartAction::reused;
  if (const auto* state = std::get_if<EngineState>(&body))
    return state->chain == OnOff::off || state->apart == YesNo::yes;
  return false;
}

}  // namespace

std::vector<RecordingSeen> case_recordings(const CheckInput& input) {
  std::vector<RecordingSeen> all;
  for (const Entry* entry : entries_in_order_of_work(*input.value)) {
    const auto* body = std::get_if<SensorRecording>(&entry->body);
    if (body == nullptr) continue;
    RecordingSeen seen;
    seen.entry = entry;
    seen.body = body;
    const Nominals nominals =
        input.drive != nullptr ? nominals_of(input.drive->drive, body->channels) : Nominals{};
    read_typed(nominals, seen);
    if (body->file) read_file(input, nominals, seen);
    all.push_back(std::move(seen));
  }
  return all;
}

std::vector<CamHistory> history_of(const std::vector<RecordingSeen>& recordings,
                                   std::string_view camshaft) {
  std::vector<CamHistory> history;
  for (auto recording = recordings.rbegin(); recording != recordings.rend(); ++recording)
    for (const CamSeen& seen : recording->cams)
      if (recording->problem.empty() && same_place(seen.against.cam, camshaft))
        history.push_back({&*recording, &seen});
  return history;
}

bool changed_since(const std::optional<std::string>& sha256, const std::filesystem::path& file) {
  if (!sha256) return false;
  const auto mapped = MappedFile::open(file.string());
  return !mapped || folded(sha256_hex(mapped->bytes())) != folded(*sha256);
}

const Entry* opened_after(const CheckInput& input, const Entry* entry) {
  bool reached = false;
  for (const Entry* other : entries_in_order_of_work(*input.value)) {
    if (reached && opens_the_drive(other->body)) return other;
    reached = reached || other == entry;
  }
  return nullptr;
}

}  // namespace tautmark
