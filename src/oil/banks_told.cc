// SPDX-License-Identifier: Apache-2.0
#include "oil/banks_told.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <random>

#include "oil/choice.h"
#include "oil/identify.h"

namespace tautmark::oil {
namespace {

constexpr double kEnoughEffective = 150;  // samples
constexpr double kHopeless = 2;
constexpr int kRounds = 3;
constexpr double kFarthest = 3;  // standard uncertainties of the gauge

// Σc³ where every clearance of the list errs by the same number of its standard uncertainties.
double cubed(const std::vector<JournalClearance>& journals, double error) {
  double sum = 0;
  for (const JournalClearance& journal : journals) {
    const double c = std::max(journal.clearance.si() + error * journal.expanded.si() / 2, 0.0);
    sum += c * c * c;
  }
  return sum;
}

// q^m = K (g - q) of the drop q = g - p. Concave, so that Newton comes from one side; a step that
// would leave the positive side is cut.
double head_of(double gallery, double m, double k) {
  double q = gallery / 2;
  for (int i = 0; i < 40; ++i) {
    const double power = std::pow(q, m);
    const double next = q - (power + k * (q - gallery)) / (m * power / q + k);
    const double kept = std::max(next, q / 10);
    const bool there = std::abs(kept - q) <= 1e-9 * gallery;
    q = kept;
    if (there) break;
  }
  return gallery - q;
}

bool same_journals(const RepairOption& a, const RepairOption& b) {
  return std::equal(a.journals.begin(), a.journals.end(), b.journals.begin(), b.journals.end(),
                    [](const JournalClearance& x, const JournalClearance& y) {
                      return x.clearance == y.clearance && x.expanded == y.expanded;
                    });
}

struct Samples {
  std::vector<double> weight{};
  std::vector<std::vector<double>> head{};  // by option
};

// Pressures under which no head can be lie outside the gauges: such a sample weighs nothing.
Samples drawn(const BankComparison& in, double read, std::size_t count) {
  std::mt19937_64 random(20261127);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> even;
  Samples out;
  out.head.assign(in.options.size(), std::vector<double>(count));
  const double u = in.read.expanded.si() / 2;
  for (std::size_t i = 0; i < count; ++i) {
    const double m = 0.5 + 0.5 * even(random);
    const double f = in.share.least + (in.share.most - in.share.least) * even(random);
    const double gallery = in.read.gallery.si() + u * normal(random);
    const double healthy = in.read.healthy_head.si() + u * normal(random);
    const double reference = cubed(in.healthy, normal(random));
    const bool can_be = healthy > 0 && gallery > healthy && reference > 0;
    const double k = can_be ? std::pow(gallery - healthy, m) / healthy : 0;
    for (std::size_t option = 0; option < in.options.size(); ++option) {
      const double error = normal(random);
      if (option > 0 && same_journals(in.options[option], in.options[0])) {
        out.head[option][i] = out.head[0][i];
        continue;
      }
      const double s = can_be ? cubed(in.options[option].journals, error) / reference : 1;
      out.head[option][i] = can_be ? head_of(gallery, m, k * (1 - f + f * s)) : 0;
    }
    const double off = (out.head[0][i] - read) / u;
    out.weight.push_back(can_be ? std::exp(-off * off / 2) : 0);
  }
  return out;
}

// To a sum of 1; the number of samples of even weight that would say as much.
double normalized(std::vector<double>& weight) {
  const double sum = std::accumulate(weight.begin(), weight.end(), 0.0);
  if (!(sum > 0)) return 0;
  double squares = 0;
  for (double& one : weight) {
    one /= sum;
    squares += one * one;
  }
  return 1 / squares;
}

// Samples that all miss the reading are of even weight too: root of the mean square of what they
// miss it by, in standard uncertainties of the gauge.
double how_far_off(const BankComparison& in, const Samples& samples, double read) {
  const double u = in.read.expanded.si() / 2;
  double sum = 0;
  for (std::size_t i = 0; i < samples.weight.size(); ++i)
    sum += samples.weight[i] * std::pow((samples.head[0][i] - read) / u, 2);
  return std::sqrt(sum);
}

void decide(const BankComparison& in, const Samples& samples, BankForecast& out) {
  std::vector<OptionDraws> drawn;
  for (std::size_t i = 0; i < out.options.size(); ++i)
    drawn.push_back({out.options[i].name, in.options[i].renews, samples.head[i]});
  Choice choice = choose(drawn, samples.weight);
  out.measure_next = to_measure_next(choice, in.bank);
  out.ranking = std::move(choice.ranking);
  out.best = choice.best;
  out.rivals = std::move(choice.rivals);
  out.said = std::move(choice.said);
}

}  // namespace

Result<BankForecast> forecast_with_reading(const BankComparison& in, Pressure head,
                                           std::size_t samples) {
  auto plain = compare_banks(in);
  if (!plain) return plain;
  if (!(head.si() > 0 && head < in.read.gallery))
    return refuse("the pressure at the head lies between 0 and that of the gallery");
  if (!(in.read.expanded.si() > 0)) return refuse("gauges have an uncertainty");
  if (samples < 200) return refuse("fewer than 200 samples tell no range");
  // More where the reading leaves few of them, unless no number of them would do.
  Samples drawn_ones;
  double effective = 0;
  for (int round = 0; round < kRounds && effective < kEnoughEffective; ++round, samples *= 4) {
    drawn_ones = drawn(in, head.si(), samples);
    effective = normalized(drawn_ones.weight);
    if (effective < kHopeless) break;
  }
  if (effective < kLeastEffective || how_far_off(in, drawn_ones, head.si()) > kFarthest)
    return refuse(
        fmt::format("the clearances do not explain {:.0f} kPa at the head: something else leaks, "
                    "or a reading is wrong",
                    in_kPa(head)));
  const std::vector<double>& weight = drawn_ones.weight;
  BankForecast out = std::move(*plain);
  for (std::size_t i = 0; i < out.options.size(); ++i) {
    HeadPressure& at = out.options[i].head;
    const Interval range = interval_of(drawn_ones.head[i], weight);
    at = {Pressure::from_si(range.median), Pressure::from_si(range.low),
          Pressure::from_si(range.high)};
    out.options[i].pressure = against_least(at, in.least_at_head);
  }
  decide(in, drawn_ones, out);
  out.marked =
      "first-order estimate from cold clearances, fitted to the gauges of both banks; restriction "
      "laminar or a hole: good to compare options, no forecast against a limit";
  return out;
}

}  // namespace tautmark::oil
