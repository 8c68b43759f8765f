// SPDX-License-Identifier: Apache-2.0
// One bank's head against the other's, from this engine's own gauge readings and clearances: what
// each way of repair would do to the pressure at the head (oil/compare_banks.h). No oil network is
// needed; without a reading at the gallery and at the better head no pressure is predicted.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "judge/gauges_together.h"
#include "oil/compare_banks.h"

namespace tautmark {

// Three gauges that were read beside each other.
struct BankGauges {
  int bank = 0, healthy = 0;  // numbers of the banks: the lower pressure, and the higher
  GaugeRead gallery{}, head{}, healthy_head{};
  std::string condition;  // "650 1/min, oil at 95 degC"
};

// Or what is missing for it, in words of what to measure.
struct GaugesOrMissing {
  std::optional<BankGauges> gauges{};
  std::vector<std::string> missing{};
};
// Of the engine as it is now.
GaugesOrMissing bank_gauges(const CheckInput& input);

struct BanksCompared {
  BankGauges gauges{};
  oil::BankComparison asked{};
  // From the better bank alone, the share of the journals assumed: held against the reading of the
  // other bank, it says whether the estimate can be trusted.
  oil::BankForecast from_healthy{};
  // With what the reading of the other bank tells (oil/banks_told.h); absent where it tells
  // nothing.
  std::optional<oil::BankForecast> told{};
  std::string not_told;  // why not
  // What the clearances and the better bank alone put the other head at, as found.
  oil::HeadPressure alone{};
  // False where that is not what it reads, and no share explains it: then there are no options.
  bool explained = true;
  std::vector<std::string> options_left_out{};
  std::vector<std::string> evidence{};

  [[nodiscard]] const oil::BankForecast& best() const { return told ? *told : from_healthy; }
};
struct ComparedOrMissing {
  std::optional<BanksCompared> compared{};
  std::vector<std::string> missing{};
};
// Of the engine as found: before its first bearing was measured.
ComparedOrMissing banks_compared(const CheckInput& input);

}  // namespace tautmark
