// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "judge/tightening.h"
#include "report/html_parts.h"
#include "report/html_steps.h"

namespace tautmark::html {
namespace {

constexpr double kPitch = 38, kRadius = 15, kEdge = kRadius + 3;  // of the drawing's own unit

struct Spot {
  double x = 0, y = 0;
};

Spot on_circle(double turn, double radius) {
  const double angle = 2 * std::numbers::pi * turn;
  return {radius * std::sin(angle), -radius * std::cos(angle)};
}

Spot spot_of(int bolt, int count, BoltPattern pattern, double round) {
  const int i = bolt - 1;
  if (pattern == BoltPattern::circle) {
    const Spot at = on_circle(static_cast<double>(i) / count, round);
    return {at.x + round, at.y + round};
  }
  const int in_row = count / 2;
  return {(i % in_row) * kPitch, (i / in_row) * 1.6 * kPitch};
}

std::string hexagon(Spot at, int turn) {
  std::string points;
  for (int i = 0; i < 6; ++i) {
    const Spot corner = on_circle(i / 6.0, kRadius);
    points += fmt::format("{}{:.1f},{:.1f}", i == 0 ? "" : " ", at.x + corner.x, at.y + corner.y);
  }
  return fmt::format("<polygon points=\"{}\"/><text x=\"{:.1f}\" y=\"{:.1f}\">{}</text>", points,
                     at.x, at.y + 5, turn);
}

}  // namespace

std::string order_drawing(const Fastener& fastener) {
  const std::vector<int> order = bolt_order(fastener);
  const int count = static_cast<int>(order.size());
  if (!fastener.pattern || count < 2 || fastener.count.value_or(count) != count) return {};
  if (std::any_of(order.begin(), order.end(), [&](int bolt) { return bolt < 1 || bolt > count; }))
    return {};
  const bool circle = *fastener.pattern == BoltPattern::circle;
  if (!circle && count % 2 != 0) return {};
  const double round = std::max(70.0, count * kPitch / (2 * std::numbers::pi));
  const double wide = circle ? 2 * round : (count / 2 - 1) * kPitch;
  const double high = circle ? 2 * round : 1.6 * kPitch;
  std::string bolts;
  for (int turn = 0; turn < count; ++turn)
    bolts += hexagon(
        spot_of(order[static_cast<std::size_t>(turn)], count, *fastener.pattern, round), turn + 1);
  return tag("figure.order", fmt::format("<svg viewBox=\"{:.1f} {:.1f} {:.1f} {:.1f}\" "
                                         "width=\"{:.0f}\" role=\"img\" aria-label=\"order of "
                                         "tightening\">{}</svg>",
                                         -kEdge, -kEdge, wide + 2 * kEdge, high + 2 * kEdge,
                                         std::min(wide + 2 * kEdge, 420.0), bolts));
}

}  // namespace tautmark::html
