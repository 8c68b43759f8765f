// SPDX-License-Identifier: Apache-2.0
#include "judge/oil_circuit.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/temp_folder.h"

namespace tautmark {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;

const std::string kRoot = TAUTMARK_SOURCE_DIR;

// A drive with these ways.
LoadedDrive drive_of(const std::string& ways, const std::string& fits = "") {
  const test::TempFolder folder;
  const auto loaded = load_drive(folder.write("small.drive.yaml", R"(tautmark: drive/1
name: small
source: {origin: maker, document: manual}
checked_by: second reader
banks:
  - {number: 1, head_material: aluminium, camshafts: [{name: camshaft, journals: 2, material: steel}]}
oil:
  grade: 5W-30
  ports: [main gallery, {name: head port, bank: 1}]
  network:
)" + ways + fits),
                                 {});
  EXPECT_TRUE(loaded) << (loaded ? "" : diagnostics_text(loaded.error()));
  return *loaded;
}
const std::string kPump =
    "    - {name: pump, kind: pump, to: main gallery, per_turn: 22 cm³, slip: 0.005 mm³}\n";
const std::string kMains =
    "    - {name: mains, kind: clearance, from: main gallery, count: 5, lands: 2, diameter: 65 mm, "
    "clearance: 0.068 mm, land: 9 mm, eccentricity: \"0.7 :1\", film: 60 %}\n";
const std::string kHead =
    "    - {name: feed, kind: hole, from: main gallery, to: bank 1 / head port, diameter: 1.5 mm, "
    "coefficient: \"0.7 :1\"}\n"
    "    - {name: front, kind: clearance, from: bank 1 / head port, journal: bank 1 / camshaft / "
    "journal 1, clearance: 0.060 mm, diameter: 32 mm, land: 4 mm, eccentricity: \"0.7 :1\"}\n";

// oil.md 3.4: conductance of the five mains 2.57872897e-13 m³ each with 0.6 of the viscosity in
// the film, orifice of the head feed 1.23700211e-6 m², land of the front journal 9.81119386e-14.
TEST(OilCircuit, ElementsOfTheReferenceNote) {
  const LoadedDrive drive = drive_of(kPump + kMains + kHead);
  const auto circuit = oil_circuit(drive, {}, degC(20));
  ASSERT_TRUE(circuit) << circuit.error().why;
  EXPECT_THAT(circuit->network.nodes, ElementsAre("main gallery", "bank 1 / head port"));
  const auto& mains = std::get<oil::Laminar>(circuit->network.elements[1].law);
  EXPECT_NEAR(mains.conductance / (5 * 2.57872897e-13), 1, 1e-6);
  const auto& feed = std::get<oil::Orifice>(circuit->network.elements[2].law);
  EXPECT_NEAR(feed.area / 1.23700211e-6, 1, 1e-6);
  const auto& front = std::get<oil::Laminar>(circuit->network.elements[3].law);
  EXPECT_NEAR(front.conductance / 9.81119386e-14, 1, 1e-6);
}

// By hand: 16 mm of radius, 22.55 less 11.9 ppm/K (measure/thermal.h), half of the growth over
// 80 K: 6.8 µm on 30, so (36.8/30)³ = 1.85 times the leakage.
TEST(OilCircuit, ABoreOfAHeadGrows) {
  const LoadedDrive drive = drive_of(kPump + kMains + kHead);
  const auto cold = oil_circuit(drive, {}, degC(20)), hot = oil_circuit(drive, {}, degC(100));
  const auto leak = [](const auto& circuit) {
    return std::get<oil::Laminar>(circuit->network.elements[3].law).conductance;
  };
  EXPECT_NEAR(leak(hot) / leak(cold), 1.85, 0.03);
}

TEST(OilCircuit, AMeasuredClearanceStandsForTheWrittenOne) {
  const LoadedDrive drive = drive_of(kPump + kMains + kHead);
  const KnownClearance one{"Bank 1/camshaft/Journal 1", mm(0.120), mm(0.004)};
  const auto as_new = oil_circuit(drive, {}, degC(20)),
             worn = oil_circuit(drive, {&one, 1}, degC(20));
  ASSERT_TRUE(as_new && worn);
  EXPECT_TRUE(worn->journals.front().measured);
  EXPECT_NEAR(std::get<oil::Laminar>(worn->network.elements[3].law).conductance /
                  std::get<oil::Laminar>(as_new->network.elements[3].law).conductance,
              8, 1e-9);
}

// oil.md 2.3: for a hole of 0.2 of the length finite differences give Q μ/p = 0.279 h³, the law
// within 3 %; h at the widest place is (1 + ε) c. oil.md 2.4: of a screen the free share counts.
TEST(OilCircuit, BearingsRoundTheirHoleAndScreens) {
  const std::string more =
      "    - {name: rods, kind: bearing, from: main gallery, count: 6, diameter: 53 mm, clearance: "
      "0.060 mm, land: 20 mm, feed_hole: 4 mm, eccentricity: \"0.7 :1\", film: 60 %}\n"
      "    - {name: sieve, kind: screen, from: main gallery, to: behind, flow: 6 L/min, full_at: "
      "20 "
      "kPa, viscosity: 20 mPa·s, blocked: 25 %, count: 2}\n"
      "    - {name: on, kind: hole, from: behind, diameter: 1 mm}\n";
  const LoadedDrive drive = drive_of(kPump + kMains + kHead + more);
  const auto circuit = oil_circuit(drive, {}, degC(100));
  ASSERT_TRUE(circuit) << circuit.error().why;
  const auto& rods = std::get<oil::Laminar>(circuit->network.elements[4].law);
  const double h = 1.7 * 0.030e-3;
  EXPECT_NEAR(rods.conductance / (6 * 0.279 * h * h * h), 1, 0.03);
  EXPECT_EQ(rods.film, 0.6);
  const auto& sieve = std::get<oil::Laminar>(circuit->network.elements[5].law);
  EXPECT_NEAR(sieve.conductance, 2 * 0.75 * 20e-3 * 1e-4 / 20e3, 1e-20);
}

std::string lint_of(const std::string& ways) { return diagnostics_text(oil_lint(drive_of(ways))); }

TEST(OilLint, WholeNetworksAreQuiet) { EXPECT_EQ(lint_of(kPump + kMains + kHead), ""); }

TEST(OilLint, NamesWhatIsWrong) {
  EXPECT_THAT(lint_of(kMains + kHead), HasSubstr("nothing pumps oil into it"));
  EXPECT_THAT(lint_of(kPump + kMains), HasSubstr("no way reaches bank 1 / head port"));
  std::string no_clearance = kHead;
  no_clearance.replace(no_clearance.find("clearance: 0.060 mm, "), 21, "");
  EXPECT_THAT(
      lint_of(kPump + kMains + no_clearance),
      AllOf(HasSubstr("front"), HasSubstr("no clearance of bank 1 / camshaft / journal 1")));
  std::string no_slip = kPump;
  no_slip.replace(no_slip.find(", slip: 0.005 mm³"), std::string(", slip: 0.005 mm³").size(), "");
  EXPECT_THAT(lint_of(no_slip + kMains + kHead), HasSubstr("without slip"));
  EXPECT_EQ(diagnostics_text(oil_lint(*load_drive(kRoot + "/drives/thin.drive.yaml", {}))), "");
  EXPECT_EQ(
      diagnostics_text(oil_lint(*load_drive(kRoot + "/drives/vessgarth-v6-12.drive.yaml", {}))),
      "");
}

TEST(OilLint, NamesSizesThatAreStatedTwiceAndApart) {
  LoadedDrive drive = drive_of(kPump + kMains + kHead);
  drive.drive.oil->grade = "5W-99";
  EXPECT_THAT(diagnostics_text(oil_lint(drive)), HasSubstr("5W-99 is no grade of SAE J300"));
}

TEST(OilLint, ABypassIsMeantToStayShut) {
  EXPECT_EQ(
      lint_of(kPump + kMains + kHead +
              "    - {name: filter, kind: hole, from: main gallery, to: behind, diameter: 9 mm}\n"
              "    - {name: bypass, kind: check valve, from: main gallery, to: behind, opens: 100 "
              "kPa, diameter: 8 mm}\n"
              "    - {name: on, kind: hole, from: behind, diameter: 1 mm}\n"),
      "");
}

TEST(OilLint, NamesCheckValvesThatNeverOpen) {
  const std::string base = kPump + kMains + kHead;
  EXPECT_EQ(
      lint_of(base + "    - {name: jet, kind: check valve, from: main gallery, opens: 100 kPa, "
                     "diameter: 1 mm}\n"),
      "");
  EXPECT_THAT(
      lint_of(base + "    - {name: turned, kind: check valve, from: bank 1 / head port, to: "
                     "main gallery, opens: 10 kPa, diameter: 1 mm}\n"),
      HasSubstr("turned: shut, since more pressure stands behind it than before it"));
  EXPECT_THAT(
      lint_of(base + "    - {name: relief valve, kind: relief, from: main gallery, opens: 300 kPa, "
                     "flow: 20 L/min, full_at: 350 kPa}\n"
                     "    - {name: jet, kind: check valve, from: main gallery, opens: 900 kPa, "
                     "diameter: 1 mm}\n"),
      HasSubstr("jet: opens at 900 kPa, and even a fast engine with thin oil has only"));
}

}  // namespace
}  // namespace tautmark
