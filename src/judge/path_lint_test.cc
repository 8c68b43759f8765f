// SPDX-License-Identifier: Apache-2.0
#include "judge/path_lint.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

namespace tautmark {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// The bank of geometry.md 3.4, whose solution is known: 20 and 40 teeth, 106 links.
struct Parts {
  std::string links = "106", stroke = "20 mm", cam = "x: 0 mm, y: 302 mm", pad = "-44 mm",
              limit = "0.4 %", clock = "0 deg", crank_clock = "163.92 deg",
              face = "from: 60 deg, to: 130 deg", guide = "286 mm";
};

std::vector<std::string> found(const Parts& p) {
  const std::string text =
      "tautmark: drive/1\nname: t\ncrankshaft: {rotation: clockwise, seen_from: front, sprockets: "
      "[{teeth: 20}]}\nchains:\n  - name: c\n    pitch: 8 mm\n    links: " +
      p.links +
      "\n    counted: pitches\n    strands: [{from: crank, to: bank 1 / cam, links: 54}, {from: "
      "bank 1 "
      "/ cam, to: crank, links: 52}]\n    marks: [{at: crank, clock: " +
      p.crank_clock +
      "}, {at: bank 1 / "
      "cam, "
      "clock: " +
      p.clock + "}]\n    tensioner: {stroke: " + p.stroke +
      ", plunger: {base_x: -56 mm, base_y: 150 mm, points: 90 deg, pad_x: " + p.pad +
      ", pad_y: 150 mm, pad_radius: 6 mm}}\n    path:\n"
      "      - {name: crank, kind: sprocket, x: 0 mm, y: 0 mm}\n"
      "      - {name: arm, kind: arm, x: -160 mm, y: 112 mm, radius: 140 mm, runs: outside, "
      "pivot_x: "
      "-50 mm, pivot_y: 40 mm, " +
      p.face +
      "}\n"
      "      - {name: bank 1 / cam, kind: sprocket, " +
      p.cam +
      "}\n"
      "      - {name: guide, kind: guide, x: " +
      p.guide +
      ", y: 151 mm, radius: 250 mm, runs: outside, "
      "from: 260 deg, to: 300 deg}\n"
      "banks: [{number: 1, camshafts: [{name: cam, sprocket_teeth: 40}]}]\n"
      "fits: [{quantity: chain elongation, at: every chain, service: at most " +
      p.limit + "}]\n";
  const auto loaded = load_drive_text(make_text_file("t.drive.yaml", text), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  std::vector<std::string> messages;
  if (loaded)
    for (const Diagnostic& one : path_lint(*loaded))
      messages.push_back((one.severity == Severity::error ? "error " : "warning ") + one.message);
  return messages;
}

TEST(PathLint, FindsNothingInTheWorkedBank) { EXPECT_THAT(found({}), IsEmpty()); }

TEST(PathLint, NamesTheLinksThatAreMissing) {
  EXPECT_THAT(found({.links = "100"}),
              testing::Contains(AllOf(HasSubstr("too short"), HasSubstr("links"))));
}

// geometry.md 3.4: a plunger with 20 mm runs out at 0.567498 %.
TEST(PathLint, SaysWhereThePlungerRunsOut) {
  EXPECT_THAT(found({.limit = "0.8 %"}),
              ElementsAre(AllOf(HasSubstr("warning"), HasSubstr("0.57 %"))));
}

TEST(PathLint, RefusesAPlungerOutsideItsStrokeAsNew) {
  EXPECT_THAT(found({.stroke = "5 mm"}), ElementsAre(HasSubstr("stands 6.4 mm out")));
  EXPECT_THAT(found({.pad = "-60 mm"}), ElementsAre(HasSubstr("mm behind its base")));
}

TEST(PathLint, FindsSprocketsThatCollide) {
  EXPECT_THAT(found({.cam = "x: 0 mm, y: 70 mm"}), testing::Contains(HasSubstr("collide")));
}

TEST(PathLint, FindsAMarkThatTheCountsPutElsewhere) {
  EXPECT_THAT(found({.clock = "9 deg"}),
              ElementsAre(HasSubstr("1.0 of its teeth away from 9 deg")));
  EXPECT_THAT(found({.clock = "2 deg"}), IsEmpty());  // less than a quarter of a tooth
}

TEST(PathLint, FindsAMarkThatTheChainDoesNotLieOn) {
  EXPECT_THAT(found({.crank_clock = "20 deg"}),
              testing::Contains(HasSubstr("no link can be on it there")));
}

TEST(PathLint, FindsContactBeyondTheEndOfAFace) {
  EXPECT_THAT(found({.face = "from: 100 deg, to: 130 deg"}),
              ElementsAre(HasSubstr("beyond the end of its face")));
}

TEST(PathLint, AnOddNumberOfLinksIsNamed) {
  EXPECT_THAT(found({.links = "107"}), testing::Contains(HasSubstr("an even number")));
}

}  // namespace
}  // namespace tautmark
