// SPDX-License-Identifier: Apache-2.0
#include "oil/library.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "base/text.h"

namespace tautmark::oil {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::SizeIs;

const std::vector<OilOfLibrary>& shipped() { return known_oils(); }

OilProperties oil(std::string_view grade) {
  const auto oils = shipped();
  const OilOfLibrary* found = oil_of_grade(oils, grade);
  EXPECT_NE(found, nullptr) << grade;
  const auto properties = properties_of(*found);
  EXPECT_TRUE(properties);
  return *properties;
}

// Source: oil.md 1.5: the five typical oils.
TEST(ReadOils, TheShippedLibrary) {
  const auto oils = shipped();
  struct Row {
    const char* grade;
    double at_40, at_100, at_15, hths_least, hths_most;
  };
  const Row rows[] = {{"0W-20", 44, 8.4, 842, 2.6, 2.7},
                      {"5W-20", 49, 8.5, 850, 2.6, 2.7},
                      {"5W-30", 63, 10.8, 853, 3.0, 3.5},
                      {"10W-30", 68, 10.5, 866, 3.0, 3.2},
                      {"5W-40", 84, 14.0, 852, 3.5, 3.9}};
  ASSERT_THAT(oils, SizeIs(std::size(rows)));
  for (std::size_t i = 0; i < oils.size(); ++i) {
    EXPECT_EQ(oils[i].grade, rows[i].grade);
    EXPECT_NEAR(in_mm2_per_s(oils[i].viscosity_40.value.value), rows[i].at_40, 1e-9);
    EXPECT_NEAR(in_mm2_per_s(oils[i].viscosity_100.value.value), rows[i].at_100, 1e-9);
    EXPECT_NEAR(oils[i].density_15.value.value.si(), rows[i].at_15, 1e-9);
    ASSERT_TRUE(oils[i].hths);
    EXPECT_NEAR(in_mPa_s(*oils[i].hths->value.lower), rows[i].hths_least, 1e-9);
    EXPECT_NEAR(in_mPa_s(*oils[i].hths->value.upper), rows[i].hths_most, 1e-9);
    // Labeled wherever it is shown.
    for (const std::string& source : {oils[i].viscosity_40.source, oils[i].viscosity_100.source,
                                      oils[i].density_15.source, oils[i].hths->source})
      EXPECT_THAT(source, HasSubstr("typical, from memory"));
  }
  EXPECT_NE(oil_of_grade(oils, "SAE 5w30"), nullptr);
  EXPECT_EQ(oil_of_grade(oils, "20W-50"), nullptr);
  EXPECT_EQ(oil_of_grade(oils, "unknown"), nullptr);
}

constexpr const char* kGood = R"(tautmark: oils/1
sources:
  - name: sheet
    text: a data sheet
oils:
  - grade: 5w30
    viscosity_40: {value: 63 cSt, source: sheet}
    viscosity_100: {value: 10.8 mm²/s, source: sheet}
    density_15: {value: 0.853 g/cm³, source: sheet}
)";

std::string mistake(std::string_view from, std::string_view to) {
  const std::string text = replaced(kGood, from, to);
  EXPECT_NE(text, kGood) << from;
  const auto oils = read_oils("shop.yaml", text);
  return oils ? "" : oils.error().why;
}

TEST(ReadOils, ReadsUnitsAndNames) {
  const auto oils = read_oils("shop.yaml", kGood);
  ASSERT_TRUE(oils) << oils.error().why;
  ASSERT_THAT(*oils, SizeIs(1));
  EXPECT_EQ(oils->front().grade, "5W-30");
  EXPECT_EQ(oils->front().viscosity_40.source, "a data sheet");
  EXPECT_EQ(oils->front().viscosity_40.value.text, "63 cSt");
  EXPECT_FALSE(oils->front().hths);
  EXPECT_NEAR(oils->front().density_15.value.value.si(), 853, 1e-9);
}

TEST(ReadOils, NamesFileLineAndColumn) {
  EXPECT_THAT(mistake("63 cSt", "63"), HasSubstr("shop.yaml:7:27: error"));
  EXPECT_THAT(mistake("5w30", "5w31"), HasSubstr("shop.yaml:6:12: error"));
  EXPECT_THAT(mistake("10.8 mm²/s, source: sheet", "10.8 mm²/s, source: shet"),
              HasSubstr("shop.yaml:8:48: error"));
  EXPECT_THAT(mistake("10.8 mm²/s, source: sheet", "10.8 mm²/s, source: shet"),
              HasSubstr("known: sheet"));
}

TEST(ReadOils, RefusesOilsThatAreNone) {
  EXPECT_THAT(mistake("oils/1", "oils/2"), HasSubstr("not a library of oils"));
  EXPECT_THAT(mistake("63 cSt", "9 cSt"), HasSubstr("swapped"));
  EXPECT_THAT(mistake("63 cSt", "630 cSt"), HasSubstr("mistyped"));
  EXPECT_THAT(mistake("63 cSt", "163 cSt"), HasSubstr("too low"));
  EXPECT_THAT(mistake("10.8 mm²/s", "8.4 mm²/s"), HasSubstr("outside the limits of 5W-30"));
  EXPECT_THAT(mistake("10.8 mm²/s", "-1 mm²/s"), HasSubstr("more than"));
  EXPECT_THAT(mistake("0.853 g/cm³", "0.4 g/cm³"), HasSubstr("no density"));
  EXPECT_THAT(mistake("0.853 g/cm³", "0.853 mm²/s"), HasSubstr("error"));
  EXPECT_THAT(mistake("density_15", "density_16"), HasSubstr("density_15"));
  EXPECT_THAT(mistake("name: sheet", "name: paper"), HasSubstr("no source \"sheet\""));
  EXPECT_THAT(
      mistake("    density", "    hths: {value: 2.0..2.5 mPa·s, source: sheet}\n    density"),
      HasSubstr("below the least HTHS"));
  EXPECT_THAT(mistake("tautmark: oils/1\n", "tautmark: [\n"), HasSubstr("shop.yaml:"));
  const std::string twice =
      std::string(kGood) + std::string(kGood).substr(std::string(kGood).find("  - grade"));
  const auto oils = read_oils("shop.yaml", twice);
  ASSERT_FALSE(oils);
  EXPECT_THAT(oils.error().why, HasSubstr("in the library already"));
  EXPECT_FALSE(read_oils("shop.yaml", ""));
}

