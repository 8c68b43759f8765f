// SPDX-License-Identifier: Apache-2.0
#include "judge/variants.h"

#include <fmt/format.h>

#include <algorithm>

namespace tautmark {
namespace {

const Finding* same_question(const std::vector<Finding>& findings, const Finding& wanted) {
  const auto found = std::find_if(findings.begin(), findings.end(), [&](const Finding& finding) {
    return finding.check == wanted.check && finding.subject == wanted.subject;
  });
  return found == findings.end() ? nullptr : &*found;
}

std::string answer_words(const Finding* finding) {
  if (finding == nullptr) return "does not ask this";
  if (finding->verdict != Verdict::open || !finding->open_because)
    return std::string(verdict_word(finding->verdict));
  return fmt::format("open: {}", open_because_text(*finding->open_because));
}

bool same_answer(const Finding& a, const Finding& b) {
  const auto limit = [](const Finding& f) {
    return f.limit ? f.limit->shown + f.limit->applies_to : std::string();
  };
  const auto value = [](const Finding& f) { return f.value ? f.value->shown : std::string(); };
  const bool nothing_read = !a.value && !b.value && a.verdict == Verdict::open;
  if (nothing_read) return b.verdict == Verdict::open && a.open_because == b.open_because;
  return a.verdict == b.verdict && a.open_because == b.open_because && limit(a) == limit(b) &&
         value(a) == value(b);
}

}  // namespace

std::vector<Finding> merged_findings(const std::vector<VariantFindings>& variants) {
  std::vector<Finding> merged;
  for (std::size_t v = 0; v < variants.size(); ++v) {
    for (const Finding& finding : variants[v].findings) {
      bool seen = false;
      for (std::size_t before = 0; before < v; ++before)
        seen = seen || same_question(variants[before].findings, finding) != nullptr;
      if (seen) continue;
      bool same = true;
      std::vector<VariantAnswer> answers;
      for (const VariantFindings& variant : variants) {
        const Finding* other = same_question(variant.findings, finding);
        same = same && other != nullptr && same_answer(finding, *other);
        answers.push_back({variant.drive, answer_words(other),
                           other != nullptr && other->limit ? other->limit->shown : ""});
      }
      Finding result = finding;
      result.variants = answers;
      if (same) {
        result.why += "; the same for all candidate variants";
      } else {
        result.verdict = Verdict::open;
        result.open_because = OpenBecause::variants_differ;
        result.probability_within.reset();
        result.limit.reset();
        result.why = "the candidate variants differ";
        for (const VariantAnswer& answer : answers)
          result.why += fmt::format("{} {}: {}{}", &answer == &answers.front() ? ":" : ";",
                                    answer.drive, answer.verdict,
                                    answer.limit.empty() ? "" : " (limit " + answer.limit + ")");
        result.follows.clear();
        result.next = {"identify the variant on the engine first"};
      }
      merged.push_back(std::move(result));
    }
  }
  return merged;
}

}  // namespace tautmark
