// SPDX-License-Identifier: Apache-2.0
// Readings brought to the condition of a limit, from numbers and from drives with cases.
#include "judge/reference_reading.h"

#include <gmock/gmock.h>

#include <cmath>

#include "judge/judge_test_support.h"
#include "judge/port_pressures.h"

namespace tautmark {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

const CircuitFacts kKnown{.relief_opens = kPa(400),
                          .pump = oil::PumpControl::fixed,
                          .jets = oil::JetsFitted::none,
                          .jets_open = {},
                          .aerated = false};

// Source: oil.md 4, worked: 1.25 bar read at 760 1/min, 90 degC, 5W-40; reference 650 1/min, 100
// degC, 5W-30, k = 0.1: 67467.07 Pa; terms 0.0400, 0.01447, 0.06612, 0.0900, 0.01685, u 0.120686,
// 0.530 to 0.859 bar. Its slope, 0.0244885 per K, is 0.5 % less than that of its own table of
// viscosities at 80, 90 and 100 degC (18.291139, 14.128866, 11.168866 mPa·s: 0.02461, with the
// third difference), so the term of the temperature is not compared closer.
TEST(ReferenceReading, OfTheReferenceNote) {
  const PressureAsRead read{kPa(125), kPa(5), per_min(760), degC(90), kelvin(3), "5W-40"};
  const auto out = reading_at_reference(read, {kPa(50), per_min(650), degC(100), "5W-30"}, kKnown);
  ASSERT_TRUE(out) << out.error().why;
  EXPECT_NEAR(out->pressure.at_reference.si(), 67467.07, 0.07);
  const double expected[] = {0.0400, 0.01447, 0.06612, 0.0900, 0.01685};
  ASSERT_EQ(out->pressure.budget.size(), 5U);
  for (std::size_t i = 0; i < 5; ++i)
    EXPECT_NEAR(out->pressure.budget[i].u, expected[i], i == 2 ? 4e-4 : 5e-6) << i;
  EXPECT_NEAR(out->pressure.budget[2].u, 0.9 * 3 * 0.02461, 2e-5);
  EXPECT_NEAR(out->pressure.u, 0.120686, 2e-4);
  EXPECT_NEAR(in_kPa(out->pressure.low), 53.0, 0.05);
  EXPECT_NEAR(in_kPa(out->pressure.high), 85.9, 0.05);
  EXPECT_FALSE(out->is_void());
  EXPECT_EQ(out->answer, oil::AgainstPressureLimit::plausible);
}

TEST(ReferenceReading, RefusesAGradeThatItDoesNotKnow) {
  PressureAsRead read{kPa(125), kPa(5), per_min(760), degC(90), kelvin(3), "10W-60"};
  PressureWanted wanted{kPa(50), per_min(650), degC(100), "5W-30"};
  EXPECT_THAT(reading_at_reference(read, wanted, kKnown).error().why, HasSubstr("10W-60"));
  std::swap(read.grade, wanted.grade);
  EXPECT_THAT(reading_at_reference(read, wanted, kKnown).error().why, HasSubstr("10W-60"));
  read = {kPa(0), kPa(5), per_min(760), degC(90), kelvin(3), "5W-30"};
  wanted.grade = "5W-30";
  EXPECT_FALSE(reading_at_reference(read, wanted, kKnown));
}

TEST(NearestStated, LeavesWhatTheLimitHoldsFor) {
  EXPECT_EQ(nearest_stated({degC(90), {}}, degC(60)), degC(90));
  EXPECT_EQ(nearest_stated({degC(90), {}}, degC(110)), degC(110));
  EXPECT_EQ(nearest_stated({degC(80), degC(100)}, degC(120)), degC(100));
  EXPECT_EQ(nearest_stated({{}, degC(100)}, degC(20)), degC(20));
}

const LimitAt* at(const std::vector<LimitAt>& curve, double celsius) {
  for (const LimitAt& point : curve)
    if (std::abs(in_degC(point.oil) - celsius) < 1e-9) return &point;
  return nullptr;
}

// Source: oil.md 1.5 and 1.4: 5W-30 has 52.745189 mPa·s and 837.225225 kg/m³ at 40 degC, 8.626791
// and 798.776990 at 100.
TEST(LimitOverTemperature, MovesTheLimitByTheViscosityOfTheSpecifiedOil) {
  const auto curve =
      limit_over_temperature(kPa(50), per_min(650), "5W-30", {degC(100), {}}, kKnown);
  ASSERT_EQ(curve.size(), 91U);
  const double cold =
      50e3 * std::pow(52.745189 / 8.626791, 0.9) * std::pow(837.225225 / 798.776990, 0.1);
  ASSERT_NE(at(curve, 40), nullptr);
  EXPECT_NEAR(at(curve, 40)->pressure.si() / cold, 1, 1e-6);
  EXPECT_TRUE(at(curve, 40)->is_indicative);  // the viscosity is over twice as much
  EXPECT_FALSE(at(curve, 95)->is_indicative);
  for (const double hot : {100.0, 115.0, 130.0}) EXPECT_EQ(at(curve, hot)->pressure, kPa(50));
  for (std::size_t i = 1; i < curve.size(); ++i)
    EXPECT_LE(curve[i].pressure, curve[i - 1].pressure) << i;
}

TEST(LimitOverTemperature, LeavesOutWhatIsVoid) {
  CircuitFacts facts = kKnown;
  facts.relief_opens = kPa(200);  // open, or near it, from 180 kPa on
  auto curve = limit_over_temperature(kPa(50), per_min(650), "5W-30", {degC(100), {}}, facts);
  EXPECT_EQ(at(curve, 40), nullptr);
  ASSERT_LT(curve.size(), 91U);
  for (const LimitAt& point : curve) EXPECT_LT(in_kPa(point.pressure), 180);
  EXPECT_GT(in_kPa(curve.front().pressure), 170);
  // Not known whether anything may be moved: the limit where it holds remains.
  for (const auto& [grade, pump] : {std::pair("5W-30", oil::PumpControl::unknown),
                                    std::pair("5W-30", oil::PumpControl::controlled),
                                    std::pair("10W-60", oil::PumpControl::fixed)}) {
    facts = kKnown;
    facts.pump = pump;
    curve = limit_over_temperature(kPa(50), per_min(650), grade, {degC(100), {}}, facts);
    EXPECT_EQ(curve.size(), 31U) << grade;
    EXPECT_EQ(curve.front().oil, degC(100)) << grade;
  }
}

// The drive and the case.

const std::string kFacts = "  relief_opens: 400 kPa\n  controlled_pump: no\n  piston_jets: no\n";

std::string drive(const std::string& facts = kFacts, const std::string& limit =
                                                         "at least 50 kPa, speed: 650 ± 25 1/min, "
                                                         "oil_temperature: at least 100 degC") {
  return R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual, page: p. 1}
checked_by: second reader
banks:
  - {number: 1, head_material: aluminium, camshafts: [{name: camshaft, journals: 1, material: steel}]}
  - {number: 2, head_material: aluminium, camshafts: [{name: camshaft, journals: 1, material: steel}]}
oil:
  grade: 5W-30
  ports: [main gallery, {name: head port, bank: 1}, {name: head port, bank: 2}]
  pressures:
    - {at: main gallery, limit: )" +
         limit + "}\n" + facts;
}

