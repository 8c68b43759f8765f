// SPDX-License-Identifier: Apache-2.0
#include "tighten/trace_clean.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tautmark::tighten {
namespace {

constexpr double kReversal = 1;    // degrees back that end a stroke
constexpr double kLetGo = 0.5;     // torque at one angle below this share was let go or taken up
constexpr double kEnd = 4;         // degrees at the end of a stroke that give its torque
constexpr double kTakenUp = 0.98;  // of that torque: on a flat part noise would delay all of it
constexpr double kRounding = 1e-9;

struct Stroke {
  std::vector<double> angle, torque;
};

// Points of one angle become one: a wrench that is let go and taken up there reads less.
void add(Stroke& stroke, double angle, std::span<const TracePoint> same) {
  double most = 0;
  for (const TracePoint& p : same) most = std::max(most, p.torque.si());
  double sum = 0;
  int count = 0;
  for (const TracePoint& p : same) {
    if (p.torque.si() < kLetGo * most) continue;
    sum += p.torque.si();
    ++count;
  }
  stroke.angle.push_back(angle);
  stroke.torque.push_back(count > 0 ? sum / count : same.back().torque.si());
}

std::vector<Stroke> strokes_of(std::span<const TracePoint> points) {
  std::vector<Stroke> strokes;
  bool backward = false;
  double top = 0, bottom = 0;
  std::size_t lowest = 0;
  for (std::size_t i = 0; i < points.size();) {
    const double angle = in_deg(points[i].angle);
    std::size_t end = i + 1;
    while (end < points.size() && std::abs(in_deg(points[end].angle) - angle) < kRounding) ++end;
    if (backward) {
      if (angle < bottom) bottom = angle, lowest = i;
      if (angle > bottom + kReversal) {
        backward = false;
        strokes.emplace_back();
        i = lowest;  // the stroke begins where the way back ended
        top = bottom - 1;
        continue;
      }
    } else if (strokes.empty() || angle > top) {
      if (strokes.empty()) strokes.emplace_back();
      add(strokes.back(), angle, points.subspan(i, end - i));
      top = angle;
    } else if (angle < top - kReversal) {
      backward = true;
      bottom = angle;
      lowest = i;
    }
    i = end;
  }
  return strokes;
}

// Torque at the end of a stroke, from a line through its last degrees: what is recorded while the
// hand already lets go is left out.
double end_torque(const Stroke& stroke) {
  CleanTrace end;
  double most = 0;
  const auto in_end = [&](std::size_t i) { return stroke.angle[i] >= stroke.angle.back() - kEnd; };
  for (std::size_t i = stroke.angle.size(); i-- > 0 && in_end(i);) {
    most = std::max(most, stroke.torque[i]);
  }
  for (std::size_t i = 0; i < stroke.angle.size(); ++i) {
    if (!in_end(i) || stroke.torque[i] < 0.7 * most) continue;
    end.angle.push_back(stroke.angle[i]);
    end.torque.push_back(stroke.torque[i]);
  }
  const Line line = fitted_line(end, stroke.angle.back() - kEnd, stroke.angle.back());
  return line.points > 0 ? std::min(most, line.at(stroke.angle.back())) : most;
}

struct TakenUp {
  std::size_t next = 0;  // first point beyond; all of them where the torque is never taken up
  double angle = 0;
};
TakenUp taken_up(const Stroke& stroke, double torque) {
  std::size_t i = 0;
  while (i < stroke.angle.size() && stroke.torque[i] < torque) ++i;
  if (i == stroke.angle.size()) return {i, 0};
  if (i == 0) return {1, stroke.angle[0]};
  const double share = (torque - stroke.torque[i - 1]) / (stroke.torque[i] - stroke.torque[i - 1]);
  return {i, stroke.angle[i - 1] + share * (stroke.angle[i] - stroke.angle[i - 1])};
}

}  // namespace

CleanTrace clean_trace(const Trace& trace) {
  CleanTrace clean;
  const std::vector<Stroke> strokes = strokes_of(trace.points);
  double torque = 0;
  for (const Stroke& stroke : strokes) {
    std::size_t first = 0;
    double shift = 0;
    if (!clean.angle.empty()) {
      const TakenUp up = taken_up(stroke, kTakenUp * torque);
      first = up.next;
      if (first == stroke.angle.size()) {
        // The hand lets go at the end of every record and regrips in between: a twitch is no
        // stroke.
        if (stroke.angle.back() - stroke.angle.front() <= 5 * kReversal) continue;
        clean.lost_angle = true;
        break;
      }
      shift = clean.angle.back() - up.angle;
      while (first < stroke.angle.size() && stroke.angle[first] + shift <= clean.angle.back()) {
        ++first;
      }
    }
    for (std::size_t i = first; i < stroke.angle.size(); ++i) {
      clean.angle.push_back(stroke.angle[i] + shift);
      clean.torque.push_back(stroke.torque[i]);
    }
    ++clean.strokes;
    torque = end_torque(stroke);
  }
  for (std::size_t i = 1; i < clean.angle.size(); ++i) {
    clean.widest_gap = std::max(clean.widest_gap, clean.angle[i] - clean.angle[i - 1]);
  }
  return clean;
}

Line fitted_line(const CleanTrace& clean, double low, double high) {
  const auto at = [&](double angle) {
    return static_cast<std::size_t>(
        std::lower_bound(clean.angle.begin(), clean.angle.end(), angle) - clean.angle.begin());
  };
  const std::size_t from = at(low - kRounding), to = at(high + kRounding);
  if (to < from + 3) return {};
  const auto n = static_cast<double>(to - from);
  double x = 0, y = 0;
  for (std::size_t i = from; i < to; ++i) x += clean.angle[i], y += clean.torque[i];
  x /= n;
  y /= n;
  double xx = 0, xy = 0;
  for (std::size_t i = from; i < to; ++i) {
    xx += (clean.angle[i] - x) * (clean.angle[i] - x);
    xy += (clean.angle[i] - x) * (clean.torque[i] - y);
  }
  Line line{.slope = xy / xx, .middle = x, .points = to - from};
  line.at_zero = y - line.slope * x;
  double squares = 0;
  for (std::size_t i = from; i < to; ++i) {
    const double off = clean.torque[i] - line.at(clean.angle[i]);
    squares += off * off;
  }
  line.sd = std::sqrt(squares / (n - 2));
  line.slope_error = line.sd / std::sqrt(xx);
  line.level_error = line.sd / std::sqrt(n);
  return line;
}

std::vector<LocalLine> local_lines(const CleanTrace& clean, double window, double step) {
  std::vector<LocalLine> lines;
  if (clean.angle.empty()) return lines;
  const double first = clean.angle.front(), last = clean.angle.back();
  if (last - first < window) return lines;
  const auto count = static_cast<std::size_t>((last - first) / step + kRounding) + 1;
  for (std::size_t j = 0; j < count; ++j) {
    const double angle = first + static_cast<double>(j) * step;
    const double low = std::clamp(angle - window / 2, first, last - window);
    const Line line = fitted_line(clean, low, low + window);
    lines.push_back({angle, line.at(angle), line.slope});
  }
  return lines;
}

}  // namespace tautmark::tighten
