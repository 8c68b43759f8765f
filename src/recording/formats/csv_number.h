// SPDX-License-Identifier: Apache-2.0
// Decimal numbers of a text file, at the speed of std::from_chars or better: with at most 19
// digits, a mantissa below 2^53 and a power of ten up to 22 one multiplication or division of two
// exact doubles is correctly rounded (Clinger, "How to read floating point numbers accurately",
// PLDI 1990); everything else goes to std::from_chars.
#pragma once

#include <array>
#include <charconv>
#include <cstdint>

namespace tautmark {

inline constexpr std::array<double, 23> kPowersOfTen{1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                     1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                                     1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

// Reads at `p`; the end of the number, or nullptr where there is none. `decimal` is '.' or ','.
inline const char* read_decimal(const char* p, const char* end, char decimal, double& value) {
  const char* const begin = p;
  const bool negative = p < end && *p == '-';
  if (p < end && (*p == '-' || *p == '+')) ++p;
  const auto digit = [&] { return static_cast<unsigned>(static_cast<unsigned char>(*p)) - '0'; };
  std::uint64_t mantissa = 0;
  const char* const first = p;
  for (; p < end && digit() < 10; ++p) mantissa = mantissa * 10 + digit();
  auto digits = p - first;
  std::int64_t power = 0;
  if (p < end && *p == decimal) {
    const char* const fraction = ++p;
    for (; p < end && digit() < 10; ++p) mantissa = mantissa * 10 + digit();
    power = fraction - p;
    digits += p - fraction;
  }
  if (digits == 0) return nullptr;
  if (p < end && (*p == 'e' || *p == 'E')) {
    const char* const mark = p++;
    const bool down = p < end && *p == '-';
    if (p < end && (*p == '-' || *p == '+')) ++p;
    const char* const exponent = p;
    std::int64_t written = 0;
    for (; p < end && digit() < 10; ++p)
      if (written < 100000) written = written * 10 + digit();
    if (p == exponent)
      p = mark;  // no exponent: the caller sees the letter
    else
      power += down ? -written : written;
  }
  if (digits <= 19 && mantissa <= (std::uint64_t{1} << 53) && power >= -22 && power <= 22) {
    const auto exact = static_cast<double>(mantissa);
    const double size = power < 0 ? exact / kPowersOfTen[static_cast<std::size_t>(-power)]
                                  : exact * kPowersOfTen[static_cast<std::size_t>(power)];
    value = negative ? -size : size;
    return p;
  }
  std::array<char, 512> text{};
  std::size_t length = 0;
  for (const char* c = *begin == '+' ? begin + 1 : begin; c < p && length < text.size(); ++c)
    text[length++] = *c == decimal ? '.' : *c;
  const auto [read, error] = std::from_chars(text.data(), text.data() + length, value);
  if (error == std::errc::invalid_argument) return nullptr;
  if (error == std::errc::result_out_of_range) value = power < 0 ? 0.0 : 1e308;
  return p;
}

}  // namespace tautmark
