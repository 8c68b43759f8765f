// SPDX-License-Identifier: Apache-2.0
// What both drawings say about themselves.
#include <cmath>

#include "base/quantity_text.h"
#include "draw/sheet.h"

namespace tautmark::draw {

std::string view_words(const Sheet& sheet) {
  return sheet.options.mirrored ? "seen from the flywheel end" : "seen from the front";
}

bool counts_hold(const Figure& figure) {
  constexpr double kAtMarks = 0.5;  // degrees
  return std::abs(in_crank_deg(figure.crank)) < kAtMarks;
}

std::string crank_words(CrankAngle crank) {
  const double degrees = in_crank_deg(crank);
  if (!std::isfinite(degrees)) return "crank angle not known";
  const double tenths = std::round(degrees * 10) / 10;
  if (tenths == 0) return "crank at the marks";
  const int decimals = tenths == std::round(tenths) ? 0 : 1;
  return "crank " + number_text(std::abs(tenths), decimals) + "° " +
         (tenths > 0 ? "after" : "before") + " the marks";
}

std::string chain_words(const FigureChain& chain) {
  std::string words =
      chain.name + ": " + std::to_string(chain.pins.size()) + (chain.belt ? " teeth" : " links");
  if (chain.pitch.si() > 0) {
    std::string pitch = number_text(in_mm(chain.pitch), 3);
    if (pitch.ends_with('0')) pitch.pop_back();  // 8.00, but 9.525
    words += ", pitch " + pitch + " mm";
  }
  return words;
}

namespace {

constexpr std::string_view kCaution =
    "Drawn from the definition, not from the engine. The engine maker's data come first; a drawing "
    "is no leave to turn the engine.";

}  // namespace

FrameTexts frame_texts(const Sheet& sheet) {
  const Figure& figure = sheet.figure;
  FrameTexts texts;
  texts.title = figure.title;
  texts.rows = {{"view", view_words(sheet)}, {"position", crank_words(figure.crank)}};
  texts.invented = figure.invented;
  texts.scale_bar = figure.to_scale;
  if (!sheet.numbers.note.empty() && !sheet.colors.empty())
    texts.notes.push_back(sheet.numbers.note);
  texts.notes.insert(texts.notes.end(), figure.notes.begin(), figure.notes.end());
  texts.caution = kCaution;
  return texts;
}

std::string described(const Sheet& sheet) {
  const Figure& figure = sheet.figure;
  std::string words = "Timing drive, " + view_words(sheet) + ", " + crank_words(figure.crank) +
                      (figure.to_scale ? ", to scale." : ", schematic, not to scale.");
  for (const FigureWheel& wheel : figure.wheels) {
    words += " " + wheel.name + ": ";
    words += wheel.teeth > 0 ? std::to_string(wheel.teeth) + " teeth" : "no teeth";
    words += wheel.error ? ", " + *wheel.error + "." : ".";
  }
  for (const FigureChain& chain : figure.chains) {
    words += " " + chain_words(chain);
    for (const FigureStrand& strand : chain.strands)
      if (strand.count && counts_hold(figure))
        words += ", " + strand.name + " from " + strand.from + " to " + strand.to + " " +
                 std::to_string(*strand.count);
    words += ".";
  }
  return words;
}

}  // namespace tautmark::draw
