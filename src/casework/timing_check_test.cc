// SPDX-License-Identifier: Apache-2.0
#include "casework/timing_check.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "casework/load.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

// The mistakes of one entry against the drive quellmere-i4-16, as the user would see them.
std::string mistakes(const std::string& entry) {
  const test::TempFolder folder;
  const auto loaded = load_case(
      folder.write("case.yaml",
                   "tautmark: case/1\nname: a\ndrive: quellmere-i4-16\nentries:\n  - {id: e1, " +
                       entry + "}\n"),
      {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}});
  return loaded ? "" : diagnostics_text(loaded.error());
}

TEST(StopEntry, TakesPairsInCrankDegrees) {
  const std::string stop = "kind: stop, before: 24.5 24.4 deg crank, after: ";
  EXPECT_EQ(mistakes(stop + "22.1 22.2 deg crank"), "");
  EXPECT_THAT(mistakes(stop + "22.1 deg crank"), HasSubstr("case.yaml:5:"));
  EXPECT_THAT(mistakes(stop + "22.1 deg crank"), HasSubstr("1 readings after the zero and 2"));
  EXPECT_THAT(mistakes(stop + "22.1 22.2 mm"), HasSubstr("not crank degrees"));
  EXPECT_THAT(mistakes(stop + "270 271 deg crank"), HasSubstr("pair 1"));
}

TEST(IndicatorEntry, NeedsPairsOrATable) {
  const std::string head = "kind: indicator, place: bank 1 / intake camshaft";
  const std::string pair = "{lift: 6.00 mm, opens: 70.6 deg crank, closes: 174.4 deg crank}";
  EXPECT_EQ(mistakes(head + ", pairs: [" + pair + "]"), "");
  EXPECT_THAT(mistakes(head), HasSubstr("no lift was read"));
  EXPECT_THAT(mistakes("kind: indicator, place: bank 2 / intake camshaft, pairs: [" + pair + "]"),
              HasSubstr("bank 2 / intake camshaft"));
  EXPECT_THAT(mistakes(head + ", valves: exhaust, pairs: [" + pair + "]"),
              HasSubstr("works no valves \"exhaust\""));
  EXPECT_THAT(mistakes(head + ", cylinder: 5, pairs: [" + pair + "]"),
              HasSubstr("no cylinder 5: the engine has 4"));
  EXPECT_THAT(
      mistakes(head + ", pairs: [{lift: 6.00 mm, opens: 174 deg crank, closes: 70 deg crank}]"),
      HasSubstr("not one after the other"));
  EXPECT_THAT(mistakes(head + ", pairs: [{lift: 6.00 m, opens: 70 deg crank, closes: 174 deg "
                              "crank}]"),
              HasSubstr("cannot be the lift of a valve"));
  EXPECT_THAT(mistakes(head + ", table: [{at: 60 deg crank, lift: 4 mm}]"),
              HasSubstr("1 rows show no lobe"));
  EXPECT_THAT(mistakes(head + ", as_lobe: true, pairs: [" + pair + "]"), HasSubstr("no table"));
  std::string rows;
  for (int i = 0; i < 1501; ++i) rows += "{at: 60 deg crank, lift: 4 mm}, ";
  EXPECT_THAT(mistakes(head + ", table: [" + rows + "]"), HasSubstr("1501 rows; at most 1500"));
}

TEST(ValveGapEntry, NeedsItsUncertainty) {
  const std::string head =
      "kind: valve gap, place: bank 1 / intake camshaft, how: soft clay, gap: ";
  EXPECT_EQ(mistakes(head + "5.1 ± 0.2 mm"), "");
  EXPECT_THAT(mistakes(head + "5.1 mm"), HasSubstr("without its uncertainty"));
  EXPECT_THAT(mistakes(head + "5.1 ± 0.2 m"), HasSubstr("is the unit right?"));
  EXPECT_THAT(mistakes(head + "5 ± 1 deg crank"), HasSubstr("a gap is a length"));
}

TEST(StandingEntry, IsUnderstoodOrRefused) {
  const std::string head = "kind: standing, crank: 75 ± 1 deg crank, camshafts: [";
  const std::string intake = "{at: bank 1 / intake camshaft, stands: 2 teeth late}";
  EXPECT_EQ(mistakes(head + intake + "]"), "");
  EXPECT_THAT(mistakes(head + intake + ", " + intake + "]"), HasSubstr("a second time"));
  EXPECT_THAT(mistakes(head + "{at: bank 1 / intake camshaft, stands: somehow}]"),
              HasSubstr("stands"));
  EXPECT_THAT(mistakes(head + "{at: timing chain, stands: right}]"), HasSubstr("timing chain"));
  EXPECT_THAT(mistakes("kind: standing, crank: 75 ± 1 mm"), HasSubstr("crank degrees"));
  EXPECT_THAT(mistakes("kind: standing, wanted_after: firing"), HasSubstr("and not where"));
}

}  // namespace
}  // namespace tautmark
