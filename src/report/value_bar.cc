// SPDX-License-Identifier: Apache-2.0
#include "report/value_bar.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "report/html_parts.h"

namespace tautmark::html {
namespace {

// The drawing, in its own units (CSS pixels at its natural width).
constexpr double kWidth = 316, kHeight = 52;
constexpr double kLeft = 16, kRight = 256;  // of the scale; its unit stands to the right
constexpr double kBandTop = 14, kBandBottom = 33;
constexpr double kBarTop = 17.5, kBarBottom = 29.5;
constexpr double kTickEnd = 37.5, kNumbers = 49;
constexpr double kUnitRoom = 9;  // a number nearer to the end would touch the unit
constexpr double kDigitWidth = 6.4, kNumberGap = 10;
constexpr int kMostSteps = 6;
constexpr double kHatchStep = 6;
constexpr double kLeastBar = 2.4;  // a narrower interval would vanish in print

// The unit of "<= 0.110 mm": what stands after the last number.
const Unit* unit_of(std::string_view shown, std::string_view si) {
  for (std::size_t blank = shown.find(' '); blank != std::string_view::npos;
       blank = shown.find(' ', blank + 1)) {
    const std::string_view symbol = shown.substr(blank + 1);
    for (const Unit* unit : units_spelled(symbol))
      if (unit->symbol == symbol && si_symbol(unit->kind) == si) return unit;
  }
  return nullptr;
}

// Digits after the decimal sign of the first number that has some.
int decimals_of(std::string_view shown) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  for (std::size_t dot = shown.find('.'); dot != std::string_view::npos;
       dot = shown.find('.', dot + 1)) {
    const std::string_view rest = shown.substr(dot + 1);
    const auto end = std::find_if_not(rest.begin(), rest.end(), is_digit);
    if (end != rest.begin()) return static_cast<int>(end - rest.begin());
  }
  return 0;
}

bool is_drawable(const Finding& finding) {
  if (finding.open_because == OpenBecause::outside_model ||
      finding.open_because == OpenBecause::implausible)
    return false;
  if (!finding.value || !finding.limit) return false;
  const FindingLimit& limit = *finding.limit;
  if (finding.value->unit != limit.unit || (!limit.lower && !limit.upper)) return false;
  return std::isfinite(finding.value->value) && std::isfinite(finding.value->U) &&
         std::isfinite(limit.lower.value_or(0)) && std::isfinite(limit.upper.value_or(0));
}

struct Ends {
  double lowest = HUGE_VAL, highest = -HUGE_VAL;
  void take(double x) {
    lowest = std::min(lowest, x);
    highest = std::max(highest, x);
  }
};

class Drawing {
 public:
  explicit Drawing(const BarScale& scale) : scale_(scale) {}

  [[nodiscard]] double x(double number) const {
    const double part = (number - scale_.from) / (scale_.to - scale_.from);
    return kLeft + std::clamp(part, 0.0, 1.0) * (kRight - kLeft);
  }
  [[nodiscard]] double number(double si) const { return from_si(si, *scale_.unit); }

  void line(std::string_view style, double x1, double y1, double x2, double y2) {
    out_ += fmt::format(R"(<path class="{}" d="M{:.1f} {:.1f}L{:.1f} {:.1f}"/>)", style, x1, y1, x2,
                        y2);
  }
  void text(std::string_view style, double at, double y, std::string_view words) {
    out_ +=
        said(fmt::format("text.{}", style), words, fmt::format(R"(x="{:.1f}" y="{:.1f}")", at, y));
  }
  void hatching(double left, double right);
  void axis();
  void limit(double si, bool is_upper, int decimals);
  void interval(const FindingValue& value);
  [[nodiscard]] std::string finished(std::string_view label) const {
    return fmt::format(
        R"(<svg class="bar" viewBox="0 0 {} {}" role="img" aria-label="{}">{}</svg>)", kWidth,
        kHeight, escaped(label), out_);
  }

