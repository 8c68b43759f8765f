// SPDX-License-Identifier: Apache-2.0
#include "store/search_words.h"

#include <algorithm>

#include "base/case_fold.h"
#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::string_view kDigits = "0123456789";
constexpr std::size_t kMostNumberDigits = 2, kMostNameBytes = 40;  // of "bank2"

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

// Bytes of the sign that starts here when it divides words, 0 when it is part of one. Beyond ASCII:
// U+0080 to U+00BF without the letters ª µ º, × and ÷, and the blocks of punctuation from U+2000 to
// U+206F.
std::size_t divider(std::string_view rest) {
  const auto byte = [&](std::size_t i) {
    return i < rest.size() ? static_cast<unsigned char>(rest[i]) : 0U;
  };
  const unsigned first = byte(0), second = byte(1);
  if (first < 0x80) return is_digit(rest[0]) || is_letter(rest[0]) ? 0 : 1;
  if (first == 0xC2) return second == 0xAA || second == 0xB5 || second == 0xBA ? 0 : 2;
  if (first == 0xC3 && (second == 0x97 || second == 0xB7)) return 2;
  if (first == 0xE2 && (second == 0x80 || (second == 0x81 && byte(2) < 0xB0))) return 3;
  return 0;
}

bool joins_digits(std::string_view text, std::size_t i) {
  return (text[i] == '.' || text[i] == ',' || text[i] == '-') && i > 0 && i + 1 < text.size() &&
         is_digit(text[i - 1]) && is_digit(text[i + 1]);
}

// At most kMostWordBytes, whole characters.
std::string cut_word(std::string word) {
  if (word.size() <= kMostWordBytes) return word;
  std::size_t end = kMostWordBytes;
  while (end > 0 && (static_cast<unsigned char>(word[end]) & 0xC0U) == 0x80U) --end;
  return word.substr(0, end);
}

// A quantity is not worth a word of its field: it starts with a number and has a blank.
bool is_quantity(std::string_view text) {
  const auto start = text.find_first_not_of("+-<>=");
  return start != std::string_view::npos && is_digit(text[start]) &&
         text.find(' ') != std::string_view::npos;
}

void add_words(std::string_view text, std::string_view key, WordSet& words) {
  std::string name;  // the word before, when it is letters only
  for (const std::string& word : words_of(text)) {
    const auto insert = [&](const std::string& one) {
      words.insert(one);
      if (!key.empty()) words.insert(cut_word(case_folded(key) + "=" + one));
    };
    insert(word);
    const bool is_number = word.find_first_not_of(kDigits) == std::string::npos;
    if (is_number && word.size() <= kMostNumberDigits && !name.empty()) insert(name + word);
    name = word.find_first_of(kDigits) == std::string::npos && word.size() <= kMostNameBytes ? word
                                                                                             : "";
    if (word.find_first_of(".-") == std::string::npos) continue;
    std::string part;
    for (const char c : word + ".") {
      if (c != '.' && c != '-') {
        part += c;
      } else if (!part.empty()) {
        words.insert(part);
        part.clear();
      }
    }
  }
}

void add_node(const Node& node, std::string_view key, WordSet& words) {
  if (node.shape == NodeShape::scalar)
    add_words(node.text, is_quantity(node.text) ? std::string_view() : key, words);
  for (const Node& item : node.items) add_node(item, key, words);
  for (const Member& member : node.members) add_node(member.value, member.key.text, words);
}

}  // namespace

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  const auto end_word = [&] {
    if (!word.empty()) words.push_back(cut_word(case_folded(word)));
    word.clear();
  };
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t bytes = divider(text.substr(i));
    if (bytes == 0 || joins_digits(text, i)) {
      word += text[i] == ',' ? '.' : text[i];
      ++i;
    } else {
      end_word();
      i += bytes;
    }
  }
  end_word();
  return words;
}

void add_text_words(std::string_view text, WordSet& words) { add_words(text, {}, words); }

void add_tree_words(const Node& node, WordSet& words) { add_node(node, {}, words); }

void add_comment_words(std::string_view yaml, WordSet& words) {
  for (std::size_t start = 0; start < yaml.size();) {
    const std::size_t end = std::min(yaml.find('\n', start), yaml.size());
    const std::string_view line = yaml.substr(start, end - start);
    const auto sign = line.find('#');
    // A # inside a quoted text only repeats words that the text gives anyway.
    if (sign != std::string_view::npos && (sign == 0 || line[sign - 1] == ' '))
      add_words(line.substr(sign + 1), {}, words);
    start = end + 1;
  }
}

SearchTerms search_terms(std::string_view query) {
  SearchTerms found;
  std::size_t i = 0;
  while (i < query.size()) {
    if (query[i] == ' ' || query[i] == '\t') {
      ++i;
      continue;
    }
    found.anything_typed = true;
    // key: — a letter first, so that 08:15 is none.
    std::string key;
    std::size_t end = i;
    while (end < query.size() && (is_letter(query[end]) || query[end] == '_')) ++end;
    if (end > i && end < query.size() && query[end] == ':') {
      key = lower_ascii(query.substr(i, end - i)) + "=";
      i = end + 1;
    }
    const bool quoted = i < query.size() && query[i] == '"';
    if (quoted) ++i;
    end = std::min(query.find_first_of(quoted ? "\"" : " \t\"", i), query.size());
    const auto words = words_of(query.substr(i, end - i));
    for (const std::string& word : words) found.terms.push_back({cut_word(key + word), quoted});
    if (words.empty() && !key.empty()) found.terms.push_back({cut_word(key), false});
    i = quoted ? end + 1 : end;
  }
  std::sort(found.terms.begin(), found.terms.end());
  found.terms.erase(std::unique(found.terms.begin(), found.terms.end()), found.terms.end());
  return found;
}

}  // namespace tautmark
