// SPDX-License-Identifier: Apache-2.0
#include "drive/lint.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "base/text.h"
#include "drive/load.h"

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

constexpr const char* kHead = "tautmark: drive/1\nname: a\n";
constexpr const char* kJournals =
    "banks: [{number: 1, camshafts: [{name: camshaft, journals: 5}]}]\nfits:\n";

struct Found {
  std::vector<std::string> errors, warnings;  // "line:column message (second line)"
};

Found found_in(const std::string& more) {
  const auto loaded = load_drive_text(make_text_file("a.drive.yaml", kHead + more), {});
  Found found;
  const Diagnostics all = loaded ? loaded->warnings : loaded.error();
  for (const Diagnostic& d : all) {
    std::string words = fmt::format("{}:{} {}", d.place.line, d.place.column, d.message);
    if (d.second) words += fmt::format(" ({}:{})", d.second->place.line, d.second->place.column);
    (d.severity == Severity::error ? found.errors : found.warnings).push_back(words);
  }
  return found;
}

std::vector<std::string> errors(const std::string& more) { return found_in(more).errors; }

std::vector<std::string> fit_errors(const std::string& fit) {
  return errors(kJournals + ("  - {" + fit + "}\n"));
}

// The tests of the program (tests/malformed) have one file for each contradiction; here stand the
// rules about what is none, and about two places.

TEST(Lint, FindsNothingInADriveOfANameOnly) { EXPECT_THAT(errors(""), IsEmpty()); }

TEST(Lint, FindsNothingInTheDrivesThatComeWithTheProgram) {
  const DriveFolders folders{{std::filesystem::path(TAUTMARK_SOURCE_DIR) / "drives"}};
  for (const std::string& name : drives_in(folders)) {
    const auto loaded = load_drive(name, folders);
    ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
    EXPECT_FALSE(has_errors(lint(*loaded))) << name << "\n" << diagnostics_text(lint(*loaded));
  }
}

TEST(Lint, NamesBothPlacesOfAContradiction) {
  EXPECT_THAT(errors("cylinders:\n  stroke: 90 mm\n  rod: 40 mm\n"),
              ElementsAre("5:8 the connecting rod is not longer than half the stroke (4:11)"));
}

TEST(Lint, WarnsOfWhatIsWeakerThanItLooks) {
  const auto warnings =
      found_in("fasteners: [{name: bolt}]\n" + std::string(kJournals) +
               "  - {quantity: end play, at: every camshaft, service: at most 0.2 mm}\n")
          .warnings;
  EXPECT_THAT(warnings, Contains(HasSubstr("nobody says where some of these limits come from")));
  EXPECT_THAT(warnings, Contains(HasSubstr("not checked")));
  EXPECT_THAT(warnings, Contains(StartsWith("3:13 bolt: not said whether it is used once")));
}

TEST(Lint, WarnsWhenFileAndDriveHaveTwoNames) {
  const auto loaded =
      load_drive_text(make_text_file("x/b.drive.yaml", "tautmark: drive/1\nname: a\n"), {});
  ASSERT_TRUE(loaded);
  EXPECT_THAT(diagnostics_text(loaded->warnings), HasSubstr("the file is named b.drive.yaml"));
}

TEST(LintFits, TakesATypedClearanceWithinTheLastDigit) {
  const std::string parts =
      "  - {quantity: journal diameter, at: every journal, new: 1.126..1.127 in}\n"
      "  - {quantity: bore diameter, at: every journal, new: 1.128..1.129 in}\n"
      "  - {quantity: journal clearance, at: every journal, new: ";
  EXPECT_THAT(errors(kJournals + parts + "0.001..0.003 in}\n"), IsEmpty());
  EXPECT_THAT(errors(kJournals + parts + "0.001..0.0031 in}\n"), IsEmpty());
  EXPECT_THAT(errors(kJournals + parts + "0.003..0.005 in}\n"),
              ElementsAre(HasSubstr("7:59 new bore 1.128..1.129 in and new journal")));
}

TEST(LintFits, ComparesNewWithServiceAtTheEndThatIsGiven) {
  const std::string fit = "quantity: journal diameter, at: every journal, ";
  EXPECT_THAT(fit_errors(fit + "new: 27.96..27.98 mm, service: at least 27.96 mm"), IsEmpty());
  EXPECT_THAT(fit_errors(fit + "new: 27.96..27.98 mm, service: at least 27.961 mm"),
              ElementsAre(HasSubstr("would be outside the service limit")));
  EXPECT_THAT(fit_errors(fit + "new: 1.1008..1.1016 in, service: at least 27.95 mm"), IsEmpty());
}

