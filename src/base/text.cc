// SPDX-License-Identifier: Apache-2.0
#include "base/text.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdlib>
#include <utility>

namespace tautmark {
namespace {

constexpr std::string_view kBlanks = " \t\r\n\f\v";

// No name that people type is longer; the distance table stays small whatever arrives.
constexpr std::size_t kLongestWord = 64;

char lower_ascii_char(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

// Length of the valid UTF-8 sequence at the front of `text`, 0 when there is none. Overlong forms,
// surrogates and anything above U+10FFFF are invalid (RFC 3629, section 4).
std::size_t utf8_length(std::string_view text) {
  const auto byte = [&](std::size_t i) -> unsigned {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
  };
  const auto continues = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned lead = byte(0);
  if (text.empty()) return 0;
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead <= 0xDF) return continues(1) ? 2 : 0;
  if (lead >= 0xE0 && lead <= 0xEF) {
    const bool second_fits = (lead != 0xE0 || byte(1) >= 0xA0) && (lead != 0xED || byte(1) <= 0x9F);
    return continues(1) && continues(2) && second_fits ? 3 : 0;
  }
  if (lead >= 0xF0 && lead <= 0xF4) {
    const bool second_fits = (lead != 0xF0 || byte(1) >= 0x90) && (lead != 0xF4 || byte(1) <= 0x8F);
    return continues(1) && continues(2) && continues(3) && second_fits ? 4 : 0;
  }
  return 0;
}

// Slips of the keyboard between two words: one wrong, missing, extra or swapped letter each
// (optimal string alignment distance).
std::size_t slips(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before_last(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      now[j] = std::min({changed, last[j] + 1, now[j - 1] + 1});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) now[j] = std::min(now[j], before_last[j - 2] + 1);
    }
    std::swap(before_last, last);
    std::swap(last, now);
  }
  return last[b.size()];
}

// Letters that one word has and the other has not: never more than the slips between them, and much
// sooner counted.
std::size_t letters_apart(std::string_view a, std::string_view b) {
  std::array<int, 256> more{};
  for (const char letter : a) ++more[static_cast<unsigned char>(letter)];
  for (const char letter : b) --more[static_cast<unsigned char>(letter)];
  std::size_t in_a = 0, in_b = 0;
  for (const int count : more)
    (count > 0 ? in_a : in_b) += static_cast<std::size_t>(std::abs(count));
  return std::max(in_a, in_b);
}

std::size_t slips_allowed(std::size_t word_length) {
  if (word_length < 2) return 0;
  if (word_length < 5) return 1;
  return word_length < 9 ? 2 : 3;
}

}  // namespace

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(kBlanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

std::vector<std::string> split(std::string_view text, char separator) {
  std::vector<std::string> parts;
  std::size_t begin = 0;
  for (;;) {
    const std::size_t end = text.find(separator, begin);
    if (end == std::string_view::npos) break;
    parts.emplace_back(text.substr(begin, end - begin));
    begin = end + 1;
  }
  parts.emplace_back(text.substr(begin));
  return parts;
}

std::string joined(std::span<const std::string> parts, std::string_view separator) {
  std::string all;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) all += separator;
    all += parts[i];
  }
  return all;
}

std::string lower_ascii(std::string_view text) {
  std::string lower(text);
  std::transform(lower.begin(), lower.end(), lower.begin(), lower_ascii_char);
  return lower;
}

std::string folded(std::string_view text) {
  std::string result;
  bool blank_waits = false;
  for (const char c : trimmed(text)) {
    if (kBlanks.find(c) != std::string_view::npos) {
      blank_waits = true;
      continue;
    }
    if (blank_waits) result += ' ';
    blank_waits = false;
    result += lower_ascii_char(c);
  }
  return result;
}

bool is_said(const std::optional<std::string>& text) { return text && !trimmed(*text).empty(); }

std::string singular(std::string_view name) {
  std::string one = folded(name);
  if (one.size() > 1 && one.ends_with('s') && !one.ends_with("ss")) one.pop_back();
  return one;
}

std::size_t character_count(std::string_view utf8) {
  std::size_t count = 0;
  for (; !utf8.empty(); ++count) utf8.remove_prefix(std::max<std::size_t>(1, utf8_length(utf8)));
  return count;
}

std::optional<std::size_t> first_invalid_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = utf8_length(text.substr(at));
    if (length == 0) return at;
    at += length;
  }
  return std::nullopt;
}

std::string halves_text(int halves, std::string_view one, std::string_view many) {
  const std::string_view noun = halves > 2 || halves == 0 ? many : one;
  if (halves == 1) return "half a " + std::string(noun);
  return std::to_string(halves / 2) + (halves % 2 != 0 ? ".5 " : " ") + std::string(noun);
}

std::optional<std::string> nearest(std::string_view word, std::span<const std::string> known) {
  const std::string wanted = folded(word);
  if (wanted.empty() || wanted.size() > kLongestWord) return std::nullopt;
  const std::size_t allowed = slips_allowed(wanted.size());
  std::optional<std::string> best;
  std::size_t fewest = allowed + 1;
  for (const std::string& candidate : known) {
    if (candidate.size() > wanted.size() + allowed + kLongestWord) continue;
    const std::string other = folded(candidate);
    if (other.empty() || other.size() > wanted.size() + allowed) continue;
    if (letters_apart(wanted, other) >= fewest) continue;
    const std::size_t distance = slips(wanted, other);
    if (distance < fewest) {
      fewest = distance;
      best = candidate;
    }
  }
  return best;
}

std::string replaced(std::string_view text, std::string_view from, std::string_view to) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    if (text.substr(at).starts_with(from)) {
      out += to;
      at += from.size();
    } else {
      out += text[at++];
    }
  }
  return out;
}

}  // namespace tautmark
