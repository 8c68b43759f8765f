// SPDX-License-Identifier: Apache-2.0
// What the oil does at a tensioner at the pressure read (judge/tensioner_oil.h), and which of its
// faults nothing heard or timed speaks against. Forecasts, always open. Only of tensioners of which
// the definition says that oil feeds them.
#include "judge/tensioner_oil.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "judge/checks/checks.h"
#include "judge/gauges_together.h"
#include "judge/port_reads.h"
#include "judge/verdict.h"
#include "oil/library.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kSprung =
    "a tensioner is spring-loaded: pin it, face away, glasses on; never clamp the bare plunger";

Finding opened(const EnginePlace& place, OpenBecause because, std::string why,
               std::vector<std::string> next = {}) {
  Finding finding =
      open_finding("tensioner-oil", place.path, because, std::move(why), std::move(next));
  finding.forecast = true;  // never a pass, so nothing of it changes the exit status
  finding.cautions = {std::string(kSprung)};
  return finding;
}

// The port that its oil comes from, and what of the hole's area counts.
struct Feed {
  const EnginePlace* port = nullptr;
  bool is_stated = false;
  double discharge = kFeedDischarge;
};

Feed feed_of(const CheckInput& input, const EnginePlace& place) {
  Feed feed;
  for (const OilElement& way : input.drive->drive.oil->network) {
    if (!way.to || !way.from || !same_place(*way.to, place.path)) continue;
    const EnginePlace* port = find_place(input.places, *way.from);
    if (port == nullptr || port->type != PlaceType::oil_port) continue;
    feed = {port, true, way.coefficient ? way.coefficient->value.si() : kFeedDischarge};
    return feed;
  }
  // Its bank's head before the gallery, read or not: a good gallery may hide a starved head.
  for (const EnginePlace& port : input.places) {
    if (port.type != PlaceType::oil_port || (port.bank && port.bank != place.bank)) continue;
    if (feed.port == nullptr || (port.bank && !feed.port->bank)) feed.port = &port;
  }
  return feed;
}

Finding state_words(const EnginePlace& place, const Feed& feed, const PortRead& read,
                    const TensionerOil& oil, const std::string& grade) {
  const auto for_100 = [](double damping) { return 100 / damping * 1e3; };  // mm/s
  Finding finding = opened(
      place, OpenBecause::forecast,
      fmt::format("{:.0f} kPa at {} ({}): at rest it pushes with {:.0f} N, {:.0f} N of it by its "
                  "spring; full, it gives way by {:.2f} to {:.2f} mm/s for each 100 N",
                  in_kPa(read.gauge.mean), read.gauge.place, read.condition, oil.holds.si(),
                  oil.spring.si(), for_100(oil.damping), for_100(oil.damping_off)));
  finding.follows = {
      fmt::format("with its seal torn by 1 mm² it would push with {:.0f} N", oil.torn.si()),
      fmt::format("without its feed it would push with {:.0f} N, and be filled no more",
                  oil.spring.si()),
      fmt::format("let out faster than {:.0f} mm/s it draws air", oil.refill * 1e3)};
  finding.evidence = {read.gauge.entry};
  finding.sources = {
      "leakage past the plunger with the cube of its clearance; pressure behind the seal as a "
      "divider of two holes"};
  finding.budget = {
      fmt::format("a typical oil of grade {}; clearance as new and cold: a plunger worn by half of "
                  "it gives way 3.4 times as fast",
                  grade)};
  if (!feed.is_stated)
    finding.budget.push_back(fmt::format(
        "the definition does not say where its oil comes from: taken from {}", read.gauge.place));
  return finding;
}

std::vector<Finding> state(const CheckInput& input, const EnginePlace& place,
                           const std::vector<PortRead>& reads) {
  if (!is_any_port_read(input)) return {};
  const Tensioner& tensioner = *place.chain->tensioner;
  const Feed feed = feed_of(input, place);
  std::vector<std::string> lacks = tensioner_lacks(tensioner);
  const auto& grade = input.drive->drive.oil->grade;
  if (!grade) lacks.emplace_back("oil.grade");
  if (feed.port == nullptr) lacks.emplace_back("a port for a gauge (oil.ports)");
  if (!lacks.empty()) {
    Finding finding = opened(place, OpenBecause::not_in_drive,
                             "the definition says too little of this tensioner to tell what its "
                             "oil does");
    for (const std::string& key : lacks)
      finding.next.push_back(fmt::format("in the definition: {}", key));
    return {finding};
  }
  const PortRead* read = hot_idle_at(reads, *feed.port);
  if (read == nullptr)
    return {opened(place, OpenBecause::not_measured,
                   "the pressure that feeds it was not read at hot idle",
                   {port_to_read(feed.port->path)})};
  if (const auto wrong = gauges_cannot_be(gauges_together(input, GaugesOf::now, 1));
      wrong && is_one_of(*wrong, read->gauge.entry)) {
    Finding finding =
        opened(place, OpenBecause::implausible, wrong->why, {std::string(kBothGaugesAgain)});
    finding.evidence = {wrong->head.entry, wrong->gallery.entry};
    return {finding};
  }
  const oil::OilOfLibrary* known = oil::oil_of_grade(oil::known_oils(), *grade);
  const auto properties = known != nullptr
                              ? oil::properties_of(*known)
                              : Result<oil::OilProperties>(refuse(fmt::format(
                                    "no typical oil of grade {} is known: no viscosity", *grade)));
  if (!properties) return {opened(place, OpenBecause::outside_model, properties.error().why)};
  const auto at = oil::oil_at(*properties, Temperature::from_si(read->oil));
  if (!at) return {opened(place, OpenBecause::outside_model, at.error().why)};
  const auto oil =
      tensioner_oil(tensioner, {read->gauge.mean, at->dynamic, at->density, feed.discharge, kTear});
  if (!oil) return {opened(place, OpenBecause::outside_model, oil.error().why)};
  return {state_words(place, feed, *read, *oil, properties->grade)};
}

