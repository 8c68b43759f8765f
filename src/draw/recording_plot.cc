// SPDX-License-Identifier: Apache-2.0
#include "draw/recording_plot.h"

#include "base/quantity_text.h"
#include "draw/plot_axis.h"

namespace tautmark {
namespace {

constexpr std::string_view kCaution =
    "Drawn from the recording; it judges nothing by itself. The engine maker's data come first; a "
    "drawing is no leave to turn the engine.";

std::string described(const RecordingPlot& plot) {
  std::string words = "Recording of crank and cam sensors: " + plot.title + ".";
  for (const auto& [caption, text] : plot.facts) words += " " + caption + ": " + text + ".";
  for (const PlotCam& cam : plot.cams) {
    words += " " + cam.name + ":";
    for (const PlotSeries& series : cam.series)
      words += " " + std::to_string(series.cycles.size()) + " cycles, scatter " +
               number_text(series.sd, 2) + "° crank.";
  }
  for (const PlotHypothesis& h : plot.hypotheses) words += " " + h.name + ": " + h.words + ".";
  return words;
}

draw::FrameTexts frame_texts(const RecordingPlot& plot) {
  draw::FrameTexts texts;
  texts.title = plot.title;
  texts.rows = plot.facts;
  texts.rows.emplace_back("angles", plot.angle_zero);
  texts.invented = plot.invented;
  texts.scale_words.clear();
  texts.notes = draw::signal_legend(plot);
  for (const auto& notes : {draw::phase_legend(plot), plot.notes})
    texts.notes.insert(texts.notes.end(), notes.begin(), notes.end());
  texts.caution = kCaution;
  return texts;
}

}  // namespace

std::string recording_svg(const RecordingPlot& plot, const PlotOptions& options) {
  draw::Svg svg;
  constexpr double kBefore = 8, kBeforeFrame = 4, kNotesBelow = 12;
  double y = draw::kFrame + kBefore + (plot.invented ? draw::kBannerHeight : 0);
  y = draw::draw_signals(svg, plot, y);
  y = draw::draw_phases(svg, plot, y);
  svg.open("g", "plain sheet-frame");
  y += kBeforeFrame;
  const double notes_top = draw::draw_meaning(svg, plot, y + kNotesBelow, draw::kNotesWidth);
  const double height = draw::write_frame(svg, frame_texts(plot), y, notes_top);
  svg.close("g");
  return draw::document_head(
             {options.paper, options.width_px, height, {}, draw::plot_style(options.paper)},
             plot.title + ", crank and cam signals", described(plot), "recording") +
         svg.markup() + "</svg>\n";
}

}  // namespace tautmark
