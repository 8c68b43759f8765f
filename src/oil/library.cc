// SPDX-License-Identifier: Apache-2.0
#include "oil/library.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oil/density.h"
#include "oil/grade.h"

namespace tautmark::oil {
namespace {

constexpr Temperature kColdest = degC(-50), kHottest = degC(150);  // of the density
constexpr TemperatureDifference kSlopeStep = kelvin(0.05);
constexpr double kAlike = 0.005;  // of a ratio: nothing that anybody could measure

// Where `oil` is as thick as `wanted`; its viscosity falls all the way.
std::optional<Temperature> as_thick_at(const OilProperties& oil, DynamicViscosity wanted) {
  const auto is_thicker = [&](Temperature t) -> std::optional<bool> {
    const auto nu = viscosity_at(oil.law, t);
    const auto rho = density_at(oil.at_15, t);
    if (!nu || !rho) return std::nullopt;
    return dynamic_viscosity(nu->viscosity, *rho) >= wanted;
  };
  Temperature low = kColdest, high = kHottest;
  // Where a law has no answer it is far too thick in the cold, far too thin in the heat.
  if (!is_thicker(low).value_or(true) || is_thicker(high).value_or(false)) return std::nullopt;
  for (int i = 0; i < 60; ++i) {
    const Temperature middle = low + (high - low) / 2;
    const bool thicker = is_thicker(middle).value_or(in_degC(middle) < 40);
    (thicker ? low : high) = middle;
  }
  return low;
}

std::string said_of(const OilComparison& out, const OilProperties& in_it,
                    const OilProperties& specified, Temperature at) {
  const double percent = (out.ratio - 1) * 100;
  if (std::abs(out.ratio - 1) < kAlike)
    return fmt::format("{} at {:.0f} degC is as thick as {}", in_it.grade, in_degC(at),
                       specified.grade);
  std::string text =
      fmt::format("{} at {:.0f} degC is {:.0f} % {} than {}", in_it.grade, in_degC(at),
                  std::abs(percent), percent > 0 ? "thicker" : "thinner", specified.grade);
  if (out.shift)
    text += fmt::format(": as if {} were {:.0f} K {}", specified.grade, std::abs(out.shift->si()),
                        out.shift->si() < 0 ? "colder" : "hotter");
  return text;
}

}  // namespace

const OilOfLibrary* oil_of_grade(const std::vector<OilOfLibrary>& oils, std::string_view grade) {
  const std::string name = grade_name(grade);
  const auto found = std::find_if(oils.begin(), oils.end(),
                                  [&](const OilOfLibrary& oil) { return oil.grade == name; });
  return found == oils.end() ? nullptr : &*found;
}

Result<OilProperties> properties_of(const OilOfLibrary& oil) {
  const auto law = law_of_data_sheet(oil.viscosity_40.value.value, oil.viscosity_100.value.value);
  if (!law) return tl::make_unexpected(law.error());
  if (const auto base = base_density(oil.density_15.value.value); !base)
    return tl::make_unexpected(base.error());
  return OilProperties{oil.grade, *law, oil.density_15.value.value};
}

Result<OilAt> oil_at(const OilProperties& oil, Temperature at) {
  const auto nu = viscosity_at(oil.law, at);
  if (!nu) return tl::make_unexpected(nu.error());
  const auto rho = density_at(oil.at_15, at);
  if (!rho) return tl::make_unexpected(rho.error());
  OilAt out;
  out.kinematic = nu->viscosity;
  out.density = *rho;
  out.dynamic = dynamic_viscosity(out.kinematic, out.density);
  out.warnings = nu->warnings;
  // The density's own slope by a step to the inside of its validity.
  const TemperatureDifference step = at < degC(50) ? kSlopeStep : -kSlopeStep;
  const auto beside = density_at(oil.at_15, at + step);
  if (!beside) return tl::make_unexpected(beside.error());
  out.slope = nu->slope + std::log(*beside / *rho) / step.si();
  return out;
}

Result<OilComparison> compare_oils(const OilProperties& in_it, const OilProperties& specified,
                                   Temperature at) {
  const auto own = oil_at(in_it, at);
  if (!own) return tl::make_unexpected(own.error());
  const auto other = oil_at(specified, at);
  if (!other) return tl::make_unexpected(other.error());
  OilComparison out;
  out.ratio = own->dynamic / other->dynamic;
  if (const auto same = as_thick_at(specified, own->dynamic)) out.shift = *same - at;
  out.same_grade = grade_name(in_it.grade) == grade_name(specified.grade);
  out.said = said_of(out, in_it, specified, at);
  return out;
}

LimitAnswer limit_applies(std::string_view in_it, std::string_view specified,
                          std::optional<Temperature> oil, std::optional<Temperature> least) {
  const std::string own = grade_name(in_it), wanted = grade_name(specified);
  if (own.empty() || wanted.empty())
    return {LimitApplies::grade_unknown,
            "the grade of the oil is not known: the reading has no limit to compare with"};
  if (own != wanted)
    return {LimitApplies::another_grade,
            fmt::format("{} is in it and the limit holds for {}: the reading has no limit to "
                        "compare with; test with the specified grade, hot",
                        own, wanted)};
  if (least && !oil)
    return {LimitApplies::temperature_unknown,
            fmt::format("the oil temperature is not known; the limit holds from {:.0f} degC",
                        in_degC(*least))};
  if (least && !(*oil >= *least))
    return {LimitApplies::too_cold,
            fmt::format("{:.0f} degC; the limit holds from {:.0f} degC: cold oil hides a worn "
                        "journal",
                        in_degC(*oil), in_degC(*least))};
  return {LimitApplies::yes, fmt::format("{}, as specified", own)};
}

}  // namespace tautmark::oil
