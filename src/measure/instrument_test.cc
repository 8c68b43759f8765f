// SPDX-License-Identifier: Apache-2.0
#include "measure/instrument.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

TEST(InstrumentTypes, AreUsableAndNamedOncePerKind) {
  std::set<std::pair<std::string_view, Kind>> seen;
  for (const InstrumentType& type : instrument_types()) {
    EXPECT_TRUE(seen.emplace(type.name, type.kind).second) << type.name;
    EXPECT_GT(type.expanded_U, 0) << type.name;
    EXPECT_GT(type.repeatability_sd, 0) << type.name;
    EXPECT_GT(type.resolution, 0) << type.name;
    EXPECT_FALSE(type.note.empty()) << type.name;
    EXPECT_TRUE(instrument_at(type, 1)) << type.name;
  }
}

TEST(InstrumentTypes, KnowAnUnknownInstrumentOfEveryKindThatIsMeasured) {
  for (int i = 0; i < kKindCount; ++i) {
    const Kind kind = static_cast<Kind>(i);
    const auto unknown = instrument_type("unknown", kind);
    EXPECT_EQ(unknown.has_value(), kind < Kind::expansion) << i;
    if (!unknown) continue;
    // Not knowing is never better than knowing.
    for (const InstrumentType& type : instrument_types()) {
      if (type.kind != kind || type.relative != unknown->relative) continue;
      const bool is_coarse =
          type.name == "ruler" || type.name == "compression gauge" || type.name == "oil can";
      EXPECT_TRUE(is_coarse || type.expanded_U <= unknown->expanded_U) << type.name;
    }
  }
}

TEST(InstrumentType, IsFoundByNameAndKind) {
  EXPECT_EQ(instrument_type("Bore-Gauge", Kind::length)->name, "bore gauge");
  EXPECT_DOUBLE_EQ(instrument_type("micrometer 0.01", Kind::length)->resolution, 5e-6);
  EXPECT_EQ(instrument_type("scan tool", Kind::pressure)->kind, Kind::pressure);
  const auto none = instrument_type("pressure gauge", Kind::length);
  ASSERT_FALSE(none);
  EXPECT_NE(none.error().why.find("caliper"), std::string::npos);
  EXPECT_FALSE(instrument_type("unknown", Kind::expansion));
}

TEST(InstrumentTypes, AreKnownByTheWordsPeopleUse) {
  for (const auto& [said, name] : {
           std::pair{"micrometer", "micrometer 0.01"},
           {"Outside Micrometer", "micrometer 0.01"},
           {"mike", "micrometer 0.01"},
           {"micrometre 0.001", "micrometer 0.001"},
           {"vernier caliper", "caliper"},
           {"calliper", "caliper"},
           {"calipers", "caliper"},
           {"feeler gage", "feeler blades"},
           {"feelers", "feeler blades"},
           {"feeler blades", "feeler blades"},
           {"dial gauge", "dial indicator"},
           {"dial-test indicator", "dial indicator"},
           {"plastic gaging strip", "plastic strip"},
           {"gauging strip", "plastic strip"},
           {"  bore  Gage ", "bore gauge"},
       }) {
    const auto type = instrument_type(said, Kind::length);
    ASSERT_TRUE(type) << said;
    EXPECT_EQ(type->name, name) << said;
  }
  EXPECT_EQ(instrument_type("pressure gage", Kind::pressure)->name, "pressure gauge");
  EXPECT_EQ(instrument_type("scanner", Kind::pressure)->name, "scan tool");
  EXPECT_EQ(instrument_type("leak-down tester", Kind::ratio)->name, "leak-down tester");
  EXPECT_EQ(instrument_type("leakdown tester", Kind::ratio)->name, "leak-down tester");
  EXPECT_EQ(instrument_type("Thermometer", Kind::temperature_difference)->name, "thermometer");
  // An alias never reaches across kinds.
  EXPECT_FALSE(instrument_type("mike", Kind::torque));
  EXPECT_FALSE(instrument_type("gauge", Kind::length));
  // Each word that may be suggested is understood.
  for (int i = 0; i < kKindCount; ++i) {
    const Kind kind = static_cast<Kind>(i);
    for (const std::string& word : instrument_words(kind))
      EXPECT_TRUE(instrument_type(word, kind)) << word;
  }
}