std::string pressure(const std::string& values,
                     const std::string& more = "speed: 760 1/min, oil_temperature: 90 degC",
                     const std::string& id = "e2", const std::string& place = "main gallery") {
  return "  - {kind: pressure, id: " + id + ", place: " + place + ", values: " + values + ", " +
         more + ", instrument: shop gauge, thermometer: thermometer}\n";
}

std::string oil_entry(const std::string& rest = "grade: 5W-40") {
  return "  - {kind: oil, id: e1, " + rest + "}\n";
}

// One reading alone counts the gauge twice, as its scatter too: 5 kPa standard, as the note has it.
std::string case_of(const std::string& entries) {
  std::string head = test::kCaseHead;
  const std::string at = "entries:\n";
  return head.substr(0, head.size() - at.size()) +
         "  - {name: shop gauge, uncertainty: 7.07107 kPa, resolution: 0.001 kPa}\n" + at + entries;
}

std::vector<Finding> told(const std::string& entries, const std::string& of = drive(),
                          std::string_view check = "pressure-at-reference") {
  std::vector<Finding> found;
  for (const Finding& finding : test::judged(case_of(entries), of).findings)
    if (finding.check == check) found.push_back(finding);
  return found;
}

// The reading of the reference note, as a case: 67 kPa, 53 to 86.
TEST(PressureAtReference, TellsTheWorkedReading) {
  const auto findings = told(oil_entry() + pressure("125 kPa"));
  ASSERT_EQ(findings.size(), 1U);
  const Finding& one = findings.front();
  EXPECT_EQ(one.subject, "main gallery at 650 ± 25 1/min");
  EXPECT_EQ(one.verdict, Verdict::open);
  EXPECT_EQ(one.open_because, OpenBecause::forecast);
  EXPECT_TRUE(one.forecast);
  EXPECT_THAT(one.why,
              AllOf(HasSubstr("125 ± 10 kPa at 760 1/min, oil at 90 degC, with 5W-40: about 67 "
                              "kPa at 650 1/min, oil at 100 degC, with 5W-30, 53 kPa to 86 kPa"),
                    HasSubstr("the limit, >= 50 kPa, lies below that range")));
  ASSERT_TRUE(one.value);
  EXPECT_NEAR(one.value->value, 67467, 40);
  EXPECT_THAT(one.budget, Contains(HasSubstr("gauge 4.0 %, speed 1.4 %, oil temperature 6.6 %, "
                                             "oil 9.0 %, k 1.7 %: together 12.1 %")));
  EXPECT_THAT(one.follows, ElementsAre(HasSubstr("the condition, not the place")));
  EXPECT_THAT(one.next, ElementsAre("read main gallery at 650 ± 25 1/min, oil at least 100 degC, "
                                    "with 5W-30, once its temperature stood for 5 min"));
  EXPECT_THAT(one.evidence, ElementsAre("e2", "e1"));
  EXPECT_THAT(one.cautions, Contains(HasSubstr("hot oil")));
}

