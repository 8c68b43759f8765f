// SPDX-License-Identifier: Apache-2.0
#include "oil/grade.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace tautmark::oil {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

std::vector<std::string> names(double at_100, std::optional<double> hths = {},
                               std::optional<std::string_view> winter = {}) {
  const auto possible =
      possible_grades(mm2_per_s(at_100), hths ? std::optional(mPa_s(*hths)) : std::nullopt, winter);
  EXPECT_TRUE(possible) << (possible ? "" : possible.error().why);
  std::vector<std::string> out;
  if (possible)
    for (const PossibleGrade& grade : possible->grades) out.push_back(grade.name);
  return out;
}

GradeLimits limits(std::string_view name) {
  const auto found = grade_limits(name);
  EXPECT_TRUE(found) << (found ? "" : found.error().why);
  return found.value_or(GradeLimits{});
}

// Source: oil.md 1.3, table of SAE J300 (January 2015).
TEST(GradeLimits, OfTheTable) {
  struct Winter {
    const char* name;
    double cranking, cranking_at, pumping_at, least;
  };
  for (const Winter& row :
       {Winter{"0W", 6200, -35, -40, 3.8}, Winter{"5W", 6600, -30, -35, 3.8},
        Winter{"10W", 7000, -25, -30, 4.1}, Winter{"15W", 7000, -20, -25, 5.6},
        Winter{"20W", 9500, -15, -20, 5.6}, Winter{"25W", 13000, -10, -15, 9.3}}) {
    const GradeLimits found = limits(row.name);
    ASSERT_TRUE(found.winter);
    EXPECT_NEAR(in_mPa_s(found.winter->most_cranking), row.cranking, 1e-6);
    EXPECT_NEAR(in_degC(found.winter->cranking_at), row.cranking_at, 1e-9);
    EXPECT_NEAR(in_mPa_s(found.winter->most_pumping), 60000, 1e-6);
    EXPECT_NEAR(in_degC(found.winter->pumping_at), row.pumping_at, 1e-9);
    EXPECT_NEAR(in_mm2_per_s(found.least_at_100), row.least, 1e-9);
    EXPECT_FALSE(found.below_at_100);
    EXPECT_FALSE(found.least_hths);
  }
  struct Hot {
    const char* name;
    double least, below, hths;
  };
  for (const Hot& row :
       {Hot{"8", 4.0, 6.1, 1.7}, Hot{"12", 5.0, 7.1, 2.0}, Hot{"16", 6.1, 8.2, 2.3},
        Hot{"20", 6.9, 9.3, 2.6}, Hot{"30", 9.3, 12.5, 2.9}, Hot{"40", 12.5, 16.3, 3.7},
        Hot{"50", 16.3, 21.9, 3.7}, Hot{"60", 21.9, 26.1, 3.7}, Hot{"5W-40", 12.5, 16.3, 3.5},
        Hot{"0W-40", 12.5, 16.3, 3.5}, Hot{"10W-40", 12.5, 16.3, 3.5},
        Hot{"15W-40", 12.5, 16.3, 3.7}, Hot{"25W-40", 12.5, 16.3, 3.7}}) {
    const GradeLimits found = limits(row.name);
    EXPECT_NEAR(in_mm2_per_s(found.least_at_100), row.least, 1e-9) << row.name;
    EXPECT_NEAR(in_mm2_per_s(*found.below_at_100), row.below, 1e-9) << row.name;
    EXPECT_NEAR(in_mPa_s(*found.least_hths), row.hths, 1e-9) << row.name;
  }
}

TEST(GradeLimits, ReadsNamesAsPeopleWriteThem) {
  for (const char* name : {"5W-30", "5w30", "SAE 5W-30", "sae 5w 30", " 5W30 "})
    EXPECT_EQ(grade_name(name), "5W-30") << name;
  EXPECT_EQ(grade_name("SAE 30"), "30");
  EXPECT_EQ(grade_name("10w"), "10W");
  for (const char* name : {"", "W", "5W-31", "7W-30", "30W", "5W-30-40", "oil", "-"})
    EXPECT_EQ(grade_name(name), "") << name;
}

TEST(GradeLimits, RefusesWithTheNearestName) {
  const auto none = grade_limits("5W-3");
  ASSERT_FALSE(none);
  EXPECT_THAT(none.error().why, HasSubstr("5W-"));
  EXPECT_FALSE(grade_limits("25W-20"));  // at least 9.3 and below 9.3
}

// A multigrade must meet both its lines: 15W has at least 5.6, 8 at least 4.0.
TEST(GradeLimits, TakesTheHigherOfTheTwoLines) {
  EXPECT_NEAR(in_mm2_per_s(limits("15W-8").least_at_100), 5.6, 1e-12);
  EXPECT_NEAR(in_mm2_per_s(limits("5W-30").least_at_100), 9.3, 1e-12);
}

// Source: oil.md 1.3, checks.
TEST(PossibleGrades, OfTheReferenceNote) {
  EXPECT_THAT(names(8.0, 2.6), ElementsAre("16", "20"));
  EXPECT_EQ(possible_grades(mm2_per_s(8.0), mPa_s(2.6))->label, "20");
  EXPECT_THAT(names(8.0, 2.4), ElementsAre("16"));
  EXPECT_THAT(names(7.0), ElementsAre("12", "16", "20"));
  EXPECT_EQ(possible_grades(mm2_per_s(7.0))->label, "");
  EXPECT_THAT(names(9.3), ElementsAre("30"));
  EXPECT_THAT(names(6.0, 2.0), ElementsAre("8", "12"));
  EXPECT_THAT(names(26.1), IsEmpty());
  EXPECT_THAT(names(3.9), IsEmpty());
  const auto forty = possible_grades(mm2_per_s(12.5), mPa_s(3.6));
  ASSERT_TRUE(forty);
  ASSERT_THAT(forty->grades, testing::SizeIs(1));
  EXPECT_EQ(forty->grades[0].name, "40");
  EXPECT_EQ(forty->grades[0].only_with, "0W, 5W, 10W");
  EXPECT_EQ(possible_grades(mm2_per_s(12.5), mPa_s(3.7))->grades[0].only_with, "");
}

