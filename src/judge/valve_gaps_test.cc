// SPDX-License-Identifier: Apache-2.0
#include "judge/valve_gaps.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <functional>

#include "judge/judge_test_support.h"

namespace tautmark {
namespace {

using clearance::Contact;
using clearance::TableCell;
using testing::Contains;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

LoadedDrive shipped(const std::string& name) {
  return load_drive(name, {{std::string(TAUTMARK_SOURCE_DIR) + "/drives"}}).value();
}

std::vector<TableCell> all_cells(const LoadedDrive& drive) {
  std::vector<TableCell> cells;
  for (const ValvesOfCam& valves : valves_of(drive))
    for (GapRow& row : gap_rows(valves))
      for (TableCell& cell : row.cells) cells.push_back(std::move(cell));
  return cells;
}

// trade.md 6.B, "smallest piston-to-valve gap during one full cycle": from 3 teeth early to 3 late;
// phaser locked, then the other end of its travel.
TEST(ValveGaps, TheTableOfTheTradeToAHundredth) {
  constexpr double kIntake[][2] = {{0.19, -3.95}, {2.41, -2.60}, {4.20, -0.64}, {5.02, 1.60},
                                   {5.04, 3.62},  {5.04, 4.86},  {5.04, 5.04}};
  constexpr double kExhaust[][2] = {{4.02, 4.02},  {4.02, 4.02},  {4.02, 3.30},  {3.86, 1.60},
                                    {2.68, -0.54}, {0.73, -2.59}, {-1.43, -4.13}};
  const std::vector<ValvesOfCam> all = valves_of(shipped("quellmere-i4-16"));
  ASSERT_EQ(all.size(), 2U);
  for (std::size_t v = 0; v < 2; ++v) {
    const std::vector<GapRow> rows = gap_rows(all[v]);
    ASSERT_EQ(rows.size(), 7U);
    for (std::size_t i = 0; i < 7; ++i) {
      for (std::size_t p = 0; p < 2; ++p) {
        const double printed = v == 0 ? kIntake[i][p] : kExhaust[i][p];
        const TableCell& cell = rows[i].cells[p];
        ASSERT_TRUE(cell.axial);
        EXPECT_NEAR(in_mm(*cell.axial), printed, 0.0101)
            << all[v].name << rows[i].teeth << ' ' << p;
        // Neither wall nor the other valve decides where the trade's table leaves them out.
        EXPECT_EQ(cell.nearest, clearance::Nearest::floor) << all[v].name << rows[i].teeth;
        EXPECT_EQ(cell.contact, printed < 0   ? Contact::expected
                                : printed < 1 ? Contact::below_required
                                              : Contact::none_expected)
            << all[v].name << rows[i].teeth << ' ' << p;
      }
    }
  }
}

TEST(ValveGaps, WithoutFiguresThereIsNoTable) {
  const LoadedDrive drive = shipped("vessgarth-v6-12");
  EXPECT_THAT(valves_of(drive), IsEmpty());
  EXPECT_THAT(free_camshafts(drive, {}).not_known, Not(IsEmpty()));
}

LoadedDrive with_walls(LoadedDrive drive) {
  for (Camshaft& camshaft : drive.drive.banks[0].camshafts) {
    for (Valves& valves : camshaft.valves) {
      const Length head = valves.head_diameter->value;
      valves.pocket_depth = Written<Length>{mm(2), "2 mm"};
      valves.pocket_diameter = Written<Length>{head + mm(5), ""};
      valves.pocket_along = valves.pocket_aside = Written<Length>{{}, "0 mm"};
    }
  }
  return drive;
}

// Each input in turn taken out: never "no contact expected", and what is missing has a name.
TEST(ValveGaps, NothingMissingIsEverMadeUp) {
  LoadedDrive whole = with_walls(shipped("quellmere-i4-16"));
  for (Camshaft& camshaft : whole.drive.banks[0].camshafts) camshaft.phaser.reset();
  EXPECT_THAT(all_cells(whole), Contains(Field(&TableCell::contact, Contact::none_expected)));
  EXPECT_THAT(free_camshafts(whole, valves_of(whole)).not_known, IsEmpty());
  using Edit = std::function<void(LoadedDrive&)>;
  std::vector<std::pair<std::string, Edit>> edits = {
      {"contradiction", [](LoadedDrive& d) { d.warnings.emplace_back(); }},
      {"stroke", [](LoadedDrive& d) { d.drive.cylinders->stroke.reset(); }},
      {"rod", [](LoadedDrive& d) { d.drive.cylinders->rod.reset(); }},
      {"pin offset", [](LoadedDrive& d) { d.drive.cylinders->pin_offset.reset(); }},
      {"cylinders", [](LoadedDrive& d) { d.drive.cylinders.reset(); }},
      {"unconfirmed",
       [](LoadedDrive& d) { d.unconfirmed.emplace(std::string(topic::kValves), "banks"); }},
  };
  const auto add = [&](const std::string& name, const std::function<void(Valves&)>& edit) {
    edits.emplace_back(name, [edit](LoadedDrive& d) {
      for (Camshaft& camshaft : d.drive.banks[0].camshafts)
        for (Valves& valves : camshaft.valves) edit(valves);
    });
  };
  add("angle", [](Valves& v) { v.angle.reset(); });
  add("head diameter", [](Valves& v) { v.head_diameter.reset(); });
  add("head thickness", [](Valves& v) { v.head_thickness.reset(); });
  add("gap", [](Valves& v) { v.gap_at_top.reset(); });
  add("uncertainty of the gap", [](Valves& v) { v.gap_at_top->value.expanded_si.reset(); });
  add("crown", [](Valves& v) { v.crown.reset(); });
  add("pocket diameter", [](Valves& v) { v.pocket_diameter.reset(); });
  add("pocket depth", [](Valves& v) { v.pocket_depth.reset(); });
  add("pocket along", [](Valves& v) { v.pocket_along.reset(); });
  add("pocket aside", [](Valves& v) { v.pocket_aside.reset(); });
  add("from axis", [](Valves& v) { v.from_axis.reset(); });
  add("above deck", [](Valves& v) { v.above_deck.reset(); });
  add("margin", [](Valves& v) { v.margin.reset(); });
  add("margin between", [](Valves& v) { v.margin_between.reset(); });
  add("lobe", [](Valves& v) { v.lobe.reset(); });
  add("law", [](Valves& v) { v.lobe->law.reset(); });
  add("lift", [](Valves& v) { v.lobe->lift.reset(); });
  add("duration", [](Valves& v) { v.lobe->duration.reset(); });
  add("center", [](Valves& v) { v.lobe->center.reset(); });
  add("lash", [](Valves& v) { v.lobe->lash.reset(); });
  add("uncertainty of the lift", [](Valves& v) { v.lobe->uncertainty.reset(); });
  add("maker of the lift", [](Valves& v) { v.lobe->source->origin = Origin::shop; });
  add("maker of the gap", [](Valves& v) { v.source->origin = Origin::common_practice; });
  add("lift of the cam", [](Valves& v) { v.lobe->of = LiftOf::cam; });
  for (const auto& [name, edit] : edits) {
    LoadedDrive drive = whole;
    edit(drive);
    for (const TableCell& cell : all_cells(drive)) {
      EXPECT_NE(cell.contact, Contact::none_expected) << name;
      if (cell.contact == Contact::not_known) {
        EXPECT_THAT(cell.missing, Not(IsEmpty())) << name;
      }
    }
    const FreeCamshafts free = free_camshafts(drive, valves_of(drive));
    EXPECT_THAT(free.not_known, Not(IsEmpty())) << name;
    EXPECT_THAT(free.windows, IsEmpty()) << name;
  }
}

// Of one camshaft only: the other one's valves rest on it too, where the two could meet.
TEST(ValveGaps, WhatTheOtherValveLacksProvesNothingOfThisOne) {
  const LoadedDrive whole = shipped("quellmere-i4-16");
  const std::pair<const char*, void (*)(Valves&)> kEdits[] = {
      {"angle", [](Valves& v) { v.angle.reset(); }},
      {"head diameter", [](Valves& v) { v.head_diameter.reset(); }},
      {"head thickness", [](Valves& v) { v.head_thickness.reset(); }},
      {"from axis", [](Valves& v) { v.from_axis.reset(); }},
      {"above deck", [](Valves& v) { v.above_deck.reset(); }},
      {"lobe", [](Valves& v) { v.lobe.reset(); }},
      {"center", [](Valves& v) { v.lobe->center.reset(); }},
      {"lash", [](Valves& v) { v.lobe->lash.reset(); }},
      {"uncertainty of the lift", [](Valves& v) { v.lobe->uncertainty.reset(); }},
      {"maker of the lift", [](Valves& v) { v.lobe->source->origin = Origin::shop; }},
      {"maker of the heads", [](Valves& v) { v.source->origin = Origin::shop; }}};
  // By turns of one camshaft and of the other: every table takes its time.
  std::size_t which = 0;
  for (const auto& [name, edit] : kEdits) {
    LoadedDrive drive = whole;
    edit(drive.drive.banks[0].camshafts[which++ % 2].valves[0]);
    for (const TableCell& cell : all_cells(drive))
      EXPECT_NE(cell.contact, Contact::none_expected) << name;
  }
  LoadedDrive drive = whole;
  drive.drive.banks[0].camshafts[0].phaser->range.reset();
  for (const TableCell& cell : all_cells(drive))
    EXPECT_NE(cell.contact, Contact::none_expected) << "travel of the phaser";
}

// What an assumed law shows of contact is said.
TEST(ValveGaps, AnAssumedLiftMayShowContact) {
  LoadedDrive drive = shipped("quellmere-i4-16");
  for (Camshaft& camshaft : drive.drive.banks[0].camshafts)
    camshaft.valves[0].lobe->source->origin = Origin::common_practice;
  int contacts = 0;
  for (const TableCell& cell : all_cells(drive))
    contacts += cell.contact == Contact::expected ? 1 : 0;
  EXPECT_EQ(contacts, 7);  // as many as trade.md 6.B prints
}

// All valves of an in-line four: dead centers at 0 and 180. The full lift must clear by margin and
// uncertainty, and the pocket slides past the head: the edge by hand from geometry.md 7.3, exhaust:
// s2 = (h - c0 + P + m + U) / cos γ.
TEST(ValveGaps, WhereCamshaftsAreFree) {
  LoadedDrive drive = with_walls(shipped("quellmere-i4-16"));
  const FreeCamshafts free = free_camshafts(drive, valves_of(drive));
  ASSERT_THAT(free.not_known, IsEmpty());
  ASSERT_EQ(free.windows.size(), 2U);
  const double spread = 0.06 / 2 * 3.291 + 0.05 / 1.960 * 3.291;
  const double drop = (9.0 - 4.024 + 2.0 + 1.0 + spread) / std::cos(18 * kRadiansPerDegree);
  const auto slider = clearance::slider_from_stroke(mm(90), mm(143), {});
  const auto edges = clearance::angles_at_drop(*slider, mm(drop));
  EXPECT_NEAR(in_crank_deg(free.windows[0].from), in_crank_deg(edges->down), 0.01);
  EXPECT_NEAR(in_crank_deg(free.windows[0].to), 180 - in_crank_deg(edges->down), 0.01);
  EXPECT_NEAR(in_crank_deg(free.windows[0].park), 90, 5);
  drive.drive.cylinders->fires_at.clear();
  EXPECT_THAT(free_camshafts(drive, valves_of(drive)).not_known, Contains(HasSubstr("fires_at")));
}

}  // namespace
}  // namespace tautmark