// Never a pass or a fail, wherever the limit lies.
TEST(PressureAtReference, SaysWhereTheLimitLies) {
  const auto why = [](const std::string& limit) {
    const auto findings =
        told(oil_entry() + pressure("125 kPa"),
             drive(kFacts, limit + ", speed: 650 ± 25 1/min, oil_temperature: at least 100 degC"));
    EXPECT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings.front().verdict, Verdict::open);
    return findings.front().why;
  };
  EXPECT_THAT(why("at least 140 kPa"), AllOf(HasSubstr("lies above that range"),
                                             HasSubstr("not specific to the cam drive")));
  EXPECT_THAT(why("at least 70 kPa"), HasSubstr("lies inside that range: cannot tell"));
  EXPECT_THAT(why("at least 50 kPa"), HasSubstr("crank and pump side plausible"));
}

TEST(PressureAtReference, NeedsAForecastOnlyUnderOtherConditions) {
  const std::string met = "speed: 660 1/min, oil_temperature: 110 degC";
  EXPECT_THAT(told(oil_entry("grade: 5W-30") + pressure("80 kPa", met)), IsEmpty());
  // Nobody says which oil: `oil-pressure` asks; there is nothing to correct.
  EXPECT_THAT(told(pressure("80 kPa", met)), IsEmpty());
  EXPECT_EQ(told(oil_entry() + pressure("80 kPa", met)).size(), 1U);
  // A reading that meets it answers, beside one that does not.
  EXPECT_THAT(told(oil_entry("grade: 5w30") + pressure("80 kPa", met) +
                   pressure("125 kPa", "speed: 760 1/min, oil_temperature: 90 degC", "e3")),
              IsEmpty());
  // Too hot and too fast for the limit's middle, but inside of it: left as it is.
  const auto findings = told(oil_entry() + pressure("80 kPa", met));
  EXPECT_THAT(findings.front().why, HasSubstr("at 660 1/min, oil at 110 degC, with 5W-30"));
}

