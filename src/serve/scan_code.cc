// SPDX-License-Identifier: Apache-2.0
#include "serve/scan_code.h"

#include <fmt/format.h>
#include <qrencode.h>

#include <memory>

#include "base/markup.h"

namespace tautmark {

bool ScanCode::is_dark(int row, int column) const {
  return row >= 0 && column >= 0 && row < width && column < width &&
         dark[static_cast<std::size_t>(row) * static_cast<std::size_t>(width) +
              static_cast<std::size_t>(column)];
}

std::optional<ScanCode> scan_code(std::string_view text) {
  const std::unique_ptr<QRcode, decltype(&QRcode_free)> made(
      text.empty()
          ? nullptr
          : QRcode_encodeData(static_cast<int>(text.size()),
                              reinterpret_cast<const unsigned char*>(text.data()), 0, QR_ECLEVEL_M),
      QRcode_free);
  if (!made) return std::nullopt;
  ScanCode code{made->width, {}};
  const int modules = made->width * made->width;
  code.dark.reserve(static_cast<std::size_t>(modules));
  for (int i = 0; i < modules; ++i) code.dark.push_back((made->data[i] & 1U) != 0);
  return code;
}

TerminalCode terminal_code(bool is_terminal, std::string_view no_color,
                           std::string_view color_fgbg) {
  if (!is_terminal) return TerminalCode::light_terminal;
  if (no_color.empty()) return TerminalCode::color;
  const std::string_view ground = color_fgbg.substr(color_fgbg.rfind(';') + 1);
  // White and the bright colors but bright black.
  const bool is_light = ground == "7" || ground == "9" || (ground.size() == 2 && ground[0] == '1');
  return is_light ? TerminalCode::light_terminal : TerminalCode::dark_terminal;
}

std::string terminal_text(const ScanCode& code, TerminalCode how) {
  // What is drawn: the dark modules, or the light ones where the ground is dark already.
  const bool draws_dark = how != TerminalCode::dark_terminal;
  std::string text;
  for (int row = -kQuietModules; row < code.width + kQuietModules; row += 2) {
    if (how == TerminalCode::color) text += "\x1b[30;107m";  // black on bright white
    for (int column = -kQuietModules; column < code.width + kQuietModules; ++column) {
      const bool upper = code.is_dark(row, column) == draws_dark;
      const bool lower = code.is_dark(row + 1, column) == draws_dark;
      text += upper ? (lower ? "█" : "▀") : (lower ? "▄" : " ");
    }
    if (how == TerminalCode::color) text += "\x1b[0m";
    text += '\n';
  }
  return text;
}

std::string svg_text(const ScanCode& code, std::string_view title) {
  std::string path;
  for (int row = 0; row < code.width; ++row)
    for (int column = 0; column < code.width; ++column) {
      if (!code.is_dark(row, column)) continue;
      const int first = column;
      while (code.is_dark(row, column + 1)) ++column;
      path += fmt::format("M{} {}h{}v1H{}z", first + kQuietModules, row + kQuietModules,
                          column + 1 - first, first + kQuietModules);
    }
  const int side = code.width + 2 * kQuietModules;
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {0}\" role=\"img\" "
      "shape-rendering=\"crispEdges\"><title>{1}</title>"
      "<rect width=\"{0}\" height=\"{0}\" fill=\"#fff\"/><path d=\"{2}\" fill=\"#000\"/></svg>\n",
      side, escaped(title), path);
}

}  // namespace tautmark
