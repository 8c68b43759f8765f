// SPDX-License-Identifier: Apache-2.0
#include "judge/banks_compared.h"

#include <fmt/format.h>

#include <algorithm>

#include "judge/repair_options.h"
#include "oil/banks_told.h"

namespace tautmark {
namespace {

// The lowest head and the highest.
std::optional<BankGauges> lowest_and_highest(const std::optional<GaugesTogether>& together) {
  if (!together || above_gallery(*together)) return std::nullopt;
  const auto [low, high] = std::minmax_element(
      together->heads.begin(), together->heads.end(),
      [](const GaugeRead& one, const GaugeRead& other) { return one.mean < other.mean; });
  if (low->bank == high->bank) return std::nullopt;
  return BankGauges{*low->bank, *high->bank, together->gallery, *low, *high, together->condition};
}

std::size_t count_of_banks(const CheckInput& input) {
  return input.drive != nullptr ? input.drive->drive.banks.size() : 0;
}

bool has_heads(const CheckInput& input) {
  return input.drive != nullptr && input.drive->drive.oil &&
         std::count_if(input.places.begin(), input.places.end(), [](const EnginePlace& place) {
           return place.type == PlaceType::oil_port && place.bank;
         }) > 1;
}

}  // namespace

GaugesOrMissing bank_gauges(const CheckInput& input) {
  if (!has_heads(input))
    return {{},
            {count_of_banks(input) == 1
                 ? "another bank to compare it with: this engine has one head"
                 : "a port for a gauge at each head: the definition does not name them "
                   "(oil.ports)"}};
  if (auto gauges = lowest_and_highest(gauges_together(input, GaugesOf::now, 2)))
    return {std::move(gauges), {}};
  return {{}, ports_to_read(input, GaugesOf::now)};
}

ComparedOrMissing banks_compared(const CheckInput& input) {
  if (!has_heads(input)) return {{}, bank_gauges(input).missing};
  const auto together = gauges_together(input, GaugesOf::as_found, 2);
  const auto found = lowest_and_highest(together);
  if (!found) return {{}, ports_to_read(input, GaugesOf::as_found)};
  ComparedOrMissing out;
  BanksCompared compared{.gauges = *found};
  const BankGauges& gauges = compared.gauges;
  RepairOptions own = repair_options(input, gauges.bank);
  const RepairOptions healthy = repair_options(input, gauges.healthy);
  for (const RepairOptions* side : {&std::as_const(own), &healthy}) {
    for (const std::string& place : side->missing)
      out.missing.push_back(fmt::format("journal and bore of {}", place));
    for (const std::string& place : side->impossible) out.missing.push_back(read_again(place));
  }
  if (out.missing.empty() && (own.journals.empty() || healthy.journals.empty()))
    out.missing.emplace_back("the journals of the camshafts: the definition does not count them");
  if (!out.missing.empty()) return out;
  auto& asked = compared.asked;
  asked.bank = fmt::format("bank {}", gauges.bank);
  asked.read = {gauges.gallery.mean, gauges.healthy_head.mean,
                std::max({gauges.gallery.U, gauges.healthy_head.U, gauges.head.U})};
  asked.healthy = healthy.journals;
  asked.options = std::move(own.options);
  compared.options_left_out = std::move(own.left_out);
  asked.least_at_head = least_at(input, gauges.head.place, *together);
  auto forecast = oil::compare_banks(asked);
  if (!forecast) return {{}, {forecast.error().why}};
  compared.from_healthy = std::move(*forecast);
  compared.evidence = {gauges.gallery.entry, gauges.healthy_head.entry, gauges.head.entry};
  for (const RepairOptions* side : {&std::as_const(own), &healthy})
    compared.evidence.insert(compared.evidence.end(), side->evidence.begin(), side->evidence.end());
  if (auto told = oil::forecast_with_reading(asked, gauges.head.mean))
    compared.told = std::move(*told);
  else
    compared.not_told = told.error().why;
  compared.alone = compared.from_healthy.options.front().head;
  const Pressure read = gauges.head.mean, U = gauges.head.U;
  compared.explained =
      compared.told || (read + U >= compared.alone.low && read - U <= compared.alone.high);
  if (!compared.explained) {
    oil::BankForecast& none = compared.from_healthy;
    none.options.clear();
    none.ranking.clear();
    none.rivals.clear();
    none.best.reset();
    none.measure_next.clear();
    none.said =
        "the clearances do not explain what this head reads: something else leaks, too little "
        "comes through its feed, or a reading is wrong; no way of repair is forecast";
    none.measure_next = {
        fmt::format("the feed of bank {}: is its passage, gasket hole or screen free?",
                    gauges.bank),
        fmt::format("the pressure at {} again, the gauges exchanged", gauges.head.place)};
  }
  out.compared = std::move(compared);
  return out;
}

}  // namespace tautmark
