// SPDX-License-Identifier: Apache-2.0
// Numbers of oil.md 5.1 and 5.2, reached from a definition; and what a case with readings of the
// heads is told.
#include "judge/phaser_oil.h"

#include <gmock/gmock.h>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

// The phaser of oil.md 5.1 and the pin of 5.2.
constexpr const char* kVanes =
    "base: full advance, vanes: 4, vane_inner: 22 mm, vane_outer: 38 mm, vane_width: 20 mm";
constexpr const char* kLoad = ", cam_torque: 2.5 ± 0.3 N·m, bias_spring: 0 N·m, friction: 0 N·m";
constexpr const char* kPin = ", pin_diameter: 6 mm, pin_force: 2.8 ± 0.1 N, pin_lifted_by: advance";

std::string drive_with(const std::string& phaser, const std::string& ports = "") {
  std::string text = R"(tautmark: drive/1
name: small
banks:
)";
  for (const char* bank : {"1", "2"})
    text += std::string("  - {number: ") + bank +
            ", camshafts: [{name: camshaft, journals: 1, phaser: {" + phaser + "}}]}\n";
  return text + "oil:\n  grade: 5W-30\n  ports: " +
         (ports.empty() ? "[main gallery, {name: head port, bank: 1}, {name: head port, bank: 2}]"
                        : ports) +
         "\n";
}

std::string pressure(const std::string& id, const std::string& place, const std::string& kpa,
                     const std::string& oil = "100", const std::string& speed = "650") {
  return "  - {kind: pressure, id: " + id + ", place: " + place + ", values: " + kpa +
         " kPa, speed: " + speed + " 1/min, oil_temperature: " + oil +
         " degC, oil: as specified, instrument: gauge}\n";
}
const std::string kHead = "bank 2 / head port";
const std::string kPinOf = "bank 2 / camshaft / phaser, lock pin";

std::vector<Finding> told(const std::string& entries, const std::string& drive,
                          const std::string& subject = "bank 2 / camshaft / phaser") {
  std::vector<Finding> found;
  for (const Finding& finding : test::judged(test::kCaseHead + entries, drive).findings) {
    if (finding.check != "phaser-oil") continue;
    EXPECT_EQ(finding.verdict, Verdict::open);
    EXPECT_TRUE(finding.forecast);
    if (finding.subject == subject) found.push_back(finding);
  }
  return found;
}

