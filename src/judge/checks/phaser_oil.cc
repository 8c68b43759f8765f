// SPDX-License-Identifier: Apache-2.0
// What the vanes and the lock pin of a phaser can have at most from the pressure read at its head
// (judge/phaser_oil.h). Forecasts, always open: too little is said, enough never is.
#include "judge/phaser_oil.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "judge/banks_compared.h"
#include "judge/checks/checks.h"
#include "judge/gauges_together.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kHot =
    "hot oil, running engine: keep clear of fan and belts; a hose that lets go sprays";
constexpr std::string_view kStep =
    "a step of the commanded angle of 10° or more, both ways, oil hot, with the command logged";

constexpr std::string_view kOfPin = ", lock pin";

struct Asked {
  const CheckInput& input;
  const EnginePlace& place;  // of the phaser
  const Phaser& phaser;
  const PortRead* hot = nullptr;
  const PortRead* cold = nullptr;
  const std::optional<GaugesCannotBe>& wrong;
};

// Of a check that never passes: nothing of it changes the exit status.
Finding opened(const Asked& asked, OpenBecause because, std::string why,
               std::vector<std::string> next = {}) {
  Finding finding =
      open_finding("phaser-oil", asked.place.path, because, std::move(why), std::move(next));
  finding.forecast = true;
  return finding;
}

Finding told(const Asked& asked, std::string why) {
  Finding finding = opened(asked, OpenBecause::forecast, std::move(why));
  finding.evidence = {asked.hot->gauge.entry};
  finding.cautions = {std::string(kHot)};
  return finding;
}

const EnginePlace* head_port(const CheckInput& input, const EnginePlace& place) {
  for (const EnginePlace& port : input.places)
    if (port.type == PlaceType::oil_port && port.bank && port.bank == place.bank) return &port;
  return nullptr;
}

Finding lacking(const Asked& asked, const std::vector<std::string>& lacks) {
  Finding finding =
      opened(asked, OpenBecause::not_in_drive,
             "the definition says too little of this phaser to tell what oil pressure it "
             "needs");
  for (const std::string& key : lacks)
    finding.next.push_back(fmt::format("in the definition: {}", key));
  return finding;
}

std::string read_words(const PortRead& read) {
  return fmt::format("{:.0f} kPa at {} ({})", in_kPa(read.gauge.mean), read.gauge.place,
                     read.condition);
}

// A bound is never shown below itself.
double rounded_up(double value, double parts) { return std::ceil(value * parts) / parts; }

std::string_view band_words(oil::AuthorityBand band) {
  switch (band) {
    case oil::AuthorityBand::drifts:
      return "it would drift to the stop";
    case oil::AuthorityBand::holds_only:
      return "it holds at best, and does not travel that way";
    case oil::AuthorityBand::slow:
      return "slow that way at best";
    default:
      return "the head has enough for it; what is lost on the way to its vanes is not in that";
  }
}

// The better bank's phaser beside this one's: size and load drop out.
void add_ratio(const Asked& asked, Finding& finding) {
  const auto found = bank_gauges(asked.input);
  if (!found.gauges || found.gauges->bank != asked.place.bank) return;
  const BankGauges& gauges = *found.gauges;
  const bool is_alike = std::any_of(
      asked.input.places.begin(), asked.input.places.end(), [&](const EnginePlace& other) {
        return other.type == PlaceType::phaser && other.bank == gauges.healthy &&
               has_equal_vanes(*other.camshaft->phaser, asked.phaser);
      });
  const auto ratio = oil::authority_ratio(estimated(gauges.head), estimated(gauges.healthy_head));
  if (!is_alike || !ratio) return;
  finding.budget.push_back(fmt::format("by the ports {:.2f} ± {:.2f} times what bank {} has",
                                       ratio->value, ratio->U * ratio->value, gauges.healthy));
  finding.evidence.push_back(gauges.healthy_head.entry);
}

Finding torque(const Asked& asked) {
  const auto most = phaser_at_most(asked.phaser, estimated(asked.hot->gauge));
  if (!most) return opened(asked, OpenBecause::not_in_drive, most.error().why);
  const oil::Authority& authority = most->authority;
  if (authority.best == oil::AuthorityBand::load_helps) {
    Finding finding = told(asked,
                           "the load of this phaser is not known closely enough: it may turn the "
                           "camshaft by itself");
    finding.next = {"in the definition: cam_torque, bias_spring and friction, known closer"};
    return finding;
  }
  Finding finding =
      told(asked,
           fmt::format("{}: its vanes have at most {:.1f} N·m, it needs {:.1f} ± {:.1f} N·m {}, a "
                       "margin of at most {:.2f}: {}",
                       read_words(*asked.hot),
                       rounded_up((authority.available + authority.available_U).si(), 10),
                       authority.needed.si(), authority.needed_U.si(),
                       most->travel == oil::Travel::advance ? "to advance" : "to retard",
                       rounded_up(authority.high, 100), band_words(authority.best)));
  if (authority.best == oil::AuthorityBand::drifts)
    finding.follows = {"a new phaser would fare no better"};
  else
    finding.next = {std::string(kStep)};
  finding.sources = {
      "torque of the vanes: their displacement times the pressure at the port, from which it is "
      "only lost; bands of the margin: own judgement"};
  finding.budget = {
      "a phaser that lives on the swing of the cam torque, or has a check valve in its supply, can "
      "have more"};
  add_ratio(asked, finding);
  return finding;
}

