// SPDX-License-Identifier: Apache-2.0
// The two demo procedures, and small ones written in a test.
#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>

#include "drive/load.h"
#include "procedure/machine.h"

namespace tautmark::procedure::test {

inline constexpr const char* kDemoDrives[] = {"quellmere-i4-16", "vessgarth-v6-12"};

inline LoadedDrive loaded_demo(const std::string& name) {
  const DriveFolders folders{{std::filesystem::path(TAUTMARK_SOURCE_DIR) / "drives"}};
  auto loaded = load_drive(name, folders);
  if (!loaded) throw std::runtime_error(diagnostics_text(loaded.error()));
  return std::move(*loaded);
}

// "procedure:" and what stands before it; one bank with one camshaft and its phaser.
inline LoadedDrive loaded_text(const std::string& more) {
  auto loaded = load_drive_text(
      make_text_file("a.drive.yaml",
                     "tautmark: drive/1\nname: a\nbanks: [{number: 1, camshafts: [{name: camshaft, "
                     "phaser: {base: full advance}}]}]\n" +
                         more),
      {});
  if (!loaded) throw std::runtime_error(diagnostics_text(loaded.error()));
  return std::move(*loaded);
}

inline ProcedureStep written(std::vector<std::string> gives, std::optional<StepTurns> turns = {},
                             std::vector<std::string> needs = {}) {
  ProcedureStep step;
  step.name = "one";
  step.what = "w";
  step.gives = std::move(gives);
  step.turns = turns;
  step.needs = std::move(needs);
  return step;
}

// A struct with some of its members set: make<EngineState>([](auto& it) { it.chain = …; }).
template <class T, class Set>
T make(Set set) {
  T made{};
  set(made);
  return made;
}

inline Fact fact(const std::string& words, int bank = 1) {
  const std::vector<int> banks = {1, 2};
  const auto read = read_fact(words, bank, banks);
  if (!read) throw std::runtime_error(read.error().why);
  return read->front();
}

}  // namespace tautmark::procedure::test