Phaser phaser_of(const std::string& phaser) {
  const test::TempFolder folder;
  folder.write("small.drive.yaml", drive_with(phaser));
  const auto loaded = load_case(
      folder.write("case.yaml", test::kCaseHead + pressure("e1", "main gallery", "180")), {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return *loaded->drives.front().drive.banks.front().camshafts.front().phaser;
}

// oil.md 5.1: V_th, and the torques of 3.4 with the margins that follow.
TEST(PhaserOil, margins_of_the_check_case) {
  const Phaser phaser = phaser_of(std::string(kVanes) + kLoad);
  const double displacement = *displacement_of(phaser);
  EXPECT_NEAR(displacement, 3.84e-5, 1e-12);
  const struct {
    double torque, margin;
    oil::AuthorityBand band;
  } kCases[] = {{6.07910938, 2.43164375, oil::AuthorityBand::comfortable},
                {4.73607130, 1.89442852, oil::AuthorityBand::slow},
                {3.13155809, 1.25262324, oil::AuthorityBand::holds_only},
                {1.23889766, 0.495559066, oil::AuthorityBand::drifts}};
  for (const auto& one : kCases) {
    const auto most = phaser_at_most(phaser, {Pressure::from_si(one.torque / displacement), 0.02});
    ASSERT_TRUE(most) << most.error().why;
    EXPECT_EQ(most->travel, oil::Travel::advance);
    EXPECT_NEAR(most->authority.available.si(), one.torque, 1e-8);
    EXPECT_NEAR(*most->authority.margin, one.margin, 1e-8);
    EXPECT_EQ(most->authority.band, one.band);
    EXPECT_GT(most->authority.high, one.margin);
  }
}

// oil.md 5.2: free at 99.03 kPa; 34 kPa of case W leave it locked.
TEST(PhaserOil, pin_of_the_check_case) {
  const Phaser phaser = phaser_of(std::string(kVanes) + kLoad + kPin);
  const oil::Estimated<Pressure> worn{kPa(34), 0.1}, healthy{kPa(159), 0.02};
  const auto stuck = pin_at_most(phaser, worn, healthy);
  ASSERT_TRUE(stuck) << stuck.error().why;
  EXPECT_NEAR(stuck->free_at.si(), 99029.7424, 1e-3);
  EXPECT_TRUE(stuck->is_short_hot);
  EXPECT_FALSE(stuck->is_short_cold);
  EXPECT_EQ(stuck->answer.cause, oil::StuckAtLock::pressure_short_hot);
  // Within the gauge and the spring of it, nothing is said.
  const auto close = pin_at_most(phaser, oil::Estimated<Pressure>{kPa(97), 0.03}, {});
  EXPECT_FALSE(close->is_short_hot);
  EXPECT_EQ(close->answer.hot, oil::PinState::not_known);
}

TEST(PhaserOil, a_starved_head_drifts_and_stays_locked) {
  const std::string drive = drive_with(std::string(kVanes) + kLoad + kPin);
  const auto torque = told(pressure("e1", kHead, "34"), drive);
  ASSERT_EQ(torque.size(), 1u);
  EXPECT_THAT(torque[0].why,
              HasSubstr("34 kPa at bank 2 / head port (650 1/min, oil at 100 degC)"));
  EXPECT_THAT(torque[0].why, HasSubstr("it needs 2.5 ± 0.3 N·m to advance"));
  EXPECT_THAT(torque[0].why, HasSubstr("a margin of at most 0.6"));
  EXPECT_THAT(torque[0].why, HasSubstr("it would drift to the stop"));
  EXPECT_THAT(torque[0].follows, ElementsAre("a new phaser would fare no better"));
  EXPECT_THAT(torque[0].evidence, ElementsAre("e1"));
  const auto pin = told(pressure("e1", kHead, "34"), drive, kPinOf);
  ASSERT_EQ(pin.size(), 1u);
  EXPECT_THAT(pin[0].why, HasSubstr("at least 99 kPa to be free: it cannot be free"));
  EXPECT_THAT(pin[0].next, ElementsAre(HasSubstr("oil cold")));
  const auto both =
      told(pressure("e1", kHead, "34") + pressure("e2", kHead, "310", "15", "900"), drive, kPinOf);
  ASSERT_EQ(both.size(), 1u);
  EXPECT_THAT(both[0].next, IsEmpty());
  EXPECT_THAT(both[0].follows, ElementsAre(HasSubstr("oil leaks on the way, or is thin")));
  EXPECT_THAT(both[0].evidence, ElementsAre("e1", "e2"));
  const auto short_both =
      told(pressure("e1", kHead, "34") + pressure("e2", kHead, "60", "15", "900"), drive, kPinOf);
  EXPECT_THAT(short_both[0].follows, ElementsAre(HasSubstr("hot or cold")));
}

TEST(PhaserOil, enough_at_the_head_is_said_as_at_most) {
  const std::string drive = drive_with(std::string(kVanes) + kLoad + kPin);
  const struct {
    const char* kpa;
    const char* words;
  } kCases[] = {{"68", "it holds at best"},
                {"95", "slow that way at best"},
                {"160", "the head has enough for it; what is lost on the way"}};
  for (const auto& one : kCases) {
    const auto torque = told(pressure("e1", kHead, one.kpa), drive);
    ASSERT_EQ(torque.size(), 1u);
    EXPECT_THAT(torque[0].why, HasSubstr("a margin of at most"));
    EXPECT_THAT(torque[0].why, HasSubstr(one.words));
    EXPECT_THAT(torque[0].follows, IsEmpty());
    EXPECT_THAT(torque[0].next, ElementsAre(HasSubstr("a step of the commanded angle")));
  }
  const auto pin = told(pressure("e1", kHead, "160"), drive, kPinOf);
  EXPECT_THAT(pin[0].why, HasSubstr("friction, side load and the way to it are not in that"));
}

// oil.md 9, 6: best used as a ratio of the banks.
TEST(PhaserOil, banks_side_by_side) {
  const std::string entries = pressure("e1", "main gallery", "185") +
                              pressure("e2", "bank 1 / head port", "140") +
                              pressure("e3", kHead, "88");
  const auto alike = told(entries, drive_with(std::string(kVanes) + kLoad));
  ASSERT_EQ(alike.size(), 1u);
  EXPECT_THAT(alike[0].budget, Contains(HasSubstr("by the ports 0.63 ± ")));
  std::string other = drive_with(std::string(kVanes) + kLoad);
  other.replace(other.find("vane_width: 20"), 14, "vane_width: 22");
  EXPECT_THAT(told(entries, other)[0].budget, Not(Contains(HasSubstr("by the ports"))));
}

TEST(PhaserOil, one_head) {
  const std::string drive = drive_with(std::string(kVanes) + kLoad, "[{name: head port, bank: 2}]");
  EXPECT_EQ(told(pressure("e1", kHead, "34"), drive).size(), 1u);
  // Bank 1 has no port for a gauge.
  const auto no_port = told(pressure("e1", kHead, "34"), drive, "bank 1 / camshaft / phaser");
  ASSERT_EQ(no_port.size(), 1u);
  EXPECT_THAT(no_port[0].next, ElementsAre(HasSubstr("oil.ports")));
}

// A spring that does more than the load of the cam: retarding is then the way that asks for more.
TEST(PhaserOil, a_strong_bias_spring_turns_the_load_round) {
  const std::string drive =
      drive_with(std::string(kVanes) +
                 ", cam_torque: 1.0 ± 0.1 N·m, bias_spring: 3.5 ± 0.1 N·m, friction: 0 N·m");
  EXPECT_THAT(told(pressure("e1", kHead, "34"), drive)[0].why,
              HasSubstr("2.5 ± 0.1 N·m to retard"));
  const std::string loose =
      drive_with(std::string(kVanes) +
                 ", cam_torque: 1.0 ± 0.9 N·m, bias_spring: 1.0 ± 0.9 N·m, friction: 0 N·m");
  const auto told_loose = told(pressure("e1", kHead, "34"), loose);
  EXPECT_THAT(told_loose[0].why, HasSubstr("not known closely enough"));
  EXPECT_THAT(told_loose[0].next, ElementsAre(HasSubstr("known closer")));
}

TEST(PhaserOil, every_input_taken_out_leaves_no_number) {
  const std::vector<std::pair<std::string, std::string>> parts = {
      {"vanes: 4", "vanes"},
      {"vane_inner: 22 mm", "vane_inner"},
      {"vane_outer: 38 mm", "vane_outer"},
      {"vane_width: 20 mm", "vane_width"},
      {"cam_torque: 2.5 ± 0.3 N·m", "cam_torque"},
      {"bias_spring: 0 N·m", "bias_spring"},
      {"friction: 0 N·m", "friction"},
      {"pin_diameter: 6 mm", "pin_diameter"},
      {"pin_force: 2.8 ± 0.1 N", "pin_force"},
      {"pin_lifted_by: advance", "pin_lifted_by"}};
  for (std::size_t out = 0; out < parts.size(); ++out) {
    std::string phaser = "base: full advance";
    for (std::size_t i = 0; i < parts.size(); ++i)
      if (i != out) phaser += ", " + parts[i].first;
    const std::string drive = drive_with(phaser);
    const std::string read = pressure("e1", kHead, "34");
    const std::string torque = "bank 2 / camshaft / phaser";
    const bool of_pin = parts[out].second.starts_with("pin");
    const auto lacks = told(read, drive, of_pin ? kPinOf : torque);
    ASSERT_EQ(lacks.size(), 1u) << parts[out].first;
    EXPECT_EQ(lacks[0].open_because, OpenBecause::not_in_drive);
    EXPECT_THAT(lacks[0].next, ElementsAre("in the definition: " + parts[out].second));
    EXPECT_THAT(lacks[0].why, Not(testing::ContainsRegex("[0-9]")));
    // What is whole is told all the same.
    const auto other = told(read, drive, of_pin ? torque : kPinOf);
    ASSERT_EQ(other.size(), 1u) << parts[out].first;
    EXPECT_EQ(other[0].open_because, OpenBecause::forecast);
  }
  // A torque without its ± does not count.
  std::string bare = drive_with(std::string(kVanes) + kLoad);
  for (std::size_t at; (at = bare.find(" ± 0.3")) != std::string::npos;) bare.erase(at, 7);
  const auto no_U = told(pressure("e1", kHead, "34"), bare);
  ASSERT_EQ(no_U.size(), 1u);
  EXPECT_THAT(no_U[0].next, ElementsAre("in the definition: cam_torque, with its ±"));
}

TEST(PhaserOil, a_head_above_its_gallery_proves_nothing) {
  const std::string drive = drive_with(std::string(kVanes) + kLoad + kPin);
  const auto open =
      told(pressure("e1", "main gallery", "100") + pressure("e2", kHead, "150"), drive);
  ASSERT_EQ(open.size(), 1u);
  EXPECT_EQ(open[0].open_because, OpenBecause::implausible);
  EXPECT_THAT(open[0].evidence, ElementsAre("e2", "e1"));
  EXPECT_THAT(open[0].why, Not(HasSubstr("N·m")));
}

TEST(PhaserOil, readings_that_tell_nothing) {
  const std::string drive = drive_with(std::string(kVanes) + kLoad + kPin);
  EXPECT_THAT(told("  - {kind: complaint, id: e1, words: no power}\n", drive), IsEmpty());
  // The gallery alone, a fast engine, cold oil, another oil.
  for (const std::string& entries :
       {pressure("e1", "main gallery", "185"), pressure("e1", kHead, "34", "100", "2000"),
        pressure("e1", kHead, "34", "20"),
        "  - {kind: oil, id: e0, grade: 10W-60}\n" + pressure("e1", kHead, "34")}) {
    const auto open = told(entries, drive);
    ASSERT_EQ(open.size(), 1u) << entries;
    EXPECT_EQ(open[0].open_because, OpenBecause::not_measured);
    EXPECT_THAT(open[0].next, ElementsAre(HasSubstr("the pressure at bank 2 / head port")));
    EXPECT_THAT(open[0].why, Not(HasSubstr("kPa")));
    EXPECT_THAT(told(entries, drive, kPinOf), IsEmpty());
  }
  // An engine of twenty lines.
  EXPECT_THAT(told(pressure("e1", kHead, "34"), drive_with("base: full advance")), IsEmpty());
}

}  // namespace
}  // namespace tautmark
