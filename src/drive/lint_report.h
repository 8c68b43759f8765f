// SPDX-License-Identifier: Apache-2.0
// Collects what the lint finds; places come from the paths of the definition's keys.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "drive/load.h"
#include "drive/places.h"

namespace tautmark {

class LintReport {
 public:
  explicit LintReport(const LoadedDrive& loaded) : loaded_(loaded) {}

  [[nodiscard]] const Drive& drive() const { return loaded_.drive; }
  [[nodiscard]] const LoadedDrive& loaded() const { return loaded_; }

  void error(const std::string& path, std::string message, std::string hint = {},
             const std::string& second_path = {}, std::string second_message = {});
  void warning(const std::string& path, std::string message, std::string hint = {});

  // Says when `at` names no place of this type in the drive; `missing` is the section that would
  // bring such places.
  void check_at(std::string_view at, const std::string& path,
                const std::vector<EnginePlace>& places, PlaceType type, std::string_view missing);

  Diagnostics take() { return std::move(diagnostics_); }

 private:
  const LoadedDrive& loaded_;
  Diagnostics diagnostics_;
};

}  // namespace tautmark
