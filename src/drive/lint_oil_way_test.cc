// SPDX-License-Identifier: Apache-2.0
#include "drive/lint_oil_way.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/temp_folder.h"

namespace tautmark {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

// What is said of a drive with these ways beside a pump and a way out of the gallery.
std::string said_of(const std::string& ways) {
  const test::TempFolder folder;
  const auto loaded = load_drive(folder.write("small.drive.yaml", R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual}
checked_by: second reader
banks:
  - {number: 1, camshafts: [{name: camshaft, journals: 2}]}
  - {number: 2, camshafts: [{name: camshaft, journals: 2}]}
oil:
  grade: 5W-30
  network:
    - {name: pump, kind: pump, to: gallery, per_turn: 22 cm³, slip: 0.005 mm³}
    - {name: mains, kind: clearance, from: gallery, diameter: 65 mm, clearance: 0.07 mm, land: 9 mm}
)" + ways),
                                 {});
  return diagnostics_text(loaded ? loaded->warnings : loaded.error());
}
std::string way(const std::string& keys) { return "    - {name: it, " + keys + "}\n"; }

TEST(LintOilWay, WholeWaysAreQuiet) {
  const std::string quiet = said_of("");
  EXPECT_THAT(quiet, Not(HasSubstr("error")));
  for (const char* keys :
       {"kind: bearing, from: gallery, diameter: 53 mm, clearance: 0.06 mm, land: 20 mm, "
        "feed_hole: "
        "4 mm, eccentricity: \"0.7 :1\", film: 60 %, count: 6",
        "kind: relief, from: gallery, opens: 400 kPa, flow: 12 L/min, full_at: 500 kPa",
        "kind: hole, from: gallery, diameter: 1.5 mm, coefficient: \"0.7 :1\", blocked: 30 %",
        "kind: slot, from: gallery, width: 12 mm, land: 4 mm, clearance: 0.03 mm, lands: 2"})
    EXPECT_EQ(said_of(way(keys)), quiet) << keys;
}

TEST(LintOilWay, AScreenNeedsWhatItWasMeasuredWith) {
  const std::string out = "    - {name: on, kind: hole, from: behind, diameter: 2 mm}\n";
  EXPECT_THAT(
      said_of(way("kind: screen, from: gallery, to: behind, flow: 5 L/min, full_at: 20 kPa, "
                  "viscosity: 20 mPa·s, blocked: 50 %") +
              out),
      Not(HasSubstr("screen")));
  EXPECT_THAT(
      said_of(way("kind: screen, from: gallery, to: behind, diameter: 2 mm") + out),
      AllOf(HasSubstr("a screen needs its flow"), HasSubstr("a screen needs its full_at"),
            HasSubstr("a screen needs its viscosity"), HasSubstr("a screen has no diameter")));
}

TEST(LintOilWay, NamesWhatAKindDoesNotUse) {
  EXPECT_THAT(said_of(way("kind: hole, from: gallery, diameter: 1.5 mm, opens: 300 kPa, per_turn: "
                          "2 cm³")),
              AllOf(HasSubstr("it: a hole has no opens; it changes nothing"),
                    HasSubstr("it: a hole has no per_turn; it changes nothing")));
}

TEST(LintOilWay, NamesSizesThatCannotBeMeant) {
  const struct {
    const char *keys, *said;
  } kAll[] = {
      {"kind: hole, from: gallery, diameter: 1000000000 mm", "diameter"},
      {"kind: hole, from: gallery, diameter: 0.000000001 mm", "diameter"},
      {"kind: clearance, from: gallery, diameter: 28 mm, clearance: 0.06 mm, land: 9 m", "land"},
      {"kind: clearance, from: gallery, diameter: 2 mm, clearance: 0.6 mm, land: 9 mm",
       "is no gap but a pipe"},
      {"kind: bearing, from: gallery, diameter: 53 mm, clearance: 0.06 mm, land: 9 mm, feed_hole: "
       "5 "
       "mm",
       "more than half of the bearing's 9 mm"},
      {"kind: pump, to: gallery, per_turn: 22 m³", "per_turn"},
      {"kind: pump, to: gallery, per_turn: 22 cm³, slip: 5 cm³", "slip"},
      {"kind: relief, from: gallery, opens: 500 kPa, flow: 12 L/min, full_at: 400 kPa",
       "which is not above 500 kPa"},
  };
  for (const auto& [keys, said] : kAll) EXPECT_THAT(said_of(way(keys)), HasSubstr(said)) << keys;
}

TEST(LintOilWay, NamesSizesStatedTwiceAndApart) {
  EXPECT_THAT(
      said_of(way("kind: relief, from: gallery, opens: 200 kPa, flow: 12 L/min, full_at: 500 "
                  "kPa") +
              "  relief_opens: 400 kPa\n"),
      HasSubstr("it opens at 200 kPa, and relief_opens says 400 kPa"));
  EXPECT_THAT(said_of(way("kind: clearance, from: gallery, journal: bank 1 / camshaft / journal 1, "
                          "diameter: 280 mm, land: 9 mm") +
                      "fits: [{quantity: journal diameter, at: every journal, new: 27.96..27.98 "
                      "mm}]\n"),
              HasSubstr("it has a journal of 280 mm, which is new at 27.96..27.98 mm"));
}

TEST(LintOilWay, NamesEndsThatCannotBeMeant) {
  const std::string head = "    - {name: on, kind: hole, from: bank 2 deck, diameter: 2 mm}\n";
  EXPECT_THAT(said_of(way("kind: relief, to: gallery, opens: 400 kPa, flow: 12 L/min, full_at: 500 "
                          "kPa")),
              HasSubstr("a relief valve lets oil out"));
  EXPECT_THAT(said_of(way("kind: pump, to: bank 2 deck, per_turn: 22 cm³") + head),
              HasSubstr("it pumps into bank 2 deck"));
  EXPECT_THAT(said_of(way("kind: clearance, from: bank 2 deck, to: gallery, journal: bank 1 / "
                          "camshaft / journal 1, diameter: 28 mm, land: 9 mm") +
                      head),
              HasSubstr("is a journal of another bank"));
  EXPECT_THAT(said_of(way("kind: hole, diameter: 2 mm")), HasSubstr("begins and ends in the sump"));
  EXPECT_THAT(said_of(way("kind: hole, from: gallery, to: Gallery, diameter: 2 mm")),
              HasSubstr("begins and ends at"));
}

TEST(LintOilWay, WhatIsAlikeIsAlike) {
  const auto hole = [](const std::string& name, const std::string& alike) {
    return "    - {name: " + name + ", kind: hole, from: gallery, diameter: 1 mm, " + alike + "}\n";
  };
  EXPECT_THAT(said_of(hole("a", "uncertainty: 50 %, alike: feeds of the heads") +
                      hole("b", "uncertainty: 50 %, alike: feeds of the heads") +
                      hole("c", "uncertainty: 50 %, alike: feeds of teh heads")),
              AllOf(HasSubstr("no other way is alike \"feeds of teh heads\""),
                    HasSubstr("did you mean \"feeds of the heads\"?")));
  EXPECT_THAT(said_of(hole("a", "uncertainty: 50 %, alike: feeds") +
                      hole("b", "uncertainty: 100 %, alike: feeds")),
              HasSubstr("b and a are alike \"feeds\", and their uncertainties are not"));
}

}  // namespace
}  // namespace tautmark
