// SPDX-License-Identifier: Apache-2.0
// What a drive takes over from the one it is based on, and what it must say itself.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "drive/drive_fields.h"
#include "drive/load.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Key;
using ::testing::Not;
using ::testing::UnorderedElementsAre;

constexpr const char* kBase = R"(tautmark: drive/1
name: base
title: Base
invented: true
revision: "3"
source: {origin: maker, document: base manual}
checked_by: second reader
recognise: [cast letter A]
cylinders: {count: 4, bore: 84.0 mm, stroke: 90.0 mm}
crankshaft: {rotation: clockwise, seen_from: front, mark: dot, sprockets: [{teeth: 21}]}
chains:
  - name: timing chain
    pitch: 8.00 mm
    links: 124
    marked_links: two copper links
    tensioner: {stroke: 15 mm, side: outboard}
    guides: [fixed guide, arm]
banks:
  - number: 1
    camshafts: [{name: camshaft, sprocket_teeth: 42, journals: 5, phaser: {base: full advance}}]
fits:
  - {quantity: journal diameter, at: every journal, new: 27.960..27.980 mm}
  - {quantity: end play, at: every camshaft, service: at most 0.2 mm, source: {origin: shop}}
oil:
  grade: 5W-30
  ports: [main gallery]
  pressures: [{at: main gallery, limit: at least 140 kPa, speed: 650 ± 25 1/min, oil_temperature: at least 90 degC}]
fasteners:
  - {name: phaser bolt, single_use: yes, steps: [35 N·m, {angle: 75 deg}]}
)";

class Variant : public testing::Test {
 protected:
  Variant() { folder_.write("base.drive.yaml", kBase); }

  Parsed<LoadedDrive> load(const std::string& more) {
    folder_.write("variant.drive.yaml",
                  "tautmark: drive/1\nname: variant\nbased_on: base\n" + more);
    return load_drive("variant", {{folder_.path()}});
  }
  // "line:column message" of the first error.
  std::string problem(const std::string& more) {
    const auto loaded = load(more);
    if (loaded) return "none";
    const Diagnostic& first = loaded.error().front();
    return fmt::format("{}:{} {}", first.place.line, first.place.column, first.message);
  }

  test::TempFolder folder_;
};

TEST_F(Variant, TakesOverWhatItDoesNotSay) {
  const auto loaded = load("");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  const Drive& drive = loaded->drive;
  EXPECT_EQ(drive.cylinders->bore->text, "84.0 mm");
  EXPECT_EQ(drive.chains[0].links, 124);
  EXPECT_EQ(drive.fits.size(), 2U);
  EXPECT_EQ(drive.invented, true);
}

TEST_F(Variant, TakesOverNeitherNameNorChecksNorRecognition) {
  const auto loaded = load("");
  ASSERT_TRUE(loaded);
  const Drive& drive = loaded->drive;
  EXPECT_EQ(drive.name, "variant");
  EXPECT_EQ(drive.title, std::nullopt);
  EXPECT_EQ(drive.revision, std::nullopt);
  EXPECT_EQ(drive.checked_by, std::nullopt);
  EXPECT_EQ(drive.source, std::nullopt);
  EXPECT_THAT(drive.recognise, IsEmpty());
}

TEST_F(Variant, ChangesSingleKeysOfAGroup) {
  const auto loaded = load("cylinders: {bore: 86.0 mm}\ncrankshaft: {mark: notch}\n");
  ASSERT_TRUE(loaded);
  EXPECT_EQ(loaded->drive.cylinders->bore->text, "86.0 mm");
  EXPECT_EQ(loaded->drive.cylinders->stroke->text, "90.0 mm");
  EXPECT_EQ(loaded->drive.crankshaft->mark, "notch");
  EXPECT_EQ(loaded->drive.crankshaft->rotation, Rotation::clockwise);
}

TEST_F(Variant, MergesListsByTheNameOfTheirItems) {
  const auto loaded = load(
      "chains:\n  - {name: Timing Chain, links: 126}\n  - {name: pump chain, links: 60}\n"
      "fits:\n  - {quantity: end play, at: every camshaft, service: at most 0.3 mm}\n");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  const auto& chains = loaded->drive.chains;
  ASSERT_EQ(chains.size(), 2U);
  EXPECT_EQ(chains[0].links, 126);
  EXPECT_EQ(chains[0].pitch->text, "8.00 mm");
  EXPECT_EQ(chains[1].name, "pump chain");
  ASSERT_EQ(loaded->drive.fits.size(), 2U);
  EXPECT_EQ(loaded->drive.fits[1].service->text, "at most 0.3 mm");
}