TEST(PressureAtReference, NeedsSpeedTemperatureAndOil) {
  EXPECT_THAT(told(pressure("125 kPa", "speed: 760 1/min")), IsEmpty());
  EXPECT_THAT(told(pressure("125 kPa", "oil_temperature: 90 degC")), IsEmpty());
  EXPECT_THAT(told(pressure("125 kPa", "speed: 760 1/min, oil_temperature: 90 degC, oil: other")),
              IsEmpty());
  // The entries contradict each other.
  EXPECT_THAT(told(oil_entry() + pressure("125 kPa",
                                          "speed: 760 1/min, oil_temperature: 90 degC, "
                                          "oil: as specified")),
              IsEmpty());
  // Another oil, entered only afterwards: was it in it?
  EXPECT_THAT(told(pressure("125 kPa") + oil_entry()), IsEmpty());
  for (const char* limit : {"at least 50 kPa, speed: 650 ± 25 1/min",
                            "at least 50 kPa, oil_temperature: at least 100 degC",
                            "at most 500 kPa, speed: 650 1/min..700 1/min, oil_temperature: at "
                            "least 100 degC"})
    EXPECT_THAT(told(oil_entry() + pressure("125 kPa"), drive(kFacts, limit)), IsEmpty()) << limit;
}

TEST(PressureAtReference, TakesTheSpecifiedOilWhereNobodySays) {
  const auto findings = told(pressure("125 kPa"));
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings.front().why, HasSubstr("oil at 90 degC, with 5W-30: about"));
  EXPECT_THAT(findings.front().budget,
              Contains("no entry says which oil was in it: taken as 5W-30"));
  EXPECT_THAT(findings.front().next, Contains("enter which oil was in it"));
  EXPECT_THAT(told(oil_entry("grade: 5W-30") + pressure("125 kPa")).front().next,
              Not(Contains("enter which oil was in it")));
  // A thicker oil in it: less is left at the limit's condition.
  EXPECT_LT(told(oil_entry() + pressure("125 kPa")).front().value->value,
            findings.front().value->value);
}

struct Void {
  std::string facts, entries, says, next;
};

TEST(PressureAtReference, IsNotComparableWhereTheLibrarySaysSo) {
  const std::string read = oil_entry() + pressure("125 kPa");
  const std::string jets = "  relief_opens: 400 kPa\n  controlled_pump: no\n";
  for (const Void& row : std::vector<Void>{
           {"  relief_opens: 130 kPa\n  controlled_pump: no\n  piston_jets: no\n", read,
            "the relief valve is open", ""},
           {"  controlled_pump: no\n  piston_jets: no\n", oil_entry() + pressure("280 kPa"),
            "the setting of the relief valve is not known", "the relief valve opens"},
           {jets + "  piston_jets: yes\n  jets_open: 100 kPa\n", read, "the piston jets open", ""},
           {jets + "  piston_jets: yes\n", read, "the piston jets open", "the piston jets open"},
           {jets, read, "the piston jets open", "whether jets cool the pistons"},
           {"  relief_opens: 400 kPa\n  controlled_pump: yes\n  piston_jets: no\n", read,
            "the pump is controlled", ""},
           {"  relief_opens: 400 kPa\n  piston_jets: no\n", read,
            "not known whether the pump is controlled", "whether the pump is controlled"},
           {kFacts, oil_entry("grade: 5W-40, level: below minimum") + pressure("125 kPa"),
            "the level is low", ""},
           {kFacts,
            oil_entry("grade: 5W-40, smell: 'burnt, foam on the dipstick'") + pressure("125 kPa"),
            "air in the oil", ""},
           {kFacts, oil_entry("grade: 10W-60") + pressure("125 kPa"),
            "no typical viscosity of 10W-60", ""}}) {
    const auto findings = told(row.entries, drive(row.facts));
    ASSERT_EQ(findings.size(), 1U) << row.facts << row.entries;
    const Finding& one = findings.front();
    EXPECT_THAT(one.why, AllOf(HasSubstr("not comparable with >= 50 kPa"), HasSubstr(row.says)))
        << row.facts;
    EXPECT_EQ(one.verdict, Verdict::open);
    EXPECT_TRUE(one.forecast);
    EXPECT_FALSE(one.value) << one.why;
    if (row.next.empty()) {
      EXPECT_EQ(one.next.size(), 1U) << one.why;
    } else {
      EXPECT_THAT(one.next, Contains(HasSubstr(row.next))) << row.facts;
    }
  }
  // Denied is not said.
  EXPECT_TRUE(told(oil_entry("grade: 5W-40, level: not low, smell: no foam") + pressure("125 kPa"))
                  .front()
                  .value);
}

