// SPDX-License-Identifier: Apache-2.0
// Frame, banner, notes and title block.
#include <algorithm>

#include "draw/sheet.h"

namespace tautmark::draw {
namespace {

constexpr double kBlockWidth = 342;
constexpr double kRow = 25, kWordsLine = 16, kWordsAt = 76, kTitleLine = 21, kTitleSize = 17,
                 kCaption = 11, kWords = 13;
constexpr double kNoteSize = 11.5, kNoteLine = 15.5;

double row_height(std::size_t lines) {
  return kRow + kWordsLine * static_cast<double>(std::max(lines, std::size_t{1}) - 1);
}

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

double title_block(Svg& svg, const FrameTexts& texts, XY corner, double least_height) {
  const auto title = wrapped(texts.title, (kBlockWidth - 20) / kTitleSize, true);
  const double title_height = 14 + kTitleLine * static_cast<double>(title.size());
  std::vector<std::vector<std::string>> row_lines;
  double rows = texts.scale_bar || !texts.scale_words.empty() ? kRow : 0;
  for (const auto& row : texts.rows) {
    row_lines.push_back(wrapped(row.second, (kBlockWidth - kWordsAt - 8) / kWords, true));
    rows += row_height(row_lines.back().size());
  }
  const double height = std::max(title_height + rows, least_height);
  svg.rect("thick", corner, kBlockWidth, height);
  double y = corner.y + (height - rows - title_height) / 2 + 7 + kTitleLine / 2;
  for (const std::string& line : title) {
    svg.text("t b", {corner.x + 10, y}, kTitleSize, Anchor::start, line);
    y += kTitleLine;
  }
  y = corner.y + height - rows;
  const auto row = [&](std::string_view caption, const std::vector<std::string>& lines) {
    svg.line("thin", {corner.x, y}, {corner.x + kBlockWidth, y});
    svg.text("t soft", {corner.x + 10, y + kRow / 2}, kCaption, Anchor::start, caption);
    for (std::size_t i = 0; i < lines.size(); ++i)
      svg.text("t b", {corner.x + kWordsAt, y + kRow / 2 + kWordsLine * static_cast<double>(i)},
               kWords, Anchor::start, lines[i]);
    y += row_height(lines.size());
  };
  for (std::size_t i = 0; i < texts.rows.size(); ++i) row(texts.rows[i].first, row_lines[i]);
  if (texts.scale_bar || !texts.scale_words.empty())
    row("scale", {texts.scale_bar ? "" : texts.scale_words});
  if (texts.scale_bar)
    scale_bar(svg, {corner.x + kWordsAt, y - kRow / 2 - 2}, kBlockWidth - kWordsAt - 70,
              texts.units_per_mm);
  svg.line("thin", {corner.x + kWordsAt - 10, corner.y + height - rows},
           {corner.x + kWordsAt - 10, corner.y + height});
  return height;
}

// Returns the bottom.
double tag_key(Sheet& sheet, XY at) {
  Svg& svg = sheet.words;
  double x = at.x;
  const auto& chains = sheet.figure.chains;
  const bool belts_only = std::all_of(chains.begin(), chains.end(), [](auto& c) { return c.belt; });
  for (std::size_t i = 0; i < sheet.colors.size(); ++i) {
    const auto words = wrapped(sheet.colors[i].name, 20);
    const std::string name =
        (words.empty() ? std::string("marked") : words.front()) + (belts_only ? " mark" : " link");
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
  return at.y + (sheet.colors.empty() ? 0 : 2 * kTagRadius + 6);
}

double notes(Svg& svg, const FrameTexts& texts, XY at) {
  const auto paragraph = [&](std::string_view words, bool bold) {
    for (const std::string& line : wrapped(words, kNotesWidth / kNoteSize, bold)) {
      svg.text(bold ? "t b" : "t", at + XY{0, kNoteLine / 2}, kNoteSize, Anchor::start, line);
      at.y += kNoteLine;
    }
    at.y += 2;
  };
  for (const std::string& note : texts.notes) paragraph(note, false);
  at.y += 2;
  paragraph(texts.caution, true);
  return at.y;
}

}  // namespace

double write_frame(Svg& svg, const FrameTexts& texts, double drawing_bottom, double notes_top) {
  const double notes_bottom = notes(svg, texts, {kInside, notes_top});
  const XY corner{kSheetWidth - kFrame - kBlockWidth, drawing_bottom + 8};
  const double height = title_block(svg, texts, corner, notes_bottom + 4 - corner.y);
  const double bottom = corner.y + height;
  if (texts.invented) banner(svg);
  svg.rect("thick", {kFrame, kFrame}, kSheetWidth - 2 * kFrame, bottom - kFrame);
  return bottom + kFrame;
}

double write_frame(Sheet& sheet, FrameTexts texts, double drawing_bottom) {
  texts.units_per_mm = sheet.scale / 1000;
  texts.notes.insert(texts.notes.end(), sheet.unplaced.begin(), sheet.unplaced.end());
  sheet.words.open("g", "plain sheet-frame");
  const double top = tag_key(sheet, {kInside, drawing_bottom + 12});
  const double height = write_frame(sheet.words, texts, drawing_bottom, top);
  sheet.words.close("g");
  return height;
}

}  // namespace tautmark::draw
