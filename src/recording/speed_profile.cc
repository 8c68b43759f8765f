// SPDX-License-Identifier: Apache-2.0
// Time of an angle and back, in closed form: see synthesise.h.
#include <algorithm>
#include <cmath>
#include <numbers>

#include "recording/synthesise.h"

namespace tautmark {
namespace {

double kappa(const SpeedPiece& p) { return p.order * std::numbers::pi / 180; }

// Length s of the piece up to `angle`, from `start`: the angle less its ripple.
double length_to(const SpeedPiece& p, double start, double angle) {
  if (p.ripple == 0) return angle - start;
  const double k = kappa(p);
  return angle - start +
         p.ripple / k * (std::sin(k * angle + p.phase) - std::sin(k * start + p.phase));
}

double angle_of_length(const SpeedPiece& p, double start, double length) {
  double low = start, high = start + length + 2 * std::abs(p.ripple / kappa(p)) + 1;
  low = std::max(start, start + length - 2 * std::abs(p.ripple / kappa(p)) - 1);
  for (int i = 0; i < 200 && high - low > 1e-12 * std::max(1.0, high); ++i) {
    const double middle = (low + high) / 2;
    (length_to(p, start, middle) < length ? low : high) = middle;
  }
  return (low + high) / 2;
}

double acceleration(const SpeedPiece& p) { return 6 * (p.to - p.from) / p.duration; }

}  // namespace

SpeedProfile::SpeedProfile(std::vector<SpeedPiece> pieces) : pieces_(std::move(pieces)) {
  starts_.push_back({});
  for (const SpeedPiece& p : pieces_) {
    const double length = 3 * (p.from + p.to) * p.duration;
    const double start = starts_.back().angle;
    starts_.push_back(
        {starts_.back().time + p.duration, length > 0 ? angle_of_length(p, start, length) : start});
  }
}

std::size_t SpeedProfile::piece_at(double angle) const {
  std::size_t i = 0;
  while (i + 1 < pieces_.size() && angle > starts_[i + 1].angle) ++i;
  return i;
}

double SpeedProfile::time_at(double angle) const {
  const std::size_t i = piece_at(angle);
  const SpeedPiece& p = pieces_[i];
  const double length = length_to(p, starts_[i].angle, angle);
  const double w = 6 * p.from, a = acceleration(p);
  // The stable form of (-w + √(w² + 2 a s))/a: also right for a = 0.
  const double sum = w + std::sqrt(std::max(0.0, w * w + 2 * a * length));
  return starts_[i].time + (sum > 0 ? 2 * length / sum : 0);
}

double SpeedProfile::per_minute_at(double angle) const {
  return per_minute(piece_at(angle), angle);
}

double SpeedProfile::per_minute_at_time(double time) const {
  const std::size_t i = piece_at_time(time);
  const SpeedPiece& p = pieces_[i];
  if (p.from + p.to > 0) return per_minute(i, angle_at(time));
  const double w = 2 * std::numbers::pi / p.duration;
  return -p.swing_back * w / 2 * std::sin(w * (time - starts_[i].time)) / 6;
}

double SpeedProfile::per_minute(std::size_t i, double angle) const {
  const SpeedPiece& p = pieces_[i];
  const double length = length_to(p, starts_[i].angle, angle);
  const double w = 6 * p.from;
  return std::sqrt(std::max(0.0, w * w + 2 * acceleration(p) * length)) / 6 /
         (1 + p.ripple * std::cos(kappa(p) * angle + p.phase));
}

std::size_t SpeedProfile::piece_at_time(double time) const {
  std::size_t i = 0;
  while (i + 1 < pieces_.size() && time > starts_[i + 1].time) ++i;
  return i;
}

double SpeedProfile::angle_at(double time) const {
  const std::size_t i = piece_at_time(time);
  const SpeedPiece& p = pieces_[i];
  const double t = time - starts_[i].time;
  if (p.from + p.to == 0) {
    const double s = std::sin(std::numbers::pi * t / p.duration);
    return starts_[i].angle - p.swing_back * s * s;
  }
  return angle_of_length(p, starts_[i].angle, 6 * p.from * t + 0.5 * acceleration(p) * t * t);
}

}  // namespace tautmark
