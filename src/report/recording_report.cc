// SPDX-License-Identifier: Apache-2.0
#include "report/recording_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>

#include "recording/cam_phase.h"
#include "recording/phase_statistics.h"
#include "report/recording_cycles.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

struct SpeedRange {
  double least = 0, median = 0, most = 0;
  std::size_t turns = 0;
};

SpeedRange speed_range(const Decoded& decoded) {
  std::vector<double> values;
  for (const TurnSpeed& turn : decoded.speed) values.push_back(turn.per_minute);
  if (values.empty()) return {};
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  const double median = n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
  return {values.front(), median, values.back(), n};
}

struct CamEdgeRow {
  int polarity = 0;
  PlaceSummary place;
};
struct CamRow {
  std::vector<CamEdgeRow> edges;         // by angle
  std::optional<PhaseStatistics> phase;  // of the polarity with the smaller jitter
  std::optional<CamPhase> cycles;        // of the same
  double systematic = 0;
  std::int64_t wrong_edges = 0;
};

// Both polarities of a channel together.
std::map<int, CamRow> cam_rows(const Decoded& decoded) {
  std::map<int, CamRow> rows;
  for (const DecodedCam& cam : decoded.cams) {
    const auto phase = cam_phase(decoded, cam);
    if (!phase) continue;
    CamRow& row = rows[cam.channel];
    for (const PlaceSummary& place : phase->places) row.edges.push_back({cam.polarity, place});
    row.wrong_edges += phase->wrong_edges;
    std::vector<double> psi;
    for (const CyclePhase& cycle : phase->cycles) psi.push_back(cycle.psi);
    const PhaseStatistics found = phase_statistics(psi);
    if (found.count == 0 || (row.phase && row.phase->jitter <= found.jitter)) continue;
    row.phase = found;
    row.systematic = phase->systematic;
    row.cycles = *phase;
  }
  for (auto& [channel, row] : rows)
    std::sort(row.edges.begin(), row.edges.end(), [](const CamEdgeRow& a, const CamEdgeRow& b) {
      return a.place.angle < b.place.angle;
    });
  return rows;
}

std::vector<double> steps_of(const Wheel& wheel) {
  std::vector<double> steps;
  for (std::size_t i = 0; i < wheel.angles.size(); ++i)
    steps.push_back((i + 1 < wheel.angles.size() ? wheel.angles[i + 1] : 360) - wheel.angles[i]);
  return steps;
}

double rounded(double value, double step) {
  return std::round(value / step) / std::round(1 / step);
}

std::vector<std::string> notes_of(const SignalTrains& trains, const Decoded& decoded,
                                  const RecordingMeaning* meaning) {
  std::vector<std::string> notes = trains.notes;
  notes.insert(notes.end(), decoded.notes.begin(), decoded.notes.end());
  if (!decoded.cycle_resolved && !decoded.cams.empty())
    notes.emplace_back("the cycle of 720° is not resolved: angles are known modulo 360°");
  if (decoded.cams.empty()) notes.emplace_back("no cam signal: nothing is said of any camshaft");
  if (meaning == nullptr)
    notes.emplace_back(
        "no edges known to be right to compare with: nothing is judged; before against after, or "
        "bank against bank, can be compared, and an error equal on both is invisible");
  else
    notes.insert(notes.end(), meaning->notes.begin(), meaning->notes.end());
  return notes;
}

// Channels in a row with one reason share a line.
std::string rejected_text(const std::vector<RejectedChannel>& rejected) {
  std::string out;
  for (std::size_t first = 0, end = 0; first < rejected.size(); first = end) {
    const RejectedChannel& own = rejected[first];
    for (end = first + 1; end < rejected.size(); ++end)
      if (rejected[end].why != own.why || rejected[end].channel != rejected[end - 1].channel + 1)
        break;
    if (end - first > 2) {
      out += fmt::format("not used: channels {} to {}: {}\n", own.channel,
                         rejected[end - 1].channel, own.why);
      continue;
    }
    end = first + 1;
    out += fmt::format("not used: channel {}{}: {}\n", own.channel,
                       own.name.empty() ? "" : " (" + own.name + ")", own.why);
  }
  return out;
}

