// SPDX-License-Identifier: Apache-2.0
// Hears the answers of an interview one after the other. Only for drive_interview*.cc.
//
// When the answers are used up, or one is refused, every further question counts as "not in the
// manual": the script runs on to its end and the first question without an answer stays noted.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "cli/drive_interview.h"

namespace tautmark::cli {

class Interview {
 public:
  Interview(std::span<const std::string> answers, InterviewState& state)
      : answers_(answers), state_(state) {}

  [[nodiscard]] bool running() const { return !state_.next; }
  TextRules rules;

  // The answer as text; empty: not in the manual.
  std::optional<std::string> words(std::string_view key, std::string_view about = {});
  // A plain number for the interview itself.
  std::optional<int> number(std::string_view key, int lower, int upper,
                            std::string_view about = {});
  bool yes(std::string_view key, std::string_view about = {});
  // One of the row's choices.
  std::optional<std::string> choice(std::string_view key, std::string_view about = {});
  // Fills the row's field. False: not in the manual.
  bool fill(std::string_view key, void* record, std::string_view about = {},
            std::string_view explain = {}, std::string_view example = {},
            std::optional<UnitTable> table = std::nullopt);

  // The unit said once for a table.
  void ask_unit(std::string_view key, UnitTable table);
  [[nodiscard]] std::string unit_of(UnitTable table) const;
  // The number with the table's unit where it is a bare one.
  [[nodiscard]] std::string with_unit(const std::string& text, UnitTable table) const;

  // The last answer cannot be taken.
  void refuse(std::string reason, std::string hint = {});

 private:
  std::optional<std::string> hear(const InterviewRow& row, std::string_view about,
                                  std::string_view explain, std::string_view example,
                                  UnitTable table);
  bool take_list(const TypeInfo& type, const std::string& text, void* out);
  bool take_leaf(const FieldInfo& field, const TypeInfo& type, const std::string& text, void* out);

  std::span<const std::string> answers_;
  InterviewState& state_;
  InterviewQuestion last_;  // asked last; comes again when its answer is refused
  std::map<UnitTable, std::string> units_;
};

}  // namespace tautmark::cli
