// SPDX-License-Identifier: Apache-2.0
// Where texts stand: each takes the first of its places that is free of other texts and of the
// drawing, else of those free of other texts the one that covers least of the drawing. A text that
// finds no place is handed back, so that it can stand in the notes: nothing is written over
// something else, nothing is lost.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "draw/svg.h"

namespace tautmark::draw {

struct Box {
  XY center{};
  double half_width = 0, half_height = 0;
  XY along{1, 0};  // direction of its width, a unit vector
};
bool overlap(const Box& a, const Box& b);

struct Label {
  std::vector<std::string> lines{};
  double size = 12;
  bool bold = false;
  std::string classes{};          // beside "t"
  std::optional<XY> points_at{};  // a thin leader is drawn when the text stands away from it
  std::string data{};             // further attributes
};
XY half_size(const Label& label);

struct Place {
  XY center{};
  XY along{1, 0};  // direction in which the text runs
};

class Labels {
 public:
  Labels(XY from, XY to) : from_(from), to_(to) {}

  void keep_clear(XY center, double radius);
  void keep_clear_line(XY from, XY to, double radius);
  void take(const Box& box) { boxes_.push_back(box); }  // as good as a text
  [[nodiscard]] bool is_free(const Box& box) const;     // of texts
  [[nodiscard]] bool is_inside(const Box& box) const;   // the part of the sheet for the drawing
  [[nodiscard]] bool is_clear(const Box& box) const;    // of the drawing

  // False: no place. With Demand::clear only a place that covers nothing of the drawing will do.
  enum class Demand { readable, clear };
  bool place(Svg& svg, const Label& label, std::span<const Place> places,
             Demand demand = Demand::readable);

 private:
  struct Disc {
    XY center;
    double radius;
  };
  struct Cells {  // of the grid, both ends included
    int left, right, top, bottom;
  };
  // Discs are kept by the cells that they touch: a text looks only at what is near it.
  static constexpr int kColumns = 26, kRows = 48;
  static constexpr double kCell = 32;
  static Cells cells(XY from, XY to);
  // Calls `visit` with the discs that cover part of the box, some of them several times, until it
  // returns false.
  template <class Visit>
  void visit_covered(const Box& box, Visit visit) const;
  [[nodiscard]] int covered(const Box& box) const;  // how much of the drawing
  [[nodiscard]] bool leader_is_free(XY from, XY to) const;
  void write(Svg& svg, const Label& label, const Place& place);

  XY from_, to_;
  std::vector<std::vector<Disc>> grid_ = std::vector<std::vector<Disc>>(kColumns * kRows);
  std::vector<Box> boxes_;
};

// Places around a circle, nearest first, beginning with `first` (a direction of the sheet).
std::vector<Place> places_around(XY center, double radius, XY first, const Label& label);

// Text broken into lines of at most `width` sizes, at blanks.
std::vector<std::string> wrapped(std::string_view text, double width, bool bold = false);

}  // namespace tautmark::draw
