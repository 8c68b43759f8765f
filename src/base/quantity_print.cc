// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

#include "base/quantity_text.h"

namespace tautmark {
namespace {

// A double holds 15 decimal digits whatever they are.
constexpr int kSafeDigits = 15;
constexpr int kMostDecimals = 40;

// Steps of the last decimal that are noise of a unit conversion, not part of the number:
// 27.98 mm comes back from meters as 27.979999999999997.
constexpr double kNoise = 1e-6;

// Rounding to the nearest would understate the uncertainty by more than this share of it: then the
// digit goes up. JCGM 100:2008, 7.2.6 asks for rounding up where it matters and for common sense
// where it does not (28.05 becomes 28).
constexpr double kMostUnderstated = 0.05;

enum class Toward { up, down };

// `number` at `decimals` digits, never on the other side of it except for noise.
double rounded(double number, int decimals, Toward toward) {
  const double scale = std::pow(10, decimals);
  const double scaled = number * scale;
  if (!std::isfinite(scaled)) return number;
  const double nearest = std::round(scaled);
  const double noise = kNoise + 8 * std::numeric_limits<double>::epsilon() * std::fabs(scaled);
  if (std::fabs(scaled - nearest) <= noise) return nearest / scale;
  return (toward == Toward::up ? std::ceil(scaled) : std::floor(scaled)) / scale;
}

// Scientific digits "-1.2345e-07" written out: "-0.00000012345".
std::string written_out(std::string_view scientific) {
  std::string sign;
  if (scientific.starts_with('-')) {
    sign = "-";
    scientific.remove_prefix(1);
  }
  const std::size_t e = scientific.find('e');
  std::string digits;
  for (const char c : scientific.substr(0, e)) {
    if (c != '.') digits += c;
  }
  std::string_view power_text = scientific.substr(e + 1);
  if (power_text.starts_with('+')) power_text.remove_prefix(1);
  int power = 0;
  std::from_chars(power_text.data(), power_text.data() + power_text.size(), power);
  while (digits.size() > 1 && digits.back() == '0') digits.pop_back();
  if (power < 0)
    return sign + "0." + std::string(static_cast<std::size_t>(-power - 1), '0') + digits;
  const std::size_t before = static_cast<std::size_t>(power) + 1;
  if (digits.size() <= before) return sign + digits + std::string(before - digits.size(), '0');
  return sign + digits.substr(0, before) + "." + digits.substr(before);
}

// Power of ten and first digit of a positive number, noise rounded away first.
struct Leading {
  int power = 0;
  int digit = 0;
};

Leading leading(double number) {
  const std::string text = fmt::format("{:.8e}", number);
  Leading result{0, text[0] - '0'};
  std::string_view power = std::string_view(text).substr(text.find('e') + 1);
  if (power.starts_with('+')) power.remove_prefix(1);
  std::from_chars(power.data(), power.data() + power.size(), result.power);
  return result;
}

// An uncertainty is a difference: no offset.
double spread_number(double expanded_si, const Unit& unit) {
  return std::fabs(expanded_si / unit.factor);
}

}  // namespace

std::string number_text(double number, int decimals) {
  std::string text = fmt::format("{:.{}f}", number, std::clamp(decimals, 0, kMostDecimals));
  if (text.starts_with('-') && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
  return text;
}

std::string quantity_text(double si, const Unit& unit, int decimals) {
  return fmt::format("{} {}", number_text(from_si(si, unit), decimals), unit.symbol);
}

std::string cut_quantity_text(double si, const Unit& unit, int decimals) {
  const double power = std::pow(10, decimals);
  const double cut = std::floor(from_si(si, unit) * power * (1 + 1e-12)) / power;
  return quantity_text(to_si(cut, unit), unit, decimals);
}

std::string quantity_text(double si, const Unit& unit) {
  const double number = from_si(si, unit);
  if (!std::isfinite(number) || to_si(0, unit) == si) {
    return fmt::format("{} {}", number_text(number, 0), unit.symbol);
  }
  std::string text;
  for (int digits = 1; digits <= kSafeDigits; ++digits) {
    const std::string candidate = fmt::format("{:.{}e}", number, digits - 1);
    double typed = 0;
    std::from_chars(candidate.data(), candidate.data() + candidate.size(), typed);
    text = written_out(candidate);
    if (to_si(typed, unit) == si) break;
  }
  return fmt::format("{} {}", text, unit.symbol);
}

int decimals_for(double expanded_si, const Unit& unit) {
  const double number = spread_number(expanded_si, unit);
  if (!std::isfinite(number) || number == 0) return 0;
  const Leading first = leading(number);
  const int decimals = first.digit <= 2 ? 1 - first.power : -first.power;
  return std::clamp(decimals, 0, kMostDecimals);
}

std::string measured_text(double si, double expanded_si, const Unit& unit) {
  const double spread = spread_number(expanded_si, unit);
  if (!std::isfinite(spread) || spread == 0) return quantity_text(si, unit);
  const int decimals = decimals_for(expanded_si, unit);
  const double scale = std::pow(10, decimals);
  double shown = std::round(spread * scale) / scale;
  if (spread - shown > kMostUnderstated * spread) shown = rounded(spread, decimals, Toward::up);
  return fmt::format("{} ± {} {}", number_text(from_si(si, unit), decimals),
                     number_text(shown, decimals), unit.symbol);
}

std::string interval_text(const std::optional<double>& lower_si,
                          const std::optional<double>& upper_si, const Unit& unit, int decimals) {
  const auto lower_at = [&](int d) { return rounded(from_si(*lower_si, unit), d, Toward::up); };
  const auto upper_at = [&](int d) { return rounded(from_si(*upper_si, unit), d, Toward::down); };
  int shown = std::clamp(decimals, 0, kMostDecimals);
  if (lower_si && upper_si) {
    // Rounding inward must not turn a narrow interval around; then it needs more decimals.
    while (shown < kMostDecimals && lower_at(shown) > upper_at(shown)) ++shown;
    return fmt::format("{}..{} {}", number_text(lower_at(shown), shown),
                       number_text(upper_at(shown), shown), unit.symbol);
  }
  if (lower_si) return fmt::format(">= {} {}", number_text(lower_at(shown), shown), unit.symbol);
  if (upper_si) return fmt::format("<= {} {}", number_text(upper_at(shown), shown), unit.symbol);
  return {};
}

}  // namespace tautmark
