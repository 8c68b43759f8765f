// SPDX-License-Identifier: Apache-2.0
// Collects what is wrong in a case; places come from the paths of its keys.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "casework/load.h"
#include "drive/places.h"

namespace tautmark {

class CaseCheck {
 public:
  CaseCheck(const LoadedCase& loaded, Diagnostics& diagnostics);

  [[nodiscard]] const LoadedCase& loaded() const { return loaded_; }

  void error(const std::string& path, std::string message, std::string hint = {},
             const std::string& second_path = {}, std::string second_message = {}) const;

  // Enough was said; advice is no longer worth its time.
  [[nodiscard]] bool is_full() const { return diagnostics_.size() > kMostDiagnostics; }

  // Says when `place` is none of the drives', or not of this type in any candidate.
  void check_place(const std::string& place, const std::string& path,
                   std::optional<PlaceType> type) const;

 private:
  const LoadedCase& loaded_;
  Diagnostics& diagnostics_;
  std::vector<std::vector<EnginePlace>> places_;  // per drive
  // The same by key: a case of thousands of readings looks each place up once.
  std::vector<std::unordered_map<std::string, const EnginePlace*>> by_key_;
};

// "entries[3].values"
std::string entry_path(std::size_t index, std::string_view key = {});

}  // namespace tautmark
