// SPDX-License-Identifier: Apache-2.0
// Clearance and end play at running (or winter) temperature from sizes at 20 °C.
//
//   c(T) = D_b (1 + α_b (T_b - 20 °C)) - D_j (1 + α_j (T_j - 20 °C))
//
//   D_b, α_b, T_b  bore       D_j, α_j, T_j  journal
//
// A bore formed by head and cap of one alloy grows like a solid of that alloy. A bearing shell
// follows its housing: use the coefficient of the housing. A cold start shrinks aluminum on iron,
// so the lowest temperature is to be checked, not only the hot one.
// Validity: free linear expansion; -60 °C to 300 °C, -5 to 100 ppm/K, sizes above 0 and up to 100
// m. Clamped caps are not quite free to grow. Negative results (interference) are answers, not
// refusals. Refused: a value that is not finite or outside the validity.
#pragma once

#include "base/diagnostic.h"
#include "base/quantity.h"
#include "measure/uncertainty.h"

namespace tautmark {

struct HotClearanceInputs {
  Length bore;     // at 20 °C
  Length journal;  // at 20 °C
  Expansion bore_alpha;
  Expansion journal_alpha;
  Temperature bore_temperature;
  Temperature journal_temperature;
};

struct HotClearance {
  Length clearance;
  Length cold_clearance;  // at 20 °C
  Length bore_growth;
  Length journal_growth;
  // Sensitivities ∂clearance/∂input, SI (1, m·K, m/K).
  double per_bore = 1;
  double per_journal = -1;
  double per_bore_alpha = 0;
  double per_journal_alpha = 0;
  double per_bore_temperature = 0;
  double per_journal_temperature = 0;
};

Result<HotClearance> hot_clearance(const HotClearanceInputs& in);

// Standard uncertainties (rectangular ±a: a / √3) and correlations. Sizes set on one master, or
// corrected with one temperature, have size_correlation > 0; a temperature taken as common to both
// parts has temperature_correlation near 1, and most of it cancels.
struct HotClearanceUncertainty {
  Length bore;
  Length journal;
  double size_correlation = 0;
  Expansion bore_alpha;
  Expansion journal_alpha;
  TemperatureDifference bore_temperature;
  TemperatureDifference journal_temperature;
  double temperature_correlation = 0;
  double bore_nu = kInfiniteNu;
  double journal_nu = kInfiniteNu;
};

// Standard uncertainty of the hot clearance in metres, term by term. Refused as hot_clearance and
// as combine.
Result<Budget> hot_clearance_budget(const HotClearanceInputs& in, const HotClearanceUncertainty& u);

// Clearance of two sizes at one temperature: c = D_b - D_j, u_c² = u_b² + u_j² - 2 r u_b u_j.
// Two terms named "bore" and "journal".
Result<Budget> clearance_budget(Length u_bore, Length u_journal, double correlation = 0,
                                double bore_nu = kInfiniteNu, double journal_nu = kInfiniteNu);

// End play of a shaft in its housing. Which of the two designs it is makes all the difference hot.
//   located at one end: a collar in a groove       e = w_g (1 + α_h ΔT_h) - w_s (1 + α_s ΔT_s)
//   located by both ends over the length L         e = e_20 + L (α_h ΔT_h - α_s ΔT_s)
struct EndPlayTemperatures {
  Expansion housing_alpha;
  Expansion shaft_alpha;
  Temperature housing_temperature;
  Temperature shaft_temperature;
};

struct EndPlay {
  Length end_play;
  Length cold_end_play;
};

Result<EndPlay> end_play_located_at_one_end(Length groove, Length collar,
                                            const EndPlayTemperatures& temperatures);
Result<EndPlay> end_play_located_by_both_ends(Length length, Length cold_end_play,
                                              const EndPlayTemperatures& temperatures);

}  // namespace tautmark
