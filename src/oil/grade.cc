// SPDX-License-Identifier: Apache-2.0
#include "oil/grade.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.h"

namespace tautmark::oil {
namespace {

constexpr WinterLimits winter_line(std::string_view name, double cranking, double cranking_at,
                                   double pumping_at, double least) {
  return {name,          mPa_s(cranking),  degC(cranking_at),
          mPa_s(60'000), degC(pumping_at), mm2_per_s(least)};
}

constexpr std::array<WinterLimits, 6> kWinter{{
    winter_line("0W", 6200, -35, -40, 3.8),
    winter_line("5W", 6600, -30, -35, 3.8),
    winter_line("10W", 7000, -25, -30, 4.1),
    winter_line("15W", 7000, -20, -25, 5.6),
    winter_line("20W", 9500, -15, -20, 5.6),
    winter_line("25W", 13000, -10, -15, 9.3),
}};

struct HotLine {
  std::string_view name;
  double least, below;  // ν100, mm²/s
  double hths;          // least, mPa·s
};

constexpr std::array<HotLine, 8> kHot{{
    {"8", 4.0, 6.1, 1.7},
    {"12", 5.0, 7.1, 2.0},
    {"16", 6.1, 8.2, 2.3},
    {"20", 6.9, 9.3, 2.6},
    {"30", 9.3, 12.5, 2.9},
    {"40", 12.5, 16.3, 3.7},
    {"50", 16.3, 21.9, 3.7},
    {"60", 21.9, 26.1, 3.7},
}};

// The one hot line whose HTHS depends on the W line.
constexpr std::string_view kSplitGrade = "40";
constexpr std::string_view kLightLines = "0W, 5W, 10W";
constexpr double kLightHths = 3.5;

bool is_light(std::string_view winter) {
  return winter == "0W" || winter == "5W" || winter == "10W";
}

double least_hths(const HotLine& hot, std::optional<std::string_view> winter) {
  return hot.name == kSplitGrade && winter && is_light(*winter) ? kLightHths : hot.hths;
}

const WinterLimits* winter_named(std::string_view name) {
  const auto* const found = std::find_if(kWinter.begin(), kWinter.end(),
                                         [&](const WinterLimits& w) { return w.name == name; });
  return found == kWinter.end() ? nullptr : found;
}

const HotLine* hot_named(std::string_view name) {
  const auto* const found =
      std::find_if(kHot.begin(), kHot.end(), [&](const HotLine& h) { return h.name == name; });
  return found == kHot.end() ? nullptr : found;
}

struct GradeParts {
  const WinterLimits* winter = nullptr;
  const HotLine* hot = nullptr;
};

std::optional<GradeParts> parts_of(std::string_view name) {
  std::string text;
  for (const char c : folded(name))
    if (c != ' ' && c != '-') text += c == 'w' ? 'W' : c;
  if (text.starts_with("sae")) text.erase(0, 3);
  const std::size_t end = text.find('W');
  GradeParts parts;
  if (end == std::string::npos) {
    parts.hot = hot_named(text);
    return parts.hot != nullptr ? std::optional(parts) : std::nullopt;
  }
  parts.winter = winter_named(text.substr(0, end + 1));
  const std::string hot = text.substr(end + 1);
  parts.hot = hot_named(hot);
  if (parts.winter == nullptr || (parts.hot == nullptr && !hot.empty())) return std::nullopt;
  return parts;
}

std::string name_of(const GradeParts& parts) {
  if (parts.winter == nullptr) return std::string(parts.hot->name);
  if (parts.hot == nullptr) return std::string(parts.winter->name);
  return fmt::format("{}-{}", parts.winter->name, parts.hot->name);
}

std::vector<std::string> all_names() {
  std::vector<std::string> names;
  for (const HotLine& hot : kHot) names.emplace_back(hot.name);
  for (const WinterLimits& winter : kWinter) {
    names.emplace_back(winter.name);
    for (const HotLine& hot : kHot) names.push_back(name_of({&winter, &hot}));
  }
  return names;
}

Result<void> check_at_100(KinematicViscosity at_100) {
  if (!(at_100.si() > 0) || !std::isfinite(at_100.si()))
    return refuse("a viscosity at 100 degC is above 0");
  return {};
}

std::string limits_text(const GradeLimits& limits) {
  if (!limits.below_at_100)
    return fmt::format("at least {:.4g} mm²/s", in_mm2_per_s(limits.least_at_100));
  return fmt::format("{:.4g} to below {:.4g} mm²/s", in_mm2_per_s(limits.least_at_100),
                     in_mm2_per_s(*limits.below_at_100));
}

GradeCheck against_limits(const GradeLimits& limits, KinematicViscosity at_100,
                          KinematicViscosity expanded) {
  const std::string read =
      fmt::format("{:.2f} ± {:.2f} mm²/s at 100 degC; {} has {}", in_mm2_per_s(at_100),
                  in_mm2_per_s(expanded), limits.name, limits_text(limits));
  const KinematicViscosity low = at_100 - expanded, high = at_100 + expanded;
  if (high < limits.least_at_100)
    return {AgainstGrade::out_of_grade,
            read + ": out of grade, thinned by shear or fuel; that is not yet a wrong oil"};
  if (limits.below_at_100 && low >= *limits.below_at_100)
    return {AgainstGrade::out_of_grade,
            read + ": out of grade, thickened by soot or age; that is not yet a wrong oil"};
  if (low < limits.least_at_100 || (limits.below_at_100 && high >= *limits.below_at_100))
    return {AgainstGrade::cannot_tell, read + ": the uncertainty reaches over the limit"};
  return {AgainstGrade::in_grade, read};
}

}  // namespace

Result<GradeLimits> grade_limits(std::string_view name) {
  const auto parts = parts_of(name);
  if (!parts) {
    const auto near = nearest(name, all_names());
    return refuse(
        fmt::format("\"{}\" is no viscosity grade{}", name,
                    near ? fmt::format("; did you mean \"{}\"?", *near) : ", such as 5W-30"));
  }
  GradeLimits out;
  out.name = name_of(*parts);
  if (parts->winter != nullptr) {
    out.winter = *parts->winter;
    out.least_at_100 = parts->winter->least_at_100;
  }
  if (parts->hot != nullptr) {
    out.least_at_100 = std::max(out.least_at_100, mm2_per_s(parts->hot->least));
    out.below_at_100 = mm2_per_s(parts->hot->below);
    out.least_hths = mPa_s(least_hths(
        *parts->hot, parts->winter != nullptr ? std::optional(parts->winter->name) : std::nullopt));
    if (out.least_at_100 >= *out.below_at_100)
      return refuse(fmt::format("no oil can be {}: its two lines contradict each other", out.name));
  }
  return out;
}

std::string grade_name(std::string_view name) {
  const auto parts = parts_of(name);
  return parts ? name_of(*parts) : std::string();
}

Result<PossibleGrades> possible_grades(KinematicViscosity at_100,
                                       std::optional<DynamicViscosity> hths,
                                       std::optional<std::string_view> winter) {
  if (const auto fine = check_at_100(at_100); !fine) return tl::make_unexpected(fine.error());
  if (hths && !(hths->si() > 0)) return refuse("a viscosity at high shear is above 0");
  const WinterLimits* line = nullptr;
  if (winter) {
    const auto parts = parts_of(*winter);
    if (!parts || parts->winter == nullptr)
      return refuse(fmt::format("\"{}\" is no W grade, such as 5W", *winter));
    line = parts->winter;
  }
  PossibleGrades out;
  if (line != nullptr && at_100 < line->least_at_100) return out;
  for (const HotLine& hot : kHot) {
    if (at_100 < mm2_per_s(hot.least) || at_100 >= mm2_per_s(hot.below)) continue;
    if (line != nullptr && line->least_at_100 >= mm2_per_s(hot.below)) continue;
    const bool is_split = hot.name == kSplitGrade && line == nullptr;
    if (hths && *hths < mPa_s(is_split ? kLightHths
                                       : least_hths(hot, line != nullptr ? std::optional(line->name)
                                                                         : std::nullopt)))
      continue;
    const bool needs_light = is_split && hths && *hths < mPa_s(hot.hths);
    out.grades.push_back({std::string(hot.name), std::string(needs_light ? kLightLines : "")});
  }
  if (hths && !out.grades.empty()) out.label = out.grades.back().name;
  return out;
}

Result<GradeSpread> grade_spread(std::string_view name) {
  const auto limits = grade_limits(name);
  if (!limits) return tl::make_unexpected(limits.error());
  if (!limits->below_at_100)
    return refuse(fmt::format("{} says nothing about the upper end at 100 degC", limits->name));
  GradeSpread out{limits->least_at_100, *limits->below_at_100, 0, 0};
  out.spread = out.below / out.least - 1;
  out.u = std::log(out.below / out.least) / std::sqrt(12.0);
  return out;
}

Result<GradeCheck> check_grade(std::string_view in_it, std::string_view specified,
                               KinematicViscosity at_100, KinematicViscosity expanded,
                               std::optional<DynamicViscosity> hths) {
  const auto own = grade_limits(in_it);
  if (!own) return tl::make_unexpected(own.error());
  const auto wanted = grade_limits(specified);
  if (!wanted) return tl::make_unexpected(wanted.error());
  if (const auto fine = check_at_100(at_100); !fine) return tl::make_unexpected(fine.error());
  if (!(expanded.si() >= 0) || !std::isfinite(expanded.si()))
    return refuse("an uncertainty cannot be negative");
  if (hths && !(hths->si() > 0)) return refuse("a viscosity at high shear is above 0");
  if (own->name != wanted->name)
    return GradeCheck{AgainstGrade::another_grade,
                      fmt::format("{} is in it, {} is specified", own->name, wanted->name)};
  GradeCheck out = against_limits(*own, at_100, expanded);
  if (out.answer != AgainstGrade::out_of_grade && hths && own->least_hths &&
      *hths < *own->least_hths)
    return GradeCheck{AgainstGrade::out_of_grade,
                      fmt::format("{:.2f} mPa·s at high shear; {} has at least {}: out of grade",
                                  in_mPa_s(*hths), own->name, in_mPa_s(*own->least_hths))};
  return out;
}

}  // namespace tautmark::oil
