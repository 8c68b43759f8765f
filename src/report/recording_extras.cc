// SPDX-License-Identifier: Apache-2.0
#include "report/recording_extras.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

double rounded(double value) { return std::round(value * 1000) / 1000 + 0.0; }

std::string_view seen_name(Seen seen) {
  switch (seen) {
    case Seen::seen:
      return "seen";
    case Seen::not_seen:
      return "not seen";
    case Seen::cannot_tell:
      break;
  }
  return "cannot tell";
}

// What was seen, and what could not be told although it was asked by a command log.
bool worth_saying(const PhaserFinding& finding) { return finding.seen == Seen::seen; }

std::string seconds_text(const std::optional<double>& seconds) {
  return seconds ? fmt::format("{:.2f} s", *seconds) : std::string("not reached");
}

std::string response_text(const CommandResponse& r) {
  std::string out = fmt::format("  command at {:.2f} s: moved {:.1f}° {}", r.step.time,
                                std::abs(r.way), r.way >= 0 ? "earlier" : "later");
  if (!r.response) return out + ", too few cycles before the next command\n";
  out +=
      fmt::format(", dead time {}, 90 % after {} (± {:.2f} s)", seconds_text(r.response->dead_time),
                  seconds_text(r.response->time_90), 2 * r.time_uncertainty);
  if (r.response->slew) out += fmt::format(", {:.0f}°/s", std::abs(*r.response->slew));
  out += fmt::format(", overshoot {:.0f} %", 100 * r.response->overshoot);
  return out + fmt::format(", settled after {}, left {:.1f}° {}\n",
                           seconds_text(r.response->settling), std::abs(r.response->steady_error),
                           r.response->steady_error >= 0 ? "early" : "late");
}

// One change for each cam: of its two polarities the one known better.
std::vector<CamChange> best_changes(const Comparison& comparison) {
  std::vector<CamChange> best;
  for (const CamChange& change : comparison.cams) {
    const auto same = std::find_if(best.begin(), best.end(), [&](const CamChange& other) {
      return other.channel == change.channel;
    });
    if (same == best.end())
      best.push_back(change);
    else if (change.uncertainty < same->uncertainty)
      *same = change;
  }
  return best;
}

std::string comparison_text(const RecordingExtras& extras) {
  if (extras.before.empty()) return {};
  std::string out = fmt::format("against {} (before):\n", extras.before);
  if (!extras.comparison)
    return out + fmt::format("  not compared: {}\n", extras.comparison_refused);
  const Comparison& c = *extras.comparison;
  if (!c.is_comparable) return out + fmt::format("  {}\n", c.why);
  for (const CamChange& cam : best_changes(c)) out += fmt::format("  {}\n", cam.words);
  for (const std::string& note : c.notes) out += fmt::format("  note: {}\n", note);
  return out;
}

Json optional_json(const std::optional<double>& value) {
  return value ? Json(rounded(*value)) : Json(nullptr);
}

Json response_json(const CommandResponse& r) {
  Json json = {{"time_s", rounded(r.step.time)},
               {"from_deg", rounded(r.step.from)},
               {"to_deg", rounded(r.step.to)},
               {"moved_deg", rounded(r.way)},
               {"moved_U_deg", rounded(2 * r.way_uncertainty)},
               {"time_U_s", rounded(2 * r.time_uncertainty)}};
  if (!r.response) return json;
  json["dead_time_s"] = optional_json(r.response->dead_time);
  json["rise_10_90_s"] = optional_json(r.response->rise_10_90);
  json["time_90_s"] = optional_json(r.response->time_90);
  json["slew_deg_per_s"] = optional_json(r.response->slew);
  json["overshoot"] = rounded(r.response->overshoot);
  json["settling_s"] = optional_json(r.response->settling);
  json["steady_error_deg"] = rounded(r.response->steady_error);
  return json;
}

