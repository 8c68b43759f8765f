// SPDX-License-Identifier: Apache-2.0
#include "procedure/beside.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "procedure/beside_steps.h"
#include "procedure/test_drives.h"

namespace tautmark::procedure {
namespace {

using test::loaded_demo;
using test::loaded_text;
using ::testing::HasSubstr;

std::vector<std::string> letters(std::string_view word) {
  std::vector<std::string> out;
  for (const char c : word) out.emplace_back(1, c);
  return out;
}

bool is_within(const std::string& part, const std::string& whole) {
  std::size_t at = 0;
  for (const char c : whole)
    if (at < part.size() && part[at] == c) ++at;
  return at == part.size();
}

// By trying every subsequence of the first word.
std::size_t longest_by_trying(const std::string& a, const std::string& b) {
  std::size_t longest = 0;
  for (unsigned chosen = 0; chosen < 1U << a.size(); ++chosen) {
    std::string part;
    for (std::size_t i = 0; i < a.size(); ++i)
      if ((chosen >> i & 1U) != 0) part += a[i];
    if (is_within(part, b)) longest = std::max(longest, part.size());
  }
  return longest;
}

// Cormen, Leiserson, Rivest, Stein, Introduction to Algorithms, section on the longest common
// subsequence: ABCBDAB and BDCABA have one of 4 (from memory).
TEST(LongestCommon, IsThatOfTheTextbook) {
  EXPECT_EQ(longest_common(letters("ABCBDAB"), letters("BDCABA")).size(), 4U);
}

TEST(LongestCommon, IsAsLongAsTryingAllOfThem) {
  unsigned seed = 1;
  const auto next = [&] { return seed = seed * 1103515245U + 12345U, seed >> 16U & 3U; };
  for (int round = 0; round < 300; ++round) {
    std::string a, b;
    for (int i = 0; i < 9; ++i) {
      a += static_cast<char>('A' + next());
      if (next() != 0) b += static_cast<char>('A' + next());
    }
    const auto pairs = longest_common(letters(a), letters(b));
    EXPECT_EQ(pairs.size(), longest_by_trying(a, b)) << a << " " << b;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      EXPECT_EQ(a.at(pairs[i].first), b.at(pairs[i].second));
      if (i > 0) {
        EXPECT_LT(pairs[i - 1].first, pairs[i].first);
        EXPECT_LT(pairs[i - 1].second, pairs[i].second);
      }
    }
  }
}

const BesideRow* row(const Beside& all, const std::string& what) {
  const auto found = std::find_if(all.rows.begin(), all.rows.end(),
                                  [&](const BesideRow& one) { return one.what == what; });
  return found == all.rows.end() ? nullptr : &*found;
}

class TwoDemoDrives : public testing::Test {
 protected:
  LoadedDrive base_ = loaded_demo("vessgarth-v6-12"), tall_ = loaded_demo("vessgarth-v6-12-tall");
  const LoadedDrive* both_[2] = {&base_, &tall_};
  Beside all_ = beside(both_);
};

// Values read off the two files.
TEST_F(TwoDemoDrives, SayWhatBites) {
  ASSERT_NE(row(all_, "bank 1 chain: links all round"), nullptr);
  EXPECT_EQ(row(all_, "bank 1 chain: links all round")->cells[0].text, "124");
  EXPECT_EQ(row(all_, "bank 1 chain: links all round")->cells[1].text, "126");
  EXPECT_THAT(row(all_, "bank 2 chain: between marks")->cells[1].text,
              HasSubstr("bank 2 / camshaft to crank 64"));
  EXPECT_THAT(row(all_, "bank 1 chain: marked links")->cells[0].text, HasSubstr("copper pair"));
  EXPECT_EQ(row(all_, "bank 1 chain set: holds")->group, "parts");
}

TEST_F(TwoDemoDrives, SayWhichStepsAreNew) {
  const BesideRow* added = row(all_, "Take the oil deflector out");
  ASSERT_NE(added, nullptr);
  EXPECT_EQ(added->cells[0].text, "");
  EXPECT_THAT(added->cells[1].text, HasSubstr("step 6: Two bolts"));
  EXPECT_THAT(row(all_, "Set the marks: words")->cells[1].text, HasSubstr("61 on bank 1"));
  EXPECT_EQ(row(all_, "Check the phasers: before")->cells[0].text, "covers off");
  EXPECT_EQ(row(all_, "deflector bolts: thread")->cells[0].text, "");
}

TEST_F(TwoDemoDrives, LeaveOutWhatIsEqualUnlessAsked) {
  EXPECT_EQ(row(all_, "phaser bolt: thread"), nullptr);
  EXPECT_EQ(row(all_, "Hand over: words"), nullptr);
  const Beside whole = beside(both_, true);
  ASSERT_NE(row(whole, "phaser bolt: thread"), nullptr);
  EXPECT_TRUE(row(whole, "phaser bolt: thread")->is_same);
  EXPECT_EQ(whole.same, all_.same);
  EXPECT_EQ(whole.rows.size(), all_.rows.size() + static_cast<std::size_t>(all_.same));
}

TEST_F(TwoDemoDrives, MarkWhatIsTakenOverAndNotConfirmed) {
  tall_.unconfirmed["torques"] = "fasteners[0].steps[0].torque";
  const Beside all = beside(both_);
  const BesideRow* torque = row(all, "phaser bolt: torque and angle");
  ASSERT_NE(torque, nullptr) << "equal, and yet not known to be so";
  EXPECT_EQ(torque->cells[1].text, "35 N·m, then 75 deg");
  EXPECT_TRUE(torque->cells[1].is_unconfirmed);
  EXPECT_FALSE(torque->cells[0].is_unconfirmed);
}

TEST(Beside, SaysThatAStepWasMoved) {
  const LoadedDrive a = loaded_text(
      "procedure: [{name: A, what: a}, {name: B, what: b}, {name: C, what: c}, {name: D, what: "
      "d}]\n");
  const LoadedDrive b = loaded_text(
      "procedure: [{name: a, what: a}, {name: C, what: c}, {name: D, what: d}, {name: B, what: "
      "b}]\n");
  const LoadedDrive* both[] = {&a, &b};
  const Beside all = beside(both);
  ASSERT_EQ(all.rows.size(), 1U);
  EXPECT_EQ(all.rows[0].what, "B: place");
  EXPECT_EQ(all.rows[0].cells[1].text, "moved: behind \"D\"");
}

TEST(Beside, ThreeOfThemStandInOneRow) {
  const LoadedDrive a = loaded_text("procedure: [{name: A, what: a}, {name: C, what: c}]\n");
  const LoadedDrive b =
      loaded_text("procedure: [{name: A, what: a}, {name: B, what: b}, {name: C, what: c}]\n");
  const LoadedDrive c = loaded_text("procedure: [{name: A, what: a}, {name: B, what: b}]\n");
  const Drive* all[] = {&a.drive, &b.drive, &c.drive};
  const auto steps = aligned_steps(all);
  ASSERT_EQ(steps.size(), 3U);
  EXPECT_EQ(steps[1].name, "B");
  EXPECT_FALSE(steps[1].at[0]);
  EXPECT_EQ(steps[1].at[2], 1U);
  EXPECT_FALSE(steps[2].at[2]);
}

}  // namespace
}  // namespace tautmark::procedure
