// SPDX-License-Identifier: Apache-2.0
#include "judge/drive_sensors.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "drive/places.h"
#include "judge/chain_wear.h"
#include "judge/drive_paths.h"

namespace tautmark {
namespace {

int polarity_of(const std::optional<EdgeSense>& edge) {
  return edge == EdgeSense::falling ? -1 : 1;
}

const EnginePlace* camshaft_place(const std::vector<EnginePlace>& places, std::string_view path) {
  const EnginePlace* place = find_place(places, path);
  return place != nullptr && place->camshaft != nullptr && place->type == PlaceType::camshaft
             ? place
             : nullptr;
}

// Lateness for one part in a thousand of elongation, the middle of what is known.
std::optional<double> late_per_mille(const Drive& drive, const Chain& chain,
                                     std::string_view camshaft) {
  MeasuredWear wear;
  wear.parts.elongation = Ratio::from_si(0.001);
  const auto late = worn_late(drive, chain, wear, camshaft);
  if (!late) return std::nullopt;
  return (late->least + late->most) / 2;
}

double strand_ratio(const Drive& drive, const Chain& chain, std::string_view camshaft) {
  const auto own = late_per_mille(drive, chain, camshaft);
  if (!own || !(*own > 0)) return 1;
  double least = *own;
  for (const EnginePlace& place : places_of(drive)) {
    if (place.type != PlaceType::camshaft || place.in_bank == nullptr) continue;
    if (chain_of(drive, *place.in_bank, *place.camshaft) != &chain) continue;
    const auto late = late_per_mille(drive, chain, place.path);
    if (late && *late > 0) least = std::min(least, *late);
  }
  return *own / least;
}

void set_travel(PhaseEvidence& evidence, const Phaser& phaser) {
  if (!phaser.base || !phaser.range) return;
  const double range = in_crank_deg(phaser.range->value);
  switch (*phaser.base) {
    case PhaserBase::full_advance:
      evidence.travel_from = -range, evidence.travel_to = 0;
      break;
    case PhaserBase::full_retard:
      evidence.travel_from = 0, evidence.travel_to = range;
      break;
    case PhaserBase::mid_travel:
      evidence.travel_from = -range / 2, evidence.travel_to = range / 2;
  }
}

double tolerance_of(const CamSensor* sensor) {
  if (sensor == nullptr || !sensor->spread) return kUsualSpread;
  // A spread learned from few engines says little of the next one.
  const double one = in_crank_deg(sensor->spread->value);
  const int n = sensor->engines.value_or(0);
  return n > 0 ? one * std::sqrt(1 + 1.0 / n) : one;
}

}  // namespace

const CamSensor* cam_sensor_of(const Drive& drive, std::string_view camshaft) {
  const std::vector<EnginePlace> places = places_of(drive);
  const EnginePlace* place = camshaft_place(places, camshaft);
  return place != nullptr && place->camshaft->sensor ? &*place->camshaft->sensor : nullptr;
}

Nominals nominals_of(const Drive& drive, std::span<const ChannelHint> hints) {
  Nominals out;
  if (drive.crankshaft && drive.crankshaft->sensor) {
    const CrankSensor& sensor = *drive.crankshaft->sensor;
    out.crank_wheel = sensor.wheel.value_or("");
    if (sensor.edge) out.crank_polarity = polarity_of(sensor.edge);
    if (sensor.gap) out.crank_gap = *sensor.gap == SignalLevel::high ? 1 : -1;
    out.crank_is_coil = sensor.kind == SensorKind::inductive;
  }
  for (const EnginePlace& place : places_of(drive)) {
    if (place.type != PlaceType::camshaft || place.camshaft == nullptr || !place.camshaft->sensor ||
        place.camshaft->sensor->edges.empty())
      continue;
    NominalCam cam{place.path, 0, {}};
    for (const SensorEdge& edge : place.camshaft->sensor->edges)
      cam.edges.push_back({in_crank_deg(edge.at.value), polarity_of(edge.edge)});
    out.cams.push_back(std::move(cam));
  }
  for (const ChannelHint& hint : hints) {
    if (folded(hint.is) == "crank") out.crank_channel = hint.channel;
    if (folded(hint.is) == "not used") out.not_used.push_back(hint.channel);
    for (NominalCam& cam : out.cams)
      if (same_place(cam.cam, hint.is)) cam.channel = hint.channel;
  }
  return out;
}

Result<PhaseEvidence> cam_of_drive(const Drive& drive, std::string_view camshaft) {
  const std::vector<EnginePlace> places = places_of(drive);
  const EnginePlace* place = camshaft_place(places, camshaft);
  if (place == nullptr)
    return tl::unexpected<Refusal>(
        Refusal{fmt::format("the drive has no camshaft \"{}\"", camshaft)});
  const Chain* chain = chain_of(drive, *place->in_bank, *place->camshaft);
  auto teeth = place->camshaft->sprocket_teeth;
  if (!teeth && chain != nullptr) teeth = teeth_under(drive, *chain, place->path);
  if (!teeth)
    return tl::unexpected<Refusal>(Refusal{
        fmt::format("the drive does not say how many teeth the sprocket of {} has", place->path)});
  PhaseEvidence evidence;
  evidence.cam = place->path;
  evidence.teeth = *teeth;
  if (chain != nullptr) {
    evidence.chain = static_cast<int>(chain - drive.chains.data());
    evidence.strand_ratio = strand_ratio(drive, *chain, place->path);
  } else {
    evidence.chain = -1 - static_cast<int>(place - places.data());
  }
  if (place->camshaft->phaser) set_travel(evidence, *place->camshaft->phaser);
  evidence.tolerance = tolerance_of(cam_sensor_of(drive, camshaft));
  return evidence;
}

Result<std::vector<PhaseEvidence>> evidence_of(const Drive& drive, const AgainstNominals& found) {
  std::vector<PhaseEvidence> evidence;
  for (const CamAgainstNominal& cam : found.cams) {
    auto one = cam_of_drive(drive, cam.cam);
    if (!one) return tl::unexpected(one.error());
    one->phase = cam.phase;
    one->statistical = cam.statistical;
    one->tolerance = std::hypot(one->tolerance, cam.detail.systematic);
    evidence.push_back(std::move(*one));
  }
  return evidence;
}

}  // namespace tautmark
