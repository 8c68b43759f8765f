// SPDX-License-Identifier: Apache-2.0
// Numbers of oil.md 6, reached from a definition and a reading; signs out of words; which faults
// are left.
#include "judge/tensioner_oil.h"

#include <gmock/gmock.h>

#include "judge/judge_test_support.h"
#include "oil/library.h"

namespace tautmark {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;

const std::vector<std::pair<std::string, std::string>> kParts = {{"plunger_diameter", "14 mm"},
                                                                 {"plunger_clearance", "0.030 mm"},
                                                                 {"plunger_guided", "20 mm"},
                                                                 {"spring", "35 N"},
                                                                 {"feed_hole", "1.5 mm"}};

std::string tensioner(const std::string& without = "") {
  std::string text = "stroke: 15 mm";
  for (const auto& [key, value] : kParts)
    if (key != without) text += ", " + key + ": " + value;
  return text;
}

std::string drive_with(const std::string& tensioner, const std::string& more = "",
                       const std::string& grade = "grade: 5W-30",
                       const std::string& ports = "main gallery, {name: head port, bank: 2}") {
  return R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual, page: p. 1}
checked_by: second reader
chains:
  - {name: bank 2 chain, bank: 2, tensioner: {)" +
         tensioner + R"(}}
banks:
  - {number: 1, camshafts: [{name: camshaft}]}
  - {number: 2, camshafts: [{name: camshaft}]}
fits:
  - {quantity: sink time, at: every tensioner, drop: 2 mm, force: 60 N, service: at least 8 s}
oil:
  ports: [)" +
         ports + "]\n  " + grade + "\n" + more;
}

std::string pressure(const std::string& id, const std::string& place, const std::string& kpa,
                     const std::string& oil = "100") {
  return "  - {kind: pressure, id: " + id + ", place: " + place + ", values: " + kpa +
         " kPa, speed: 650 1/min, oil_temperature: " + oil +
         " degC, oil: as specified, instrument: gauge}\n";
}
std::string complaint(const std::string& words) {
  return "  - {kind: complaint, id: e8, words: \"" + words + "\"}\n";
}
std::string sink(const std::string& seconds) {
  return "  - {kind: reading, id: e9, quantity: sink time, place: bank 2 chain / tensioner, "
         "values: " +
         seconds + " s, drop: 2 mm, force: 60 N}\n";
}

std::vector<Finding> told(const std::string& entries, const std::string& drive,
                          const std::string& subject = "bank 2 chain / tensioner") {
  std::vector<Finding> found;
  for (const Finding& finding : test::judged(test::kCaseHead + entries, drive).findings)
    if (finding.check == "tensioner-oil") {
      EXPECT_EQ(finding.verdict, Verdict::open);
      EXPECT_TRUE(finding.forecast);
      if (finding.subject == subject) found.push_back(finding);
    }
  return found;
}

Tensioner tensioner_of_drive() {
  const test::TempFolder folder;
  folder.write("small.drive.yaml", drive_with(tensioner()));
  const auto loaded = load_case(
      folder.write("case.yaml", test::kCaseHead + pressure("e1", "main gallery", "180")), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return *loaded->drives.front().drive.chains.front().tensioner;
}

TEST(TensionerOil, check_values) {
  const Tensioner of_drive = tensioner_of_drive();
  const auto at =
      oil::oil_at(*oil::properties_of(*oil::oil_of_grade(oil::known_oils(), "5W-30")), degC(100));
  FedTensioner fed{kPa(180), at->dynamic, at->density, 0.7, 1e-6};
  const auto whole = tensioner_oil(of_drive, fed);
  ASSERT_TRUE(whole) << whole.error().why;
  EXPECT_NEAR(whole->damping, 330522.279, 0.5);
  EXPECT_NEAR(300 / whole->damping_off, 2.26913600e-3, 1e-8);
  EXPECT_NEAR(whole->holds.si(), 62.7088472, 1e-6);
  EXPECT_NEAR(whole->torn.si(), 55.9879738, 1e-6);
  EXPECT_NEAR(whole->spring.si(), 35, 1e-12);
  const struct {
    double tear, force;
  } kTorn[] = {{0.5e-6, 60.6550039}, {3e-6, 42.1377306}, {6e-6, 37.2117360}};
  for (const auto& one : kTorn) {
    fed.tear = one.tear;
    EXPECT_NEAR(tensioner_oil(of_drive, fed)->torn.si(), one.force, 1e-6);
  }
  const struct { double kpa, force; } kPressures[] = {{140, 56.5513256}, {50, 42.6969020}};
  for (const auto& one : kPressures) {
    fed.at_feed = kPa(one.kpa);
    EXPECT_NEAR(tensioner_oil(of_drive, fed)->holds.si(), one.force, 1e-6);
  }
  // 5 cm³ through the hole take 0.2159 s at 140 kPa and 799 kg/m³: so the plunger is filled at
  // that.
  fed.at_feed = kPa(140);
  fed.density = kg_per_m3(799);
  const double area = 3.14159265358979 * 7e-3 * 7e-3;
  EXPECT_NEAR(tensioner_oil(of_drive, fed)->refill, 5e-6 / 0.215920531 / area, 1e-4);
}

TEST(TensionerOil, at_the_pressure_read) {
  const std::string drive = drive_with(tensioner());
  // A good gallery may hide a starved head: it stands for a head only where there is no port.
  const auto hidden = told(pressure("e1", "main gallery", "180"), drive);
  ASSERT_THAT(hidden, SizeIs(1));
  EXPECT_EQ(hidden[0].open_because, OpenBecause::not_measured);
  EXPECT_THAT(hidden[0].next, ElementsAre(HasSubstr("bank 2 / head port")));
  const auto gallery = told(pressure("e1", "main gallery", "180"),
                            drive_with(tensioner(), "", "grade: 5W-30", "main gallery"));
  ASSERT_THAT(gallery, SizeIs(1));
  EXPECT_THAT(gallery[0].why,
              AllOf(HasSubstr("180 kPa at main gallery"), HasSubstr("pushes with 63 N, 35 N of it"),
                    HasSubstr("by 0.30 to 0.76 mm/s for each 100 N")));
  EXPECT_THAT(gallery[0].follows, ElementsAre(HasSubstr("torn by 1 mm² it would push with 56 N"),
                                              HasSubstr("without its feed it would push with 35 N"),
                                              HasSubstr("draws air")));
  EXPECT_THAT(gallery[0].evidence, ElementsAre("e1"));
  EXPECT_THAT(gallery[0].budget, Contains(HasSubstr("does not say where its oil comes from")));
  // Its own head before the gallery; the way that the definition gives before both.
  const std::string both =
      pressure("e1", "main gallery", "180") + pressure("e2", "bank 2 / head port", "50");
  EXPECT_THAT(told(both, drive)[0].why, HasSubstr("50 kPa at bank 2 / head port"));
  const auto wrong = told(
      pressure("e1", "main gallery", "100") + pressure("e2", "bank 2 / head port", "150"), drive);
  ASSERT_THAT(wrong, SizeIs(1));
  EXPECT_EQ(wrong[0].open_because, OpenBecause::implausible);
  EXPECT_THAT(wrong[0].follows, IsEmpty());
  const std::string way = R"(  network:
    - {name: pump, kind: pump, to: main gallery, per_turn: 22 cm³}
    - {name: feed, kind: hole, from: main gallery, to: bank 2 chain / tensioner, diameter: 1.5 mm}
    - {name: plunger, kind: hole, from: bank 2 chain / tensioner, diameter: 0.1 mm}
)";
  const auto stated = told(both, drive_with(tensioner(), way));
  ASSERT_THAT(stated, SizeIs(1));
  EXPECT_THAT(stated[0].why, HasSubstr("180 kPa at main gallery"));
  EXPECT_THAT(stated[0].budget, Not(Contains(HasSubstr("does not say"))));
}

TEST(TensionerOil, every_input_taken_out_leaves_no_number) {
  const std::string read = pressure("e1", "main gallery", "180");
  for (const auto& [key, value] : kParts) {
    const auto lacks = told(read, drive_with(tensioner(key)));
    ASSERT_THAT(lacks, SizeIs(1)) << key;
    EXPECT_EQ(lacks[0].open_because, OpenBecause::not_in_drive);
    EXPECT_THAT(lacks[0].next, ElementsAre("in the definition: " + key));
    EXPECT_THAT(lacks[0].why, Not(testing::ContainsRegex("[0-9]")));
  }
  EXPECT_THAT(told(read, drive_with(tensioner(), "", "fill: 6 L")), SizeIs(1));
  const auto cold = told(pressure("e1", "main gallery", "180", "20"), drive_with(tensioner()));
  ASSERT_THAT(cold, SizeIs(1));
  EXPECT_EQ(cold[0].open_because, OpenBecause::not_measured);
  EXPECT_THAT(cold[0].follows, IsEmpty());
  EXPECT_THAT(told(complaint("no power"), drive_with(tensioner())), IsEmpty());
  EXPECT_THAT(told(read, drive_with("stroke: 15 mm, spring: 35 N")), IsEmpty());
  // A grade without a typical oil has no viscosity.
  const auto unknown = told(read, drive_with(tensioner(), "", "grade: 10W-60", "main gallery"));
  ASSERT_THAT(unknown, SizeIs(1));
  EXPECT_THAT(unknown[0].why, HasSubstr("no viscosity"));
}

struct Words {
  const char* words;
  const char* when;
  bool hot_idle, cold, after_standing, gets_worse;
};
TEST(NoiseHeard, only_what_is_said_to_be_heard) {
  const Words kWords[] = {
      {"rattles at hot idle", "", true, false, false, false},
      {"rattle, bank 2", "hot idle, not above 1100 1/min", true, false, false, false},
      {"rattled for three or four seconds at start for two weeks; rough now", "", false, false,
       true, false},
      {"rattles when cold", "", false, true, false, false},
      {"rattles at a cold start", "", false, false, true, false},
      {"rattles at hot idle and at start", "", true, false, true, false},
      {"clatter that is worse the longer it runs", "", false, false, false, true},
      {"no rattle at hot idle", "", false, false, false, false},
      {"rattles, but not at hot idle", "", false, false, false, false},
      {"rattles", "quiet cold", false, false, false, false},
      {"it doesn't rattle at hot idle", "", false, false, false, false},
      {"rough at hot idle", "hot idle", false, false, false, false},
      {"rattle gets worse every week", "", false, false, false, false},
  };
  for (const Words& one : kWords) {
    const NoiseHeard heard = noise_heard(one.words, one.when);
    EXPECT_EQ(heard.hot_idle, one.hot_idle) << one.words;
    EXPECT_EQ(heard.cold, one.cold) << one.words;
    EXPECT_EQ(heard.after_standing, one.after_standing) << one.words;
    EXPECT_EQ(heard.gets_worse, one.gets_worse) << one.words;
  }
}

// oil.md 6, the table of faults.
TEST(TensionerSigns, rule_out_and_prove_nothing) {
  const std::string drive = drive_with(tensioner());
  const std::string check = "bank 2 chain / tensioner, signs";
  const auto hot = told(complaint("rattles at hot idle"), drive, check);
  ASSERT_THAT(hot, SizeIs(1));
  EXPECT_THAT(hot[0].why, HasSubstr("rules out 1 of 6 faults of a tensioner, and proves none"));
  EXPECT_THAT(hot[0].follows, AllOf(SizeIs(5), Not(Contains(HasSubstr("ratchet")))));
  EXPECT_THAT(hot[0].budget, ElementsAre("rattles at hot idle"));
  EXPECT_THAT(hot[0].next, SizeIs(4));
  EXPECT_THAT(hot[0].evidence, ElementsAre("e8"));
  // Short on the bench: plunger or check ball, no feed.
  const auto sunk = told(complaint("rattles at hot idle") + sink("2.0 2.1 2.0"), drive, check);
  ASSERT_THAT(sunk, SizeIs(1));
  EXPECT_THAT(sunk[0].follows, ElementsAre(HasSubstr("worn plunger: rattles hot, is fine cold"),
                                           HasSubstr("leaking check ball")));
  EXPECT_THAT(sunk[0].evidence, ElementsAre("e8", "e9"));
  const auto held = told(complaint("rattles at hot idle") + sink("20 21 20"), drive, check);
  EXPECT_THAT(held[0].follows,
              ElementsAre(HasSubstr("torn seal"), HasSubstr("lost or blocked feed"),
                          HasSubstr("low oil pressure: hot idle only")));
  // Cold too, and worse as it runs, with one that sinks at once.
  const auto none =
      told(complaint("rattles at hot idle; rattles cold; rattle is worse the longer it runs") +
               sink("2.0 2.1 2.0"),
           drive, check);
  EXPECT_THAT(none[0].why, HasSubstr("no single fault"));
  EXPECT_THAT(none[0].follows, IsEmpty());
}

TEST(TensionerSigns, of_this_tensioner_only) {
  const std::string check = "bank 2 chain / tensioner, signs";
  EXPECT_THAT(told(complaint("bank 1 rattles at hot idle"), drive_with(tensioner()), check),
              IsEmpty());
  EXPECT_THAT(told(complaint("bank 2 rattles at hot idle"), drive_with(tensioner()), check),
              SizeIs(1));
  EXPECT_THAT(told(complaint("no power"), drive_with(tensioner()), check), IsEmpty());
  EXPECT_THAT(told(complaint("rattles at hot idle"), drive_with("stroke: 15 mm"), check),
              IsEmpty());
}

}  // namespace
}  // namespace tautmark
