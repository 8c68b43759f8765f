// SPDX-License-Identifier: Apache-2.0
// Short cases and drives for tests of the judge.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "judge/judge.h"
#include "support/temp_folder.h"

namespace tautmark::test {

// A drive of one camshaft with two journals; `more` is appended to it.
inline std::string small_drive(const std::string& more = "") {
  return R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual, page: p. 1}
checked_by: second reader
crankshaft: {sprockets: [{teeth: 21}]}
chains:
  - name: chain
    pitch: 8.00 mm
    links: 124
    tensioner: {stroke: 15 mm}
    guides: [fixed guide, arm]
banks:
  - number: 1
    head_material: aluminium
    camshafts:
      - {name: camshaft, sprocket_teeth: 42, journals: 2, material: steel, phaser: {base: full advance}}
)" + more;
}

inline constexpr const char* kFits = R"(fits:
  - {quantity: journal diameter, at: every journal, new: 27.960..27.980 mm, service: at least 27.950 mm, applies_to: mean}
  - {quantity: bore diameter, at: every journal, new: 28.020..28.040 mm, service: at most 28.070 mm, applies_to: mean}
  - {quantity: journal clearance, at: every journal, service: at most 0.110 mm, applies_to: mean}
  - {quantity: end play, at: every camshaft, service: 0.05..0.20 mm}
  - {quantity: lock play, at: every phaser, service: at most 1.0 deg cam}
  - {quantity: chain elongation, at: every chain, service: at most 0.35 %}
  - {quantity: groove depth, at: every guide, service: at most 1.0 mm}
  - {quantity: sink time, at: every tensioner, drop: 2 mm, force: 60 N, service: at least 8 s}
  - {quantity: tensioner stroke left, at: every tensioner, service: at least 25 %}
)";

inline constexpr const char* kCaseHead = R"(tautmark: case/1
name: test
drive: small
instruments:
  - {name: mic, uncertainty: 0.003 mm, resolution: 0.001 mm}
  - {name: bore gauge of the shop, uncertainty: 0.004 mm, resolution: 0.001 mm}
  - {name: gauge, uncertainty: 3 kPa, resolution: 1 kPa}
entries:
)";

// Judges a case text against drive files in the same folder.
inline Judgement judged(const std::string& case_text, const std::string& drive_text,
                        const JudgeOptions& options = {},
                        const std::vector<std::pair<std::string, std::string>>& more_drives = {}) {
  const TempFolder folder;
  if (!drive_text.empty()) folder.write("small.drive.yaml", drive_text);
  for (const auto& [name, text] : more_drives) folder.write(name + ".drive.yaml", text);
  const auto loaded = load_case(folder.write("case.yaml", case_text), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  if (!loaded) return {};
  const auto judgement = judge(*loaded, options);
  EXPECT_TRUE(judgement) << (judgement ? "" : diagnostics_text(judgement.error()));
  return judgement ? *judgement : Judgement{};
}

// What is wrong with a case text, as the user would see it.
inline std::string refusal(const std::string& case_text, const std::string& drive_text) {
  const TempFolder folder;
  if (!drive_text.empty()) folder.write("small.drive.yaml", drive_text);
  const auto loaded = load_case(folder.write("case.yaml", case_text), {});
  if (!loaded) return diagnostics_text(loaded.error());
  const auto judgement = judge(*loaded, {});
  return judgement ? "" : diagnostics_text(judgement.error());
}

inline Judgement judged_demo(const std::string& name, const JudgeOptions& options = {}) {
  const std::string root = TAUTMARK_SOURCE_DIR;
  const auto loaded = load_case(root + "/demo/" + name, {{root + "/drives"}});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  if (!loaded) return {};
  const auto judgement = judge(*loaded, options);
  EXPECT_TRUE(judgement);
  return judgement ? *judgement : Judgement{};
}

// By value: the judgement is often a temporary.
inline Finding find(const Judgement& judgement, std::string_view check, std::string_view subject) {
  for (const Finding& finding : judgement.findings)
    if (finding.check == check && finding.subject.starts_with(subject)) return finding;
  ADD_FAILURE() << "no finding " << check << " at " << subject;
  return {};
}

inline std::string verdict_text(const Finding& finding) {
  std::string text(verdict_word(finding.verdict));
  if (finding.open_because)
    text += std::string(": ") + std::string(open_because_text(*finding.open_because));
  return text;
}

}  // namespace tautmark::test
