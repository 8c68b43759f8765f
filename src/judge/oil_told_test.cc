// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_told.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "judge/checks/checks.h"
#include "judge/circuit_middle.h"
#include "judge/judge.h"
#include "judge/wear_told.h"
#include "oil/network.h"
#include "support/temp_folder.h"

namespace tautmark {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

const std::string kRoot = TAUTMARK_SOURCE_DIR;

struct Engine {
  LoadedCase value;
  std::vector<const LoadedDrive*> drives;
  CheckInput input() const { return check_input(value, drives.front()); }
};
Engine vessgarth() {
  Engine out{*load_case(kRoot + "/demo/vessgarth", {{kRoot + "/drives"}}), {}};
  out.drives = drives_in_use(out.value);
  return out;
}

double kpa(double pascals) { return pascals * 1e-3; }

void expect_inside(const oil::Interval& range, double kilopascals) {
  EXPECT_LE(kpa(range.low), kilopascals);
  EXPECT_GE(kpa(range.high), kilopascals);
  EXPECT_GE(range.low, 0.75 * range.median);
  EXPECT_LE(range.high, 1.25 * range.median);
}

// trade.md 6.A: gallery 185 and bank 1 140 kPa are fitted, bank 2 read 88 kPa as found and 136 kPa
// after its head was replaced. The missing sizes of the network are chosen, marked invented.
TEST(OilTold, FittedToTheOtherGaugesTheWornBankIsPredicted) {
  const Engine engine = vessgarth();
  const OilToldOrMissing out = oil_told(engine.input(), WithCurve::yes);
  ASSERT_TRUE(out.told) << testing::PrintToString(out.missing);
  const OilTold& told = *out.told;
  ASSERT_TRUE(told.from_others);
  expect_inside(*told.from_others, 88);
  EXPECT_TRUE(told.explained);
  EXPECT_EQ(told.bank, 2);
  ASSERT_EQ(told.options.size(), 5U);
  EXPECT_EQ(told.options[3].name, "new head, old camshaft");
  expect_inside(told.options[3].head, 136);
  EXPECT_EQ(told.options[0].pressure, oil::ForecastAgainst::below);
  EXPECT_EQ(told.options[1].head.median, told.options[0].head.median);
  EXPECT_EQ(told.options[3].pressure, oil::ForecastAgainst::above);
  // A head that leaks less leaves more for the gallery, and its gauge hardly says so.
  EXPECT_GT(told.options[3].gallery.median, told.options[0].gallery.median);
  EXPECT_LT(told.options[3].gallery.median, 1.15 * told.options[0].gallery.median);
  EXPECT_GT(told.options[3].head.median, 1.4 * told.options[0].head.median);
  EXPECT_THAT(told.highest, Not(IsEmpty()));
  EXPECT_THAT(told.highest,
              testing::Each(testing::AnyOf("new head, old camshaft", "bearings repaired")));
  // A phaser that is oil-fed has a margin, and the new phaser has no other.
  ASSERT_TRUE(told.options[0].authority && told.options[3].authority);
  EXPECT_EQ(*told.options[1].authority->margin, *told.options[0].authority->margin);
  EXPECT_GT(*told.options[3].authority->margin, 1.4 * *told.options[0].authority->margin);
  // The curve falls, and as wide as measured it is what the table says.
  ASSERT_TRUE(told.curve && told.curve->measured);
  EXPECT_EQ(told.curve->journal, "bank 2 / camshaft / journal 1");
  EXPECT_NEAR(told.curve->most->si(), 0.110e-3, 1e-9);
  ASSERT_GT(told.curve->points.size(), 8U);
  for (std::size_t i = 1; i < told.curve->points.size(); ++i)
    EXPECT_LT(told.curve->points[i].margin, told.curve->points[i - 1].margin);
}

TEST(OilTold, FlowsBalanceAtEveryPlace) {
  const OilTold told = *oil_told(vessgarth().input()).told;
  const auto solved = solved_with(told, {});
  ASSERT_TRUE(solved);
  std::vector<double> sum(told.nodes.size());
  double through = 0;
  for (std::size_t i = 0; i < told.ways.size(); ++i) {
    const double flow = solved->through[i].si();
    if (told.ways[i].from >= 0) sum[static_cast<std::size_t>(told.ways[i].from)] -= flow;
    if (told.ways[i].to >= 0) sum[static_cast<std::size_t>(told.ways[i].to)] += flow;
    if (told.ways[i].kind == OilElementKind::pump) through += flow;
  }
  for (const double rest : sum) EXPECT_LT(std::abs(rest), 1e-9 * through + 1e-15);
  for (std::size_t i = 0; i < told.nodes.size(); ++i)
    EXPECT_NEAR(solved->at[i].si(), told.nodes[i].pressure.median,
                0.1 * told.nodes[i].pressure.median + 500);
}

// The slider: a wider journal 1 of bank 2 takes oil from its own head, hardly from the gallery.
TEST(OilTold, OneClearanceAsked) {
  const OilTold told = *oil_told(vessgarth().input()).told;
  const auto at = [&](double millimeters, std::string_view place) {
    const KnownClearance one{"bank 2 / camshaft / journal 1", mm(millimeters), {}};
    return solved_with(told, {&one, 1})->at[*node_of(told.circuit, place)].si();
  };
  EXPECT_LT(at(0.30, "bank 2 / head port"), 0.7 * at(0.06, "bank 2 / head port"));
  EXPECT_GT(at(0.30, "main gallery"), 0.9 * at(0.06, "main gallery"));
  const KnownClearance nowhere{"bank 9 / journal 1", mm(0.1), {}};
  EXPECT_FALSE(solved_with(told, {&nowhere, 1}));
  const KnownClearance none{"bank 2 / camshaft / journal 1", mm(0), {}};
  EXPECT_FALSE(solved_with(told, {&none, 1}));
}

// Before anything is opened: pressures alone.
TEST(OilTold, PressuresAloneNameSuspectsAndNoOption) {
  Engine engine = vessgarth();
  auto& entries = engine.value.value.entries;
  std::erase_if(entries, [](const Entry& entry) {
    return !std::holds_alternative<PressureReading>(entry.body);
  });
  EXPECT_FALSE(wear_told(vessgarth().input())) << "its bearings are measured";
  const auto told = wear_told(engine.input());
  ASSERT_TRUE(told);
  const oil::WearExplanation& wear = told->wear;
  EXPECT_TRUE(wear.explained);
  EXPECT_NE(wear.ranking.front(), 0U);
  EXPECT_THAT(wear.hypotheses[wear.ranking.front()].name, HasSubstr("2"));
  double other_bank = 0;
  for (const oil::WearHypothesis& one : wear.hypotheses)
    if (one.name.find("bank 1") != std::string::npos) other_bank += one.probability;
  EXPECT_LT(other_bank, 0.1);
}

// The same with the bearings of bank 1 measured: they are known, and suspects no more.
TEST(OilTold, WhatWasMeasuredIsNoSuspect) {
  Engine engine = vessgarth();
  std::erase_if(engine.value.value.entries, [](const Entry& entry) {
    const auto* reading = std::get_if<Reading>(&entry.body);
    return reading != nullptr && reading->place.find("bank 2") != std::string::npos;
  });
  const auto told = wear_told(engine.input());
  ASSERT_TRUE(told);
  EXPECT_THAT(told->measured, testing::SizeIs(5));
  for (const std::string& place : told->measured) {
    EXPECT_THAT(place, HasSubstr("bank 1"));
    for (const oil::WearHypothesis& one : told->wear.hypotheses)
      EXPECT_THAT(one.name, Not(HasSubstr(place)));
  }
  EXPECT_GT(told->evidence.size(), told->gauges.heads.size() + 1);
  const std::vector<Finding> findings = checks::oil_wear(engine.input());
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_THAT(findings[0].budget,
              testing::Contains("measured, so no suspect: bank 1 / camshaft / journal 1"));
}

// Fuel that was smelled may have thinned the oil by up to a share: wider ranges, and it is said.
TEST(OilTold, FuelWidensWhatIsToldOfTheOil) {
  Engine engine = vessgarth();
  const OilTold clean = *oil_told(engine.input()).told;
  Entry smell;
  smell.id = "e0";
  smell.body = OilFound{.smell = "of petrol"};
  auto& entries = engine.value.value.entries;
  entries.insert(std::ranges::find(entries, clean.gauges.gallery.entry, &Entry::id), smell);
  const OilTold with = *oil_told(engine.input()).told;
  const auto doubt = [](const OilTold& told) {
    return std::get<oil::NormalLn>(told.circuit.unknowns[kViscosityUnknown].prior);
  };
  EXPECT_EQ(doubt(clean).median, 1);
  EXPECT_LT(doubt(with).median, 0.95);
  EXPECT_GT(doubt(with).sd, doubt(clean).sd);
  EXPECT_THAT(with.circuit.assumed, testing::Contains(HasSubstr("it smells of fuel")));
  EXPECT_THAT(with.evidence, testing::Contains("e0"));
  EXPECT_THAT(clean.circuit.assumed, Not(testing::Contains(HasSubstr("fuel"))));
  EXPECT_THAT(clean.circuit.assumed, Not(testing::Contains(HasSubstr("which oil was in it"))));
  std::erase_if(entries,
                [](const Entry& entry) { return std::holds_alternative<OilFound>(entry.body); });
  for (Entry& entry : entries)
    if (auto* reading = std::get_if<PressureReading>(&entry.body)) reading->oil.reset();
  const OilToldOrMissing unsaid = oil_told(engine.input());
  ASSERT_TRUE(unsaid.told) << testing::PrintToString(unsaid.missing);
  EXPECT_THAT(unsaid.told->circuit.assumed, testing::Contains(HasSubstr("which oil was in it")));
}

// By finite differences: a solution with the clearance 0.1 µm wider and narrower.
TEST(OilTold, SensitivitiesAreThoseOfSolutions) {
  const OilTold told = *oil_told(vessgarth().input()).told;
  const std::vector<ClearanceSensitivity> all = clearance_sensitivities(told);
  std::size_t journals = 0;
  for (const CircuitJournal& journal : told.circuit.journals) {
    const auto found = std::ranges::find(all, journal.place, &ClearanceSensitivity::clearance);
    ASSERT_NE(found, all.end()) << journal.place;
    const auto at = [&](Length clearance) {
      const KnownClearance one{journal.place, clearance, {}};
      return solved_with(told, {&one, 1})->at;
    };
    // Both without the error of the gauge, which `solved_with` leaves out.
    OilTold exact = told;
    for (CircuitJournal& one : exact.circuit.journals)
      if (one.place == journal.place) one.U = Length::from_si(0);
    const auto of_exact = clearance_sensitivities(exact);
    const auto linear =
        std::ranges::find(of_exact, journal.place, &ClearanceSensitivity::clearance)->for_um;
    const auto less = at(journal.clearance - mm(1e-4)), more = at(journal.clearance + mm(1e-4));
    for (std::size_t node = 0; node < linear.size(); ++node) {
      const double slope = (more[node].si() - less[node].si()) / 0.2;
      EXPECT_NEAR(linear[node].si(), slope, 1e-3 * std::abs(slope) + 0.02)
          << journal.place << " at " << told.nodes[node].name;
    }
    ++journals;
  }
  EXPECT_EQ(journals, 10U);
  OilTold unexplained = told;
  unexplained.explained = false;
  EXPECT_THAT(clearance_sensitivities(unexplained), IsEmpty());
}

// Its gauge shows what is wanted, not what leaks.
TEST(OilTold, AControlledPumpTellsNothing) {
  Engine engine = vessgarth();
  const std::string said = "the pump is taken as not controlled";
  EXPECT_THAT(oil_told(engine.input()).told->circuit.assumed,
              Not(testing::Contains(HasSubstr(said))));
  engine.value.drives.front().drive.oil->controlled_pump.reset();
  engine.drives = drives_in_use(engine.value);
  EXPECT_THAT(oil_told(engine.input()).told->circuit.assumed, testing::Contains(HasSubstr(said)));
  engine.value.drives.front().drive.oil->controlled_pump = true;
  engine.drives = drives_in_use(engine.value);
  const OilToldOrMissing out = oil_told(engine.input());
  EXPECT_FALSE(out.told);
  EXPECT_THAT(out.missing, ElementsAre(HasSubstr("a pump that is not controlled")));
}

TEST(OilTold, EachGaugeIsNeeded) {
  for (const std::string_view port : {"main gallery", "head port"}) {
    Engine engine = vessgarth();
    std::erase_if(engine.value.value.entries, [&](const Entry& entry) {
      const auto* reading = std::get_if<PressureReading>(&entry.body);
      return reading != nullptr && reading->place.find(port) != std::string::npos;
    });
    const OilToldOrMissing out = oil_told(engine.input());
    EXPECT_FALSE(out.told);
    EXPECT_THAT(out.missing, Not(IsEmpty())) << port;
  }
}

// Leakage goes with the cube of the clearance, so the widest journal of the lowest head matters
// most and none raises it; the drift is torque by damper (oil.md 5.5) with the flow between the
// chambers by their difference of pressure.
TEST(OilTold, NamesTheClearanceThatMattersMostAndTheDriftOfItsPhaser) {
  const Engine engine = vessgarth();
  const OilToldOrMissing out = oil_told(engine.input());
  ASSERT_TRUE(out.told) << testing::PrintToString(out.missing);
  const OilTold& told = *out.told;
  const std::vector<ClearanceMatters> matters = what_matters(told);
  ASSERT_EQ(matters.size(), 5U);
  EXPECT_EQ(matters[0].journal, "bank 2 / camshaft / journal 1");
  for (const ClearanceMatters& one : matters) EXPECT_LE(one.change.si(), 1e-6) << one.journal;
  EXPECT_LT(matters[0].change.si(), matters[1].change.si());
  ASSERT_TRUE(told.holding && told.phaser);
  const auto is_between = [&](const WayTold& way) {
    return way.from == static_cast<int>(told.phaser->advance) &&
           way.to == static_cast<int>(told.phaser->retard);
  };
  double flow = 0;
  for (const WayTold& way : told.ways)
    if (is_between(way)) flow += way.flow.median;
  const double difference = told.nodes[told.phaser->advance].pressure.median -
                            told.nodes[told.phaser->retard].pressure.median;
  const double volume = told.phaser->asked.displacement.value;
  const double torque = told.phaser->asked.load.mean.value.si();
  const double expected = torque * flow / difference / (volume * volume);
  EXPECT_NEAR(told.holding->drift.si(), expected, 0.1 * expected);
  EXPECT_GT(told.holding->drift_U.si(), 0);
}

// Every reading at this port, as text says it.
void read_at(Engine& engine, std::string_view port, std::string_view text, double pascals) {
  for (Entry& entry : engine.value.value.entries)
    if (auto* reading = std::get_if<PressureReading>(&entry.body);
        reading != nullptr && reading->place.find(port) != std::string::npos) {
      reading->values.text = text;
      for (AnyQuantity& one : reading->values.value.values) one.si = pascals;
    }
}

TEST(OilTold, AHeadThatReadsNothingIsTheWorstAndNotAnUnreadOne) {
  Engine engine = vessgarth();
  read_at(engine, "bank 2", "0 kPa", 0);
  const OilToldOrMissing out = oil_told(engine.input());
  ASSERT_TRUE(out.told) << testing::PrintToString(out.missing);
  EXPECT_FALSE(out.told->explained);
  EXPECT_THAT(out.told->options, IsEmpty());
  const std::vector<Finding> heads = checks::head_pressure(engine.input());
  ASSERT_EQ(heads.size(), 1U);
  EXPECT_EQ(heads[0].subject, "bank 2 / head port");
  EXPECT_THAT(heads[0].why,
              AllOf(HasSubstr("0 kPa here, 140 kPa at bank 1"), HasSubstr("loses its oil")));
  const std::vector<Finding> phasers = checks::phaser_oil(engine.input());
  EXPECT_EQ(std::count_if(phasers.begin(), phasers.end(),
                          [](const Finding& one) {
                            return one.why.find("the gauge shows nothing") != std::string::npos;
                          }),
            1);
}

TEST(OilTold, WithoutOneHeadNoOptionIsThatOfTheWrongBank) {
  Engine engine = vessgarth();
  std::erase_if(engine.value.value.entries, [&](const Entry& entry) {
    const auto* reading = std::get_if<PressureReading>(&entry.body);
    return reading != nullptr && reading->place.find("bank 2") != std::string::npos;
  });
  const OilToldOrMissing out = oil_told(engine.input());
  ASSERT_TRUE(out.told) << testing::PrintToString(out.missing);
  EXPECT_THAT(out.told->options, IsEmpty());
  EXPECT_THAT(out.told->choice, IsEmpty());
  EXPECT_THAT(out.told->measure_next, ElementsAre(HasSubstr("bank 2 / head port")));
  // Nor is the other bank's phaser or journal what is told of "the lowest head".
  const OilTold& half = *oil_told(engine.input()).told;
  EXPECT_FALSE(half.holding);
  EXPECT_THAT(what_matters(half), IsEmpty());
}

TEST(OilTold, AHeadAboveItsGalleryTellsNothing) {
  Engine engine = vessgarth();
  read_at(engine, "main gallery", "80 kPa", 80e3);
  const OilToldOrMissing out = oil_told(engine.input());
  EXPECT_FALSE(out.told);
  EXPECT_THAT(out.missing, ElementsAre(HasSubstr("bank 1 / head port and the gallery again")));
  const std::vector<Finding> heads = checks::head_pressure(engine.input());
  ASSERT_EQ(heads.size(), 1U);
  EXPECT_EQ(heads[0].verdict, Verdict::open);
  EXPECT_THAT(heads[0].why, HasSubstr("that cannot be"));
  // Neither gauge proves a limit.
  int doubted = 0;
  for (const Finding& one : checks::oil_pressure(engine.input())) {
    const bool is_doubted = one.why.find("cannot both be") != std::string::npos;
    doubted += is_doubted ? 1 : 0;
    EXPECT_TRUE(!is_doubted || one.verdict == Verdict::open) << one.subject;
    EXPECT_FALSE(one.verdict == Verdict::pass && one.subject.find("bank 1") != std::string::npos);
  }
  EXPECT_GE(doubted, 2);
}

// One of the readings of journal 1 of bank 2 is far too large.
TEST(OilTold, AJournalLargerThanItsBoreIsReadAgain) {
  Engine engine = vessgarth();
  for (Entry& entry : engine.value.value.entries)
    if (auto* reading = std::get_if<Reading>(&entry.body);
        reading != nullptr && reading->quantity == Measurand::journal_diameter &&
        reading->place == "bank 2 / camshaft / journal 1")
      for (AnyQuantity& one : reading->values->value.values) one.si += 1e-3;
  const OilToldOrMissing out = oil_told(engine.input());
  EXPECT_FALSE(out.told);
  EXPECT_THAT(out.missing, ElementsAre(AllOf(HasSubstr("bank 2 / camshaft / journal 1, again"),
                                             HasSubstr("larger than its bore"))));
}

}  // namespace
}  // namespace tautmark
