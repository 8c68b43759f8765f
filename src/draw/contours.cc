// SPDX-License-Identifier: Apache-2.0
#include "draw/contours.h"

#include <array>
#include <cmath>
#include <limits>

namespace tautmark::draw {
namespace {

constexpr double kFlat = 0.06;  // units of the sheet: less is no bend
constexpr int kNone = -1;

struct Corner {
  std::size_t column = 0, row = 0;
};

double weighed(double below, double above, double level) {
  if (!std::isfinite(above)) return 0;
  if (!std::isfinite(below)) return 1;
  return (level - below) / (above - below);
}

// Edges of the cells by number: those along a row first, then those along a column.
class Squares {
 public:
  Squares(const Field& field, double level)
      : field_(field),
        level_(level),
        width_(field.x.size()),
        crossings_(width_ * field.y.size()),
        next_(2 * crossings_, kNone),
        is_entered_(2 * crossings_, 0) {
    for (std::size_t row = 0; row + 1 < field.y.size(); ++row)
      for (std::size_t column = 0; column + 1 < width_; ++column) cell({column, row});
  }

  std::vector<Contour> lines() {
    std::vector<Contour> all;
    for (const bool from_the_edge : {true, false})
      for (std::size_t edge = 0; edge < next_.size(); ++edge)
        if (next_[edge] != kNone && (!from_the_edge || is_entered_[edge] == 0))
          all.push_back(followed(edge));
    return all;
  }

 private:
  [[nodiscard]] bool is_below(Corner c) const { return field_.at(c.column, c.row) < level_; }
  [[nodiscard]] XY node(Corner c) const { return {field_.x[c.column], field_.y[c.row]}; }

  void cell(Corner c) {
    const std::array<Corner, 4> corners{
        {c, {c.column + 1, c.row}, {c.column + 1, c.row + 1}, {c.column, c.row + 1}}};
    std::array<bool, 4> below{};
    int count = 0;
    double sum = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      below.at(i) = is_below(corners.at(i));
      count += below.at(i) ? 1 : 0;
      sum += field_.at(corners.at(i).column, corners.at(i).row);
    }
    if (count == 0 || count == 4) return;
    const std::size_t at = c.row * width_ + c.column;
    const std::array<std::size_t, 4> edges{at, crossings_ + at + 1, at + width_, crossings_ + at};
    const bool is_saddle = count == 2 && below[0] == below[2];
    for (std::size_t i = 0; i < 4; ++i) {
      if (!below.at(i) || below.at((i + 1) % 4)) continue;
      std::size_t to = (i + 1) % 4;
      if (is_saddle) {
        if (!(sum / 4 < level_)) to = (i + 3) % 4;
      } else {
        while (below.at(to) || !below.at((to + 1) % 4)) to = (to + 1) % 4;
      }
      next_[edges.at(i)] = static_cast<int>(edges.at(to));
      is_entered_[edges.at(to)] = 1;
    }
  }

  [[nodiscard]] XY point(std::size_t edge) const {
    const bool is_along_column = edge >= crossings_;
    const std::size_t at = is_along_column ? edge - crossings_ : edge;
    Corner a{at % width_, at / width_};
    Corner b = is_along_column ? Corner{a.column, a.row + 1} : Corner{a.column + 1, a.row};
    if (!is_below(a)) std::swap(a, b);
    const double part = weighed(field_.at(a.column, a.row), field_.at(b.column, b.row), level_);
    return node(a) + part * (node(b) - node(a));
  }

  Contour followed(std::size_t edge) {
    Contour line;
    const std::size_t first = edge;
    line.points.push_back(point(edge));
    while (next_[edge] != kNone) {
      const auto to = static_cast<std::size_t>(next_[edge]);
      next_[edge] = kNone;
      edge = to;
      line.closed = edge == first;
      if (!line.closed) line.points.push_back(point(edge));
    }
    return line;
  }

  const Field& field_;
  double level_;
  std::size_t width_, crossings_;
  std::vector<int> next_;
  std::vector<char> is_entered_;
};

double off_line(XY p, XY a, XY b) {
  const double span = length(b - a);
  return span > 0 ? std::abs(dot(p - a, right_of(b - a))) / span : length(p - a);
}

// Douglas and Peucker, without recursion.
std::vector<XY> straightened(const std::vector<XY>& points) {
  if (points.size() < 3) return points;
  std::vector<char> keep(points.size(), 0);
  keep.front() = keep.back() = 1;
  std::vector<std::pair<std::size_t, std::size_t>> spans{{0, points.size() - 1}};
  while (!spans.empty()) {
    const auto [from, to] = spans.back();
    spans.pop_back();
    double most = kFlat;
    std::size_t farthest = 0;
    for (std::size_t i = from + 1; i < to; ++i) {
      const double off = off_line(points[i], points[from], points[to]);
      if (off > most) most = off, farthest = i;
    }
    if (farthest == 0) continue;
    keep[farthest] = 1;
    spans.emplace_back(from, farthest);
    spans.emplace_back(farthest, to);
  }
  std::vector<XY> kept;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (keep[i] != 0) kept.push_back(points[i]);
  return kept;
}

// A rim of high values on the very edge closes what would end there.
Field rimmed(const Field& field) {
  Field out;
  const auto with_ends = [](const std::vector<double>& nodes) {
    std::vector<double> all{nodes.front()};
    all.insert(all.end(), nodes.begin(), nodes.end());
    all.push_back(nodes.back());
    return all;
  };
  out.x = with_ends(field.x);
  out.y = with_ends(field.y);
  out.values.assign(out.x.size() * out.y.size(), std::numeric_limits<double>::infinity());
  for (std::size_t row = 0; row < field.y.size(); ++row)
    for (std::size_t column = 0; column < field.x.size(); ++column)
      out.values[(row + 1) * out.x.size() + column + 1] = field.at(column, row);
  return out;
}

}  // namespace

std::vector<Contour> contours(const Field& field, double level) {
  if (field.x.size() < 2 || field.y.size() < 2) return {};
  std::vector<Contour> lines = Squares(field, level).lines();
  for (Contour& line : lines) line.points = straightened(line.points);
  return lines;
}

Path path_of(const std::vector<Contour>& lines) {
  Path path;
  for (const Contour& line : lines) {
    if (line.points.size() < 2) continue;
    path.move(line.points.front());
    for (std::size_t i = 1; i < line.points.size(); ++i) path.line(line.points[i]);
    if (line.closed) path.close();
  }
  return path;
}

Path region_below(const Field& field, double level) {
  if (field.x.size() < 2 || field.y.size() < 2) return {};
  return path_of(contours(rimmed(field), level));
}

}  // namespace tautmark::draw