const CamMeaning* meaning_of_channel(const RecordingMeaning* meaning, int channel) {
  if (meaning == nullptr) return nullptr;
  for (const CamMeaning& cam : meaning->cams)
    if (cam.found && cam.found->channel == channel) return &cam;
  return nullptr;
}

void add_cam_meaning(Json& json, const CamMeaning& cam) {
  const CamAgainstNominal& found = *cam.found;
  json["cam"] = cam.cam;
  json["phase"] = {{"mean_deg", rounded(found.phase, 0.001)},
                   {"sd_deg", rounded(found.sd, 0.001)},
                   {"jitter_deg", rounded(found.jitter, 0.001)},
                   {"systematic_deg", rounded(found.detail.systematic, 0.001)},
                   {"U_deg", rounded(cam.U, 0.001)},
                   {"polarity", found.polarity},
                   {"cycles", found.cycles},
                   {"against", "reference"}};
  json["window"] = {
      {"verdict", verdict_word(cam.verdict)},
      {"limit_deg", cam.window ? Json(rounded(*cam.window, 0.001)) : Json(nullptr)},
      {"says", cam.says},
      {"open_because", cam.verdict == Verdict::open ? Json(cam.open_because) : Json(nullptr)}};
}

void add_meaning(Json& json, const RecordingMeaning& meaning) {
  json["drive"] = meaning.drive;
  json["verdict"] = verdict_word(verdict_of(meaning));
  json["not_compared"] = meaning.refused.empty() ? Json(nullptr) : Json(meaning.refused);
  json["contradictions"] = meaning.contradictions;
  json["missing_cams"] = Json::array();
  for (const CamMeaning& cam : meaning.cams)
    if (!cam.found) json["missing_cams"].push_back({{"cam", cam.cam}, {"why", cam.open_because}});
  if (!meaning.hypotheses) return;
  const MeaningReport& report = *meaning.hypotheses;
  for (const MeaningAnswer& answer : report.answers)
    json["hypotheses"].push_back({{"name", meaning_name(answer.meaning)},
                                  {"probability", rounded(answer.posterior, 0.0001)},
                                  {"says", answer.words}});
  json["separated"] = report.separated;
  json["none_fits"] = report.none_fits;
  json["sentence"] = report.sentence;
}

}  // namespace

std::string recording_json(const std::string& name, const SignalTrains& trains,
                           const Decoded& decoded, const RecordingMeaning* meaning,
                           const RecordingExtras* extras) {
  Json json;
  json["schema"] = "recording/1";
  json["recording"] = name;
  json["format"] = trains.format;
  json["first_time_s"] = trains.first_time;
  json["last_time_s"] = trains.last_time;
  json["channels"] = Json::array();
  for (const SignalTrain& train : trains.channels)
    json["channels"].push_back({{"channel", train.channel},
                                {"name", train.name},
                                {"is_logic", train.kind == SignalKind::logic}});
  json["cycle_resolved"] = decoded.cycle_resolved;
  const SpeedRange speed = speed_range(decoded);
  json["speed"] = {{"min", rounded(speed.least, 0.01)},
                   {"median", rounded(speed.median, 0.01)},
                   {"max", rounded(speed.most, 0.01)},
                   {"unit", "1/min"},
                   {"revolutions", speed.turns}};
  const SignalTrain* crank = train_of(trains, decoded.crank.channel);
  Json steps = Json::array();
  for (const double step : steps_of(decoded.crank.wheel)) steps.push_back(rounded(step, 0.001));
  json["crank"] = {{"channel", decoded.crank.channel},
                   {"polarity", decoded.crank.polarity},
                   {"wheel",
                    {{"name", decoded.crank.wheel.name},
                     {"slots", decoded.crank.wheel.slots},
                     {"edges_per_turn", tooth_count(decoded.crank.wheel)},
                     {"steps_deg", steps}}},
                   {"glitches", crank != nullptr ? crank->glitches : 0},
                   {"missed_teeth", decoded.crank.missed_teeth},
                   {"extra_edges", decoded.crank.extra_edges}};
  json["cams"] = Json::array();
  for (const auto& [channel, row] : cam_rows(decoded)) {
    Json cam = {{"channel", channel}, {"edges", Json::array()}};
    for (const CamEdgeRow& edge : row.edges)
      cam["edges"].push_back({{"polarity", edge.polarity},
                              {"angle_deg", rounded(edge.place.angle, 0.001)},
                              {"sd_deg", rounded(edge.place.sd, 0.001)},
                              {"count", edge.place.count}});
    if (row.phase)
      cam["phase"] = {{"mean_deg", rounded(row.phase->mean, 0.001)},
                      {"sd_deg", rounded(row.phase->sd, 0.001)},
                      {"jitter_deg", rounded(row.phase->jitter, 0.001)},
                      {"systematic_deg", rounded(row.systematic, 0.001)},
                      {"against", "self"}};
    const CamMeaning* known = meaning_of_channel(meaning, channel);
    if (known != nullptr) add_cam_meaning(cam, *known);
    if (extras != nullptr && extras->with_cycles && row.cycles)
      cam["cycles"] = cycles_json(known != nullptr ? known->found->detail : *row.cycles);
    cam["wrong_edges"] = row.wrong_edges;
    json["cams"].push_back(std::move(cam));
  }
  json["rejected_channels"] = Json::array();
  for (const RejectedChannel& rejected : decoded.rejected)
    json["rejected_channels"].push_back({{"channel", rejected.channel}, {"why", rejected.why}});
  json["hypotheses"] = Json::array();
  if (meaning != nullptr) add_meaning(json, *meaning);
  if (json["hypotheses"].empty())
    json["hypotheses"].push_back(
        {{"name", "cannot tell"},
         {"probability", 1},
         {"says", meaning == nullptr || meaning->refused.empty()
                      ? "nothing known to be right to compare with: a drive with its sensor edges, "
                        "an earlier recording of this engine, or a good engine of the family would "
                        "tell"
                      : meaning->refused}});
  json["notes"] = notes_of(trains, decoded, meaning);
  if (extras != nullptr) add_extras(json, *extras);
  if (extras != nullptr && extras->without_verdict) {
    json.erase("verdict");
    for (Json& cam : json["cams"])
      if (cam.contains("window")) cam["window"].erase("verdict");
  }
  return json.dump(2) + "\n";
}

