// SPDX-License-Identifier: Apache-2.0
// From a judgement to what a person or a program reads. No formula and no limit here.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "judge/judge.h"

namespace tautmark {

struct TextStyle {
  int width = 100;
  bool bold = false;  // a terminal that shows it, and NO_COLOR not set
};

// Three lines first (stop or caution, what is proven, what next), the turning answer, then the
// findings in groups, the worst group and the worst finding first.
std::string text_report(const Judgement& judgement, const TextStyle& style);

// Five sentences to read over the phone.
std::string brief_report(const Judgement& judgement);

// schema findings/1, see docs/formats/findings.md. `after_record`: number of the last record that
// the judged case had in its store; empty: it is a file.
std::string json_report(const Judgement& judgement,
                        std::optional<std::int64_t> after_record = std::nullopt);

// One self-contained printable sheet: findings, and boxes for the readings still to be taken.
std::string html_sheet(const Judgement& judgement, const LoadedCase& loaded);

// The verdict as a chain link drawn in characters: "o==o" closed, "o=/=o" broken, "o= =o" open.
std::string_view verdict_link(Verdict verdict);

// Groups of findings as all reports show them: worst group first, worst finding first inside.
struct FindingGroup {
  std::string title;
  std::vector<const Finding*> findings;
};
// Forecasts of journals stand in one table, a row for each option; others are told in words.
bool is_in_forecast_table(const Finding& finding);

std::vector<FindingGroup> grouped(const Judgement& judgement);

}  // namespace tautmark