TEST(LintFits, RefusesSizesOfNoEngine) {
  EXPECT_THAT(fit_errors("quantity: journal diameter, at: every journal, new: 27.96..27.98 in"),
              ElementsAre(HasSubstr("is the unit right?")));
  EXPECT_THAT(fit_errors("quantity: journal clearance, at: every journal, service: at most 110 mm"),
              ElementsAre(HasSubstr("is the unit right?")));
}

TEST(LintFits, ComparesLengthAndElongationOfTheChainsThatAreMeantOnly) {
  const std::string chains =
      "chains: [{name: primary, pitch: 8.00 mm}, {name: secondary, pitch: 9.525 mm}]\nfits:\n";
  const std::string limits =
      "  - {quantity: chain length, at: primary, links: 40, service: at most 321.12 mm}\n"
      "  - {quantity: chain elongation, at: primary, service: at most 0.35 %}\n";
  EXPECT_THAT(errors(chains + limits), IsEmpty());
  EXPECT_THAT(errors(chains + "  - {quantity: chain length, at: secondary, links: 40, service: at "
                              "most 321.12 mm}\n"),
              ElementsAre(HasSubstr("40 links of 9.525 mm are 381.00 mm long")));
}

TEST(LintRatios, FollowIdlers) {
  const std::string two_stages =
      "crankshaft: {sprockets: [{chain: primary, teeth: 24}]}\n"
      "chains: [{name: primary}, {name: secondary}]\n"
      "idlers: [{name: idler, driven_by: primary, teeth_in: 40, drives: secondary, teeth_out: "
      "20}]\n"
      "banks: [{number: 1, camshafts: [{name: camshaft, chain: secondary, sprocket_teeth: ";
  EXPECT_THAT(errors(two_stages + "24}]}]\n"), IsEmpty());
  EXPECT_THAT(errors(two_stages + "48}]}]\n"),
              ElementsAre(HasSubstr("needs 24 teeth through idler 40:20")));
}

TEST(LintRatios, EndWithIdlersInACircle) {
  EXPECT_THAT(
      errors("chains: [{name: a}, {name: b}]\nidlers:\n"
             "  - {name: i, driven_by: a, teeth_in: 40, drives: b, teeth_out: 20}\n"
             "  - {name: j, driven_by: b, teeth_in: 40, drives: a, teeth_out: 20}\n"
             "banks: [{number: 1, camshafts: [{name: c, chain: a, sprocket_teeth: 42}]}]\n"),
      IsEmpty());
}

TEST(LintStrands, AddUpInEachWayOfCounting) {
  const auto with = [](const char* counted, int first, int second) {
    return errors(
        fmt::format("chains:\n  - name: a\n    links: 124\n    counted: {}\n    strands: "
                    "[{{from: a, to: b, links: {}}}, {{from: b, to: a, links: {}}}]\n",
                    counted, first, second));
  };
  EXPECT_THAT(with("pitches", 64, 60), IsEmpty());
  EXPECT_THAT(with("both marks", 65, 61), IsEmpty());
  EXPECT_THAT(with("between", 63, 59), IsEmpty());
  EXPECT_THAT(with("pitches", 65, 61),
              ElementsAre("7:14 the strands add up to 126 links, the chain has 124 (5:12)"));
}

TEST(LintBanks, KeepQuietWhereNotEveryCylinderIsTold) {
  EXPECT_THAT(errors("cylinders: {count: 6}\nbanks: [{number: 1, cylinders: [1, 3, 5]}, {number: "
                     "2}]\n"),
              IsEmpty());
}

TEST(LintNames, MayRepeatInAnotherBank) {
  EXPECT_THAT(errors("banks:\n  - {number: 1, camshafts: [{name: intake}]}\n"
                     "  - {number: 2, camshafts: [{name: intake}]}\n"
                     "oil: {ports: [{name: head port, bank: 1}, {name: head port, bank: 2}]}\n"
                     "parts: [{name: chain set, bank: 1}, {name: chain set, bank: 2}]\n"),
              IsEmpty());
}

TEST(Lint, KeepsQuietAboutWhatCouldNotBeRead) {
  EXPECT_THAT(errors("cylinders: {stroke: ninety mm, rod: 40 mm}\n"),
              ElementsAre(HasSubstr("a number is wanted")));
}

TEST(Lint, ComparesNothingOfAFileThatHasMoreThanAnyEngine) {
  std::string chains = "chains:\n";
  for (int i = 0; i < 1000; ++i) chains += "  - {name: same}\n";
  EXPECT_THAT(errors(chains), ElementsAre("4:3 1000 chains; at most 32 are read"));
}