std::string recording_text(const std::string& name, const SignalTrains& trains,
                           const Decoded& decoded, const RecordingMeaning* meaning,
                           const RecordingExtras* extras) {
  const SpeedRange speed = speed_range(decoded);
  std::string out = fmt::format("{}: {}, {} channels, {:.3f} s\n", name, trains.format,
                                trains.channels.size(), trains.last_time - trains.first_time);
  out += fmt::format("speed {:.0f} to {:.0f} 1/min, median {:.0f}, {} turns\n", speed.least,
                     speed.most, speed.median, speed.turns);
  out += fmt::format("crank: channel {}, {} edges, wheel {}, {} edges a turn\n",
                     decoded.crank.channel, decoded.crank.polarity > 0 ? "rising" : "falling",
                     decoded.crank.wheel.name, tooth_count(decoded.crank.wheel));
  if (decoded.crank.missed_teeth + decoded.crank.extra_edges > 0)
    out += fmt::format("  {} teeth missed, {} edges too many\n", decoded.crank.missed_teeth,
                       decoded.crank.extra_edges);
  for (const auto& [channel, row] : cam_rows(decoded)) {
    out += fmt::format("cam: channel {}, crank degrees after the gap{}\n", channel,
                       decoded.cycle_resolved ? "" : ", modulo 360°");
    for (const CamEdgeRow& edge : row.edges)
      out += fmt::format("  {:<8} {:8.2f}°  ± {:.2f}° ({} times)\n",
                         edge.polarity > 0 ? "rising" : "falling", edge.place.angle, edge.place.sd,
                         edge.place.count);
    if (row.phase)
      out += fmt::format(
          "  jitter {:.2f}°, peak to peak {:.2f}° (crank){}\n", row.phase->jitter,
          row.phase->peak_to_peak,
          row.systematic > 0
              ? fmt::format(", and ± {:.1f}° common to all: few crank teeth", row.systematic)
              : "");
    if (row.wrong_edges > 0) out += fmt::format("  {} wrong edges left out\n", row.wrong_edges);
  }
  out += rejected_text(decoded.rejected);
  if (extras != nullptr) out += extras_text(*extras);
  if (meaning != nullptr) out += meaning_text(*meaning);
  for (const std::string& note : notes_of(trains, decoded, meaning))
    out += fmt::format("note: {}\n", note);
  return out;
}

}  // namespace tautmark