TEST(PressureAtReference, IsIndicativeFarFromTheLimit) {
  struct Row {
    std::string entries, says;
  };
  for (const Row& row : std::vector<Row>{
           {pressure("125 kPa", "speed: 1000 1/min, oil_temperature: 95 degC"),
            "the speed differs by more than 1.5 times"},
           {pressure("125 kPa", "speed: 650 1/min, oil_temperature: 60 degC"),
            "the viscosity differs by more than 2 times"},
           {pressure("28 kPa", "speed: 760 1/min, oil_temperature: 90 degC"), "below 0.3 bar"}}) {
    const auto findings = told(oil_entry("grade: 5W-30") + row.entries);
    ASSERT_EQ(findings.size(), 1U) << row.says;
    EXPECT_THAT(findings.front().why, AllOf(HasSubstr("not compared with >= 50 kPa: "),
                                            HasSubstr(row.says), HasSubstr("indicative only")));
    EXPECT_TRUE(findings.front().value);
    EXPECT_THAT(findings.front().why, Not(HasSubstr("that range")));
  }
}

// A reading goes with the limit of its own speed, and the better known one speaks.
TEST(PressureAtReference, ChoosesLimitAndReading) {
  std::string two = drive(kFacts);
  two.insert(two.find(kFacts),
             "    - {at: main gallery, limit: at least 150 kPa, speed: 2000 ± 25 1/min, "
             "oil_temperature: at least 100 degC}\n");
  const std::string right = oil_entry("grade: 5W-30");
  auto findings =
      told(right + pressure("300 kPa", "speed: 1900 1/min, oil_temperature: 95 degC", "fast"), two);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings.front().subject, "main gallery at 2000 ± 25 1/min");
  findings =
      told(right + pressure("125 kPa", "speed: 700 1/min, oil_temperature: 95 degC", "near") +
               pressure("260 kPa", "speed: 700 1/min, oil_temperature: 50 degC", "far"),
           two);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings.front().evidence, Contains("near"));
}

// How thin an oil with fuel in it is nobody knows, nor which one a laboratory found out of grade.
TEST(PressureAtReference, OfAnOilThatIsNotItsGradeThereIsNoNumber) {
  const std::string read = pressure("60 kPa", "speed: 760 1/min, oil_temperature: 90 degC");
  EXPECT_THAT(told(oil_entry("grade: 5W-30") + read, drive(kFacts)).front().why,
              Not(HasSubstr("not that of its grade")));
  for (const char* bad : {"smell: strong smell of fuel", "viscosity_100: 6.0 ± 0.1 mm²/s"}) {
    const auto findings =
        told(oil_entry("grade: 5W-30, " + std::string(bad)) + read, drive(kFacts));
    ASSERT_EQ(findings.size(), 1U) << bad;
    EXPECT_THAT(findings.front().why, HasSubstr("the oil is not that of its grade")) << bad;
    EXPECT_FALSE(findings.front().value) << bad;
  }
}

