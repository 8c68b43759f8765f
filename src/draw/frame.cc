// SPDX-License-Identifier: Apache-2.0
// Frame, banner, notes and title block.
#include <algorithm>

#include "draw/sheet.h"

namespace tautmark::draw {
namespace {

constexpr double kBlockWidth = 342, kNotesWidth = 414;
constexpr double kCellHeight = 34, kTitleLine = 21, kTitleSize = 17, kCaption = 10, kWords = 12.5;
constexpr double kNoteSize = 11.5, kNoteLine = 15.5;

void banner(Svg& svg) {
  const double left = kFrame + 6, width = kSheetWidth - 2 * left;
  svg.rect("thick", {left, kFrame + 6}, width, kBannerHeight - 6);
  svg.rect("thin", {left + 3, kFrame + 9}, width - 6, kBannerHeight - 12);
  svg.text("t b", {kSheetWidth / 2, kFrame + 6 + (kBannerHeight - 6) / 2}, 13, Anchor::middle,
           "INVENTED ENGINE, NOT FOR REAL WORK");
}

// The longest of 1, 2, 5, 10, ... mm that fits, in fields alternately dark and light.
void scale_bar(Svg& svg, XY at, double width, double units_per_mm) {
  double whole = 1;
  for (double power = 1; power < 1e5; power *= 10)
    for (const double factor : {1.0, 2.0, 5.0})
      if (factor * power * units_per_mm <= width) whole = factor * power;
  constexpr int kFields = 5;
  constexpr double kHeight = 4;
  const double field = whole * units_per_mm / kFields;
  svg.rect("thin", at, kFields * field, kHeight);
  for (int i = 0; i < kFields; i += 2) svg.rect("thin ink", at + XY{i * field, 0}, field, kHeight);
  svg.text("t", at + XY{kFields * field + 6, kHeight / 2}, 11, Anchor::start,
           number(whole) + " mm");
}

double title_block(Sheet& sheet, const FrameTexts& texts, XY corner, double least_height) {
  Svg& svg = sheet.words;
  const auto title = wrapped(texts.title, (kBlockWidth - 20) / kTitleSize, true);
  const double title_height = 14 + kTitleLine * static_cast<double>(title.size());
  const auto rows = static_cast<double>((texts.cells.size() + 1) / 2 + 1);
  const double height = std::max(title_height + rows * kCellHeight, least_height);
  svg.rect("thick", corner, kBlockWidth, height);
  for (std::size_t i = 0; i < title.size(); ++i)
    svg.text("t b", corner + XY{10, 7 + kTitleLine * (static_cast<double>(i) + 0.5)}, kTitleSize,
             Anchor::start, title[i]);
  double y = corner.y + height - rows * kCellHeight;
  const auto caption = [&](XY at, std::string_view words) {
    svg.text("t soft", at + XY{10, 9}, kCaption, Anchor::start, words);
  };
  for (std::size_t i = 0; i < texts.cells.size(); ++i) {
    const XY at{corner.x + (i % 2 == 0 ? 0 : kBlockWidth / 2), y};
    if (i % 2 == 0) svg.line("thin", at, at + XY{kBlockWidth, 0});
    if (i % 2 == 1) svg.line("thin", at, at + XY{0, kCellHeight});
    caption(at, texts.cells[i].first);
    svg.text("t b", at + XY{10, 23}, kWords, Anchor::start, texts.cells[i].second);
    if (i % 2 == 1 || i + 1 == texts.cells.size()) y += kCellHeight;
  }
  svg.line("thin", {corner.x, y}, {corner.x + kBlockWidth, y});
  caption({corner.x, y}, "scale");
  if (texts.scale_bar)
    scale_bar(svg, {corner.x + 10, y + 20}, kBlockWidth - 100, sheet.scale / 1000);
  else
    svg.text("t b", {corner.x + 10, y + 23}, kWords, Anchor::start, texts.scale_words);
  return height;
}

// Returns the bottom.
double notes(Sheet& sheet, const FrameTexts& texts, XY at) {
  Svg& svg = sheet.words;
  double x = at.x;
  const auto& chains = sheet.figure.chains;
  const bool belts_only = std::all_of(chains.begin(), chains.end(), [](auto& c) { return c.belt; });
  for (std::size_t i = 0; i < sheet.colors.size(); ++i) {
    const auto words = wrapped(sheet.colors[i].name, 20);
    const std::string name = (words.empty() ? std::string("marked") : words.front()) +
                             (belts_only ? " mark" : " link");
    const double width = 2 * kTagRadius + 8 + text_width(name) * kNoteSize + 16;
    if (x > at.x && x + width > at.x + kNotesWidth) {
      x = at.x;
      at.y += 2 * kTagRadius + 5;
    }
    svg.open("g", "tag");
    write_tag(svg, sheet.colors, i, {x + kTagRadius, at.y + kTagRadius});
    svg.close("g");
    svg.text("t", {x + 2 * kTagRadius + 6, at.y + kTagRadius}, kNoteSize, Anchor::start, name);
    x += width;
  }
  if (!sheet.colors.empty()) at.y += 2 * kTagRadius + 6;
  const auto paragraph = [&](std::string_view words, bool bold) {
    for (const std::string& line : wrapped(words, kNotesWidth / kNoteSize, bold)) {
      svg.text(bold ? "t b" : "t", at + XY{0, kNoteLine / 2}, kNoteSize, Anchor::start, line);
      at.y += kNoteLine;
    }
    at.y += 2;
  };
  for (const std::string& note : texts.notes) paragraph(note, false);
  for (const std::string& note : sheet.unplaced) paragraph(note, false);
  at.y += 2;
  paragraph(texts.caution, true);
  return at.y;
}

}  // namespace

double write_frame(Sheet& sheet, const FrameTexts& texts, double drawing_bottom) {
  Svg& svg = sheet.words;
  svg.open("g", "plain sheet-frame");
  const double top = drawing_bottom + 12;
  const double notes_bottom = notes(sheet, texts, {kInside, top});
  const XY corner{kSheetWidth - kFrame - kBlockWidth, top - 4};
  const double height = title_block(sheet, texts, corner, notes_bottom + 4 - corner.y);
  const double bottom = corner.y + height;
  if (texts.invented) banner(svg);
  svg.rect("thick", {kFrame, kFrame}, kSheetWidth - 2 * kFrame, bottom - kFrame);
  svg.close("g");
  return bottom + kFrame;
}

}  // namespace tautmark::draw
