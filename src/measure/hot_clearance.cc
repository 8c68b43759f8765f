// SPDX-License-Identifier: Apache-2.0
#include "measure/hot_clearance.h"

#include <vector>

#include "measure/thermal.h"
#include "measure/validity.h"

namespace tautmark {
namespace {

using measure::is_size;

double above_reference(Temperature t) { return (t - kReferenceTemperature).si(); }

// Relative growth, or why there is none.
Result<double> growth(Expansion alpha, Temperature temperature) {
  if (auto why = measure::expansion_objection(alpha, temperature)) return refuse(*why);
  return alpha.si() * above_reference(temperature);
}

struct Growths {
  double housing = 0;
  double shaft = 0;
};

Result<Growths> growths(const EndPlayTemperatures& in) {
  const Result<double> housing = growth(in.housing_alpha, in.housing_temperature);
  if (!housing) return refuse("housing: " + housing.error().why);
  const Result<double> shaft = growth(in.shaft_alpha, in.shaft_temperature);
  if (!shaft) return refuse("shaft: " + shaft.error().why);
  return Growths{.housing = *housing, .shaft = *shaft};
}

}  // namespace

Result<HotClearance> hot_clearance(const HotClearanceInputs& in) {
  if (!is_size(in.bore) || !is_size(in.journal)) {
    return refuse("bore and journal are sizes above zero, up to 100 m");
  }
  const Result<double> bore = growth(in.bore_alpha, in.bore_temperature);
  if (!bore) return refuse("bore: " + bore.error().why);
  const Result<double> journal = growth(in.journal_alpha, in.journal_temperature);
  if (!journal) return refuse("journal: " + journal.error().why);

  HotClearance result;
  result.cold_clearance = in.bore - in.journal;
  result.bore_growth = in.bore * *bore;
  result.journal_growth = in.journal * *journal;
  result.clearance = result.cold_clearance + result.bore_growth - result.journal_growth;
  result.per_bore = 1 + *bore;
  result.per_journal = -(1 + *journal);
  result.per_bore_alpha = in.bore.si() * above_reference(in.bore_temperature);
  result.per_journal_alpha = -in.journal.si() * above_reference(in.journal_temperature);
  result.per_bore_temperature = in.bore.si() * in.bore_alpha.si();
  result.per_journal_temperature = -in.journal.si() * in.journal_alpha.si();
  return result;
}

Result<Budget> hot_clearance_budget(const HotClearanceInputs& in,
                                    const HotClearanceUncertainty& u) {
  const Result<HotClearance> hot = hot_clearance(in);
  if (!hot) return refuse(hot.error().why);
  // The order fixes the indices of the two correlations below.
  std::vector<Contribution> terms = {
      {"bore", u.bore.si(), u.bore_nu, hot->per_bore},
      {"journal", u.journal.si(), u.journal_nu, hot->per_journal},
      {"temperature of the bore", u.bore_temperature.si(), kInfiniteNu, hot->per_bore_temperature},
      {"temperature of the journal", u.journal_temperature.si(), kInfiniteNu,
       hot->per_journal_temperature},
      {"expansion of the bore", u.bore_alpha.si(), kInfiniteNu, hot->per_bore_alpha},
      {"expansion of the journal", u.journal_alpha.si(), kInfiniteNu, hot->per_journal_alpha},
  };
  const std::vector<Correlation> correlations = {{0, 1, u.size_correlation},
                                                 {2, 3, u.temperature_correlation}};
  return combine(std::move(terms), correlations);
}

Result<Budget> clearance_budget(Length u_bore, Length u_journal, double correlation, double bore_nu,
                                double journal_nu) {
  const std::vector<Correlation> correlations = {{0, 1, correlation}};
  return combine({{"bore", u_bore.si(), bore_nu, 1}, {"journal", u_journal.si(), journal_nu, -1}},
                 correlations);
}

Result<EndPlay> end_play_located_at_one_end(Length groove, Length collar,
                                            const EndPlayTemperatures& temperatures) {
  if (!is_size(groove) || !is_size(collar)) return refuse("groove and collar are above zero");
  const Result<Growths> grown = growths(temperatures);
  if (!grown) return refuse(grown.error().why);
  return EndPlay{.end_play = groove * (1 + grown->housing) - collar * (1 + grown->shaft),
                 .cold_end_play = groove - collar};
}

Result<EndPlay> end_play_located_by_both_ends(Length length, Length cold_end_play,
                                              const EndPlayTemperatures& temperatures) {
  if (!is_size(length)) return refuse("the length between the ends is above zero");
  if (!measure::is_length(cold_end_play)) return refuse("an end play lies within 100 m");
  const Result<Growths> grown = growths(temperatures);
  if (!grown) return refuse(grown.error().why);
  return EndPlay{.end_play = cold_end_play + length * (grown->housing - grown->shaft),
                 .cold_end_play = cold_end_play};
}

}  // namespace tautmark
