// SPDX-License-Identifier: Apache-2.0
// The clearance at running temperature, from the cold readings and the two materials. A forecast:
// limits are for cold parts, so nothing is decided by it; it shows what the oil meets. The
// temperature is the lowest at which the drive's own pressure limits hold, both parts alike.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "judge/against_fit.h"
#include "judge/checks/checks.h"
#include "judge/checks/clearance.h"
#include "measure/hot_clearance.h"
#include "measure/thermal.h"

namespace tautmark::checks {
namespace {

std::optional<Temperature> running_temperature(const CheckInput& input) {
  if (input.drive == nullptr || !input.drive->drive.oil) return std::nullopt;
  for (const PressureLimit& limit : input.drive->drive.oil->pressures)
    if (limit.oil_temperature && limit.oil_temperature->lower) return limit.oil_temperature->lower;
  return std::nullopt;
}

// Doubt of ±10 K, common to both parts (measurement.md 4).
constexpr double kTemperatureDoubt = 10;

std::optional<Finding> forecast(const EnginePlace& place, const Clearance& clearance,
                                Temperature temperature) {
  const auto head = material(*place.in_bank->head_material);
  const auto shaft = material(*place.camshaft->material);
  if (!head || !shaft) return std::nullopt;
  const HotClearanceInputs in{Length::from_si(clearance.bore.mean),
                              Length::from_si(clearance.journal.mean),
                              head->alpha,
                              shaft->alpha,
                              temperature,
                              temperature};
  HotClearanceUncertainty u;
  u.bore = Length::from_si(clearance.bore.budget.u);
  u.journal = Length::from_si(clearance.journal.budget.u);
  u.bore_alpha = head->half_width / std::sqrt(3.0);
  u.journal_alpha = shaft->half_width / std::sqrt(3.0);
  u.bore_temperature = u.journal_temperature =
      TemperatureDifference::from_si(rectangular_u(kTemperatureDoubt));
  u.temperature_correlation = 0.99;
  const auto hot = hot_clearance(in);
  const auto budget = hot_clearance_budget(in, u);
  if (!hot || !budget) return std::nullopt;
  Finding finding = open_finding("what-if-hot", place.path, OpenBecause::forecast, "");
  finding.forecast = true;
  finding.value = shown_value({hot->clearance.si(), budget->u, budget->nu}, *clearance.value.unit);
  finding.evidence = clearance.value.evidence;
  finding.why = fmt::format(
      "at {:.0f} °C: would be {}, {} cold; free growth of {} and {}, the limit is for cold parts",
      in_degC(temperature), finding.value->shown,
      quantity_text(clearance.value.mean, *clearance.value.unit, clearance.value.decimals),
      head->name, shaft->name);
  finding.sources = {"hot clearance = bore x (1 + alpha dT) - journal x (1 + alpha dT)"};
  return finding;
}

}  // namespace

std::vector<Finding> what_if_hot(const CheckInput& input) {
  std::vector<Finding> findings;
  const auto temperature = running_temperature(input);
  if (!temperature) return findings;
  const Measurand quantities[] = {Measurand::bore_diameter, Measurand::journal_diameter};
  for (const EnginePlace* place : touched_places(input, PlaceType::journal, quantities)) {
    if (place->in_bank == nullptr || !place->in_bank->head_material || !place->camshaft->material)
      continue;
    if (const auto clearance = clearance_from_parts(input, *place))
      if (auto finding = forecast(*place, *clearance, *temperature))
        findings.push_back(std::move(*finding));
  }
  return findings;
}

}  // namespace tautmark::checks
