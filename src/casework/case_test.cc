// SPDX-License-Identifier: Apache-2.0
#include "casework/case.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <filesystem>
#include <fstream>

#include "casework/case_check.h"
#include "casework/case_fields.h"
#include "casework/load.h"
#include "casework/view.h"
#include "support/random_record.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

RC_GTEST_PROP(CaseRoundTrip, ARandomCaseReadsBackAsItWas, (unsigned seed)) {
  const std::string problem = test::round_trip_problem(test::RandomRecord(seed).make<Case>());
  if (!problem.empty()) RC_FAIL(problem);
}

// A case file's errors, "line:column message".
class CaseFile : public testing::Test {
 protected:
  std::vector<std::string> mistakes(const std::string& text) {
    folder_.write("case.yaml", text);
    const auto loaded = load_case(folder_.path().string(), {});
    if (loaded) return {};
    std::vector<std::string> all;
    for (const Diagnostic& d : loaded.error())
      all.push_back(fmt::format("{}:{} {}", d.place.line, d.place.column, d.message));
    return all;
  }

  test::TempFolder folder_;
};

constexpr const char* kHead = "tautmark: case/1\nname: a\n";

Entry note(std::string id, std::optional<std::string> replaces = {}) {
  Entry entry;
  entry.id = std::move(id);
  entry.replaces = std::move(replaces);
  entry.body = Note{"words"};
  return entry;
}

std::vector<std::string> ids_in_force(std::vector<Entry> entries) {
  Case value;
  value.entries = std::move(entries);
  std::vector<std::string> ids;
  for (const Entry* entry : entries_in_force(value)) ids.push_back(entry->id);
  return ids;
}

TEST(EntriesInForce, AreThoseThatNothingReplaces) {
  EXPECT_THAT(ids_in_force({note("e1"), note("e2"), note("e3", "e1")}), ElementsAre("e2", "e3"));
}

TEST(EntriesInForce, FollowAChainOfCorrectionsToItsEnd) {
  EXPECT_THAT(ids_in_force({note("e1"), note("e2", "e1"), note("e3", "e2"), note("e4")}),
              ElementsAre("e3", "e4"));
  EXPECT_THAT(ids_in_force({}), IsEmpty());
}

TEST(EntriesInOrderOfWork, PutACorrectionWhereTheFirstStood) {
  Case value;
  value.entries = {note("e1"), note("e2"), note("e3", "e1"), note("e4", "e3")};
  std::vector<std::string> ids;
  for (const Entry* entry : entries_in_order_of_work(value)) ids.push_back(entry->id);
  EXPECT_THAT(ids, ElementsAre("e4", "e2"));
}

TEST_F(CaseFile, LoadsWithNothingButAName) { EXPECT_THAT(mistakes(kHead), IsEmpty()); }

TEST_F(CaseFile, ReplacesOnlyWhatStandsAboveAndOnlyOnce) {
  const std::string entries = std::string(kHead) + "entries:\n  - {kind: note, id: e1, words: a}\n";
  EXPECT_THAT(mistakes(entries + "  - {kind: note, id: e2, replaces: e3, words: b}\n"
                                 "  - {kind: note, id: e3, words: c}\n"),
              ElementsAre("5:36 no earlier entry \"e3\""));
  EXPECT_THAT(mistakes(entries + "  - {kind: note, id: e2, replaces: e1, words: b}\n"
                                 "  - {kind: note, id: e3, replaces: e1, words: c}\n"),
              ElementsAre(HasSubstr("6:36 \"e1\" is replaced a second time; correct \"e2\"")));
  EXPECT_THAT(mistakes(entries + "  - {kind: note, id: e2, replaces: e1, words: b}\n"
                                 "  - {kind: note, id: e3, replaces: e2, words: c}\n"),
              IsEmpty());
}

TEST_F(CaseFile, ListsMistakesInTheOrderOfTheFile) {
  EXPECT_THAT(mistakes("name: a\ntautmark: case/1\ndrive: none\nentries:\n"
                       "  - {kind: note, id: e1, words: w, at: 2026-02-30}\n"
                       "  - {kind: note, id: e1, words: w}\nextra: 1\n"),
              ElementsAre(HasSubstr("3:8 drive \"none\""), HasSubstr("5:40 2026-02-30"),
                          HasSubstr("6:22 entry \"e1\""), HasSubstr("7:1 unknown key")));
}