Json behaviour_json(const PhaserBehaviour& behaviour) {
  Json json = {{"states", Json::array()}, {"responses", Json::array()}};
  for (const PhaserFinding& finding : behaviour.findings)
    json["states"].push_back({{"name", phaser_state_name(finding.state)},
                              {"seen", seen_name(finding.seen)},
                              {"value", rounded(finding.value)},
                              {"unit", finding.unit},
                              {"chance", finding.chance ? Json(*finding.chance) : Json(nullptr)},
                              {"says", finding.words},
                              {"judged_by", finding.judged_by},
                              {"next", finding.next.empty() ? Json(nullptr) : Json(finding.next)}});
  for (const CommandResponse& r : behaviour.responses)
    json["responses"].push_back(response_json(r));
  json["hunting"] = nullptr;
  if (behaviour.hunting)
    json["hunting"] = {{"found", behaviour.hunting->found},
                       {"frequency_hz", rounded(behaviour.hunting->sine.frequency)},
                       {"amplitude_deg", rounded(behaviour.hunting->sine.amplitude)},
                       {"chance", behaviour.hunting->chance}};
  return json;
}

std::string command_text(const RecordingExtras& extras) {
  if (!extras.command_log) return {};
  const CommandLogUse& use = *extras.command_log;
  return fmt::format("command log {}: {}\n", use.is_used ? "used" : "not used", use.why);
}

Json comparison_json(const RecordingExtras& extras) {
  Json json = {{"before", extras.before}};
  if (!extras.comparison) {
    json["refused"] = extras.comparison_refused;
    return json;
  }
  const Comparison& c = *extras.comparison;
  json["comparable"] = c.is_comparable;
  json["why"] = c.why.empty() ? Json(nullptr) : Json(c.why);
  json["cams"] = Json::array();
  for (const CamChange& cam : best_changes(c))
    json["cams"].push_back({{"channel", cam.channel},
                            {"cam", cam.name},
                            {"change_deg", rounded(cam.change)},
                            {"U_deg", rounded(2 * cam.uncertainty)},
                            {"teeth", cam.teeth ? Json(*cam.teeth) : Json(nullptr)},
                            {"remainder_deg", rounded(cam.remainder)},
                            {"scatter_ratio", rounded(cam.scatter_ratio)},
                            {"says", cam.words}});
  json["notes"] = c.notes;
  return json;
}

}  // namespace

std::string extras_text(const RecordingExtras& extras) {
  std::string out;
  for (const HealthFinding& finding : extras.health)
    if (finding.severity == HealthSeverity::bad && finding.kind != HealthKind::not_used)
      out += fmt::format("signal, not to be judged so: {}\n", finding.words);
  for (const CamBehaviour& cam : extras.cams) {
    std::string lines;
    for (const PhaserFinding& finding : cam.behaviour.findings)
      if (worth_saying(finding))
        lines += fmt::format("  {}: {} ({})\n", phaser_state_name(finding.state), finding.words,
                             finding.judged_by);
    for (const CommandResponse& r : cam.behaviour.responses) lines += response_text(r);
    if (!lines.empty()) out += fmt::format("{}:\n{}", cam.cam, lines);
  }
  return out + command_text(extras) + comparison_text(extras);
}

void add_extras(Json& json, const RecordingExtras& extras) {
  json["signals"] = Json::array();
  for (const HealthFinding& finding : extras.health)
    json["signals"].push_back(
        {{"channel", finding.channel},
         {"severity", finding.severity == HealthSeverity::bad ? "bad" : "note"},
         {"number", finding.number},
         {"says", finding.words}});
  for (Json& cam : json["cams"])
    for (const CamBehaviour& known : extras.cams)
      if (cam["channel"] == known.channel) cam["behaviour"] = behaviour_json(known.behaviour);
  json["command_log"] = nullptr;
  if (extras.command_log)
    json["command_log"] = {{"used", extras.command_log->is_used}, {"why", extras.command_log->why}};
  json["comparison"] = extras.before.empty() ? Json(nullptr) : comparison_json(extras);
}

}  // namespace tautmark