TEST(PressureAtReference, SpeaksOfTheHeadAtAHead) {
  const std::string at_head =
      pressure("60 kPa", "speed: 760 1/min, oil_temperature: 90 degC", "e2", "bank 2 / head port");
  std::string of = drive(kFacts);
  of.replace(of.find("{at: main gallery"), 17, "{at: every head port");
  of.replace(of.find("at least 50 kPa"), 15, "at least 90 kPa");
  const auto findings = told(oil_entry("grade: 5W-30") + at_head, of);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings.front().subject, "bank 2 / head port at 650 ± 25 1/min");
  EXPECT_THAT(findings.front().why,
              AllOf(HasSubstr("this head would be low there too"), Not(HasSubstr("not specific"))));
  EXPECT_THAT(findings.front().follows, ElementsAre(HasSubstr("a pressure at the head")));
}

TEST(PressureCharts, PutTheReadingsBesideTheLimit) {
  const test::TempFolder folder;
  folder.write("small.drive.yaml", drive());
  const auto loaded = load_case(
      folder.write(
          "case.yaml",
          case_of(oil_entry("grade: 5W-30") + pressure("125 kPa") +
                  pressure("60 61 62 kPa", "speed: 650 1/min, oil_temperature: 104 degC", "e12") +
                  pressure("90 kPa", "speed: 650 1/min", "e13"))),
      {});
  ASSERT_TRUE(loaded);
  const auto drives = drives_in_use(*loaded);
  const auto charts = pressure_charts(check_input(*loaded, drives.front()));
  ASSERT_EQ(charts.size(), 1U);
  const PressureChart& chart = charts.front();
  EXPECT_EQ(chart.port, "main gallery");
  EXPECT_NEAR(in_per_min(chart.speed), 650, 1e-9);
  EXPECT_EQ(chart.limit.size(), 91U);
  ASSERT_EQ(chart.points.size(), 2U);
  EXPECT_EQ(chart.points[0].label, "e2");
  EXPECT_FALSE(chart.points[0].is_beside_it);
  EXPECT_NEAR(in_kPa(chart.points[0].U), 10, 0.01);
  EXPECT_EQ(chart.points[1].label, "e12");
  EXPECT_TRUE(chart.points[1].is_beside_it);
  EXPECT_NEAR(in_degC(chart.points[1].oil), 104, 1e-9);
  EXPECT_NEAR(in_kPa(chart.points[1].pressure), 61, 1e-9);
}

// Source: oil.md 1.5: at 100 degC 5W-40 has 11.168866, 5W-30 8.626791, 5W-20 6.764082 mPa·s, and
// 5W-40 at 100 degC is about as thick as 5W-30 at 89.
TEST(OilInIt, SaysHowMuchThickerAnotherGradeIs) {
  auto findings = told(oil_entry(), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings.front().why,
            "5W-40 at 100 degC is 29 % thicker than 5W-30: as if 5W-30 were 11 K colder");
  EXPECT_THAT(findings.front().follows, ElementsAre(HasSubstr("a thicker oil hides clearance")));
  EXPECT_TRUE(findings.front().forecast);
  findings = told(oil_entry("grade: 5W-20"), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings.front().why, HasSubstr("22 % thinner"));
  EXPECT_THAT(findings.front().follows,
              ElementsAre(HasSubstr("a thinner oil lowers the pressure")));
  EXPECT_THAT(told(oil_entry("grade: 5w30"), drive(), "oil-in-it"), IsEmpty());
  // Beside a reading oil-pressure says it: once is enough.
  for (const char* grade : {"grade: 5W-40", "grade: 5W-20"}) {
    const std::string both = oil_entry(grade) + pressure("125 kPa");
    const auto effect = told(oil_entry(grade), drive(), "oil-in-it").front().follows.front();
    EXPECT_THAT(told(both, drive(), "oil-pressure").front().follows, Contains(effect));
    EXPECT_THAT(told(both, drive(), "oil-in-it").front().follows, IsEmpty());
  }
}

