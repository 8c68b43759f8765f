// SPDX-License-Identifier: Apache-2.0
#include "draw/plot_of_recording.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "base/quantity_text.h"
#include "recording/phase_statistics.h"

namespace tautmark {
namespace {

constexpr double kRowAngle = 720;

double time_at(const Knots& knots, double angle) {
  auto after = std::upper_bound(knots.angle.begin(), knots.angle.end(), angle);
  after = std::clamp(after, knots.angle.begin() + 1, knots.angle.end() - 1);
  const auto i = static_cast<std::size_t>(after - knots.angle.begin());
  const double f = (angle - knots.angle[i - 1]) / (knots.angle[i] - knots.angle[i - 1]);
  return knots.time[i - 1] + f * (knots.time[i] - knots.time[i - 1]);
}

const SignalTrain* train_of(const SignalTrains& trains, int channel) {
  for (const SignalTrain& train : trains.channels)
    if (train.channel == channel) return &train;
  return nullptr;
}

double step_after(const Wheel& wheel, std::size_t tooth) {
  return (tooth + 1 < wheel.angles.size() ? wheel.angles[tooth + 1] : 360) - wheel.angles[tooth];
}

double largest_step(const Wheel& wheel) {
  double largest = 0;
  for (std::size_t i = 0; i < wheel.angles.size(); ++i)
    largest = std::max(largest, step_after(wheel, i));
  return largest;
}

// Slots without a tooth after this one; of unequal teeth 1 for the largest step.
int missing_after(const Wheel& wheel, std::size_t tooth) {
  constexpr double kSame = 5;
  const double step = step_after(wheel, tooth);
  if (wheel.slots > 0) return static_cast<int>(std::lround(step * wheel.slots / 360)) - 1;
  const double mean = 360.0 / static_cast<double>(wheel.angles.size());
  return step > mean + kSame && step > largest_step(wheel) - kSame ? 1 : 0;
}

// How far before the wheel's zero the rows begin, so that the gap lies whole at their left end and
// no cam edge on the seam.
double lead_of(const Decoded& decoded) {
  constexpr double kLeast = 12, kMost = 40, kSearched = 40, kStep = 2, kClear = 9;
  const double first = std::clamp(1.5 * largest_step(decoded.crank.wheel), kLeast, kMost);
  double best = first, best_clearance = -1;
  for (double lead = first; lead < first + kSearched && best_clearance < kClear; lead += kStep) {
    double clearance = kClear;
    for (const DecodedCam& cam : decoded.cams)
      for (const double angle : cam.places.angles)
        clearance = std::min(clearance, std::abs(wrapped(angle + lead, decoded.cycle)));
    if (clearance <= best_clearance) continue;
    best = lead;
    best_clearance = clearance;
  }
  return best;
}

// The piece and the angle at which the rows begin, and how many there are.
struct Window {
  const Knots* knots = nullptr;
  double start = 0, lead = 0;
  int rows = 0;
};

Window window_of(const Decoded& decoded) {
  Window window;
  std::size_t piece = 0;
  double longest = 0;
  for (std::size_t p = 0; p < decoded.crank.pieces.size(); ++p) {
    const Knots& knots = decoded.crank.pieces[p];
    if (knots.angle.size() < 2 || knots.angle.back() - knots.angle.front() <= longest) continue;
    longest = knots.angle.back() - knots.angle.front();
    piece = p;
    window.knots = &knots;
  }
  if (window.knots == nullptr) return window;
  window.lead = lead_of(decoded);
  const double first = window.knots->angle.front(), last = window.knots->angle.back();
  std::vector<double> used, wrong;
  for (const DecodedCam& cam : decoded.cams)
    for (const CamEdge& edge : cam.edges)
      if (edge.piece == piece) (edge.place < 0 ? wrong : used).push_back(edge.angle);
  std::sort(used.begin(), used.end());
  std::sort(wrong.begin(), wrong.end());
  const auto count = [](const std::vector<double>& angles, double from, double to) {
    return std::lower_bound(angles.begin(), angles.end(), to) -
           std::lower_bound(angles.begin(), angles.end(), from);
  };
  for (window.rows = 2; window.rows > 0; --window.rows) {
    const double width = window.rows * kRowAngle;
    std::ptrdiff_t best = -1000000;
    double nearest = HUGE_VAL;
    bool found = false;
    for (double start =
             decoded.cycle * std::ceil((first + window.lead) / decoded.cycle) - window.lead;
         start + width <= last; start += decoded.cycle) {
      const std::ptrdiff_t score =
          count(used, start, start + width) - 2 * count(wrong, start, start + width);
      const double away = std::abs(start + width / 2 - (first + last) / 2);
      if (score < best || (score == best && away >= nearest)) continue;
      best = score;
      nearest = away;
      window.start = start;
      found = true;
    }
    if (found) break;
  }
  return window;
}

PlotTrace trace_of(const SignalTrain& train, double from, double to) {
  PlotTrace trace;
  trace.channel = train.channel;
  trace.under = "channel " + std::to_string(train.channel);
  trace.ticks = train.kind == SignalKind::inductive;
  const auto before = [](const SignalEdge& edge, double time) { return edge.time < time; };
  const auto first = std::lower_bound(train.edges.begin(), train.edges.end(), from, before);
  const auto last = std::lower_bound(first, train.edges.end(), to, before);
  if (first != train.edges.end())
    trace.high_first = first->polarity < 0;
  else if (!train.edges.empty())
    trace.high_first = train.edges.back().polarity > 0;
  for (auto edge = first; edge != last; ++edge)
    trace.edges.push_back({edge->time, edge->polarity > 0});
  return trace;
}

void add_teeth(PlotRow& row, const Decoded& decoded, const Knots& knots, double from, double to) {
  const Wheel& wheel = decoded.crank.wheel;
  constexpr double kNear = 0.3;  // of the smaller step beside it: the tooth was seen
  for (double turn = std::floor(from / 360) - 1; turn * 360 < to; ++turn) {
    for (std::size_t tooth = 0; tooth < wheel.angles.size(); ++tooth) {
      const double angle = 360 * turn + wheel.angles[tooth];
      const double next = angle + step_after(wheel, tooth);
      const double before =
          tooth == 0 ? step_after(wheel, wheel.angles.size() - 1) : step_after(wheel, tooth - 1);
      if (const int missing = missing_after(wheel, tooth); missing > 0 && next > from && angle < to)
        row.gaps.push_back(
            {time_at(knots, std::max(angle, from)), time_at(knots, std::min(next, to)),
             wheel.slots > 0 ? "gap, " + std::to_string(missing) + " missing" : "gap"});
      if (angle < from || angle > to) continue;
      const double near = kNear * std::min(next - angle, before);
      const auto seen = std::lower_bound(knots.angle.begin(), knots.angle.end(), angle - near);
      const bool missed = seen == knots.angle.end() || *seen > angle + near;
      const double time = missed ? time_at(knots, angle)
                                 : knots.time[static_cast<std::size_t>(seen - knots.angle.begin())];
      row.teeth.push_back({time, static_cast<int>(tooth) + 1, missed});
    }
  }
}

void add_cams(PlotRow& row, const SignalTrains& trains, const Decoded& decoded,
              const std::map<int, std::string>& names) {
  for (const auto& [channel, name] : names) {
    const SignalTrain* train = train_of(trains, channel);
    if (train == nullptr) continue;
    PlotTrace trace = trace_of(*train, row.from, row.to);
    trace.name = name;
    for (const DecodedCam& cam : decoded.cams) {
      if (cam.channel != channel) continue;
      for (const CamEdge& edge : cam.edges) {
        if (edge.time < row.from || edge.time >= row.to) continue;
        const double angle = edge.angle - decoded.cycle * std::floor(edge.angle / decoded.cycle);
        trace.decoded.push_back({edge.time, angle, edge.place >= 0});
      }
    }
    std::sort(trace.decoded.begin(), trace.decoded.end(),
              [](const auto& a, const auto& b) { return a.time < b.time; });
    row.traces.push_back(std::move(trace));
  }
}

std::vector<PlotRow> rows_of(const SignalTrains& trains, const Decoded& decoded,
                             const std::map<int, std::string>& cam_names) {
  std::vector<PlotRow> rows;
  const SignalTrain* crank = train_of(trains, decoded.crank.channel);
  const Window window = window_of(decoded);
  if (crank == nullptr || window.knots == nullptr) return rows;
  const Knots& knots = *window.knots;
  for (int r = 0; r < std::max(window.rows, 1); ++r) {
    const bool whole = window.rows == 0;  // too short for a cycle: everything
    const double from = whole ? knots.angle.front() : window.start + r * kRowAngle;
    const double to = whole ? knots.angle.back() : from + kRowAngle;
    PlotRow& row = rows.emplace_back();
    row.from = time_at(knots, from);
    row.to = time_at(knots, to);
    const double seconds = row.to - row.from;
    const int decimals = seconds < 0.01 ? 5 : 4;
    row.title = std::string(whole                    ? "All that was counted"
                            : decoded.cycle_resolved ? "One engine cycle"
                                                     : "Two turns") +
                " from " + number_text(row.from, decimals) + " s, " +
                number_text(1000 * seconds, seconds < 0.1 ? 2 : 1) + " ms, " +
                number_text((to - from) / 6 / seconds, 0) + " 1/min";
    add_teeth(row, decoded, knots, from, to);
    constexpr double kMark = 30;
    for (double angle = kMark * std::ceil(from / kMark); angle <= to; angle += kMark)
      row.angles.push_back(
          {time_at(knots, angle), static_cast<int>(std::lround(
                                      angle - decoded.cycle * std::floor(angle / decoded.cycle)))});
    row.traces.push_back(trace_of(*crank, row.from, row.to));
    row.traces.back().name = "crank";
    add_cams(row, trains, decoded, cam_names);
  }
  return rows;
}

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
    facts.emplace_back("speed", number_text(speeds.front(), 0) + " to " +
                                    number_text(speeds.back(), 0) + " 1/min, " +
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
