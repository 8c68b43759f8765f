// SPDX-License-Identifier: Apache-2.0
#include "clearance/window.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

namespace tautmark::clearance {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;
constexpr double kNever = std::numeric_limits<double>::infinity();

tl::unexpected<Refusal> unknown_wall(const EngineValve& valve) {
  return refuse(fmt::format("{}: the height of the pocket wall is not known", valve.name));
}

bool wall_height_known(const ValveSite& site) { return site.flat_crown || site.wall_height; }

// Smallest drop at which the pocket wall is nearer than the margin sideways; never: infinite.
double drop_at_wall(const GapNumbers& n, double margin) {
  if (n.radial(0) < margin) return 0;
  const double free = n.room - margin;
  const double reach = std::sqrt(std::max(0.0, free * free - n.offset_y * n.offset_y));
  return n.sideways > 0 ? (n.offset_x + reach) / n.sideways : kNever;
}

struct Limits {
  double floor_drop = 0;  // s_f
  double wall_drop = 0;   // s2, or -infinity where the wall does not matter
  double most_lift = 0;   // at which the crank can pass every drop
};

// Margin of the wall with what is taken off it, of the floor with its own.
Limits limits(const EngineValve& valve, double margin) {
  const GapNumbers n = gap_numbers(valve.site);
  const double floor_margin = margin + valve.taken_off.si();
  const double wall_margin = margin + valve.taken_off_wall.si();
  const double h = valve.lift->highest.si();
  Limits out{.floor_drop = (h - n.at_top + floor_margin) / n.per_drop,
             .wall_drop = -kNever,
             .most_lift = n.at_top - floor_margin};
  if (valve.site.flat_crown || valve.site.wall_height->si() <= 0) return out;
  const double height = valve.site.wall_height->si();
  const double from = valve.site.sides ? drop_at_wall(n, wall_margin) : 0;
  if (from == kNever) return out;
  if (n.axial(from, h) < height + wall_margin)
    out.wall_drop = (h - n.at_top + height + wall_margin) / n.per_drop;
  out.most_lift = std::min(out.most_lift, n.axial(from, 0) - height - wall_margin);
  return out;
}

// Angles a turn repeats; sorted, not overlapping, 0 <= from < kTurn, to may pass kTurn.
struct Span {
  double from, to;
};

// What of `spans` (within 0 to kTurn, none across it) lies in the window.
std::vector<Span> cut(const std::vector<Span>& spans, Span window) {
  std::vector<Span> out;
  const double from = window.from - kTurn * std::floor(window.from / kTurn);
  for (const double shift : {-kTurn, 0.0})
    for (const Span& span : spans) {
      const double a = std::max(span.from, from + shift);
      const double b = std::min(span.to, from + shift + window.to - window.from);
      if (b > a) out.push_back({a, b});
    }
  std::sort(out.begin(), out.end(), [](const Span& x, const Span& y) { return x.from < y.from; });
  return out;
}

// The piece that ends at a full turn and the one that begins at 0 are one.
void join_across_zero(std::vector<Span>& spans) {
  constexpr double kTouch = 1e-12;
  if (spans.size() < 2 || spans.front().from > kTouch || spans.back().to < kTurn - kTouch) return;
  spans.back().to = kTurn + spans.front().to;
  spans.erase(spans.begin());
}

double least_at_full_lift(const std::vector<EngineValve>& valves, double crank) {
  double least = kNever;
  for (const EngineValve& valve : valves) {
    const double s = drop(valve.slider, CrankAngle::from_si(crank) - valve.top).si();
    least = std::min(
        least, gap_numbers(valve.site).axial(s, valve.lift->highest.si()) - valve.taken_off.si());
  }
  return least;
}

// The drops rise and fall once between two dead centers: in a window a scan and golden section.
CrankWindow parked(const std::vector<EngineValve>& valves, Span span) {
  constexpr int kLooks = 64;
  double best = span.from, most = -kNever;
  for (int i = 0; i <= kLooks; ++i) {
    const double at = span.from + (span.to - span.from) * i / kLooks;
    const double here = least_at_full_lift(valves, at);
    if (here > most) {
      most = here;
      best = at;
    }
  }
  const double step = (span.to - span.from) / kLooks;
  double from = std::max(span.from, best - step), to = std::min(span.to, best + step);
  for (int i = 0; i < 50; ++i) {
    const double a = from + (to - from) * 0.382, b = from + (to - from) * 0.618;
    if (least_at_full_lift(valves, a) > least_at_full_lift(valves, b))
      to = b;
    else
      from = a;
  }
  const double park = (from + to) / 2;
  return {.from = CrankAngle::from_si(span.from),
          .to = CrankAngle::from_si(span.to),
          .park = CrankAngle::from_si(std::fmod(park, kTurn)),
          .at_park = Length::from_si(least_at_full_lift(valves, park))};
}

}  // namespace

