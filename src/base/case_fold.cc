// SPDX-License-Identifier: Apache-2.0
// Letters without regard to case. From CaseFolding.txt of Unicode 14 (status C and F,
// https://www.unicode.org/Public/14.0.0/ucd/CaseFolding.txt) for Latin to U+024F and its additions
// for other languages, Greek and Coptic, Cyrillic and its first extension. text_test holds all of
// it against another program's.
#include "base/case_fold.h"

#include <algorithm>
#include <iterator>

#include "base/text.h"

namespace tautmark {
namespace {

struct Run {
  char32_t first, last;
  int step, to_small;  // every `step`th letter, and what is added to it
};
constexpr Run kRuns[] = {
    {0x00B5, 0x00B5, 1, 775},   {0x00C0, 0x00D6, 1, 32},   {0x00D8, 0x00DE, 1, 32},
    {0x0100, 0x012E, 2, 1},     {0x0132, 0x0136, 2, 1},    {0x0139, 0x0147, 2, 1},
    {0x014A, 0x0176, 2, 1},     {0x0178, 0x0178, 1, -121}, {0x0179, 0x017D, 2, 1},
    {0x017F, 0x017F, 1, -268},  {0x0181, 0x0181, 1, 210},  {0x0182, 0x0184, 2, 1},
    {0x0186, 0x0186, 1, 206},   {0x0187, 0x0187, 1, 1},    {0x0189, 0x018A, 1, 205},
    {0x018B, 0x018B, 1, 1},     {0x018E, 0x018E, 1, 79},   {0x018F, 0x018F, 1, 202},
    {0x0190, 0x0190, 1, 203},   {0x0191, 0x0191, 1, 1},    {0x0193, 0x0193, 1, 205},
    {0x0194, 0x0194, 1, 207},   {0x0196, 0x0196, 1, 211},  {0x0197, 0x0197, 1, 209},
    {0x0198, 0x0198, 1, 1},     {0x019C, 0x019C, 1, 211},  {0x019D, 0x019D, 1, 213},
    {0x019F, 0x019F, 1, 214},   {0x01A0, 0x01A4, 2, 1},    {0x01A6, 0x01A6, 1, 218},
    {0x01A7, 0x01A7, 1, 1},     {0x01A9, 0x01A9, 1, 218},  {0x01AC, 0x01AC, 1, 1},
    {0x01AE, 0x01AE, 1, 218},   {0x01AF, 0x01AF, 1, 1},    {0x01B1, 0x01B2, 1, 217},
    {0x01B3, 0x01B5, 2, 1},     {0x01B7, 0x01B7, 1, 219},  {0x01B8, 0x01B8, 1, 1},
    {0x01BC, 0x01BC, 1, 1},     {0x01C4, 0x01C4, 1, 2},    {0x01C5, 0x01C5, 1, 1},
    {0x01C7, 0x01C7, 1, 2},     {0x01C8, 0x01C8, 1, 1},    {0x01CA, 0x01CA, 1, 2},
    {0x01CB, 0x01DB, 2, 1},     {0x01DE, 0x01EE, 2, 1},    {0x01F1, 0x01F1, 1, 2},
    {0x01F2, 0x01F4, 2, 1},     {0x01F6, 0x01F6, 1, -97},  {0x01F7, 0x01F7, 1, -56},
    {0x01F8, 0x021E, 2, 1},     {0x0220, 0x0220, 1, -130}, {0x0222, 0x0232, 2, 1},
    {0x023A, 0x023A, 1, 10795}, {0x023B, 0x023B, 1, 1},    {0x023D, 0x023D, 1, -163},
    {0x023E, 0x023E, 1, 10792}, {0x0241, 0x0241, 1, 1},    {0x0243, 0x0243, 1, -195},
    {0x0244, 0x0244, 1, 69},    {0x0245, 0x0245, 1, 71},   {0x0246, 0x024E, 2, 1},
    {0x0370, 0x0372, 2, 1},     {0x0376, 0x0376, 1, 1},    {0x037F, 0x037F, 1, 116},
    {0x0386, 0x0386, 1, 38},    {0x0388, 0x038A, 1, 37},   {0x038C, 0x038C, 1, 64},
    {0x038E, 0x038F, 1, 63},    {0x0391, 0x03A1, 1, 32},   {0x03A3, 0x03AB, 1, 32},
    {0x03C2, 0x03C2, 1, 1},     {0x03CF, 0x03CF, 1, 8},    {0x03D0, 0x03D0, 1, -30},
    {0x03D1, 0x03D1, 1, -25},   {0x03D5, 0x03D5, 1, -15},  {0x03D6, 0x03D6, 1, -22},
    {0x03D8, 0x03EE, 2, 1},     {0x03F0, 0x03F0, 1, -54},  {0x03F1, 0x03F1, 1, -48},
    {0x03F4, 0x03F4, 1, -60},   {0x03F5, 0x03F5, 1, -64},  {0x03F7, 0x03F7, 1, 1},
    {0x03F9, 0x03F9, 1, -7},    {0x03FA, 0x03FA, 1, 1},    {0x03FD, 0x03FF, 1, -130},
    {0x0400, 0x040F, 1, 80},    {0x0410, 0x042F, 1, 32},   {0x0460, 0x0480, 2, 1},
    {0x048A, 0x04BE, 2, 1},     {0x04C0, 0x04C0, 1, 15},   {0x04C1, 0x04CD, 2, 1},
    {0x04D0, 0x052E, 2, 1},     {0x1E00, 0x1E94, 2, 1},    {0x1E9B, 0x1E9B, 1, -58},
    {0x1EA0, 0x1EFE, 2, 1},     {0xA640, 0xA66C, 2, 1},    {0xA680, 0xA69A, 2, 1},
};

struct Spelled {
  char32_t letter;
  std::string_view small;
};
constexpr Spelled kSpelled[] = {
    {0x00DF, "ss"},  {0x0130, "i̇"},   {0x0149, "ʼn"}, {0x01F0, "ǰ"},  {0x0390, "ΐ"},
    {0x03B0, "ΰ"},   {0x1E96, "ẖ"},   {0x1E97, "ẗ"},  {0x1E98, "ẘ"},  {0x1E99, "ẙ"},
    {0x1E9A, "aʾ"},  {0x1E9E, "ss"},  {0xFB00, "ff"}, {0xFB01, "fi"}, {0xFB02, "fl"},
    {0xFB03, "ffi"}, {0xFB04, "ffl"}, {0xFB05, "st"}, {0xFB06, "st"},
};

// The code point at the front of valid UTF-8 with two or three bytes.
char32_t code_point(std::string_view letter) {
  const auto bits = [&](std::size_t i) { return static_cast<unsigned char>(letter[i]) & 0x3FU; };
  if (letter.size() == 2) return (static_cast<unsigned char>(letter[0]) & 0x1FU) << 6U | bits(1);
  return (static_cast<unsigned char>(letter[0]) & 0x0FU) << 12U | bits(1) << 6U | bits(2);
}

void add_utf8(std::string& out, char32_t code) {
  if (code < 0x80) {
    out += static_cast<char>(code);
    return;
  }
  if (code < 0x800) {
    out += static_cast<char>(0xC0U | code >> 6U);
  } else {
    out += static_cast<char>(0xE0U | code >> 12U);
    out += static_cast<char>(0x80U | (code >> 6U & 0x3FU));
  }
  out += static_cast<char>(0x80U | (code & 0x3FU));
}

void add_folded(std::string& out, std::string_view letter) {
  const char32_t code = code_point(letter);
  for (const Spelled& spelled : kSpelled)
    if (spelled.letter == code) {
      out += spelled.small;
      return;
    }
  const Run* run = std::lower_bound(std::begin(kRuns), std::end(kRuns), code,
                                    [](const Run& one, char32_t c) { return one.last < c; });
  const bool is_in = run != std::end(kRuns) && code >= run->first &&
                     (code - run->first) % static_cast<char32_t>(run->step) == 0;
  if (!is_in) {
    out += letter;
    return;
  }
  add_utf8(out, static_cast<char32_t>(static_cast<int>(code) + run->to_small));
}

}  // namespace

std::string case_folded(std::string_view utf8) {
  std::string out;
  out.reserve(utf8.size());
  for (std::size_t at = 0; at < utf8.size();) {
    const auto lead = static_cast<unsigned char>(utf8[at]);
    const std::size_t length = lead < 0xC2 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 1;
    const std::string_view letter = utf8.substr(at, length);
    const bool is_letter = length > 1 && !first_invalid_utf8(letter);
    if (is_letter)
      add_folded(out, letter);
    else
      out += lower_ascii(letter.substr(0, 1));
    at += is_letter ? length : 1;
  }
  return out;
}

}  // namespace tautmark
