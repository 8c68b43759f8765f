// SPDX-License-Identifier: Apache-2.0
#include "cli/drive_interview.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "drive/drive_fields.h"
#include "drive/load.h"

namespace tautmark::cli {
namespace {

using ::testing::HasSubstr;
using ::testing::SizeIs;

// Answers by the key of the question. A key may be answered several times.
using Said = std::multimap<std::string, std::string>;

// Gives these answers; what is not among them is not in the manual.
class Manual {
 public:
  explicit Manual(Said said) : said_(std::move(said)) {}

  // Until everything was asked, or an answer is refused.
  InterviewState state() {
    InterviewState state = interview(answers_);
    while (state.next && !state.refused) {
      const auto found = said_.find(std::string(state.next->row->key));
      answers_.push_back(found == said_.end() ? "" : found->second);
      if (found != said_.end()) said_.erase(found);
      state = interview(answers_);
    }
    return state;
  }
  [[nodiscard]] const std::vector<std::string>& answers() const { return answers_; }

 private:
  Said said_;
  std::vector<std::string> answers_;
};

Said chain_drive() {
  return {{"drive.name", "test-drive"},
          {"unit.engine", "mm"},
          {"crankshaft.seen_from", "front"},
          {"crankshaft.rotation", "clockwise"},
          {"chain.name", "timing chain"},
          {"chain.pitch", "8.00"},
          {"chain.links", "124"},
          {"chain.crank_teeth", "21"},
          {"bank.count", "1"},
          {"bank.camshafts", "camshaft"},
          {"camshaft.teeth", "42"},
          {"camshaft.journals", "5"},
          {"unit.sizes", "mm"}};
}

TEST(InterviewTable, HasUniqueKeysAndFieldsThatExist) {
  std::set<std::string_view> keys;
  for (const InterviewRow& row : interview_rows()) {
    EXPECT_TRUE(keys.insert(row.key).second) << row.key;
    EXPECT_FALSE(row.ask.empty()) << row.key;
    if (row.record == nullptr) continue;
    bool found = false;
    for (const FieldInfo& field : row.record().fields()) found = found || field.key == row.field;
    EXPECT_TRUE(found) << row.key;
  }
}

TEST(Interview, AsksForTheNameFirstAndTakesNoEmptyOne) {
  const InterviewState first = interview({});
  ASSERT_TRUE(first.next);
  EXPECT_EQ(first.next->row->key, "drive.name");
  const std::vector<std::string> none = {"-"};
  const InterviewState again = interview(none);
  ASSERT_TRUE(again.refused);
  EXPECT_EQ(again.next->row->key, "drive.name");
  EXPECT_EQ(again.taken, 0U);
}

TEST(Interview, DoesNotAskForANameThatTheFileSays) {
  const InterviewState state = interview({}, "from-file");
  EXPECT_EQ(state.drive.name, "from-file");
  EXPECT_EQ(state.next->row->key, "drive.title");
}

TEST(Interview, EndsWithNothingButANameWhenNothingIsInTheManual) {
  const InterviewState state = Manual(Said{{"drive.name", "bare"}}).state();
  ASSERT_FALSE(state.next);
  EXPECT_EQ(state.drive.name, "bare");
  EXPECT_THAT(state.drive.chains, SizeIs(0));
  EXPECT_FALSE(state.drive.cylinders);
  EXPECT_FALSE(state.drive.crankshaft);
  EXPECT_FALSE(state.drive.oil);
}

TEST(Interview, GivesABareNumberTheUnitOfItsTableAndKeepsAnother) {
  auto said = chain_drive();
  said.insert({{"limit.new", "27.960..27.980"}, {"limit.service", "at least 1.1004 in"}});
  const InterviewState state = Manual(said).state();
  ASSERT_FALSE(state.refused) << state.refused->reason;
  ASSERT_THAT(state.drive.fits, SizeIs(1));
  EXPECT_EQ(state.drive.fits[0].new_range->text, "27.960..27.980 mm");
  EXPECT_EQ(state.drive.fits[0].service->text, "at least 1.1004 in");
  EXPECT_EQ(state.drive.chains[0].pitch->text, "8.00 mm");
}

TEST(Interview, RefusesABareNumberWhereNoUnitWasSaid) {
  auto said = chain_drive();
  said.erase("unit.engine");
  const InterviewState state = Manual(said).state();
  ASSERT_TRUE(state.refused);
  EXPECT_EQ(state.next->row->key, "chain.pitch");
  EXPECT_THAT(state.refused->reason, HasSubstr("unit"));
}

TEST(Interview, DoesNotAskForTheRotationWithoutAViewingEnd) {
  auto said = chain_drive();
  said.erase("crankshaft.seen_from");
  const InterviewState state = Manual(said).state();
  ASSERT_FALSE(state.refused);
  EXPECT_FALSE(state.drive.crankshaft->rotation);
}

TEST(Interview, RefusesALimitOfAnotherKind) {
  auto said = chain_drive();
  said.insert({"limit.new", "20..30 psi"});
  const InterviewState state = Manual(said).state();
  ASSERT_TRUE(state.refused);
  EXPECT_THAT(state.refused->reason, HasSubstr("journal diameter is length"));
}

TEST(Interview, RefusesASprocketThatDoesNotTurnAtHalfCrankSpeed) {
  auto said = chain_drive();
  said.erase("camshaft.teeth");
  said.insert({"camshaft.teeth", "40"});
  const InterviewState state = Manual(said).state();
  ASSERT_TRUE(state.refused);
  EXPECT_EQ(state.next->row->key, "camshaft.teeth");
  EXPECT_THAT(state.refused->reason, HasSubstr("42"));
}

TEST(Interview, AddsUpTheStrandsAtTheLastOne) {
  auto said = chain_drive();
  said.insert({{"chain.counted", "pitches"},
               {"chain.marks", "crank; camshaft"},
               {"strand.links", "61"},
               {"strand.links", "62"}});
  const InterviewState wrong = Manual(said).state();
  ASSERT_TRUE(wrong.refused);
  EXPECT_EQ(wrong.next->row->key, "strand.links");
  said.erase("strand.links");
  said.insert({{"strand.links", "62"}, {"strand.links", "62"}});
  const InterviewState right = Manual(said).state();
  ASSERT_FALSE(right.refused) << right.refused->reason;
  EXPECT_THAT(right.drive.chains[0].strands, SizeIs(2));
}

TEST(Interview, AsksBackStepsWithoutUnits) {
  auto said = chain_drive();
  said.insert({{"unit.torque", "N·m"}, {"fastener.name", "bolt"}, {"fastener.steps", "35; 75"}});
  EXPECT_TRUE(Manual(said).state().refused);
  said.erase("fastener.steps");
  said.insert({"fastener.steps", "35 N·m; 75 deg"});
  const InterviewState state = Manual(said).state();
  ASSERT_FALSE(state.refused);
  ASSERT_THAT(state.drive.fasteners[0].steps, SizeIs(2));
  EXPECT_TRUE(state.drive.fasteners[0].steps[1].angle);
}

// What is written must read back to the same definition.
TEST(Interview, WritesAFileThatReadsBackTheSame) {
  auto said = chain_drive();
  said.insert({{"limit.service", "at least 27.950"}, {"oil.grade", "5W-30"}});
  const InterviewState state = Manual(said).state();
  const auto loaded = load_drive_text(
      make_text_file("test-drive.drive.yaml", yaml_text(write_record(state.drive))), {});
  ASSERT_TRUE(loaded);
  EXPECT_EQ(loaded->drive, state.drive);
}

// Going back is leaving the last answer out: every beginning of the answers is a valid interview.
TEST(Interview, CanStopAfterEveryAnswer) {
  Manual manual(chain_drive());
  ASSERT_FALSE(manual.state().next);
  for (std::size_t n = 0; n < manual.answers().size(); ++n) {
    const InterviewState state = interview(std::span(manual.answers()).first(n));
    EXPECT_TRUE(state.next) << n;
    EXPECT_FALSE(state.refused) << n;
    EXPECT_EQ(state.taken, n);
  }
}

}  // namespace
}  // namespace tautmark::cli
