// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_question.h"

#include <fmt/format.h>

#include "judge/pressure_read.h"

namespace tautmark {
namespace {

OilThen oil_then(const CheckInput& input, const GaugesTogether& gauges) {
  OilThen out;
  const std::string& at = gauges.gallery.entry;
  for (const auto& reading : all_of_kind<PressureReading>(input.entries))
    if (reading.entry->id == at)
      if (const auto grade = grade_in_it(input, reading)) out.is_assumed = grade->is_assumed;
  const OilInIt in_it = oil_in(input, at);
  out.out_of_grade = found_out_of_grade(in_it, input.drive->drive).has_value();
  out.spoiled = spoiled_oil(input, at);
  const auto smell = fuel_smelled(in_it);
  const auto& grade = input.drive->drive.oil->grade;
  const auto thinned = smell && grade ? thinned_by_fuel(*grade) : std::nullopt;
  if (thinned) {
    out.thinned = thinned->most;
    out.fuel = smell->entry->id;
  }
  return out;
}

std::map<int, RepairOptions> repairs_of(const CheckInput& input) {
  std::map<int, RepairOptions> out;
  for (const EnginePlace& place : input.places)
    if (place.type == PlaceType::journal && place.bank && !out.contains(*place.bank))
      out.emplace(*place.bank, repair_options(input, *place.bank));
  return out;
}

std::vector<KnownClearance> known_of(const std::map<int, RepairOptions>& repairs) {
  std::vector<KnownClearance> known;
  for (const auto& [bank, repair] : repairs)
    for (const oil::JournalClearance& one : repair.journals)
      known.push_back({one.name, one.clearance, one.expanded});
  return known;
}

}  // namespace

bool tells_ways(const CheckInput& input) {
  return input.drive != nullptr && input.drive->drive.oil &&
         !input.drive->drive.oil->network.empty();
}

std::optional<OilQuestion> oil_question(const CheckInput& input) {
  if (!tells_ways(input)) return std::nullopt;
  auto gauges = gauges_together(input, GaugesOf::as_found, 1);
  if (!gauges) return std::nullopt;
  OilQuestion asked{.drive = input.drive->drive, .gauges = std::move(*gauges)};
  asked.repairs = repairs_of(input);
  asked.oil = oil_then(input, asked.gauges);
  return asked;
}

std::string wanted_first(const OilQuestion& asked) {
  if (const auto wrong = above_gallery(asked.gauges))
    return fmt::format("{} and the gallery again: the head cannot have more than what feeds it",
                       wrong->place);
  if (asked.oil.out_of_grade)
    return "sound oil: a laboratory found it out of its grade when the gauges were read";
  if (!(asked.gauges.gallery.mean.si() > 0)) return "a pressure at the gallery: it shows nothing";
  if (asked.drive.oil->controlled_pump.value_or(false))
    return "a pump that is not controlled: a controlled one shows what is wanted, not what leaks";
  for (const auto& [bank, repair] : asked.repairs)
    if (!repair.impossible.empty()) return read_again(repair.impossible.front());
  return {};
}

Result<OilCircuit> circuit_of(const LoadedDrive& loaded, const OilQuestion& asked) {
  auto circuit = oil_circuit(loaded, known_of(asked.repairs), asked.gauges.oil, asked.oil.thinned);
  if (!circuit) return circuit;
  if (asked.oil.is_assumed)
    circuit->assumed.push_back(
        "which oil was in it when the gauges were read is not entered: the specified one is taken");
  if (!asked.drive.oil->controlled_pump)
    circuit->assumed.push_back(
        "the pump is taken as not controlled: the definition does not say (controlled_pump)");
  if (!asked.oil.fuel.empty())
    circuit->assumed.push_back(
        fmt::format("it smells of fuel: the ranges hold for none to {:.0f} % of it in the oil",
                    100 * kFuelAsked));
  return circuit;
}

Result<OilKnown> specified_oil(const Drive& drive, Temperature at) {
  if (!drive.oil->grade) return refuse("the grade of the oil: the definition names none");
  const oil::OilOfLibrary* found = oil::oil_of_grade(oil::known_oils(), *drive.oil->grade);
  if (found == nullptr)
    return refuse(fmt::format("the viscosity of {}: no typical one is known", *drive.oil->grade));
  const auto properties = oil::properties_of(*found);
  if (!properties) return tl::unexpected(properties.error());
  const auto oil = oil::oil_at(*properties, at);
  if (!oil) return tl::unexpected(oil.error());
  return OilKnown{*oil, fmt::format("{}, typical", found->grade)};
}

oil::Identification asked_of(const OilCircuit& circuit, const oil::Running& running,
                             const std::vector<GaugeRead>& gauges) {
  oil::Identification in;
  in.network = circuit.network;
  in.unknowns = circuit.unknowns;
  in.apply = [&circuit](std::span<const double> values, oil::NetworkSolver& solver) {
    apply_to(circuit, circuit.journals, values, solver);
  };
  in.apply_to_running = [&circuit](std::span<const double> values, oil::Running& one) {
    apply_to(circuit, values, one);
  };
  for (const GaugeRead& gauge : gauges)
    if (const auto node = node_of(circuit, gauge.place))
      in.readings.push_back({running, *node, gauge.mean, gauge.U / 2});
  return in;
}

}  // namespace tautmark
