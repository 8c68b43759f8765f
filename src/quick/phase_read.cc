// SPDX-License-Identifier: Apache-2.0
#include "quick/phase_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "measure/uncertainty.h"
#include "quick/spoken.h"
#include "recording/angle.h"
#include "recording/phase_statistics.h"

namespace tautmark::quick {
namespace {

constexpr double kSameEdge = 10;       // degrees: further apart they are no repeats of one edge
constexpr double kTenthOfTooth = 0.1;  // what an eye reads between two teeth
constexpr int kFewestPlaces = 8, kMostPlaces = 400;

std::string deg(double degrees, int decimals = 1) {
  return fmt::format("{:.{}f}°", degrees, decimals);
}

// Mean of the repeats and its uncertainty. `reading`: standard uncertainty of one of them.
Said<ReadEdge> averaged(const Heard& heard, std::string_view input, std::vector<double> angles,
                        double reading, double speed, double modulus) {
  ReadEdge edge;
  edge.modulus = modulus;
  edge.cycles = static_cast<int>(angles.size());
  for (double& angle : angles) angle = angles.front() + wrapped(angle - angles.front(), modulus);
  const PhaseStatistics statistics = phase_statistics(angles);
  if (statistics.peak_to_peak > kSameEdge)
    return tl::make_unexpected(heard.ask(
        input, fmt::format("The cycles differ by {}: is it the same edge of the same tooth in "
                           "each of them?",
                           deg(statistics.peak_to_peak))));
  edge.angle = statistics.mean - modulus * std::floor(statistics.mean / modulus);
  const double root = std::sqrt(edge.cycles);
  std::vector<Contribution> terms = {{"speed between the gaps", speed}};
  if (statistics.sd > reading && edge.cycles > 1)
    terms.push_back({"scatter", statistics.sd / root, edge.cycles - 1.0});
  else
    terms.push_back({"reading", reading / root});
  const auto budget = combine(terms);
  const auto k = budget ? coverage_factor(budget->nu) : Result<double>(2.0);
  edge.U = budget ? budget->u * k.value_or(2) : 0;
  edge.steps.push_back(fmt::format(
      "{} of {} cycle{}: {}; reading ± {}{}{}", edge.cycles > 1 ? "mean" : "angle", edge.cycles,
      edge.cycles > 1 ? "s" : "", deg(edge.angle, 2), deg(2 * reading / root, 2),
      edge.cycles > 1 ? fmt::format(", scatter {}", deg(statistics.sd, 2)) : "",
      speed > 0 ? fmt::format(", speed change inside the turn ± {}", deg(2 * speed)) : ""));
  return edge;
}

Said<std::vector<double>> times_of(const Heard& heard, std::string_view input, double& step) {
  const auto list = read_list(heard.text(input), Kind::time);
  if (!list) return tl::make_unexpected(heard.ask(input, list.error()));
  std::vector<double> times;
  for (const AnyQuantity& value : list->values) {
    times.push_back(value.si);
    const double digit = std::abs(to_si(std::pow(10.0, -value.decimals), *value.unit));
    step = times.size() == 1 && step == 0 ? digit : std::min(step, digit);
  }
  return times;
}

}  // namespace

std::optional<int> places_of_wheel(std::string_view text) {
  const std::vector<std::string> parts = split(std::string(text), '-');
  int places = 0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const auto number = read_integer(trimmed(parts[i]));
    if (!number || *number < 1 || *number > kMostPlaces) return std::nullopt;
    if (i == 0) places = static_cast<int>(*number);
  }
  return places >= kFewestPlaces ? std::optional(places) : std::nullopt;
}

