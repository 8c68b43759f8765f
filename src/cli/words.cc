// SPDX-License-Identifier: Apache-2.0
#include "cli/words.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark::cli {

std::string wrapped(std::string_view text, int width, int hang) {
  std::string out;
  int column = 0;
  for (const std::string& word : split(text, ' ')) {
    const int length = static_cast<int>(character_count(word));
    if (column > 0 && column + 1 + length > width) {
      out += "\n" + std::string(static_cast<std::size_t>(hang), ' ');
      column = hang;
    } else if (column > 0) {
      out += ' ';
      ++column;
    }
    out += word;
    column += length;
  }
  return out;
}

std::string bold(std::string_view text, const TextStyle& style) {
  return style.bold ? fmt::format("\033[1m{}\033[0m", text) : std::string(text);
}

std::string table_text(const Rows& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (std::size_t i = 0; i < row.size(); ++i)
      widths[i] = std::max(widths[i], character_count(row[i]));
  }
  std::string out;
  for (const auto& row : rows) {
    std::string line = "  ";
    for (std::size_t i = 0; i < row.size(); ++i) {
      line += row[i];
      if (i + 1 < row.size()) line += std::string(widths[i] - character_count(row[i]) + 2, ' ');
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

Rows folded_rows(const Rows& rows, int widest) {
  Rows out;
  for (const auto& row : rows) {
    std::vector<std::vector<std::string>> cells;
    std::size_t lines = 1;
    for (const std::string& cell : row) {
      cells.push_back(split(wrapped(cell, widest), '\n'));
      lines = std::max(lines, cells.back().size());
    }
    for (std::size_t line = 0; line < lines; ++line) {
      std::vector<std::string> part;
      part.reserve(cells.size());
      for (const auto& cell : cells) part.push_back(line < cell.size() ? cell[line] : "");
      out.push_back(std::move(part));
    }
  }
  return out;
}

void Writer::line(int indent, const std::string& words) {
  out_ += std::string(static_cast<std::size_t>(indent), ' ') +
          wrapped(words, style_.width - indent, indent + 2) + "\n";
}

std::string counted(std::int64_t number, std::string_view one) {
  return fmt::format("{} {}{}", number, one, number == 1 ? "" : "s");
}

}  // namespace tautmark::cli
