// SPDX-License-Identifier: Apache-2.0
#include "recording/spacing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tautmark {
namespace {

constexpr double kMostCorrection = 0.35;  // of a step

}  // namespace

void correct_spacing(Decoded& decoded, const DecodeOptions& options) {
  if (!options.learn_spacing && !options.spacing) return;
  DecodedCrank& crank = decoded.crank;
  const std::vector<double>& nominal = crank.wheel.angles;
  const auto not_done = [&](const std::string& why) {
    decoded.notes.push_back("teeth at their nominal angles: " + why);
  };
  if (!crank.wheel.nominal) return not_done("the wheel's angles are measured ones already");
  if (crank.wheel.symmetry > 1) return not_done("a wheel with equal zeros has no first tooth");
  LearnedSpacing spacing;
  if (options.spacing) {
    spacing = *options.spacing;
  } else {
    auto learned = learn_spacing(crank.wheel, crank.pieces);
    if (!learned) return not_done(learned.error().why);
    spacing = std::move(*learned);
  }
  if (spacing.teeth.size() != nominal.size()) return not_done("learned from another wheel");
  double worst = 0;
  for (std::size_t tooth = 0; tooth < nominal.size(); ++tooth) {
    const double next = tooth + 1 < nominal.size() ? nominal[tooth + 1] : nominal[0] + 360;
    const double change =
        spacing.teeth[(tooth + 1) % nominal.size()].degrees - spacing.teeth[tooth].degrees;
    if (!(std::abs(change) < kMostCorrection * (next - nominal[tooth])))
      return not_done(fmt::format("the correction of tooth {} is no spacing error", tooth + 1));
    worst = std::max(worst, std::abs(spacing.teeth[tooth].degrees));
  }
  for (Knots& piece : crank.pieces) {
    for (double& angle : piece.angle) {
      const double in_turn = angle - 360 * std::floor((angle + 1e-6) / 360);
      const auto at = std::lower_bound(nominal.begin(), nominal.end(), in_turn - 1e-6);
      angle += spacing.teeth[static_cast<std::size_t>(at - nominal.begin())].degrees;
    }
  }
  decoded.notes.push_back(
      fmt::format("teeth corrected by up to {:.2f} degrees, learned from {} turns: compare only "
                  "with a reference corrected alike",
                  worst, spacing.turns));
  crank.spacing = std::move(spacing);
}

}  // namespace tautmark
