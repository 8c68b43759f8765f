// SPDX-License-Identifier: Apache-2.0
// How far a plunger must stand out with the measured wear, and what it means when it does not: a
// short extension on a worn chain speaks against the tensioner, not for the chain.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "geometry/phase.h"
#include "geometry/tensioner_life.h"
#include "judge/chain_wear.h"
#include "judge/checks/checks.h"
#include "judge/dimension.h"
#include "judge/verdict.h"

namespace tautmark::checks {
namespace {

constexpr std::string_view kCheck = "what-if-worn-stroke";
// A plunger rests on a ratchet tooth, in its seat, on a pad that is worn, too: within this nobody
// should read anything into a difference. Common practice, no source.
constexpr double kDoubt = 1.5e-3;

std::string compared(const CheckInput& input, const EnginePlace& place, double expected, double U,
                     Finding& finding) {
  const auto extension = dimension_at(input, Measurand::tensioner_extension, place);
  if (!extension || !extension->impossible.empty()) {
    finding.next = {"measure the extension in place, before the tensioner is relieved"};
    return "not measured";
  }
  finding.evidence.insert(finding.evidence.end(), extension->evidence.begin(),
                          extension->evidence.end());
  const double off = extension->mean - expected;
  const double doubt = kDoubt + U + 2 * extension->budget.u;
  std::string words = fmt::format("measured {:.1f} mm", extension->mean * 1e3);
  if (std::abs(off) <= doubt) return words + ", that agrees";
  if (off < 0) {
    finding.next = {"push test: primed, it must not sink; look at ratchet and check valve",
                    "until then the short extension says nothing about the chain"};
    return words + fmt::format(
                       ", {:.1f} mm short: a ratchet or check valve that lets it fall back "
                       "would do that",
                       -off * 1e3);
  }
  finding.next = {"look for a worn or broken guide or arm; measure the grooves; count the links"};
  return words + fmt::format(
                     ", {:.1f} mm farther: worn guides or arm, a broken guide, or a longer "
                     "chain would do that",
                     off * 1e3);
}

std::string life_words(const PathInputs& in, Length stroke) {
  const auto end = elongation_at_end({in, stroke});
  if (!end) return {};
  if (!*end) return {};
  return fmt::format("; the stroke ends at {:.2f} % elongation", 100 * (*end)->si());
}

std::optional<Finding> forecast(const CheckInput& input, const EnginePlace& place) {
  const Chain& chain = *place.chain;
  const auto wear = measured_wear(input, chain);
  const auto in = wear ? path_inputs(input.drive->drive, chain, wear->parts)
                       : Result<PathInputs>(tl::make_unexpected(Refusal{}));
  const auto path = in ? solve_path(*in) : Result<Path>(tl::make_unexpected(Refusal{}));
  if (!path || !path->stroke) return std::nullopt;
  const auto slopes = path_derivatives(*in);
  const double U = slopes ? std::abs(slopes->stroke_per_elongation) * wear->elongation_U : 0;
  Finding finding = open_finding(std::string(kCheck), place.path, OpenBecause::forecast, "");
  finding.forecast = true;
  finding.evidence = wear->evidence;
  const double expected = path->stroke->si();
  finding.value = FindingValue{.value = expected,
                               .unit = std::string(si_symbol(Kind::length)),
                               .U = U,
                               .k = 2,
                               .shown = fmt::format("{:.1f} ± {:.1f} mm", expected * 1e3, U * 1e3)};
  std::string grooves;
  for (const auto& [guide, depth] : wear->parts.grooves)
    grooves += fmt::format(", {} {:.1f} mm worn", guide, in_mm(depth));
  finding.why =
      fmt::format("with the chain {:.2f} % longer{} the plunger would stand {:.1f} mm out; ",
                  100 * wear->parts.elongation.si(), grooves, expected * 1e3);
  finding.why += compared(input, place, expected, U, finding);
  if (chain.tensioner->stroke) finding.why += life_words(*in, chain.tensioner->stroke->value);
  finding.sources = {"solved path with worn pitch and worn faces"};
  return finding;
}

}  // namespace

std::vector<Finding> what_if_worn_stroke(const CheckInput& input) {
  std::vector<Finding> findings;
  if (input.drive == nullptr) return findings;
  for (const EnginePlace& place : input.places)
    if (place.type == PlaceType::tensioner && place.chain != nullptr)
      if (auto finding = forecast(input, place)) findings.push_back(std::move(*finding));
  return findings;
}

}  // namespace tautmark::checks
