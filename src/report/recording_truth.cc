// SPDX-License-Identifier: Apache-2.0
#include "report/recording_truth.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "recording/recording_write.h"
#include "recording/synthesis_verdict.h"

namespace tautmark {
namespace {

using Json = nlohmann::ordered_json;

// JSON knows no infinity: a phaser that is stuck to the end.
Json finite(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json speed_json(const std::vector<SpeedPiece>& pieces) {
  Json list = Json::array();
  for (const SpeedPiece& p : pieces)
    list.push_back({{"duration_s", p.duration},
                    {"from_per_min", p.from},
                    {"to_per_min", p.to},
                    {"ripple", p.ripple},
                    {"order", p.order},
                    {"phase_rad", p.phase},
                    {"swing_back_deg", p.swing_back}});
  return list;
}

Json phaser_json(const SynthPhaser& phaser) {
  Json commands = Json::array();
  for (const SynthCommand& c : phaser.commands)
    commands.push_back({{"time_s", c.time}, {"target_deg", c.target}});
  return {{"commands", commands},
          {"dead_time_s", phaser.dead_time},
          {"slew_deg_per_s", phaser.slew},
          {"damping", phaser.damping},
          {"frequency_rad_per_s", phaser.frequency},
          {"stuck_from_s", phaser.stuck_from},
          {"stuck_until_s", finite(phaser.stuck_until)}};
}

Json cam_parameters(const SynthCam& cam) {
  Json jumps = Json::array();
  for (const SynthJump& jump : cam.jumps)
    jumps.push_back({{"time_s", jump.time}, {"teeth", jump.teeth}});
  return {{"targets_deg", cam.targets},
          {"widths_deg", cam.widths},
          {"offset_deg", cam.offset},
          {"sprocket_teeth", cam.teeth},
          {"jumps", jumps},
          {"elongation_deg", cam.elongation},
          {"elongation_deg_per_s", cam.elongation_rate},
          {"phaser", phaser_json(cam.phaser)},
          {"hunting_deg", cam.hunting},
          {"hunting_hz", cam.hunting_frequency},
          {"chatter_deg", cam.chatter},
          {"chatter_chance", cam.chatter_chance},
          {"jitter_deg", cam.jitter},
          {"delay_s", cam.delay},
          {"inverted", cam.inverted}};
}

Json signal_json(const ChannelSignal& signal, const SynthesisPlan& plan) {
  Json json = {{"kind", choice_name(signal.kind)}};
  if (signal.kind == SensorSignal::hall)
    json.update({{"low_v", signal.hall.low},
                 {"high_v", signal.hall.high},
                 {"noise_v", signal.hall.noise},
                 {"rise_time_s", signal.hall.rise_time}});
  const InductiveSignal& coil = plan.inductive;
  if (signal.kind == SensorSignal::inductive)
    json.update({{"amplitude_v", coil.amplitude},
                 {"noise_v", coil.noise},
                 {"hum_v", coil.hum},
                 {"hum_hz", coil.hum_frequency},
                 {"drift_v", coil.drift},
                 {"bits", coil.bits}});
  return json;
}

Json channel_json(std::size_t index, const SynthesisPlan& plan, const Synthesised& made) {
  Json edges = Json::array();
  for (const TrueEdge& edge : made.truth.edges[index])
    edges.push_back({edge.angle, edge.time, edge.polarity});
  return {{"channel", index + 1},
          {"name", plan.names[index]},
          {"signal", signal_json(plan.signals[index], plan)},
          {"dropped_pulses", made.truth.dropped[index]},
          {"extra_pulses", made.truth.extra[index]},
          {"edges", std::move(edges)}};
}

Json verdict_json(const ExpectedVerdict& verdict) {
  Json faults = Json::array();
  for (const PlantedFault& fault : verdict.faults) {
    Json json = {{"what", fault.what}};
    if (!fault.channel.empty()) json["channel"] = fault.channel;
    if (fault.teeth != 0) json["teeth"] = std::abs(fault.teeth);
    const double signed_amount = fault.teeth != 0 ? fault.teeth : fault.degrees;
    if (signed_amount != 0) json["way"] = signed_amount < 0 ? "late" : "early";
    if (fault.degrees != 0) json["degrees"] = std::abs(fault.degrees);
    if (fault.what == "phaser hunting") json["way"] = "both";
    json.update({{"from_s", fault.from}, {"until_s", fault.until}, {"says", fault.says}});
    faults.push_back(std::move(json));
  }
  return {{"meaning", verdict.meaning}, {"says", verdict.says}, {"faults", std::move(faults)}};
}

}  // namespace

std::string recording_truth_json(const std::string& name, const SynthesisPlan& plan,
                                 const Synthesised& made) {
  const Synthesis& in = plan.engine;
  Json json;
  json["schema"] = "recording-truth/1";
  json["invented"] = true;
  json["statement"] = kInventedStatement;
  json["recording"] = name;
  json["title"] = plan.spec.title.value_or("");
  json["format"] = choice_name(plan.format);
  json["seed"] = in.seed;
  json["sample_rate_hz"] = plan.sample_rate;
  json["full_scale_v"] = plan.full_scale;
  json["verdict"] = verdict_json(expected_verdict(plan));
  json["last_time_s"] = made.trains.last_time;
  json["last_angle_deg"] = made.truth.last_angle;
  json["speed"] = speed_json(in.speed);
  json["faults"] = {
      {"dropped", in.faults.dropped}, {"extra", in.faults.extra}, {"doubled", in.faults.doubled}};
  Json crank = channel_json(0, plan, made);
  std::vector<int> dead = in.faults.dead_teeth;
  for (int& tooth : dead) ++tooth;
  crank["parameters"] = {
      {"wheel", plan.spec.crank.wheel.text}, {"teeth_deg", in.crank_teeth},
      {"widths_deg", in.crank_widths},       {"tooth_error_sd_deg", in.tooth_error},
      {"jitter_deg", in.crank_jitter},       {"dead_teeth", dead},
      {"inverted", in.faults.inverted}};
  crank["tooth_errors_deg"] = made.truth.tooth_errors;
  json["crank"] = std::move(crank);
  json["cams"] = Json::array();
  for (std::size_t c = 0; c < in.cams.size(); ++c) {
    Json cam = channel_json(c + 1, plan, made);
    cam["parameters"] = cam_parameters(in.cams[c]);
    cam["first_cycle"] = made.truth.first_cycle[c];
    cam["psi_deg"] = made.truth.psi[c];
    json["cams"].push_back(std::move(cam));
  }
  return json.dump() + "\n";
}

}  // namespace tautmark
