// SPDX-License-Identifier: Apache-2.0
// Slew of recorded steps: oil.md 5.3 (a) for the most that a pressure makes, and recordings of
// known truth for what slow one way and slow both ways mean.
#include "judge/phaser_slew.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <fstream>
#include <sstream>

#include "judge/judge_test_support.h"
#include "recording/recording_write.h"
#include "recording/synthesise.h"

namespace tautmark {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

WrittenMeasured torque(double value) {
  WrittenMeasured written;
  written.value.value.kind = Kind::torque;
  written.value.value.si = value;
  written.value.expanded_si = 0.1;
  return written;
}

Phaser check_phaser(double mean) {
  Phaser phaser;
  phaser.vanes = 4;
  phaser.vane_inner = {mm(22), ""};
  phaser.vane_outer = {mm(38), ""};
  phaser.vane_width = {mm(20), ""};
  phaser.cam_torque = torque(mean);
  phaser.bias_spring = torque(0);
  phaser.friction = torque(0);
  return phaser;
}

OilElement check_edge() {
  OilElement edge;
  edge.kind = OilElementKind::hole;
  edge.diameter = {mm(2.7639531957706836), ""};  // 0.7 of it is 4.2 mm²
  return edge;
}

// oil.md 5.3 (a): ps 158 866 Pa, CdA 4.2 mm², 799 kg/m³.
TEST(PhaserSlew, two_edges_of_the_check_case) {
  const oil::Estimated<Pressure> head{Pressure::from_si(158866), 0.02};
  const auto most = advance_at_most(check_phaser(2.5), check_edge(), head, kg_per_m3(799));
  ASSERT_TRUE(most) << most.error().why;
  EXPECT_NEAR(most->in_a_second.si(), 1.18483458, 1e-8);
  EXPECT_NEAR(
      in_cam_deg(advance_at_most(check_phaser(0), check_edge(), head, kg_per_m3(799))->in_a_second),
      88.3655102, 1e-5);
  EXPECT_GT(most->U.si(), 0);
  // A pressure that does not hold the torque, a way that is no hole, a phaser without its data.
  EXPECT_FALSE(advance_at_most(check_phaser(7), check_edge(), head, kg_per_m3(799)));
  OilElement gap = check_edge();
  gap.kind = OilElementKind::clearance;
  EXPECT_FALSE(advance_at_most(check_phaser(2.5), gap, head, kg_per_m3(799)));
  EXPECT_FALSE(advance_at_most({}, check_edge(), head, kg_per_m3(799)));
}

CommandResponse response(double from, double to, std::optional<double> slew, double way) {
  CommandResponse one;
  one.step = {1, from, to};
  one.way = way;
  if (slew) {
    one.response = StepResponse{};
    one.response->slew = slew;
  }
  return one;
}

TEST(PhaserSlew, the_middle_step_each_way) {
  // 1200 1/min: a cycle of 0.1 s. 20° at 8°/s take 1.5 s from 20 to 80 %.
  const std::vector<CommandResponse> steps = {response(0, 20, 8, 20), response(0, 20, 7, 20),
                                              response(0, 20, 9, 20), response(20, 0, -60, -20)};
  const auto advance = slew_seen(steps, oil::Travel::advance, 1200);
  ASSERT_TRUE(advance);
  EXPECT_EQ(advance->speed, oil::StepSpeed::slower);
  EXPECT_NEAR(in_cam_deg(advance->seen), 4, 1e-9);
  EXPECT_NEAR(*advance->ratio, 0.4, 1e-9);
  EXPECT_NEAR(advance->ratio_U, 0.1 / 1.5, 1e-9);
  const auto retard = slew_seen(steps, oil::Travel::retard, 1200);
  ASSERT_TRUE(retard);
  EXPECT_EQ(retard->speed, oil::StepSpeed::faster);
  // Slow cranking: a cycle is longer than the way takes, so nothing is told.
  EXPECT_EQ(slew_seen(std::vector{response(0, 20, 18, 20)}, oil::Travel::advance, 200)->speed,
            oil::StepSpeed::not_told_apart);
  EXPECT_EQ(slew_seen(std::vector{response(0, 20, {}, 0.5)}, oil::Travel::advance, 800)->speed,
            oil::StepSpeed::stuck);
  EXPECT_FALSE(slew_seen(steps, oil::Travel::advance, 0));
  EXPECT_FALSE(slew_seen(std::vector{response(0, 5, 8, 5)}, oil::Travel::advance, 800));
  // Moved, but 80 % was never reached: no slew, not stuck either.
  EXPECT_FALSE(slew_seen(std::vector{response(0, 20, {}, 12)}, oil::Travel::advance, 800));
}

std::string file_text(const std::string& path) {
  std::ifstream in(path);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

// The intake camshaft of the quellmere told to go 20° (crank) early at 6 s and back at 12 s.
struct Recorded {
  bool slow_advance = true, slow_retard = true;
  bool is_logged = true;
  const char* column = "target intake cam angle";
};

std::vector<SynthCommand> commands(const Recorded& asked) {
  std::vector<SynthCommand> out;
  const auto go = [&](double at, double from, double to, bool slow) {
    if (!slow) return out.push_back({at, to});
    for (int i = 1; i <= 20; ++i) out.push_back({at + i * 0.125, from + (to - from) * i / 20});
  };
  go(6, 0, 20, asked.slow_advance);
  go(12, 20, 0, asked.slow_retard);
  return out;
}

struct JudgedCase {
  test::TempFolder folder;
  std::vector<Finding> judged(const Recorded& asked, const std::string& drive,
                              const std::string& entries = "") {
    Synthesis in;
    in.seed = 5;
    in.crank_teeth = slotted_teeth(60, {58, 59});
    in.speed = {{1, 800, 1500}, {1, 1500, 1500}, {1.5, 1500, 800}, {16, 800, 800}};
    in.sample_rate = 1e6;
    in.cams.resize(2);
    in.cams[0].targets = {96, 276, 516};
    in.cams[0].phaser.commands = commands(asked);
    in.cams[1].targets = {132, 372, 552};
    for (SynthCam& cam : in.cams) cam.jitter = 0.1;
    folder.write("steps.csv", event_csv(synthesise(in).value().trains, "steps"));
    std::string log = fmt::format("time (s),{},engine speed (1/min)\n", asked.column);
    for (int i = 0; i < 190; ++i) {
      const double t = 0.1 * i;
      const double speed = t < 1     ? 800 + 700 * t
                           : t < 2   ? 1500
                           : t < 3.5 ? 1500 - 700 * (t - 2) / 1.5
                                     : 800;
      log += fmt::format("{:.1f},{},{:.0f}\n", t, t >= 6 - 1e-9 && t < 12 - 1e-9 ? 20 : 0, speed);
    }
    folder.write("log.csv", log);
    folder.write("quellmere-i4-16.drive.yaml", drive);
    const auto loaded = load_case(
        folder.write(
            "case.yaml",
            "tautmark: case/1\nname: test\ndrive: quellmere-i4-16\ninstruments: [{name: "
            "gauge, uncertainty: 3 kPa, resolution: 1 kPa}]\nentries:\n  - {kind: "
            "recording, id: e1, file: steps.csv, engine: idle, speed: 800 1/min, "
            "oil_temperature: 95 degC, phasers: commanded" +
                std::string(
                    asked.is_logged
                        ? ", command_log: log.csv, command_positive: early, command_degrees: crank"
                        : "") +
                "}\n" + entries),
        {});
    EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
    if (!loaded) return {};
    std::vector<Finding> found;
    Judgement judgement = judge(*loaded, {}).value();
    for (Finding& finding : judgement.findings)
      if (finding.check == "phaser-slew") {
        EXPECT_EQ(finding.verdict, Verdict::open);
        EXPECT_TRUE(finding.forecast);
        found.push_back(std::move(finding));
      }
    return found;
  }
};

std::string quellmere() {
  return file_text(std::string(TAUTMARK_SOURCE_DIR) + "/drives/quellmere-i4-16.drive.yaml");
}

TEST(PhaserSlew, slow_against_the_load_only) {
  JudgedCase here;
  const auto told = here.judged({true, false}, quellmere());
  ASSERT_EQ(told.size(), 1u);
  EXPECT_EQ(told[0].subject, "bank 1 / intake camshaft");
  EXPECT_THAT(told[0].why, HasSubstr("slow against the load, not with it: oil leaks"));
  EXPECT_THAT(told[0].why, HasSubstr("to advance 4."));
  EXPECT_THAT(told[0].evidence, ElementsAre("e1"));
  EXPECT_THAT(told[0].budget, Contains(HasSubstr("states no bias spring")));
}

TEST(PhaserSlew, slow_both_ways) {
  JudgedCase here;
  const auto told = here.judged({true, true}, quellmere());
  ASSERT_EQ(told.size(), 1u);
  EXPECT_THAT(told[0].why, HasSubstr("slow both ways: valve, screen or oil that is too thick"));
}

TEST(PhaserSlew, nothing_is_said_of_one_that_is_not_slow_or_not_logged) {
  JudgedCase here;
  EXPECT_THAT(here.judged({false, false}, quellmere()), IsEmpty());
  EXPECT_THAT(here.judged({true, true, false}, quellmere()), IsEmpty());
  // Whose command is it? The engine has two phasers.
  const auto whose = here.judged({true, true, true, "target cam angle"}, quellmere());
  ASSERT_EQ(whose.size(), 1u);
  EXPECT_EQ(whose[0].subject, "recording e1");
  EXPECT_THAT(whose[0].why, HasSubstr("say which cam"));
}

// The most that the pressure at the head would make, where the definition has the edge of the valve
// and the gauge stood at the head under the same condition.
TEST(PhaserSlew, beside_the_pressure_at_the_head) {
  std::string drive = quellmere();
  const std::string range = "          range: 45 deg crank\n";
  const std::size_t at = drive.find(range);
  ASSERT_NE(at, std::string::npos);
  drive.insert(at, R"(          vanes: 4
          vane_inner: 22 mm
          vane_outer: 38 mm
          vane_width: 20 mm
          cam_torque: 2.5 ± 0.3 N·m
          bias_spring: 0 N·m
          friction: 0 N·m
)");
  const std::size_t ports = drive.find("  ports:\n    - main gallery");
  ASSERT_NE(ports, std::string::npos);
  drive.insert(ports, R"(  network:
    - {name: pump, kind: pump, to: main gallery, per_turn: 22 cm³}
    - {name: feed, kind: hole, from: main gallery, to: bank 1 / head port, diameter: 2 mm}
    - {name: edge, kind: hole, from: bank 1 / head port, to: bank 1 / intake camshaft / advance, diameter: 2.764 mm}
    - {name: out, kind: hole, from: bank 1 / intake camshaft / advance, diameter: 1 mm}
)");
  const auto read = [](const char* speed) {
    return fmt::format(
        "  - {{kind: pressure, id: e2, place: bank 1 / head port, values: 159 kPa, speed: {} "
        "1/min, oil_temperature: 95 degC, oil: as specified, instrument: gauge}}\n",
        speed);
  };
  JudgedCase here;
  const auto told = here.judged({true, false}, drive, read("800"));
  ASSERT_EQ(told.size(), 1u);
  EXPECT_THAT(told[0].budget,
              Contains(HasSubstr("159 kPa at bank 1 / head port would make about")));
  EXPECT_THAT(told[0].evidence, ElementsAre("e1", "e2"));
  const auto other = here.judged({true, false}, drive, read("2000"));
  ASSERT_EQ(other.size(), 1u);
  EXPECT_THAT(other[0].budget, Not(Contains(HasSubstr("would make about"))));
}

}  // namespace
}  // namespace tautmark
