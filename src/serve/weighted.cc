// SPDX-License-Identifier: Apache-2.0
#include "serve/weighted.h"

#include "base/quantity_text.h"
#include "base/text.h"

namespace tautmark {
namespace {

double weight_of(std::string_view said) {
  const std::string text = lower_ascii(trimmed(said));
  if (!text.starts_with("q=")) return 0;
  return read_number(text.substr(2)).value_or(0);
}

}  // namespace

std::vector<Weighted> weighted(std::string_view header) {
  std::vector<Weighted> all;
  for (const std::string& part : split(header, ',')) {
    const std::vector<std::string> words = split(part, ';');
    all.push_back(
        {lower_ascii(trimmed(words.front())), words.size() < 2 ? 1 : weight_of(words[1])});
  }
  return all;
}

}  // namespace tautmark