// SAE J300, January 2015: a 30 has 9.3 to less than 12.5 mm²/s at 100 °C. ASTM D2270, 6.1.4: 22.83
// and 5.05 mm²/s have an index of 156; 58.0 and 10.2 by hand 165.1.
TEST(OilInIt, SaysWhatALaboratoryMeasured) {
  auto findings = told(oil_entry("grade: 5W-30, viscosity_40: 58.0 ± 0.6 mm²/s, viscosity_100: "
                                 "10.2 ± 0.1 mm²/s"),
                       drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings.front().subject, "oil, measured");
  EXPECT_EQ(findings.front().verdict, Verdict::open);
  EXPECT_THAT(findings.front().follows, Contains(HasSubstr("it may be a 30 (SAE J300)")));
  EXPECT_THAT(findings.front().follows, Contains(HasSubstr("viscosity index 165 (ASTM D2270)")));
  EXPECT_THAT(findings.front().why, HasSubstr("in its grade, 5W-30"));
  EXPECT_THAT(findings.front().next, IsEmpty());
  findings = told(oil_entry("grade: 5W-30, viscosity_100: 7.5 ± 0.1 mm²/s"), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings.front().why, HasSubstr("out of grade"));
  EXPECT_THAT(findings.front().follows, Contains(HasSubstr("fuel")));
  EXPECT_THAT(findings.front().why, HasSubstr("5W-30 has 9.3 to below 12.5 mm²/s"));
  EXPECT_THAT(findings.front().next, ElementsAre(HasSubstr("change the oil")));
  findings = told(oil_entry("grade: 5W-40, viscosity_100: 10.5 ± 0.1 mm²/s"), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 2U) << "another grade, and out of its own";
  EXPECT_THAT(findings.back().why, HasSubstr("out of grade"));
  findings = told(oil_entry("grade: 5W-30, viscosity_40: 58 mm²/s"), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings.front().next, ElementsAre(HasSubstr("viscosity at 100 °C")));
  findings = told(oil_entry("grade: 5W-30, viscosity_100: 9.3 ± 0.2 mm²/s"), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings.front().why, Not(HasSubstr("out of grade")));
  findings =
      told(oil_entry("viscosity_40: 22.83 mm²/s, viscosity_100: 5.05 mm²/s"), drive(), "oil-in-it");
  ASSERT_FALSE(findings.empty());
  EXPECT_THAT(findings.front().follows, Contains(HasSubstr("viscosity index 156")));
}

TEST(OilInIt, SaysWhatFuelDoes) {
  auto findings =
      told(oil_entry("grade: 5W-30, smell: strong smell of fuel"), drive(), "oil-in-it");
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings.front().subject, "oil, fuel in it");
  EXPECT_THAT(findings.front().why, HasSubstr("5 % of fuel would make 5W-30 about"));
  for (const char* smell : {"no fuel smell", "not of fuel", "burnt"})
    EXPECT_THAT(told(oil_entry(std::string("grade: 5W-30, smell: ") + smell), drive(), "oil-in-it"),
                IsEmpty())
        << smell;
  // The oil was changed since; its grade entered again is no change.
  const auto after = [](const std::string& more) {
    return told(oil_entry("grade: 5W-30, smell: fuel") + "  - {kind: oil, id: e9, grade: 5W-30, " +
                    more + "}\n",
                drive(), "oil-in-it");
  };
  EXPECT_THAT(after("distance_since_change: 0 km"), IsEmpty());
  EXPECT_EQ(after("level: mid").size(), 1U);
}

}  // namespace
}  // namespace tautmark