Said<ReadEdge> edge_from_times(const Heard& heard) {
  for (const std::string_view input : {"gap", "edge", "next_gap", "next"})
    if (!heard.has(input)) return tl::make_unexpected(heard.ask(input));
  double step = 0;
  const auto gaps = times_of(heard, "gap", step);
  if (!gaps) return tl::make_unexpected(gaps.error());
  const auto edges = times_of(heard, "edge", step);
  if (!edges) return tl::make_unexpected(edges.error());
  const auto nexts = times_of(heard, "next_gap", step);
  if (!nexts) return tl::make_unexpected(nexts.error());
  if (edges->size() != gaps->size() || nexts->size() != gaps->size())
    return tl::make_unexpected(heard.ask(
        edges->size() != gaps->size() ? "edge" : "next_gap",
        fmt::format("{} gaps, {} cam edges and {} next gaps: one of each for every cycle.",
                    gaps->size(), edges->size(), nexts->size())));
  const auto chosen = heard.choice("next");
  if (!chosen) return tl::make_unexpected(chosen.error());
  const int turns = *chosen == 0 ? 1 : 2;
  const bool cursor_said = heard.has("cursor");
  if (cursor_said) {
    const auto cursor = heard.quantity("cursor", Kind::time);
    if (!cursor) return tl::make_unexpected(cursor.error());
    step = std::max(step, std::abs(cursor->si));
  }
  std::vector<double> angles;
  double reading = 0, period = 0;
  for (std::size_t i = 0; i < gaps->size(); ++i) {
    const double length = (*nexts)[i] - (*gaps)[i], part = (*edges)[i] - (*gaps)[i];
    if (!(length > 0))
      return tl::make_unexpected(
          heard.ask("next_gap", "The next gap must be later than the gap before it."));
    if (!(part >= 0) || part >= length)
      return tl::make_unexpected(heard.ask(
          "edge", fmt::format("The cam edge must lie between the two gaps{}.",
                              turns == 1 ? "; if it lies in the other turn of the cycle, read that "
                                           "turn's gaps"
                                         : "")));
    const double f = part / length;
    angles.push_back(360 * turns * f);
    reading +=
        360 * turns / length * rectangular_u(step) * std::sqrt(1 + (1 - f) * (1 - f) + f * f);
    period += length;
  }
  const auto n = static_cast<double>(gaps->size());
  const double per_minute = 60 * turns * n / period;
  auto edge = averaged(heard, "edge", std::move(angles), reading / n,
                       ripple_uncertainty(1, per_minute), 360.0 * turns);
  if (!edge) return edge;
  edge->steps.insert(
      edge->steps.begin(),
      fmt::format("{}° (edge - gap)/(next gap - gap), {:.0f} 1/min", 360 * turns, per_minute));
  edge->assumed.push_back(fmt::format(
      "the speed is the same all the way between the gaps. It is not: at {:.0f} 1/min that can be "
      "± {} of the angle, more when it fires or cranks unevenly; counting crank teeth beside the "
      "edge does without it",
      per_minute, deg(2 * ripple_uncertainty(1, per_minute))));
  edge->assumed.push_back(fmt::format("each cursor within {} of where it should be{}",
                                      quantity_text(step, unit_named(Kind::time, "ms"), 3),
                                      cursor_said ? "" : ", one step of the last digit"));
  return edge;
}

Said<ReadEdge> edge_from_teeth(const Heard& heard) {
  for (const std::string_view input : {"teeth", "fraction", "wheel"})
    if (!heard.has(input)) return tl::make_unexpected(heard.ask(input));
  const auto teeth = heard.counts("teeth");
  if (!teeth) return tl::make_unexpected(teeth.error());
  const auto places = places_of_wheel(heard.text("wheel"));
  if (!places)
    return tl::make_unexpected(
        heard.ask("wheel", fmt::format("\"{}\" is no wheel that can be counted by. {}",
                                       heard.text("wheel"), heard.ask("wheel").sentence)));
  std::vector<double> fractions;
  for (const std::string& part :
       split(replaced(replaced(heard.text("fraction"), ",", " "), ";", " "), ' ')) {
    if (trimmed(part).empty()) continue;
    const auto fraction = read_number(trimmed(part));
    if (!fraction || *fraction < 0 || *fraction >= 1)
      return tl::make_unexpected(
          heard.ask("fraction", fmt::format("\"{}\": from 0, on the tooth, to 0.9, almost at the "
                                            "next one.",
                                            part)));
    fractions.push_back(*fraction);
  }
  if (fractions.size() == 1) fractions.resize(teeth->size(), fractions.front());
  if (fractions.size() != teeth->size())
    return tl::make_unexpected(
        heard.ask("fraction", fmt::format("{} counts and {} fractions: one for each cycle.",
                                          teeth->size(), fractions.size())));
  const double tooth = 360.0 / *places;
  std::vector<double> angles;
  for (std::size_t i = 0; i < teeth->size(); ++i) {
    if ((*teeth)[i] >= 2 * *places)
      return tl::make_unexpected(heard.ask(
          "teeth",
          fmt::format("{} spaces are more than the two turns of one cycle.", (*teeth)[i])));
    angles.push_back(tooth * ((*teeth)[i] + fractions[i]));
  }
  auto edge =
      averaged(heard, "teeth", std::move(angles), tooth * rectangular_u(kTenthOfTooth), 0, 360);
  if (!edge) return edge;
  edge->tooth = tooth;
  edge->steps.insert(edge->steps.begin(),
                     fmt::format("one crank tooth = 360° / {} = {}", *places, deg(tooth, 2)));
  edge->assumed.push_back(
      fmt::format("the fraction is read within a tenth of a tooth, {}", deg(tooth / 10)));
  edge->assumed.emplace_back(
      "the first tooth behind the gap counts as 0, and missing teeth are counted as if they were "
      "there");
  return edge;
}

Said<ReadEdge> edge_from_degrees(const Heard& heard) {
  if (!heard.has("at")) return tl::make_unexpected(heard.ask("at"));
  const auto said = heard.angles("at", "of");
  if (!said) return tl::make_unexpected(said.error());
  std::vector<double> angles;
  int decimals = 0;
  bool cam = false;
  for (const SaidAngle& angle : *said) {
    angles.push_back(in_crank_deg(angle.crank));
    decimals = std::max(decimals, angle.decimals);
    cam = cam || angle.was_cam;
  }
  const double step = std::pow(10.0, -decimals) * (cam ? 2 : 1);
  auto edge = averaged(heard, "at", std::move(angles), rectangular_u(step), 0, 720);
  if (!edge) return edge;
  edge->assumed.push_back(
      fmt::format("each reading is right within {}, one step of its last digit; how the screen got "
                  "from time to "
                  "angle is not known",
                  deg(step, decimals)));
  return edge;
}

}  // namespace tautmark::quick