std::string pin_words(const PinAtMost& pin, oil::PinState hot) {
  if (pin.is_short_hot)
    return "it cannot be free at this pressure: stuck at lock is what this gives";
  if (hot == oil::PinState::free)
    return "the head has enough for it; friction, side load and the way to it are not in that";
  return "too close to tell";
}

Finding lock_pin(const Asked& asked, const EnginePlace& port) {
  const auto of = [](const PortRead* read) {
    return read == nullptr ? std::nullopt : std::optional(estimated(read->gauge));
  };
  const auto pin = pin_at_most(asked.phaser, of(asked.hot), of(asked.cold));
  if (!pin) return opened(asked, OpenBecause::not_in_drive, pin.error().why);
  Finding finding =
      told(asked, fmt::format("{}: its lock pin needs at least {:.0f} kPa to be free: {}",
                              read_words(*asked.hot), in_kPa(pin->free_at),
                              pin_words(*pin, pin->answer.hot)));
  finding.subject += kOfPin;
  if (asked.cold != nullptr) finding.evidence.push_back(asked.cold->gauge.entry);
  if (pin->is_short_hot && asked.cold == nullptr)
    finding.next = {fmt::format(
        "the pressure at {}, oil cold, specified oil, with speed and oil temperature", port.path)};
  if (pin->answer.cause == oil::StuckAtLock::pressure_short)
    finding.follows.emplace_back(oil::meaning(pin->answer.cause));
  if (pin->answer.cause == oil::StuckAtLock::pressure_short_hot)
    finding.follows.emplace_back(
        "with cold oil the head has enough for the pin: oil leaks on the way, or is thin");
  if (pin->is_short_cold && !pin->is_short_hot)
    finding.follows.emplace_back(
        "with cold oil the head has too little for the pin: not built up yet, or the way is partly "
        "blocked");
  finding.sources = {"force of the spring, pin drawn back, on the area of the pin"};
  return finding;
}

Finding without_oil(const Asked& asked, bool has_torque) {
  Finding finding =
      told(asked,
           fmt::format("{}: the gauge shows nothing; without oil its vanes have no torque and its "
                       "lock pin is not freed",
                       read_words(*asked.hot)));
  if (!has_torque) finding.subject += kOfPin;
  finding.next = {
      "the same gauge and hose at a port that has pressure: a blocked hose shows nothing too"};
  return finding;
}

std::vector<Finding> of_phaser(Asked asked, const std::vector<PortRead>& reads) {
  const bool has_vanes = tells_vanes(asked.phaser), has_pin = tells_pin(asked.phaser);
  if (!has_vanes && !has_pin) return {};
  const auto vanes = has_vanes ? torque_lacks(asked.phaser) : std::vector<std::string>{};
  const auto pin = has_pin ? pin_lacks(asked.phaser) : std::vector<std::string>{};
  const EnginePlace* port = head_port(asked.input, asked.place);
  std::vector<std::string> lacks = vanes;
  lacks.insert(lacks.end(), pin.begin(), pin.end());
  if (port == nullptr) lacks.emplace_back("a port for a gauge at this head (oil.ports)");
  std::vector<Finding> findings;
  if (!lacks.empty()) findings.push_back(lacking(asked, lacks));
  if (vanes.empty() && port != nullptr && !lacks.empty()) findings.back().subject += kOfPin;
  const bool has_torque = has_vanes && vanes.empty(), has_lock = has_pin && pin.empty();
  if (port == nullptr || (!has_torque && !has_lock)) return findings;
  asked.hot = hot_idle_at(reads, *port);
  asked.cold = cold_at(reads, *port);
  if (asked.hot == nullptr) {
    Finding finding = opened(asked, OpenBecause::not_measured,
                             "its head was not read at hot idle: what this phaser has is not known",
                             {port_to_read(port->path)});
    finding.cautions = {std::string(kHot)};
    if (!has_torque) finding.subject += kOfPin;
    findings.push_back(std::move(finding));
    return findings;
  }
  if (asked.wrong && is_one_of(*asked.wrong, asked.hot->gauge.entry)) {
    findings.push_back(
        opened(asked, OpenBecause::implausible, asked.wrong->why, {std::string(kBothGaugesAgain)}));
    findings.back().evidence = {asked.wrong->head.entry, asked.wrong->gallery.entry};
    if (!has_torque) findings.back().subject += kOfPin;
    return findings;
  }
  if (!(asked.hot->gauge.mean.si() > 0)) {
    findings.push_back(without_oil(asked, has_torque));
    return findings;
  }
  if (has_torque) findings.push_back(torque(asked));
  if (has_lock) findings.push_back(lock_pin(asked, *port));
  return findings;
}

}  // namespace

std::vector<Finding> phaser_oil(const CheckInput& input) {
  if (!is_any_port_read(input)) return {};
  const std::vector<PortRead> reads = ports_read(input);
  const auto wrong = gauges_cannot_be(gauges_together(input, GaugesOf::now, 1));
  std::vector<Finding> findings;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::phaser || place.camshaft == nullptr || !place.camshaft->phaser)
      continue;
    for (Finding& finding : of_phaser(
             {.input = input, .place = place, .phaser = *place.camshaft->phaser, .wrong = wrong},
             reads))
      findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