// Source: oil.md 1.5 and 4: 5W-40 at 90 degC 14.128866 mPa·s and 804.2341 kg/m³; slope of μ by
// central difference of an independent Python program.
TEST(OilAtTemperature, OfTheReferenceNote) {
  const auto at = oil_at(oil("5W-40"), degC(90));
  ASSERT_TRUE(at);
  EXPECT_NEAR(in_mPa_s(at->dynamic), 14.1288655066, 14e-6);
  EXPECT_NEAR(at->density.si(), 804.2341, 5e-5);
  EXPECT_NEAR(at->slope, -0.024610346458953103, 1e-6);
  EXPECT_NEAR(oil_at(oil("5W-30"), degC(100))->slope, -0.021927081458983366, 1e-6);
  EXPECT_FALSE(oil_at(oil("5W-40"), degC(160)));
  EXPECT_THAT(oil_at(oil("5W-40"), degC(-10))->warnings, SizeIs(1));
  EXPECT_TRUE(oil_at(oil("5W-40"), degC(150)));
}

// Source: oil.md 1.5: 5W-40 at 100 degC is about as thick as 5W-30 at 89; 5W-20 for 5W-30 at 100
// degC is -21.6 %, as if 12 K hotter. More digits: scipy.optimize.brentq.
TEST(CompareOils, OfTheReferenceNote) {
  const auto thick = compare_oils(oil("5W-40"), oil("5W-30"), degC(100));
  ASSERT_TRUE(thick && thick->shift);
  EXPECT_NEAR(thick->ratio, 1.294672051736659, 1e-8);
  EXPECT_NEAR(thick->shift->si(), -11.176874755896435, 1e-5);
  EXPECT_EQ(thick->said,
            "5W-40 at 100 degC is 29 % thicker than 5W-30: as if 5W-30 were 11 K colder");
  EXPECT_FALSE(thick->same_grade);
  const auto thin = compare_oils(oil("5W-20"), oil("5W-30"), degC(100));
  ASSERT_TRUE(thin && thin->shift);
  EXPECT_NEAR(thin->ratio, 1 - 0.216, 5e-4);
  EXPECT_NEAR(thin->ratio, 0.7840785866603852, 1e-8);
  EXPECT_NEAR(thin->shift->si(), 11.683822593045704, 1e-5);
  EXPECT_THAT(thin->said, HasSubstr("22 % thinner"));
  EXPECT_THAT(thin->said, HasSubstr("12 K hotter"));
  const auto zero = compare_oils(oil("0W-20"), oil("5W-30"), degC(95));
  ASSERT_TRUE(zero && zero->shift);
  EXPECT_NEAR(zero->shift->si(), 12.520782704203341, 1e-5);
}

TEST(CompareOils, TheSameOil) {
  const auto same = compare_oils(oil("5W-30"), oil("5W-30"), degC(95));
  ASSERT_TRUE(same && same->shift);
  EXPECT_EQ(same->ratio, 1);
  EXPECT_NEAR(same->shift->si(), 0, 1e-9);
  EXPECT_TRUE(same->same_grade);
  EXPECT_THAT(same->said, HasSubstr("as thick as"));
}

TEST(CompareOils, HasNoShiftBeyondWhatIsKnown) {
  const auto far = compare_oils(oil("0W-20"), oil("5W-40"), degC(140));
  ASSERT_TRUE(far);
  EXPECT_FALSE(far->shift);
  EXPECT_FALSE(compare_oils(oil("0W-20"), oil("5W-40"), degC(200)));
}

// Source: trade.md 7, question 9: the specified grade, hot; any other reading has no limit to
// compare with.
TEST(LimitAppliesTo, TheSpecifiedGradeHotOnly) {
  const auto ask = [](std::string_view in_it, std::optional<Temperature> oil) {
    return limit_applies(in_it, "5W-30", oil, degC(90));
  };
  EXPECT_EQ(ask("5w-30", degC(95)).answer, LimitApplies::yes);
  EXPECT_EQ(ask("5w-30", degC(90)).answer, LimitApplies::yes);
  EXPECT_EQ(ask("5w-40", degC(95)).answer, LimitApplies::another_grade);
  EXPECT_THAT(ask("5w-40", degC(95)).said, HasSubstr("no limit to compare with"));
  EXPECT_EQ(ask("", degC(95)).answer, LimitApplies::grade_unknown);
  EXPECT_EQ(ask("5W-30", degC(35)).answer, LimitApplies::too_cold);
  EXPECT_EQ(ask("5W-30", {}).answer, LimitApplies::temperature_unknown);
  EXPECT_EQ(limit_applies("5W-30", "", degC(95), {}).answer, LimitApplies::grade_unknown);
  EXPECT_EQ(limit_applies("5W-30", "5W-30", {}, {}).answer, LimitApplies::yes);
  EXPECT_NE(ask("5W-30", degC(NAN)).answer, LimitApplies::yes);
}

}  // namespace
}  // namespace tautmark::oil