TEST_F(CaseFile, TakesAttachmentsOnlyFromItsFolder) {
  const auto with_file = [&](const std::string& file) {
    return mistakes(std::string(kHead) + "entries:\n  - {kind: attachment, id: e1, file: " + file +
                    "}\n");
  };
  folder_.write("photo.jpg", "x");
  EXPECT_THAT(with_file("photo.jpg"), IsEmpty());
  EXPECT_THAT(with_file("none.jpg"), ElementsAre(HasSubstr("is not in the case folder")));
  EXPECT_THAT(with_file("../photo.jpg"), ElementsAre(HasSubstr("leads out")));
  EXPECT_THAT(with_file("."), ElementsAre(HasSubstr("is not a file")));
  std::filesystem::create_symlink("/dev/null", folder_.path() / "link");
  EXPECT_THAT(with_file("link"), ElementsAre(HasSubstr("leads out")));
}

TEST_F(CaseFile, TakesMarksOnlyOfWhatTheChainRunsOver) {
  folder_.write("x.drive.yaml",
                "tautmark: drive/1\nname: x\nchains: [{name: chain, links: 124, counted: pitches, "
                "strands: [{from: crank, to: bank 1 / camshaft, links: 64}, {from: bank 1 / "
                "camshaft, to: crank, links: 60}]}]\nbanks: [{number: 1, camshafts: [{name: "
                "camshaft, sprocket_teeth: 42}]}]\n");
  const auto with = [&](const std::string& more) {
    return mistakes(std::string(kHead) + "drive: x\nentries:\n  - {kind: marks, id: e1, " + more +
                    "}\n");
  };
  EXPECT_THAT(with("chain: chain, counted: pitches, strands: [{from: crank, to: bank 1/camshaft, "
                   "links: 64}], sprockets: [{at: crank, stands: right, against: casting}]"),
              IsEmpty());
  EXPECT_THAT(with("chain: chian, sprockets: [{at: crank, stands: right}]"),
              ElementsAre(HasSubstr("no place \"chian\"")));
  EXPECT_THAT(with("chain: chain"), ElementsAre(HasSubstr("nothing was counted")));
  EXPECT_THAT(with("chain: chain, strands: [{from: crank, to: bank 1 / camshaft, links: 64}]"),
              ElementsAre(HasSubstr("what was counted")));
  EXPECT_THAT(with("chain: chain, counted: between, strands: [{from: cank, to: crank, links: 64}]"),
              ElementsAre(HasSubstr("this chain runs over no \"cank\"")));
  EXPECT_THAT(with("chain: chain, counted: pitches, strands: [{from: crank, to: bank 1 / camshaft, "
                   "links: 64}, {from: Crank, to: bank 1 / camshaft, links: 63}]"),
              ElementsAre(HasSubstr("a second time")));
  EXPECT_THAT(with("chain: chain, sprockets: [{at: crank, stands: a quarter off}]"),
              ElementsAre(HasSubstr("\"quarter\" leaves it open")));
}

TEST(PathProblem, AllowsOnlyPathsBelowTheCaseFolder) {
  for (const char* good : {"a.jpg", "photos/a.jpg", "a..b/c", ".hidden", "...", "ä/ö.csv"})
    EXPECT_EQ(path_problem(good), std::nullopt) << good;
  for (const char* bad :
       {"", "/a", "\\a", "..", "../a", "a/../../b", "a/..", "C:/a", "c:a", "a\\b"})
    EXPECT_NE(path_problem(bad), std::nullopt) << bad;
}

TEST_F(CaseFile, NeedsDifferentCandidates) {
  folder_.write("x.drive.yaml", "tautmark: drive/1\nname: x\n");
  folder_.write("y.drive.yaml", "tautmark: drive/1\nname: x\n");
  EXPECT_THAT(mistakes(std::string(kHead) + "candidates: [x, y]\n"),
              ElementsAre("3:17 the drive \"x\" is named a second time"));
}

TEST_F(CaseFile, IsNotJudgedWithADriveThatContradictsItself) {
  folder_.write("x.drive.yaml",
                "tautmark: drive/1\nname: x\ncylinders: {stroke: 90 mm, rod: 40 mm}\n");
  EXPECT_THAT(mistakes(std::string(kHead) + "drive: x\n"),
              ElementsAre(HasSubstr("3:33 the connecting rod is not longer")));
}

TEST_F(CaseFile, SaysThatNoCodeWasStoredOnlyOfUnitsThatWereRead) {
  const auto of = [&](const std::string& fields) {
    return mistakes(std::string(kHead) + "entries:\n  - {id: e1, kind: codes, " + fields + "}\n");
  };
  EXPECT_THAT(of("none_stored: true, read_from: [engine], when: engine cold"), IsEmpty());
  EXPECT_THAT(of("codes: [P0016], read_from: [engine]"), IsEmpty());
  EXPECT_THAT(of("none_stored: true"), Not(IsEmpty()));
  EXPECT_THAT(of("none_stored: true, read_from: [engine], codes: [P0016]"), Not(IsEmpty()));
}

}  // namespace
}  // namespace tautmark
