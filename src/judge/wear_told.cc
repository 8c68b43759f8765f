// SPDX-License-Identifier: Apache-2.0
#include "judge/wear_told.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "judge/oil_question.h"
#include "judge/remembered.h"

namespace tautmark {
namespace {

// Of a gauge that is not fitted yet (common practice, no source).
constexpr Pressure kNextGauge = kPa(2);

// What may be blocked, and ways that wear together and cannot be told apart by any gauge: journals
// that begin and end at the same places, and all that are off together.
std::vector<oil::WearSuspect> suspects_of(const OilCircuit& circuit) {
  std::vector<oil::WearSuspect> out;
  std::map<std::string, std::size_t> known;
  for (std::size_t i = 0; i < circuit.ways.size(); ++i) {
    const CircuitWay& way = circuit.ways[i];
    const oil::Element& element = circuit.network.elements[i];
    const OilElementKind kind = way.written.kind;
    // What leads on from one place to another can be blocked, each by itself.
    if (element.from != oil::kSump && element.to != oil::kSump && !way.journal &&
        kind != OilElementKind::slot) {
      out.push_back({.name = element.name, .elements = {i}, .is_blocked = true});
      continue;
    }
    if (kind == OilElementKind::relief || kind == OilElementKind::hole ||
        kind == OilElementKind::check_valve || kind == OilElementKind::screen)
      continue;
    // What was measured is known: it is no suspect any more.
    if (way.journal && circuit.journals[*way.journal].measured) continue;
    std::string key, name = element.name;
    if (way.journal) {
      const std::string& place = circuit.journals[*way.journal].place;
      // Of the front journal with its passages: all its ways.
      std::size_t ways = 0;
      for (const CircuitWay& other : circuit.ways) ways += other.journal == way.journal ? 1 : 0;
      key = ways > 1 ? place : fmt::format("{} to {}", element.from, element.to);
      name = place;
    } else {
      key = way.factor ? fmt::format("factor {}", *way.factor) : element.name;
      if (way.factor) name = circuit.unknowns[*way.factor].name;
    }
    const auto [found, is_new] = known.emplace(key, out.size());
    if (is_new) out.push_back({.name = name});
    oil::WearSuspect& suspect = out[found->second];
    suspect.elements.push_back(i);
    if (!is_new && way.journal && suspect.name.find(name) == std::string::npos)
      suspect.name += ", " + name.substr(name.rfind('/') + 2);
  }
  return out;
}

std::optional<WearTold> worked_out(const CheckInput& input, const OilQuestion& asked) {
  if (!wanted_first(asked).empty()) return std::nullopt;
  const auto oil = specified_oil(input.drive->drive, asked.gauges.oil);
  const auto circuit = circuit_of(*input.drive, asked);
  if (!oil || !circuit) return std::nullopt;
  const oil::Running running{oil->at.dynamic, oil->at.density, asked.gauges.speed};
  std::vector<GaugeRead> all = asked.gauges.heads;
  all.push_back(asked.gauges.gallery);
  oil::WearQuestion question{.as_new = asked_of(*circuit, running, all),
                             .suspects = suspects_of(*circuit)};
  for (const EnginePlace& place : input.places) {
    const auto is_read = [&](const GaugeRead& gauge) { return gauge.place == place.path; };
    if (place.type != PlaceType::oil_port || std::any_of(all.begin(), all.end(), is_read)) continue;
    if (const auto node = node_of(*circuit, place.path))
      question.ports.push_back({place.path, *node, running, kNextGauge});
  }
  auto wear = oil::explain_wear(question);
  if (!wear) return std::nullopt;
  WearTold out{asked.gauges, std::move(*wear)};
  for (const GaugeRead& gauge : all) out.evidence.push_back(gauge.entry);
  for (const auto& [bank, repair] : asked.repairs)
    out.evidence.insert(out.evidence.end(), repair.evidence.begin(), repair.evidence.end());
  if (!asked.oil.fuel.empty()) out.evidence.push_back(asked.oil.fuel);
  for (const CircuitJournal& journal : circuit->journals)
    if (journal.measured) out.measured.push_back(journal.place);
  return out;
}

}  // namespace

std::optional<WearTold> wear_told(const CheckInput& input) {
  const auto asked = oil_question(input);
  if (!asked) return std::nullopt;
  if (const auto bank = lowest_head(asked->gauges).bank)
    if (const auto repair = asked->repairs.find(*bank);
        repair != asked->repairs.end() && !repair->second.options.empty())
      return std::nullopt;
  static Remembered<OilQuestion, std::optional<WearTold>> remembered(kQuestionsRemembered);
  return remembered.answer(*asked, [&] { return worked_out(input, *asked); });
}

}  // namespace tautmark