 private:
  const BarScale& scale_;
  std::string out_;
};

// Lines at 45 degrees, cut at the edges of the band.
void Drawing::hatching(double left, double right) {
  const double height = kBandBottom - kBandTop;
  std::string path;
  for (double foot = left - height + kHatchStep / 2; foot < right; foot += kHatchStep) {
    const double x1 = std::max(foot, left), x2 = std::min(foot + height, right);
    if (x2 - x1 < 0.5) continue;
    path += fmt::format("M{:.1f} {:.1f}L{:.1f} {:.1f}", x1, kBandBottom - (x1 - foot), x2,
                        kBandBottom - (x2 - foot));
  }
  if (!path.empty()) out_ += fmt::format(R"(<path class="hatch" d="{}"/>)", path);
}

// Steps of 1, 2 or 5 times a power of ten.
double scale_step(double span, int most) {
  const double power = std::pow(10, std::floor(std::log10(span / most)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (span / (factor * power) <= most) return factor * power;
  return 10 * power;
}

int decimals_for_step(double step) {
  return std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
}

void Drawing::axis() {
  line("axis", kLeft, kBandBottom, kRight, kBandBottom);
  const double span = scale_.to - scale_.from;
  double step = scale_step(span, kMostSteps);
  // Long numbers need more room: as many of them as stand clear of each other.
  const double farthest = std::max(std::abs(scale_.from), std::abs(scale_.to));
  const auto characters =
      static_cast<double>(number_text(farthest, decimals_for_step(step)).size());
  const double room = (kRight - kLeft) / (characters * kDigitWidth + kNumberGap);
  step = scale_step(span, std::clamp(static_cast<int>(room), 1, kMostSteps));
  const int decimals = decimals_for_step(step);
  const auto first = std::llround(std::ceil(scale_.from / step - 1e-9));
  const auto last = std::llround(std::floor(scale_.to / step + 1e-9));
  for (auto i = first; i <= last; ++i) {
    const double at = x(static_cast<double>(i) * step);
    line("axis", at, kBandBottom, at, kTickEnd);
    if (at < kRight - kUnitRoom)
      text("number", at, kNumbers, number_text(static_cast<double>(i) * step, decimals));
  }
  text("unit", kRight + 13, kNumbers, scale_.unit->symbol);
}

void Drawing::limit(double si, bool is_upper, int decimals) {
  const double at = x(number(si));
  hatching(is_upper ? at : kLeft, is_upper ? kRight : at);
  line("limit", at, kBandTop - 2, at, kBandBottom + 1);
  text("limit-number", at, kBandTop - 4.5, number_text(number(si), decimals));
}

void Drawing::interval(const FindingValue& value) {
  const double middle = x(number(value.value));
  double left = x(number(value.value - value.U)), right = x(number(value.value + value.U));
  if (right - left < kLeastBar) {
    left = middle - kLeastBar / 2;
    right = middle + kLeastBar / 2;
  }
  out_ += fmt::format(
      R"(<rect class="interval" x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}"/>)", left,
      kBarTop, right - left, kBarBottom - kBarTop);
  line("middle", middle, kBarTop - 3, middle, kBarBottom + 3);
}

}  // namespace

std::optional<BarScale> bar_scale(std::span<const Finding* const> findings) {
  const Unit* unit = nullptr;
  Ends all, limits;
  bool has_zero_limit = false;
  for (const Finding* finding : findings) {
    if (!is_drawable(*finding)) continue;
    const Unit* own = unit_of(finding->limit->shown, finding->limit->unit);
    if (own == nullptr || (unit != nullptr && own != unit)) continue;
    unit = own;
    for (const auto& end : {finding->limit->lower, finding->limit->upper}) {
      if (!end) continue;
      limits.take(from_si(*end, *unit));
      has_zero_limit = has_zero_limit || from_si(*end, *unit) <= 0;
    }
    all.take(from_si(finding->value->value - finding->value->U, *unit));
    all.take(from_si(finding->value->value + finding->value->U, *unit));
  }
  if (unit == nullptr) return std::nullopt;
  all.take(limits.lowest);
  all.take(limits.highest);
  double span = all.highest - all.lowest;
  if (!(span > 0)) span = std::max(std::abs(all.highest) * 0.1, 1e-6);
  // Room on both sides, so that the hatching is seen even where every value is inside.
  BarScale scale{std::min(all.lowest - 0.08 * span, limits.lowest - 0.16 * span),
                 std::max(all.highest + 0.08 * span, limits.highest + 0.16 * span), unit};
  if (all.lowest >= 0 && !has_zero_limit) scale.from = std::max(scale.from, 0.0);
  const double length = scale.to - scale.from;
  const double farthest = std::max(std::abs(scale.from), std::abs(scale.to));
  // Beyond these the numbers of the scale could not be read, or would all look the same.
  constexpr double kMostDigits = 1e7, kMostLengthsFromZero = 1e6;
  if (!(length > 0) || !(farthest < kMostDigits) || !(farthest < kMostLengthsFromZero * length))
    return std::nullopt;
  return scale;
}

std::string value_bar(const Finding& finding, const BarScale& scale) {
  if (!is_drawable(finding)) return {};
  if (unit_of(finding.limit->shown, finding.limit->unit) != scale.unit) return {};
  Drawing drawing(scale);
  const int decimals = decimals_of(finding.limit->shown);
  if (finding.limit->lower) drawing.limit(*finding.limit->lower, false, decimals);
  if (finding.limit->upper) drawing.limit(*finding.limit->upper, true, decimals);
  drawing.axis();
  drawing.interval(*finding.value);
  return drawing.finished(
      fmt::format("{}, limit {}", finding.value->shown, spoken_limit(finding.limit->shown)));
}

}  // namespace tautmark::html
