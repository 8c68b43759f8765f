// SPDX-License-Identifier: Apache-2.0
#include "geometry/stages.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <utility>

#include "geometry/counts.h"

namespace tautmark {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kMostElongation = 0.2;

bool none_or_more(double v) { return std::isfinite(v) && v >= 0; }

std::optional<std::string> wrong_own(const ChainStage& s) {
  if (!none_or_more(s.free_pitches)) return "its free path must be 0 pitches or more";
  if (std::abs(s.elongation.si()) <= kMostElongation) return std::nullopt;
  return "its elongation is none of a chain";
}
std::optional<std::string> wrong_own(const GearStage& s) {
  if (none_or_more(s.backlash.si()) && s.backlash.si() < kTurn) return std::nullopt;
  return "its backlash must be 0 or more and less than a turn";
}

template <class S>
std::optional<std::string> wrong_stage(const S& s) {
  for (const int teeth : {s.driving_teeth, s.driven_teeth}) {
    if (teeth < kFewestTeeth || teeth > kMostTeeth) {
      return fmt::format("teeth must be from {} to {}, not {}", kFewestTeeth, kMostTeeth, teeth);
    }
  }
  return wrong_own(s);
}

// `ratio`: crank turns per turn of the driving shaft.
StageEffect effect_of(const ChainStage& s, double ratio) {
  const double tooth = kTurn / s.driving_teeth * ratio;
  const double e = s.elongation.si();
  return {.change = CrankAngle::from_si(-tooth * s.free_pitches * e / (1 + e)),
          .one_tooth = CrankAngle::from_si(tooth)};
}
StageEffect effect_of(const GearStage& s, double ratio) {
  return {.play = CrankAngle::from_si(s.backlash.si() * ratio * s.driven_teeth / s.driving_teeth),
          .one_tooth = CrankAngle::from_si(kTurn / s.driving_teeth * ratio)};
}

}  // namespace

Result<StageSum> stages_in_series(std::span<const Stage> stages) {
  if (stages.empty()) return tl::make_unexpected(Refusal{"a drive needs at least one stage"});
  StageSum sum;
  for (std::size_t i = 0; i < stages.size(); ++i) {
    const auto wrong = std::visit([](const auto& s) { return wrong_stage(s); }, stages[i]);
    if (wrong) {
      return tl::make_unexpected(Refusal{fmt::format("stage {}: {}", i + 1, *wrong)});
    }
    const StageEffect effect =
        std::visit([&](const auto& s) { return effect_of(s, sum.crank_turns); }, stages[i]);
    sum.crank_turns *= std::visit(
        [](const auto& s) { return static_cast<double>(s.driven_teeth) / s.driving_teeth; },
        stages[i]);
    if (std::holds_alternative<GearStage>(stages[i])) sum.with_crank = !sum.with_crank;
    sum.latest = sum.latest + effect.change;
    sum.earliest = sum.earliest + effect.change + effect.play;
    sum.stages.push_back(effect);
  }
  return sum;
}

}  // namespace tautmark