struct Seen {
  oil::TensionerSigns signs;
  std::vector<std::string> words, evidence;
};

// A complaint that names another bank only is not of this tensioner.
bool is_elsewhere(std::string_view words, const CheckInput& input, const EnginePlace& place) {
  if (!place.bank) return false;
  const std::string all = folded(words);
  const auto names = [&](int bank) {
    return all.find(fmt::format("bank {}", bank)) != std::string::npos;
  };
  return !names(*place.bank) &&
         std::any_of(input.drive->drive.banks.begin(), input.drive->drive.banks.end(),
                     [&](const Bank& bank) { return names(bank.number); });
}

Seen seen_at(const CheckInput& input, const EnginePlace& place) {
  Seen seen;
  NoiseHeard heard;
  for (const auto& [entry, complaint] : all_of_kind<Complaint>(input.entries)) {
    const std::string when = complaint->when.value_or("");
    if (is_elsewhere(complaint->words + " " + when, input, place)) continue;
    const NoiseHeard one = noise_heard(complaint->words, when);
    if (!one.hot_idle && !one.cold && !one.after_standing && !one.gets_worse) continue;
    heard = {heard.hot_idle || one.hot_idle, heard.cold || one.cold,
             heard.after_standing || one.after_standing, heard.gets_worse || one.gets_worse};
    seen.evidence.push_back(entry->id);
  }
  const auto take = [&](bool is_heard, std::optional<bool>& sign, const char* words) {
    if (!is_heard) return;
    sign = true;
    seen.words.emplace_back(words);
  };
  take(heard.hot_idle, seen.signs.rattles_hot_idle, "rattles at hot idle");
  take(heard.cold, seen.signs.rattles_cold, "rattles cold");
  take(heard.after_standing, seen.signs.rattles_after_standing, "rattles in the first seconds");
  take(heard.gets_worse, seen.signs.gets_worse_running, "gets worse while it runs");
  for (const Finding& timed : sink_time(input)) {
    if (timed.subject != place.path || timed.verdict == Verdict::open) continue;
    seen.signs.bench_leak_down_short = timed.verdict == Verdict::fail;
    seen.words.emplace_back(timed.verdict == Verdict::fail ? "sinks too fast on the bench"
                                                           : "holds on the bench");
    seen.evidence.insert(seen.evidence.end(), timed.evidence.begin(), timed.evidence.end());
  }
  return seen;
}

std::vector<Finding> faults(const CheckInput& input, const EnginePlace& place) {
  const Seen seen = seen_at(input, place);
  if (seen.words.empty()) return {};
  const auto fit = oil::faults_that_fit(seen.signs);
  const std::size_t all = oil::fault_signatures().size();
  if (fit.size() == all) return {};
  Finding finding = opened(
      place, OpenBecause::forecast,
      fit.empty() ? "no single fault of a tensioner goes with all that was heard and timed: look "
                    "elsewhere too, or at each again"
                  : fmt::format("what was heard and timed rules out {} of {} faults of a "
                                "tensioner, and proves none",
                                all - fit.size(), all));
  finding.subject += ", signs";
  for (const oil::TensionerFault fault : fit)
    finding.follows.push_back("not ruled out: " + fault_words(fault));
  finding.budget = seen.words;
  finding.evidence = seen.evidence;
  const auto ask = [&](const std::optional<bool>& sign, const char* words) {
    if (!sign) finding.next.emplace_back(words);
  };
  ask(seen.signs.rattles_hot_idle, "does it rattle at hot idle?");
  ask(seen.signs.rattles_cold, "does it rattle cold, past the first seconds?");
  ask(seen.signs.rattles_after_standing, "does it rattle in the first seconds after standing?");
  ask(seen.signs.gets_worse_running, "does it get worse within minutes, and stay so?");
  ask(seen.signs.bench_leak_down_short,
      "sink time of the primed tensioner, oil and its "
      "temperature noted");
  finding.sources = {"common practice, no source"};
  return {finding};
}

}  // namespace

std::vector<Finding> tensioner_oil(const CheckInput& input) {
  if (input.drive == nullptr || !input.drive->drive.oil) return {};
  const std::vector<PortRead> reads = ports_read(input);
  std::vector<Finding> findings;
  for (const EnginePlace& place : input.places) {
    if (place.type != PlaceType::tensioner || !tells_oil(*place.chain->tensioner)) continue;
    for (Finding& finding : state(input, place, reads)) findings.push_back(std::move(finding));
    for (Finding& finding : faults(input, place)) findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace tautmark::checks
