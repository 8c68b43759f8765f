// SPDX-License-Identifier: Apache-2.0
#include "draw/plot_of_recording.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "base/quantity_text.h"
#include "draw/plot_axis.h"
#include "draw/plot_rows.h"
#include "recording/phase_statistics.h"

namespace tautmark {
namespace {

std::vector<PlotBreak> breaks_of(const SignalTrains& trains, const Decoded& decoded) {
  std::vector<PlotBreak> breaks;
  const SignalTrain* crank = train_of(trains, decoded.crank.channel);
  const auto& pieces = decoded.crank.pieces;
  if (crank == nullptr || pieces.empty()) return breaks;
  constexpr double kNear = 0.003;  // of the recording: drawn as one
  const double near = kNear * (pieces.back().time.back() - pieces.front().time.front());
  for (std::size_t p = 1; p < pieces.size(); ++p) {
    const double from = pieces[p - 1].time.back(), to = pieces[p].time.front();
    const auto before = [](const SignalEdge& edge, double time) { return edge.time < time; };
    // Two flanks of a tooth may lie between: that is no turning.
    const auto edges = std::lower_bound(crank->edges.begin(), crank->edges.end(), to, before) -
                       std::lower_bound(crank->edges.begin(), crank->edges.end(), from, before);
    const std::string words = edges <= 4 ? "stopped" : "teeth not counted";
    if (!breaks.empty() && from - breaks.back().to < near && breaks.back().words == words)
      breaks.back().to = to;
    else
      breaks.push_back({from, to, words});
  }
  return breaks;
}

PlotSeries series_of(const CamPhase* phase, double shift) {
  PlotSeries series;
  if (phase == nullptr) return series;
  std::vector<double> psi;
  for (const CyclePhase& c : phase->cycles) {
    series.cycles.push_back({c.time + shift, c.psi, c.sigma});
    psi.push_back(c.psi);
  }
  const PhaseStatistics found = phase_statistics(psi);
  series.mean = found.mean;
  series.sd = found.sd;
  series.jitter = found.jitter;
  series.systematic = phase->systematic;
  return series;
}

const CamPhase* phase_of(const RecordingToPlot& recording, int channel) {
  for (const CamPhase& phase : recording.phases)
    if (phase.channel == channel) return &phase;
  return nullptr;
}

PlotSource source_of(const RecordingToPlot& recording, double shift) {
  PlotSource source{recording.label, {}};
  for (const TurnSpeed& turn : recording.decoded->speed)
    source.speed.push_back({turn.time + shift, turn.per_minute});
  return source;
}

double first_time(const Decoded& decoded) {
  return decoded.crank.pieces.empty() || decoded.crank.pieces.front().time.empty()
             ? 0
             : decoded.crank.pieces.front().time.front();
}

std::string counted(std::int64_t count, std::string_view one, std::string_view many) {
  return std::to_string(count) + " " + std::string(count == 1 ? one : many);
}

std::vector<std::pair<std::string, std::string>> facts_of(const RecordingToPlot& shown,
                                                          const PlotContext& context) {
  const SignalTrains& trains = *shown.trains;
  const Decoded& decoded = *shown.decoded;
  std::vector<double> speeds;
  for (const TurnSpeed& turn : decoded.speed) speeds.push_back(turn.per_minute);
  std::sort(speeds.begin(), speeds.end());
  std::vector<std::pair<std::string, std::string>> facts;
  if (!context.title.empty()) facts.emplace_back("file", shown.label);
  facts.emplace_back("read as", trains.format + ", " +
                                    number_text(trains.last_time - trains.first_time, 3) + " s");
  facts.emplace_back("wheel", decoded.crank.wheel.name + ", " +
                                  (decoded.crank.polarity > 0 ? "rising" : "falling") + " edges");
  if (!speeds.empty())
    facts.emplace_back("speed", draw::per_minute_words(speeds.front(), speeds.back()) + " 1/min, " +
                                    counted(std::ssize(speeds), "turn", "turns"));
  std::int64_t glitches = 0;
  for (const SignalTrain& train : trains.channels) glitches += train.glitches;
  std::string signal = counted(glitches, "glitch", "glitches") + " dropped";
  if (decoded.crank.missed_teeth > 0)
    signal += ", " + counted(decoded.crank.missed_teeth, "tooth", "teeth") + " missed";
  if (decoded.crank.extra_edges > 0)
    signal += ", " + counted(decoded.crank.extra_edges, "edge", "edges") + " too many";
  facts.emplace_back("signal", signal);
  if (!decoded.cams.empty())
    facts.emplace_back("against", context.compared_with.empty() ? "its own mean: nothing is judged"
                                                                : context.compared_with);
  return facts;
}

std::vector<std::string> notes_of(const SignalTrains& trains, const Decoded& decoded) {
  std::vector<std::string> notes = trains.notes;
  notes.insert(notes.end(), decoded.notes.begin(), decoded.notes.end());
  if (!decoded.cams.empty() && !decoded.cycle_resolved)
    notes.emplace_back("the cycle of 720° is not resolved: angles are known modulo 360°");
  for (const RejectedChannel& rejected : decoded.rejected)
    notes.push_back("not used: channel " + std::to_string(rejected.channel) +
                    (rejected.name.empty() ? "" : " (" + rejected.name + ")") + ": " +
                    rejected.why);
  return notes;
}

std::string_view name_of(Meaning meaning) {
  constexpr std::array<std::string_view, kMeanings> kNames = {
      "right",           "elongation", "jumped tooth", "wheel slipped", "jump and elongation",
      "crank reference", "phaser"};
  return kNames[static_cast<std::size_t>(meaning)];
}

}  // namespace

std::vector<CamPhase> phases_to_plot(const Decoded& decoded,
                                     const std::vector<CamReference>& references) {
  const double zero = references.empty() ? 0 : zero_in_reference(decoded, references);
  std::map<int, std::pair<double, CamPhase>> best;  // jitter, phase
  for (const DecodedCam& cam : decoded.cams) {
    std::span<const double> reference;
    for (const CamReference& r : references)
      if (r.channel == cam.channel && r.polarity == cam.polarity) reference = r.angles;
    if (reference.empty() && !references.empty()) continue;
    auto phase = cam_phase(decoded, cam, reference, zero);
    if (!phase || phase->cycles.empty()) continue;
    std::vector<double> psi;
    for (const CyclePhase& c : phase->cycles) psi.push_back(c.psi);
    const double jitter = phase_statistics(psi).jitter;
    const auto known = best.find(cam.channel);
    if (known != best.end() && known->second.first <= jitter) continue;
    best.insert_or_assign(cam.channel, std::pair{jitter, *std::move(phase)});
  }
  std::vector<CamPhase> phases;
  for (auto& [channel, found] : best) phases.push_back(std::move(found.second));
  return phases;
}

RecordingPlot plot_of_recording(const RecordingToPlot& shown, const PlotContext& context,
                                const RecordingToPlot* before) {
  const SignalTrains& trains = *shown.trains;
  const Decoded& decoded = *shown.decoded;
  RecordingPlot plot;
  plot.title = context.title.empty() ? shown.label : context.title;
  plot.invented = context.invented;
  plot.facts = facts_of(shown, context);
  plot.against_reference = !context.compared_with.empty();
  plot.angle_zero = decoded.crank.wheel.name.find("uniform") == std::string::npos
                        ? "crank degrees after the largest gap"
                        : "crank degrees after the wheel's zero";
  std::map<int, std::string> names;  // by channel
  for (const DecodedCam& cam : decoded.cams) names[cam.channel] = "cam";
  std::size_t at = 0;
  for (auto& [channel, name] : names) {
    if (at < context.cam_names.size() && !context.cam_names[at].empty())
      name = context.cam_names[at];
    ++at;
  }
  plot.rows = rows_of(trains, decoded, names);
  plot.breaks = breaks_of(trains, decoded);
  const double shift = before != nullptr ? first_time(decoded) - first_time(*before->decoded) : 0;
  if (before != nullptr) plot.sources.push_back(source_of(*before, shift));
  plot.sources.push_back(source_of(shown, 0));
  at = 0;
  for (const auto& [channel, name] : names) {
    PlotCam& cam = plot.cams.emplace_back();
    const SignalTrain* train = train_of(trains, channel);
    cam.name = name + ", channel " + std::to_string(channel) +
               (train == nullptr || train->name.empty() ? "" : " (" + train->name + ")");
    if (before != nullptr) cam.series.push_back(series_of(phase_of(*before, channel), shift));
    cam.series.push_back(series_of(phase_of(shown, channel), 0));
    if (at < context.windows.size() && context.windows[at]) {
      cam.window_from = context.windows[at]->first;
      cam.window_to = context.windows[at]->second;
    }
    ++at;
  }
  if (context.meaning != nullptr) {
    plot.answer = context.meaning->sentence;
    for (const MeaningAnswer& answer : context.meaning->answers)
      plot.hypotheses.push_back(
          {std::string(name_of(answer.meaning)), answer.posterior, answer.words});
  }
  plot.notes = notes_of(trains, decoded);
  return plot;
}

}  // namespace tautmark
