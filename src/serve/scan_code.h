// SPDX-License-Identifier: Apache-2.0
// A code to scan with a camera (QR code, ISO/IEC 18004), level M: 15 % of it may be unreadable.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tautmark {

struct ScanCode {
  int width = 0;           // modules on a side, without the quiet zone
  std::vector<bool> dark;  // row by row from the top
  [[nodiscard]] bool is_dark(int row, int column) const;  // false outside: the quiet zone
};

inline constexpr int kQuietModules = 4;  // on every side; ISO/IEC 18004 section 5.3.8

// Empty for an empty text, and for one that is too long (over 2 331 bytes).
std::optional<ScanCode> scan_code(std::string_view text);

// Two rows of modules in one line of half blocks, with the quiet zone. In color both colors are
// set, so that it is dark on light in any terminal. Without color the terminal's own colors show:
// `dark_terminal` draws the light modules (light text on a dark ground), otherwise the dark ones.
enum class TerminalCode { color, dark_terminal, light_terminal };
// `color_fgbg` is what many terminals say of themselves in COLORFGBG: "15;0" is white on black. One
// that says nothing is taken for dark, as most are; a file or a pipe will be read as print.
TerminalCode terminal_code(bool is_terminal, std::string_view no_color,
                           std::string_view color_fgbg);
std::string terminal_text(const ScanCode& code, TerminalCode how);

// SVG of one path on a white ground, one unit to a module; `title` is read out.
std::string svg_text(const ScanCode& code, std::string_view title);

}  // namespace tautmark
