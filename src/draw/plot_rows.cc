// SPDX-License-Identifier: Apache-2.0
#include "draw/plot_rows.h"

#include <algorithm>
#include <cmath>

#include "base/quantity_text.h"

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
  const double first = std::clamp(1.5 * largest_step(decoded.crank.wheel) + 1, kLeast, kMost);
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
      if (angle < from || angle >= to) continue;
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

}  // namespace

std::vector<PlotRow> rows_of(const SignalTrains& trains, const Decoded& decoded,
                             const std::map<int, std::string>& cam_names) {
  std::vector<PlotRow> rows;
  const SignalTrain* crank = train_of(trains, decoded.crank.channel);
  const Window window = window_of(decoded);
  if (crank == nullptr || window.knots == nullptr) return rows;
  const Knots& knots = *window.knots;
  for (int r = 0; r < std::max(window.rows, 1); ++r) {
    constexpr double kPast = 0.01;        // the last tooth is part of the row
    const bool whole = window.rows == 0;  // too short for a cycle: everything
    const double from = whole ? knots.angle.front() : window.start + r * kRowAngle;
    const double to = whole ? knots.angle.back() + kPast : from + kRowAngle;
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

}  // namespace tautmark
