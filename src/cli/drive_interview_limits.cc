// SPDX-License-Identifier: Apache-2.0
#include "cli/drive_interview_limits.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "drive/drive_fields.h"
#include "drive/places.h"

namespace tautmark::cli {
namespace {

constexpr int kMostOfAKind = 64;

// One measurand as a manual's table of limits has it.
struct LimitTopic {
  Measurand quantity;
  UnitTable table;
  bool has_new;        // a range of new parts is usual
  bool mean_or_worst;  // the limit may mean either
  bool may_differ;     // often another one at single places
  std::string_view example;
};
constexpr LimitTopic kTopics[] = {
    {Measurand::journal_diameter, UnitTable::sizes, true, true, true, "at least 27.950 mm"},
    {Measurand::bore_diameter, UnitTable::sizes, true, true, true, "at most 28.060 mm"},
    {Measurand::journal_clearance, UnitTable::sizes, true, true, true, "at most 0.110 mm"},
    {Measurand::end_play, UnitTable::sizes, true, false, false, "at most 0.20 mm"},
    {Measurand::chain_elongation, UnitTable::percent, false, false, false, "at most 0.35 %"},
    {Measurand::chain_length, UnitTable::sizes, false, false, false, "at most 321.10 mm"},
    {Measurand::groove_depth, UnitTable::sizes, false, false, false, "at most 1.0 mm"},
    {Measurand::sink_time, UnitTable::seconds, false, false, false, "at least 8 s"},
    {Measurand::tensioner_stroke_left, UnitTable::none, false, false, false, "at least 20 %"},
    {Measurand::lock_play, UnitTable::none, false, false, false, "at most 0.6 deg cam"},
};

constexpr std::string_view kNewExample = "27.960..27.980 mm";

bool has_place(const Drive& drive, PlaceType type) {
  const auto places = places_of(drive);
  return std::any_of(places.begin(), places.end(),
                     [&](const EnginePlace& place) { return place.type == type; });
}

// A limit of the right kind, of a size that the measurand can have.
void check_limit(Interview& talk, const MeasurandInfo& info,
                 const std::optional<WrittenAnyRange>& limit) {
  if (!limit || !talk.running()) return;
  if (!accepts_kind(info, limit->value.kind)) {
    talk.refuse(fmt::format("{} is {}; {} is {}", limit->text, kind_name(limit->value.kind),
                            info.name, kind_name(info.kinds.front())));
    return;
  }
  if (limit->value.kind != info.kinds.front()) return;
  for (const auto& end : {limit->value.lower_si, limit->value.upper_si}) {
    if (!end || (*end >= info.plausible_lower && *end <= info.plausible_upper)) continue;
    talk.refuse(fmt::format("{} cannot be a {} of any piston engine: is the unit right?",
                            limit->text, info.name));
    return;
  }
}

bool ask_limit(Interview& talk, const LimitTopic& topic, const std::string& about, Fit& fit) {
  const MeasurandInfo& info = measurand_info(topic.quantity);
  const std::string how = fmt::format("Measured: {}.", info.how);
  if (topic.has_new) {
    const std::string_view example =
        info.plausible_lower > 0 ? kNewExample : std::string_view("0.040..0.080 mm");
    talk.fill("limit.new", &fit, about, how, example, topic.table);
    check_limit(talk, info, fit.new_range);
  }
  talk.fill("limit.service", &fit, about, how, topic.example, topic.table);
  check_limit(talk, info, fit.service);
  if (!fit.new_range && !fit.service) return false;
  if (topic.mean_or_worst) talk.fill("limit.applies_to", &fit, about);
  if (topic.quantity == Measurand::chain_length) talk.fill("limit.links", &fit, about);
  if (topic.quantity == Measurand::sink_time) {
    talk.fill("limit.drop", &fit, about);
    talk.fill("limit.force", &fit, about);
  }
  return true;
}

// Single journals are often larger: each place named here gets a limit of its own.
void ask_elsewhere(Interview& talk, Drive& drive, const LimitTopic& topic) {
  const MeasurandInfo& info = measurand_info(topic.quantity);
  const auto said = talk.words("limit.elsewhere", info.name);
  if (!said) return;
  const auto places = places_of(drive);
  for (const std::string& part : split(*said, ';')) {
    const std::string at(trimmed(part));
    if (at.empty()) continue;
    const bool known = std::any_of(places.begin(), places.end(), [&](const EnginePlace& place) {
      return place.type == info.place && place_matches(at, place);
    });
    if (!known) {
      std::vector<std::string> names;
      for (const EnginePlace& place : places)
        if (place.type == info.place) names.push_back(place.path);
      const auto near = nearest(at, names);
      talk.refuse(fmt::format("no {} \"{}\"", place_type_name(info.place), at),
                  fmt::format("for example: {}", near.value_or(names.front())));
      return;
    }
    Fit fit;
    fit.quantity = topic.quantity;
    fit.at = at;
    if (ask_limit(talk, topic, fmt::format("{}, {}", info.name, at), fit))
      drive.fits.push_back(std::move(fit));
  }
}

bool is_torque_or_angle(const std::string& text, const TextRules& rules, TighteningStep& step,
                        TextError& why) {
  Written<Torque> torque;
  const auto no_torque = type_of<Written<Torque>>().read(text, rules, &torque);
  if (!no_torque) {
    step.torque = std::move(torque);
    return true;
  }
  Written<Angle> angle;
  if (!type_of<Written<Angle>>().read(text, rules, &angle)) {
    step.angle = std::move(angle);
    return true;
  }
  why = *no_torque;
  return false;
}

}  // namespace

void ask_limits(Interview& talk, Drive& drive) {
  talk.ask_unit("unit.sizes", UnitTable::sizes);
  bool has_elongation = false;
  for (const LimitTopic& topic : kTopics) {
    const MeasurandInfo& info = measurand_info(topic.quantity);
    if (!has_place(drive, info.place)) continue;
    if (topic.quantity == Measurand::chain_length && has_elongation) continue;
    Fit fit;
    fit.quantity = topic.quantity;
    fit.at = fmt::format("every {}", place_type_name(info.place));
    if (!ask_limit(talk, topic, std::string(info.name), fit)) continue;
    // A length over an unknown number of links limits nothing.
    if (topic.quantity == Measurand::chain_length && !fit.links) continue;
    has_elongation = has_elongation || topic.quantity == Measurand::chain_elongation;
    drive.fits.push_back(std::move(fit));
    if (topic.may_differ) ask_elsewhere(talk, drive, topic);
  }
}

void ask_oil(Interview& talk, Drive& drive) {
  Oil oil;
  talk.fill("oil.grade", &oil);
  talk.fill("oil.fill", &oil);
  while (talk.running() && std::ssize(oil.ports) < kMostOfAKind) {
    OilPort port;
    if (!talk.fill("oil.port", &port, oil.ports.empty() ? "" : "further ")) break;
    if (drive.banks.size() > 1) talk.fill("oil.port_bank", &port, port.name);
    oil.ports.push_back(std::move(port));
  }
  if (!oil.ports.empty()) {
    talk.ask_unit("unit.pressure", UnitTable::pressure);
    talk.ask_unit("unit.temperature", UnitTable::temperature);
  }
  Drive with_ports;  // places of the ports alone
  with_ports.oil = oil;
  const auto places = places_of(with_ports);
  while (!places.empty() && talk.running() && std::ssize(oil.pressures) < kMostOfAKind) {
    PressureLimit limit;
    if (!talk.fill("pressure.at", &limit, oil.pressures.empty() ? "" : "further ", {},
                   places.front().path))
      break;
    const bool known = std::any_of(places.begin(), places.end(), [&](const EnginePlace& place) {
      return place_matches(limit.at, place);
    });
    if (!known) {
      talk.refuse(fmt::format("no port \"{}\"", limit.at),
                  fmt::format("for example: {}", places.front().path));
      break;
    }
    if (!talk.fill("pressure.limit", &limit, limit.at)) continue;
    if (limit.limit.value.kind != Kind::pressure) {
      talk.refuse(fmt::format("{} is {}; a pressure is wanted", limit.limit.text,
                              kind_name(limit.limit.value.kind)));
      break;
    }
    talk.fill("pressure.speed", &limit, limit.at);
    talk.fill("pressure.temperature", &limit, limit.at);
    oil.pressures.push_back(std::move(limit));
  }
  if (!(oil == Oil{})) drive.oil = std::move(oil);
}

void ask_steps(Interview& talk, Fastener& fastener) {
  const auto said = talk.words("fastener.steps", fastener.name);
  if (!said) return;
  const auto parts = split(*said, ';');
  std::vector<TighteningStep> steps;
  for (const std::string& part : parts) {
    std::string text(trimmed(part));
    if (text.empty()) continue;
    // "35; 75" may be a torque and an angle: only a single bare number is the table's.
    if (parts.size() == 1) text = talk.with_unit(text, UnitTable::torque);
    TextError why;
    if (!is_torque_or_angle(text, talk.rules, steps.emplace_back(), why)) {
      talk.refuse(why.problem,
                  parts.size() > 1 ? "each step with its unit: 35 N·m; 75 deg" : why.hint);
      return;
    }
  }
  fastener.steps = std::move(steps);
}

}  // namespace tautmark::cli
