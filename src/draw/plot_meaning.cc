// SPDX-License-Identifier: Apache-2.0
// What the recording may mean: name, probability as a bar, words.
#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"
#include "draw/plot_axis.h"

namespace tautmark::draw {
namespace {

// Never 100 % or 0 % by rounding alone.
std::string percent_words(double share) {
  if (!std::isfinite(share)) return "not known";
  const double percent = 100 * share;
  if (percent > 99) return "over 99 %";
  return percent < 1 ? "under 1 %" : number_text(percent, 0) + " %";
}

}  // namespace

double draw_meaning(Svg& svg, const RecordingPlot& plot, double top, double width) {
  if (plot.hypotheses.empty()) return top;
  constexpr double kNameWidth = 130, kPercentWidth = 62, kLine = 15, kBarHeight = 9, kAfter = 4;
  const double bar_left = kInside + kNameWidth;
  const double bar_width = width - kNameWidth - kPercentWidth;
  svg.open("g", "meaning");
  const auto paragraph = [&](std::string_view words, std::string_view classes) {
    for (const std::string& line :
         wrapped(words, width / kText, classes.find('b') != std::string_view::npos)) {
      svg.text(classes, {kInside, top + kLine / 2}, kText, Anchor::start, line);
      top += kLine;
    }
    top += kAfter;
  };
  svg.text("t b", {kInside, top + kLine / 2}, kHeading, Anchor::start, "what it may mean");
  top += kLine + kAfter;
  if (!plot.answer.empty() && plot.answer != plot.hypotheses.front().words)
    paragraph(plot.answer, "t b");
  for (std::size_t i = 0; i < plot.hypotheses.size(); ++i) {
    const PlotHypothesis& h = plot.hypotheses[i];
    const double share = std::isfinite(h.probability) ? std::clamp(h.probability, 0.0, 1.0) : 0;
    const auto names = wrapped(h.name, (kNameWidth - 6) / kText, true);
    const double middle = top + kLine / 2;
    svg.rect("thin", {bar_left, middle - kBarHeight / 2}, bar_width, kBarHeight);
    svg.rect(i == 0 ? "accent-fill" : "ink-fill", {bar_left, middle - kBarHeight / 2},
             share * bar_width, kBarHeight);
    svg.text("t", {kInside + width, middle}, kText, Anchor::end, percent_words(h.probability));
    for (const std::string& name : names) {
      svg.text("t b", {kInside, top + kLine / 2}, kText, Anchor::start, name);
      top += kLine;
    }
    if (names.empty()) top += kLine;
    if (h.words != h.name)
      paragraph(h.words, i == 0 ? "t b" : "t");
    else
      top += kAfter;
  }
  svg.close("g");
  return top + kAfter;
}

}  // namespace tautmark::draw