TEST_F(Variant, ReplacesListsWhoseItemsHaveNoName) {
  const auto loaded = load(
      "fasteners: [{name: phaser bolt, steps: [40 N·m]}]\n"
      "crankshaft: {sprockets: [{teeth: 21}]}\n");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  EXPECT_EQ(loaded->drive.fasteners[0].steps.size(), 1U);
  EXPECT_EQ(loaded->drive.crankshaft->sprockets.size(), 1U);
}

TEST_F(Variant, RemovesWhatItGivesNoValue) {
  const auto loaded = load(
      "oil:\ncylinders: {bore: null}\nchains: [{name: timing chain, "
      "tensioner: ~}]\n");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  EXPECT_EQ(loaded->drive.oil, std::nullopt);
  EXPECT_EQ(loaded->drive.cylinders->bore, std::nullopt);
  EXPECT_EQ(loaded->drive.cylinders->stroke->text, "90.0 mm");
  EXPECT_EQ(loaded->drive.chains[0].tensioner, std::nullopt);
}

// The base's manual is not the source of the variant's own numbers, nor the other way round.
TEST_F(Variant, KeepsTheSourceWithTheNumbersItCameFrom) {
  const auto loaded = load(
      "source: {origin: shop, document: own readings}\n"
      "fits: [{quantity: lock play, at: every phaser, service: at most 1 deg cam}]\n");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  const Drive& drive = loaded->drive;
  EXPECT_EQ(drive.source->document, "own readings");
  EXPECT_EQ(drive.fits[0].source->document, "base manual");
  EXPECT_EQ(drive.fits[1].source->origin, Origin::shop);  // its own
  EXPECT_EQ(drive.fits[2].source, std::nullopt);          // that of the variant
  EXPECT_EQ(drive.oil->pressures[0].source->document, "base manual");
  EXPECT_EQ(drive.fasteners[0].source->document, "base manual");
}

TEST_F(Variant, LeavesUnconfirmedWhatBites) {
  const auto loaded = load("");
  ASSERT_TRUE(loaded);
  EXPECT_THAT(loaded->unconfirmed,
              UnorderedElementsAre(Key("chain pitch"), Key("chain links"), Key("marks"),
                                   Key("phaser base"), Key("tensioner side"), Key("rotation"),
                                   Key("torques"), Key("single use")));
  EXPECT_THAT(diagnostics_text(loaded->warnings),
              HasSubstr("chain links taken over from the base"));
}

TEST_F(Variant, ConfirmsByNameOrByRestating) {
  const auto loaded = load(
      "confirms: [Rotation, torques]\nchains: [{name: timing chain, links: "
      "124}]\n");
  ASSERT_TRUE(loaded);
  EXPECT_THAT(loaded->unconfirmed, Not(Contains(Key("rotation"))));
  EXPECT_THAT(loaded->unconfirmed, Not(Contains(Key("torques"))));
  EXPECT_THAT(loaded->unconfirmed, Not(Contains(Key("chain links"))));
  EXPECT_THAT(loaded->unconfirmed, Contains(Key("chain pitch")));
}

TEST_F(Variant, RestatesOneChainAndLeavesTheOtherUnconfirmed) {
  folder_.write("base.drive.yaml",
                "tautmark: drive/1\nname: base\nchains: [{name: a, links: 60}, {name: b, links: "
                "62}]\n");
  EXPECT_THAT(load("chains: [{name: a, links: 60}]\n")->unconfirmed,
              ElementsAre(Key("chain links")));
  EXPECT_THAT(load("chains: [{name: a, links: 60}, {name: b, links: 62}]\n")->unconfirmed,
              IsEmpty());
}

// The confirmation of the variant between them is about another engine.
TEST_F(Variant, OfAVariantConfirmsAnew) {
  load("confirms: [rotation]\n");
  folder_.write("third.drive.yaml", "tautmark: drive/1\nname: third\nbased_on: variant\n");
  const auto third = load_drive("third", {{folder_.path()}});
  ASSERT_TRUE(third) << diagnostics_text(third.error());
  EXPECT_THAT(third->unconfirmed, Contains(Key("rotation")));
  EXPECT_EQ(third->drive.cylinders->bore->text, "84.0 mm");
}