TEST(Lint, WheelsThatTheDriveDoesNotKnowAreNamed) {
  const auto with = [](const std::string& chain) {
    return errors(
        "crankshaft: {sprockets: [{teeth: 21}]}\n"
        "banks: [{number: 1, camshafts: [{name: camshaft, sprocket_teeth: 42}]}]\n"
        "chains: [{name: c, " +
        chain + "}]\n");
  };
  EXPECT_THAT(with("marks: [{at: bank 1 / camshfat}]"),
              ElementsAre(HasSubstr("no wheel \"bank 1 / camshfat\" in this drive")));
  EXPECT_THAT(with("path: [{name: pump, kind: sprocket, x: 0 mm, y: 0 mm}]"),
              ElementsAre(HasSubstr("no wheel \"pump\"")));
  EXPECT_THAT(with("path: [{name: pump, kind: sprocket, x: 0 mm, y: 0 mm, teeth: 19}]"), IsEmpty());
  EXPECT_THAT(
      with("path: [{name: g, kind: guide, x: 0 mm, y: 0 mm}, {name: g, kind: guide, x: 1 mm, "
           "y: 0 mm}]"),
      ElementsAre(HasSubstr("stands in this path twice")));
}

// A slip of unit is an error; what judge counts as not proven is a warning.
TEST(Lint, SizesOfValvesThatNoEngineHas) {
  const auto with = [](const std::string& valves) {
    return found_in("banks: [{number: 1, camshafts: [{name: camshaft, valves: [{name: intake, " +
                    valves + "}]}]}]\n");
  };
  for (const char* text : {"lobe: {lift: 10.2 in}", "lobe: {duration: 2 deg crank}",
                           "lobe: {ratio: 16 %}", "head_diameter: 33 in", "head_thickness: 33 in",
                           "margin: 1 in", "pocket_diameter: 1 mm", "spring_open: 0.7 N"})
    EXPECT_THAT(with(text).errors, ElementsAre(HasSubstr("of any piston engine"))) << text;
  for (const char* text :
       {"lobe: {lift: 10.2 mm, duration: 248 deg crank, ratio: 160 %, lash: 0 mm}",
        "head_diameter: 33 mm, margin: 1 mm, gap_at_top: 1.6 ± 0.1 mm"}) {
    EXPECT_THAT(with(text).errors, IsEmpty()) << text;
    EXPECT_THAT(with(text).warnings, Not(Contains(HasSubstr("not proven")))) << text;
  }
  for (const char* text : {"lobe: {lift: 40 mm}", "gap_at_top: 25 ± 0.1 mm"})
    EXPECT_THAT(with(text).warnings, Contains(HasSubstr("counts as not proven"))) << text;
}

TEST(Lint, SizesOfPhasersAndPlungersThatNoEngineHas) {
  const auto phaser = [](const std::string& keys) {
    return found_in("banks: [{number: 1, camshafts: [{name: camshaft, phaser: {" + keys + "}}]}]\n")
        .errors;
  };
  for (const char* text :
       {"vane_width: 20 m", "pin_diameter: 6 cm", "cam_torque: 2200 ± 1 N·m",
        "friction: -1 ± 0.1 N·m", "pin_force: 2.8 ± 0.3 kN", "control_band: 100 deg crank"})
    EXPECT_THAT(phaser(text), ElementsAre(HasSubstr("of any piston engine"))) << text;
  EXPECT_THAT(phaser("vane_inner: 42 mm, vane_outer: 38 mm"),
              ElementsAre(HasSubstr("lies outside its tip")));
  EXPECT_THAT(phaser("range: 10 deg crank, control_band: 12 deg crank"),
              ElementsAre(HasSubstr("is all of its range")));
  EXPECT_THAT(phaser("vane_inner: 22 mm, vane_outer: 38 mm, vane_width: 20 mm, pin_diameter: 6 mm, "
                     "cam_torque: 2.2 ± 0.6 N·m, control_band: 1 deg crank, range: 50 deg crank"),
              IsEmpty());
  const auto tensioner = [](const std::string& keys) {
    return found_in("chains: [{name: chain, tensioner: {" + keys + "}}]\n").errors;
  };
  for (const char* text :
       {"plunger_diameter: 140 mm", "plunger_clearance: 4 mm", "feed_hole: 10 cm"})
    EXPECT_THAT(tensioner(text), ElementsAre(HasSubstr("of any piston engine"))) << text;
  EXPECT_THAT(tensioner("plunger_diameter: 14 mm, feed_hole: 15 mm"),
              ElementsAre(HasSubstr("is as wide as the plunger")));
}

}  // namespace
}  // namespace tautmark
