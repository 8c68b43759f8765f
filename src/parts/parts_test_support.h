// SPDX-License-Identifier: Apache-2.0
// The demo cases, and small cases on a demo drive written in a test.
#pragma once

#include <fmt/format.h>

#include <filesystem>
#include <stdexcept>
#include <string>

#include "casework/load.h"
#include "parts/list.h"
#include "support/temp_folder.h"

namespace tautmark::parts::test {

inline DriveFolders drives() { return {{std::filesystem::path(TAUTMARK_SOURCE_DIR) / "drives"}}; }

inline LoadedCase loaded_or_throw(Parsed<LoadedCase> loaded) {
  if (!loaded) throw std::runtime_error(diagnostics_text(loaded.error()));
  return std::move(*loaded);
}

inline LoadedCase demo(const std::string& name) {
  const auto folder = std::filesystem::path(TAUTMARK_SOURCE_DIR) / "demo" / name;
  return loaded_or_throw(load_case((folder / "case.yaml").string(), drives()));
}

inline LoadedCase with_entries(const std::string& drive, const std::string& entries) {
  const tautmark::test::TempFolder folder;
  const std::string text = "tautmark: case/1\nname: a\ndrive: " + drive + "\n" +
                           (entries.empty() ? "" : "entries:\n" + entries);
  return loaded_or_throw(load_case(folder.write("case.yaml", text), drives()));
}

// A drive and a case that lie side by side.
inline LoadedCase with_drive(const std::string& drive, const std::string& entries) {
  const tautmark::test::TempFolder folder;
  folder.write("small.drive.yaml", "tautmark: drive/1\nname: small\n" + drive);
  const std::string text =
      "tautmark: case/1\nname: a\ndrive: small\n" + (entries.empty() ? "" : "entries:\n" + entries);
  return loaded_or_throw(load_case(folder.write("case.yaml", text), {}));
}

inline std::string named(const std::string& part, std::optional<int> bank) {
  return bank ? fmt::format("{}, bank {}", part, *bank) : part;
}

// "1 phaser, bank 2", "1 (+1) phaser bolt".
inline std::string row_words(const Row& row) {
  std::string count = row.count ? std::to_string(*row.count) : "?";
  if (row.only_if > 0) count += fmt::format(" (+{})", row.only_if);
  return count + " " + named(row.part, row.bank);
}

inline std::vector<std::string> open_words(const List& list) {
  std::vector<std::string> words;
  for (const Open& one : list.open)
    words.push_back(fmt::format("{}: {}", named(one.part, one.bank), one.words));
  return words;
}

}  // namespace tautmark::parts::test
