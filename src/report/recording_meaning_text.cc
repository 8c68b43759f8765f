// SPDX-License-Identifier: Apache-2.0
// What a recording says against a drive, in words.
#include <fmt/format.h>

#include <algorithm>

#include "report/recording_report.h"

namespace tautmark {
namespace {

constexpr double kWorthSaying = 0.01;  // posterior

std::string hypotheses_text(const MeaningReport& report) {
  std::string out = "meaning, phasers at their base: " + report.sentence + "\n";
  for (const MeaningAnswer& answer : report.answers) {
    if (answer.posterior < kWorthSaying && &answer != &report.answers.front()) continue;
    const std::string probability =
        answer.posterior > 0.995 ? "> 0.99" : fmt::format("  {:.2f}", answer.posterior);
    out += fmt::format("  {} {}\n", probability, answer.words);
  }
  return out;
}

}  // namespace

std::string meaning_text(const RecordingMeaning& meaning) {
  std::string out = fmt::format("against {}:\n", meaning.drive);
  if (!meaning.refused.empty()) return out + fmt::format("  OPEN  {}\n", meaning.refused);
  for (const CamMeaning& cam : meaning.cams) {
    std::string verdict(verdict_word(cam.verdict));
    std::transform(verdict.begin(), verdict.end(), verdict.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    out += fmt::format(
        "  {}  {}{}: {}{}\n", verdict, cam.cam,
        cam.found ? fmt::format(" (channel {}, ± {:.1f}°)", cam.found->channel, cam.U)
                  : std::string(),
        cam.says, cam.verdict == Verdict::open ? "; " + cam.open_because : std::string());
  }
  for (const std::string& contradiction : meaning.contradictions)
    out += fmt::format("contradiction: {}\n", contradiction);
  if (meaning.hypotheses) out += hypotheses_text(*meaning.hypotheses);
  return out;
}

}  // namespace tautmark