Result<Length> needed_drop(const EngineValve& valve, Length margin) {
  if (!wall_height_known(valve.site)) return unknown_wall(valve);
  const Limits limit = limits(valve, margin.si());
  return Length::from_si(std::max(limit.floor_drop, limit.wall_drop));
}

Result<std::vector<CrankWindow>> crank_windows(const std::vector<EngineValve>& valves,
                                               Length margin) {
  std::vector<Span> spans{{0, kTurn}};
  for (const EngineValve& valve : valves) {
    const Result<Length> needed = needed_drop(valve, margin);
    if (!needed) return tl::make_unexpected(needed.error());
    if (needed->si() <= 0) continue;
    const auto edges = angles_at_drop(valve.slider, *needed);
    if (!edges) return std::vector<CrankWindow>{};
    spans = cut(spans, {(valve.top + edges->down).si(), (valve.top + edges->up).si() + kTurn});
  }
  join_across_zero(spans);
  std::vector<CrankWindow> windows;
  windows.reserve(spans.size());
  for (const Span& span : spans) windows.push_back(parked(valves, span));
  return windows;
}

Result<std::vector<CamRange>> cam_ranges(const Camshaft& camshaft, Length margin) {
  std::vector<double> most;
  for (const EngineValve& valve : camshaft.valves) {
    if (!wall_height_known(valve.site)) return unknown_wall(valve);
    most.push_back(limits(valve, margin.si()).most_lift);
  }
  const auto free = [&](double cam) {
    for (std::size_t i = 0; i < most.size(); ++i) {
      const EngineValve& valve = camshaft.valves[i];
      const CrankAngle at = CrankAngle::from_si(2 * cam) - valve.top;
      if (!(lift(*valve.lift, at).si() <= most[i])) return false;
    }
    return true;
  };
  constexpr int kLooks = 2880;
  constexpr double kLook = kTurn / kLooks;
  const auto edge = [&](double a, double b) {  // between a free and a held angle
    const bool first = free(a);
    for (int i = 0; i < 30; ++i) {
      const double middle = (a + b) / 2;
      (free(middle) == first ? a : b) = middle;
    }
    return first ? a : b;
  };
  std::vector<Span> spans;
  bool before = false;
  for (int i = 0; i <= kLooks; ++i) {
    const bool here = free(i * kLook) && i < kLooks;
    if (here && !before) spans.push_back({i == 0 ? 0 : edge((i - 1) * kLook, i * kLook), kTurn});
    if (!here && before)
      spans.back().to = free(i * kLook) ? kTurn : edge((i - 1) * kLook, i * kLook);
    before = here;
  }
  join_across_zero(spans);
  std::vector<CamRange> ranges;
  for (const Span& span : spans)
    ranges.push_back({CamAngle::from_si(span.from), CamAngle::from_si(span.to)});
  return ranges;
}

}  // namespace tautmark::clearance