TEST(PossibleGrades, KnowTheWinterLine) {
  EXPECT_THAT(names(12.5, 3.6, "5W"), ElementsAre("40"));
  EXPECT_THAT(names(12.5, 3.6, "15W"), IsEmpty());
  EXPECT_THAT(names(8.0, 2.6, "25W"), IsEmpty());  // at least 9.3
  EXPECT_FALSE(possible_grades(mm2_per_s(8), {}, "30"));
  EXPECT_FALSE(possible_grades(mm2_per_s(8), mPa_s(0)));
  EXPECT_FALSE(possible_grades(mm2_per_s(NAN)));
  EXPECT_FALSE(possible_grades(mm2_per_s(-1)));
}

// Source: oil.md 1.3: 9.3 or 12.4 mm²/s, 29 %: ln(12.4/9.3) = 0.288. Rectangular: width/√12.
TEST(GradeSpread, OfThirty) {
  const auto spread = grade_spread("5W-30");
  ASSERT_TRUE(spread);
  EXPECT_NEAR(in_mm2_per_s(spread->least), 9.3, 1e-12);
  EXPECT_NEAR(in_mm2_per_s(spread->below), 12.5, 1e-12);
  EXPECT_NEAR(spread->spread, 12.5 / 9.3 - 1, 1e-12);
  EXPECT_NEAR(spread->u * std::sqrt(12.0), 0.29, 0.01);
  EXPECT_FALSE(grade_spread("5W"));
  EXPECT_FALSE(grade_spread("oil"));
}

GradeCheck checked(std::string_view in_it, double at_100, double U,
                   std::optional<double> hths = {}) {
  const auto found = check_grade(in_it, "5W-30", mm2_per_s(at_100), mm2_per_s(U),
                                 hths ? std::optional(mPa_s(*hths)) : std::nullopt);
  EXPECT_TRUE(found) << (found ? "" : found.error().why);
  return found.value_or(GradeCheck{});
}

TEST(CheckGrade, TellsOutOfGradeFromAnotherOne) {
  EXPECT_EQ(checked("5W-30", 10.8, 0.2).answer, AgainstGrade::in_grade);
  EXPECT_EQ(checked("SAE 5w30", 10.8, 0.2).answer, AgainstGrade::in_grade);
  EXPECT_EQ(checked("5W-30", 8.6, 0.2).answer, AgainstGrade::out_of_grade);
  EXPECT_THAT(checked("5W-30", 8.6, 0.2).why, HasSubstr("not yet a wrong oil"));
  EXPECT_EQ(checked("5W-30", 13.0, 0.2).answer, AgainstGrade::out_of_grade);
  EXPECT_THAT(checked("5W-30", 13.0, 0.2).why, HasSubstr("thickened"));
  EXPECT_EQ(checked("5W-30", 9.4, 0.2).answer, AgainstGrade::cannot_tell);
  EXPECT_EQ(checked("5W-30", 9.2, 0.2).answer, AgainstGrade::cannot_tell);
  EXPECT_EQ(checked("5W-30", 12.45, 0.2).answer, AgainstGrade::cannot_tell);
  EXPECT_EQ(checked("5W-40", 10.8, 0.2).answer, AgainstGrade::another_grade);
  EXPECT_EQ(checked("5W-30", 10.8, 0.2, 2.7).answer, AgainstGrade::out_of_grade);
  EXPECT_EQ(checked("5W-30", 10.8, 0.2, 3.1).answer, AgainstGrade::in_grade);
}

TEST(CheckGrade, RefusesWhatIsNone) {
  EXPECT_FALSE(check_grade("oil", "5W-30", mm2_per_s(10), {}));
  EXPECT_FALSE(check_grade("5W-30", "oil", mm2_per_s(10), {}));
  EXPECT_FALSE(check_grade("5W-30", "5W-30", {}, {}));
  EXPECT_FALSE(check_grade("5W-30", "5W-30", mm2_per_s(10), mm2_per_s(-1)));
}

// Every measured oil is inside the limits of every grade that it may be called.
RC_GTEST_PROP(PossibleGradesProperty, AgreeWithTheLimits, ()) {
  const auto at_100 = mm2_per_s(*rc::gen::inRange(200, 3000) * 0.01);
  const auto hths = mPa_s(*rc::gen::inRange(10, 60) * 0.1);
  const std::string winter = *rc::gen::element<std::string>("0W", "5W", "10W", "15W", "20W", "25W");
  const auto possible = possible_grades(at_100, hths, winter);
  RC_ASSERT(possible.has_value());
  for (const char* hot : {"8", "12", "16", "20", "30", "40", "50", "60"}) {
    const auto limit = grade_limits(winter + "-" + hot);
    if (!limit) continue;
    const bool meets = at_100 >= limit->least_at_100 && at_100 < *limit->below_at_100 &&
                       hths >= *limit->least_hths;
    bool is_listed = false;
    for (const PossibleGrade& grade : possible->grades) is_listed |= grade.name == hot;
    RC_ASSERT(meets == is_listed);
  }
}

}  // namespace
}  // namespace tautmark::oil
