// SPDX-License-Identifier: Apache-2.0
// Text for a terminal or a pipe: wrapped sentences and plain tables.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "report/report.h"

namespace tautmark::cli {

// Broken at blanks to `width` characters; lines after the first are indented by `hang` blanks.
std::string wrapped(std::string_view text, int width, int hang = 0);

// "1 case", "3 cases"
std::string counted(std::int64_t number, std::string_view one);

std::string bold(std::string_view text, const TextStyle& style);

// Lines of a report, each wrapped to the width of the style.
class Writer {
 public:
  explicit Writer(const TextStyle& style) : style_(style) {}
  void line(int indent, const std::string& words);
  void title(const std::string& words) { out_ += "\n" + bold(words, style_) + "\n"; }
  void head(const std::string& words) { out_ += bold(words, style_) + "\n"; }
  void text(const std::string& words) { out_ += words; }
  [[nodiscard]] int width() const { return style_.width; }
  std::string take() { return std::move(out_); }

 private:
  TextStyle style_;
  std::string out_;
};

// Columns as wide as their widest cell, two blanks between, no blanks at line ends. Each row is
// indented by two. Empty without rows.
using Rows = std::vector<std::vector<std::string>>;
std::string table_text(const Rows& rows);
// Texts longer than `widest` characters go on in further rows of their column.
Rows folded_rows(const Rows& rows, int widest);

}  // namespace tautmark::cli
