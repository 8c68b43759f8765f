// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "report/html_steps.h"
#include "report/procedure_view.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

LoadedDrive drive_named(const std::string& name) {
  auto loaded = load_drive(name, {{std::filesystem::path(TAUTMARK_SOURCE_DIR) / "drives"}});
  if (!loaded) throw std::runtime_error(diagnostics_text(loaded.error()));
  return std::move(*loaded);
}

std::string sheet_of(const LoadedDrive& drive) { return html_procedure(*procedure_of(drive), {}); }

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++found;
  return found;
}

TEST(HtmlProcedure, HasEveryStepWithItsGate) {
  const LoadedDrive drive = drive_named("vessgarth-v6-12-tall");
  const std::string html = sheet_of(drive);
  EXPECT_EQ(count(html, "class=\"work-step\""), drive.drive.procedure.size());
  std::size_t gates = 0;
  for (const ProcedureStep& step : drive.drive.procedure) gates += step.gate ? 1 : 0;
  EXPECT_EQ(count(html, "class=\"gate-name\""), gates);
  EXPECT_THAT(html, HasSubstr("Take the oil deflector out"));
  EXPECT_THAT(html, HasSubstr("photo number"));
  EXPECT_THAT(html, HasSubstr("INVENTED ENGINE"));
  EXPECT_THAT(html, HasSubstr("DO NOT TURN"));
}

TEST(HtmlProcedure, SaysWhatIsTakenOverAndNotConfirmed) {
  LoadedDrive drive = drive_named("vessgarth-v6-12-tall");
  EXPECT_THAT(sheet_of(drive), Not(HasSubstr("not confirmed for this variant")));
  drive.unconfirmed["marks"] = "chains[0].marks";
  EXPECT_THAT(
      sheet_of(drive),
      HasSubstr("Taken over from vessgarth-v6-12 and not confirmed for this variant: marks."));
}

TEST(HtmlProcedure, ShowsNoTargetWhereTwoPlacesDisagree) {
  LoadedDrive drive = drive_named("vessgarth-v6-12");
  const ProcedureSeen seen = procedure_of(drive);
  const auto caps = std::find_if(
      drive.drive.procedure.begin(), drive.drive.procedure.end(),
      [](const ProcedureStep& step) { return step.name == "Draw the caps down evenly"; });
  const auto number = static_cast<std::size_t>(caps - drive.drive.procedure.begin());
  EXPECT_THAT(html::step_block(*seen, number, {}), HasSubstr("pound-force inches"));
  auto& torque = *caps->tightens.at(0).steps.at(0).torque;
  torque = {Torque::from_si(16.27), "12 lbf·ft"};
  const std::string html = html::step_block(*seen, number, {});
  EXPECT_THAT(html, HasSubstr("12 lbf·ft; the fastener itself has 12 N·m"));
  EXPECT_THAT(html, Not(HasSubstr("set to")));
}

// The middle pair first, sides in turn: common practice, no source (tighten/sequence.h).
TEST(HtmlProcedure, DrawsTheOrderOfSeveralBolts) {
  Fastener bolts;
  bolts.name = "caps";
  bolts.count = 8;
  EXPECT_EQ(html::order_drawing(bolts), "");
  bolts.pattern = BoltPattern::two_rows;
  EXPECT_EQ(count(html::order_drawing(bolts), "<polygon"), 8U);
  bolts.order = {1, 2, 3, 4, 5, 6, 7, 99};
  EXPECT_EQ(html::order_drawing(bolts), "");
}

TEST(HtmlProcedure, CarriesTheRulesThatHoldWhateverTheDefinitionSays) {
  const LoadedDrive drive = drive_named("vessgarth-v6-12");
  const std::string html = sheet_of(drive);
  EXPECT_THAT(html, HasSubstr("by rule, only with"));
  EXPECT_THAT(html, HasSubstr("(no override)"));
}

}  // namespace
}  // namespace tautmark