TEST_F(Variant, HasAnotherSumWhenItsBaseChanges) {
  const std::string before = load("")->sha256;
  EXPECT_EQ(load("")->sha256, before);
  folder_.write("base.drive.yaml", std::string(kBase) + "note: changed\n");
  EXPECT_NE(load("")->sha256, before);
}

TEST_F(Variant, NamesTheFileInWhichAMistakeStands) {
  folder_.write("base.drive.yaml", std::string(kBase) + "titel: x\n");
  const auto loaded = load("cylinders: {bore: 86}\n");
  ASSERT_FALSE(loaded);
  ASSERT_EQ(loaded.error().size(), 2U);
  const std::string text = diagnostics_text(loaded.error());
  EXPECT_THAT(text, HasSubstr("variant.drive.yaml:4:19: error: 86 has no unit"));
  EXPECT_THAT(text, HasSubstr("base.drive.yaml:30:1: error: unknown key \"titel\""));
}

TEST_F(Variant, ThatNamesAnItemTwiceIsNotMergedSilently) {
  const auto loaded =
      load("chains: [{name: timing chain, links: 126}, {name: timing chain, links: 128}]\n");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  EXPECT_THAT(diagnostics_text(loaded->warnings),
              HasSubstr("a chain named \"timing chain\" stands here a second time"));
  const auto added = load("chains: [{name: new, links: 126}, {name: new, links: 128}]\n");
  ASSERT_TRUE(added);
  EXPECT_TRUE(has_errors(added->warnings));
}

// Steps of a procedure: changed, moved, added, removed, each by its name.
class VariantSteps : public Variant {
 protected:
  VariantSteps() {
    folder_.write("base.drive.yaml",
                  "tautmark: drive/1\nname: base\nprocedure:\n"
                  "  - {name: A, what: does a, gate: tick, cautions: [hot]}\n"
                  "  - {name: B, what: does b}\n"
                  "  - {name: C, what: does c}\n");
  }
  // "A,B,C"
  std::string order(const std::string& steps) {
    const auto loaded = load("procedure:\n" + steps);
    if (!loaded) return diagnostics_text(loaded.error());
    std::string names;
    for (const ProcedureStep& step : loaded->drive.procedure)
      names += (names.empty() ? "" : ",") + step.name;
    return names;
  }
};

TEST_F(VariantSteps, OneFieldIsChangedAndTheRestStays) {
  const auto loaded = load("procedure: [{name: a, gate: photo}]\n");
  ASSERT_TRUE(loaded) << diagnostics_text(loaded.error());
  const ProcedureStep& step = loaded->drive.procedure.at(0);
  EXPECT_EQ(step.gate, GateWants::photo);
  EXPECT_EQ(step.what, "does a");
  EXPECT_THAT(step.cautions, ElementsAre("hot"));
  EXPECT_EQ(loaded->drive.procedure.size(), 3U);
}

TEST_F(VariantSteps, AreAddedMovedAndRemoved) {
  EXPECT_EQ(order("  - {name: N, what: new}\n"), "A,B,C,N");
  EXPECT_EQ(order("  - {name: N, after: a, what: new}\n"), "A,N,B,C");
  EXPECT_EQ(order("  - {name: N, after: A, what: n}\n  - {name: M, after: A, what: m}\n"),
            "A,N,M,B,C");
  EXPECT_EQ(order("  - {name: N, after: A, what: n}\n  - {name: M, after: N, what: m}\n"),
            "A,N,M,B,C");
  EXPECT_EQ(order("  - {name: A, after: C}\n"), "B,C,A");
  EXPECT_EQ(order("  - {name: B, remove: true}\n"), "A,C");
  EXPECT_EQ(order("  - {name: B, remove: yes}\n  - {name: N, after: B, what: n}\n"), "A,N,C");
}

TEST_F(VariantSteps, ThatNameNothingAreRefusedAtTheirPlace) {
  EXPECT_EQ(problem("procedure:\n  - {name: D, remove: true}\n"),
            "5:23 no base has a step \"D\" to be removed");
  EXPECT_EQ(problem("procedure:\n  - {name: N, after: Q, what: n}\n"),
            "5:22 there is no step \"Q\" to stand behind");
  EXPECT_EQ(problem("procedure:\n  - {name: N, after: N, what: n}\n"),
            "5:22 there is no step \"N\" to stand behind");
  EXPECT_EQ(problem("procedure:\n  - {name: N}\n"),
            "5:5 \"what\" is missing in \"N\": what is done");
}