TEST(InstrumentAt, MultipliesFractionsOut) {
  const InstrumentType wrench = instrument_type("torque wrench", Kind::torque).value();
  const auto at_80 = instrument_at(wrench, 80);
  ASSERT_TRUE(at_80);
  EXPECT_FALSE(at_80->relative);
  EXPECT_DOUBLE_EQ(at_80->expanded_U, 80 * wrench.expanded_U);
  EXPECT_FALSE(instrument_at(wrench, kNan));
  InstrumentType broken = wrench;
  broken.expanded_U = -1;
  EXPECT_FALSE(instrument_at(broken, 80));
}

TEST(InstrumentsWithin, NamesTheBestLast) {
  const auto good = instruments_within(Kind::length, 0.025, 8e-6);
  ASSERT_EQ(good.size(), 3u);
  EXPECT_EQ(good.front().name, "bore gauge");
  EXPECT_EQ(good.back().name, "micrometer 0.001");
  EXPECT_TRUE(instruments_within(Kind::length, 0.025, 1e-6).empty());
}

// By hand: s 0.8366600 µm below the 3 µm of the type: 3/√5, 5/√12, 6/2 µm.
TEST(ReadingResult, UsesTheRepeatabilityOfTheTypeWhereTheScatterIsSmaller) {
  const std::vector<double> repeats = {24.972e-3, 24.973e-3, 24.971e-3, 24.972e-3, 24.973e-3};
  const auto type = instrument_type("micrometer 0.01", Kind::length).value();
  const auto result = reading_result(repeats, type);
  ASSERT_TRUE(result) << result.error().why;
  EXPECT_NEAR(result->value, 24.9722e-3, 1e-12);
  EXPECT_TRUE(result->repeat_sd_is_default);
  EXPECT_DOUBLE_EQ(result->repeat_sd, 3e-6);
  EXPECT_NEAR(result->budget.u, 1e-6 * std::sqrt(9.0 / 5 + 25.0 / 12 + 9), 1e-12);
  EXPECT_TRUE(std::isinf(result->budget.nu));
}

TEST(ReadingResult, UsesTheScatterWhereItIsLarger) {
  const std::vector<double> repeats = {24.96e-3, 24.98e-3};
  const auto type = instrument_type("micrometer 0.001", Kind::length).value();
  const auto result = reading_result(repeats, type);
  ASSERT_TRUE(result);
  EXPECT_FALSE(result->repeat_sd_is_default);
  EXPECT_NEAR(result->repeat_sd, 20e-6 / std::sqrt(2.0), 1e-12);
  EXPECT_LT(result->budget.nu, 1.2);
}

TEST(ReadingResult, TakesOneReadingAndFurtherTerms) {
  const auto type = instrument_type("caliper", Kind::length).value();
  const std::vector<double> one = {0.010};
  const auto alone = reading_result(one, type);
  const auto with = reading_result(one, type, {{.name = "temperature", .u = 100e-6}});
  ASSERT_TRUE(alone && with);
  EXPECT_NEAR(with->budget.u, std::hypot(alone->budget.u, 100e-6), 1e-15);
  EXPECT_EQ(with->budget.terms.back().name, "temperature");
  EXPECT_FALSE(reading_result({}, type));
  EXPECT_FALSE(reading_result(std::vector<double>{kNan}, type));
  EXPECT_FALSE(reading_result(one, type, {{.name = "temperature", .u = -1}}));
}

}  // namespace
}  // namespace tautmark
