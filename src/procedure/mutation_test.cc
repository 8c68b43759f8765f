// SPDX-License-Identifier: Apache-2.0
// One mistake at a time in both demo procedures: does the lint see it? 1 000 of them, seeded: a
// step removed, two steps swapped, the unit of a torque changed.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdio>
#include <map>
#include <random>

#include "base/quantity_text.h"
#include "base/unit.h"
#include "procedure/lint.h"
#include "procedure/test_drives.h"
#include "support/long_tests.h"

namespace tautmark::procedure {
namespace {

struct Torques {
  std::vector<Written<Torque>*> all{};
  std::vector<std::string> names{};
};

Torques torques_of(Drive& drive) {
  Torques found;
  for (Fastener& fastener : drive.fasteners)
    for (TighteningStep& step : fastener.steps)
      if (step.torque) {
        found.all.push_back(&*step.torque);
        found.names.push_back("fastener " + fastener.name);
      }
  for (ProcedureStep& step : drive.procedure)
    for (Tightens& tightens : step.tightens)
      for (TighteningStep& one : tightens.steps)
        if (one.torque) {
          found.all.push_back(&*one.torque);
          found.names.push_back(step.name + ": " + tightens.fastener);
        }
  return found;
}

// One mutation; says what it did.
std::string mutate(Drive& drive, std::mt19937& random) {
  const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random()) % n; };
  std::vector<ProcedureStep>& steps = drive.procedure;
  switch (below(3)) {
    case 0: {
      const std::size_t i = below(steps.size());
      const std::string name = steps[i].name;
      steps.erase(steps.begin() + static_cast<std::ptrdiff_t>(i));
      return "removed \"" + name + "\"";
    }
    case 1: {
      const std::size_t a = below(steps.size());
      const std::size_t b = (a + 1 + below(steps.size() - 1)) % steps.size();
      std::swap(steps[a], steps[b]);
      return "swapped \"" + steps[b].name + "\" and \"" + steps[a].name + "\"";
    }
    default: {
      const Torques torques = torques_of(drive);
      const std::size_t i = below(torques.all.size());
      Written<Torque>& torque = *torques.all[i];
      const auto was = read_quantity(torque.text, Kind::torque);
      const auto units = units_of(Kind::torque);
      const Unit* other = was->unit;
      while (other == was->unit) other = &units[below(units.size())];
      const double figure = from_si(was->si, *was->unit);
      torque = {Torque::from_si(to_si(figure, *other)),
                quantity_text(to_si(figure, *other), *other)};
      return torques.names[i] + " now " + torque.text;
    }
  }
}

TEST(ProcedureLint, CatchesOneMistakeInAThousandProcedures) {
  const int count = tautmark::test::are_long() ? 10000 : 1000;
  std::mt19937 random(20260302);
  std::vector<LoadedDrive> demos;
  for (const char* name : test::kDemoDrives) demos.push_back(test::loaded_demo(name));
  int caught = 0;
  std::map<std::string, int> missed;
  std::map<std::string, bool> answers;       // many are drawn more than once
  std::vector<LoadedDrive> mutants = demos;  // the places of keys, of which there are many, stay
  for (int n = 0; n < count; ++n) {
    const std::size_t which = static_cast<std::size_t>(n) % demos.size();
    LoadedDrive& mutant = mutants[which];
    mutant.drive = demos[which].drive;
    const std::string what = mutant.drive.name + ": " + mutate(mutant.drive, random);
    const auto [seen, is_new] = answers.try_emplace(what);
    if (is_new) seen->second = !procedure_lint(mutant).empty();
    if (!seen->second) {
      ++missed[what];
    } else {
      ++caught;
    }
  }
  std::printf("caught %d of %d\n", caught, count);
  for (const auto& [what, times] : missed) std::printf("  missed %d x %s\n", times, what.c_str());
  EXPECT_GE(caught, count * 95 / 100);
}

}  // namespace
}  // namespace tautmark::procedure