TEST_F(VariantSteps, OfADriveWithoutBaseAreRefused) {
  folder_.write("alone.drive.yaml",
                "tautmark: drive/1\nname: alone\nprocedure:\n"
                "  - {name: A, what: a}\n  - {name: B, what: b, after: A}\n");
  const auto loaded = load_drive("alone", {{folder_.path()}});
  ASSERT_FALSE(loaded);
  EXPECT_EQ(loaded.error().front().place.line, 5);
}

TEST_F(VariantSteps, StandInTheFileTheyCameFrom) {
  const auto loaded = load("procedure: [{name: N, after: A, what: new}, {name: B, gate: tick}]\n");
  ASSERT_TRUE(loaded);
  const auto file = [&](const char* key) {
    return std::filesystem::path(loaded->places.at(key).file).filename().string();
  };
  EXPECT_EQ(file("procedure[0].what"), "base.drive.yaml");
  EXPECT_EQ(file("procedure[1].what"), "variant.drive.yaml");
  EXPECT_EQ(file("procedure[2].gate"), "variant.drive.yaml");
  EXPECT_EQ(file("procedure[2].what"), "base.drive.yaml");
  EXPECT_EQ(loaded->places.at("procedure[2].what").line, 5);
}

TEST_F(VariantSteps, OfAVariantOfAVariantStandOnBoth) {
  load("procedure: [{name: N, after: A, what: n}]\n");
  folder_.write("third.drive.yaml",
                "tautmark: drive/1\nname: third\nbased_on: variant\n"
                "procedure: [{name: N, remove: true}, {name: M, after: C, what: m}]\n");
  const auto third = load_drive("third", {{folder_.path()}});
  ASSERT_TRUE(third) << diagnostics_text(third.error());
  ASSERT_EQ(third->drive.procedure.size(), 4U);
  EXPECT_EQ(third->drive.procedure[3].name, "M");
}

TEST_F(Variant, NeedsABaseThatIsThereAndReadable) {
  folder_.write("other.drive.yaml", "tautmark: drive/1\nname: other\nbased_on: none\n");
  const auto missing = load_drive("other", {{folder_.path()}});
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.error().front().place.line, 3);
  EXPECT_THAT(missing.error().front().message, HasSubstr("the base \"none\" cannot be read"));
  folder_.write("base.drive.yaml", "tautmark: case/1\nname: base\n");
  EXPECT_EQ(problem(""), "1:11 this is a case file; a drive file is wanted here");
  folder_.write("base.drive.yaml", "a: [\n");
  EXPECT_THAT(problem(""), HasSubstr("not readable as YAML"));
}

TEST_F(Variant, CannotBeBasedOnItself) {
  folder_.write("base.drive.yaml", "tautmark: drive/1\nname: base\nbased_on: variant\n");
  EXPECT_THAT(problem(""), HasSubstr("is based on itself"));
  folder_.write("self.drive.yaml", "tautmark: drive/1\nname: self\nbased_on: self\n");
  // By another spelling of the path, too.
  const auto self = load_drive((folder_.path() / "." / "self.drive.yaml").string(), {});
  ASSERT_FALSE(self);
  EXPECT_EQ(self.error().front().message, "\"self\" is based on itself");
}

TEST_F(Variant, MayNotBeBasedOnMoreThanAFewOthers) {
  for (int i = 0; i < 20; ++i)
    folder_.write(fmt::format("v{}.drive.yaml", i),
                  fmt::format("tautmark: drive/1\nname: v{}\nbased_on: v{}\n", i, i + 1));
  folder_.write("v20.drive.yaml", "tautmark: drive/1\nname: v20\n");
  EXPECT_TRUE(load_drive("v14", {{folder_.path()}}));
  const auto far = load_drive("v0", {{folder_.path()}});
  ASSERT_FALSE(far);
  EXPECT_THAT(far.error().front().message, HasSubstr("more than 8 drives are based on each other"));
}

TEST_F(Variant, NamesItsBaseWithoutAPath) {
  folder_.write("other.drive.yaml", "tautmark: drive/1\nname: other\nbased_on: ../base\n");
  const auto loaded = load_drive("other", {{folder_.path()}});
  ASSERT_FALSE(loaded);
  EXPECT_THAT(loaded.error().front().message, HasSubstr("is not the name of a drive"));
}

}  // namespace
}  // namespace tautmark
