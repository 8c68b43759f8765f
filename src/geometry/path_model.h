// SPDX-License-Identifier: Apache-2.0
// From the inputs of a path to circles, with at most one thing varied: the one place where pitch
// circle, wear, elongation and arm enter, for plain numbers and for derivatives.
#pragma once

#include <cmath>
#include <numbers>
#include <type_traits>

#include "geometry/loop.h"
#include "geometry/path.h"

namespace tautmark {

enum class Varied { nothing, arm, elongation, wear, center_x, center_y, teeth };
struct Variable {
  Varied what = Varied::nothing;
  std::size_t element = 0;
};

template <class T>
T number(double value, [[maybe_unused]] bool varied) {
  if constexpr (std::is_same_v<T, Dual>) {
    return {value, varied ? 1.0 : 0.0};
  } else {
    return value;
  }
}

inline int side_of(const PathInputs& in, const PathElement& element) {
  return element.outside ? -in.turn : in.turn;
}

template <class T>
T worn_pitch(const PathInputs& in, Variable by) {
  return in.pitch.si() * (number<T>(in.elongation.si(), by.what == Varied::elongation) + 1.0);
}

// Turned about the pivot; `turned` is counterclockwise.
template <class T>
Offset<T> turned_about(Point pivot, const Offset<T>& point, const T& turned) {
  using std::cos;
  using std::sin;
  const T c = cos(turned);
  const T s = sin(turned);
  const T x = point.x - pivot.x.si();
  const T y = point.y - pivot.y.si();
  return {c * x - s * y + pivot.x.si(), s * x + c * y + pivot.y.si()};
}

// `turned` is the counterclockwise angle of the arm, used by the arm alone.
template <class T>
Circle<T> circle_of(const PathInputs& in, std::size_t index, Variable by, const T& turned) {
  using std::asin;
  using std::sin;
  const PathElement& element = in.elements[index];
  const auto varied = [&](Varied what) { return by.what == what && by.element == index; };
  Circle<T> circle;
  circle.side = side_of(in, element);
  Offset<T> center{number<T>(element.center.x.si(), varied(Varied::center_x)),
                   number<T>(element.center.y.si(), varied(Varied::center_y))};
  if (element.kind == ElementKind::arm && in.pivot) {
    center = turned_about(*in.pivot, center, turned);
  }
  circle.x = center.x;
  circle.y = center.y;
  const T pitch = worn_pitch<T>(in, by);
  if (element.kind == ElementKind::sprocket) {
    const T teeth = number<T>(element.teeth, varied(Varied::teeth));
    const T on = in.rides_out ? pitch : number<T>(in.pitch.si(), false);
    circle.pitches_per_radian = teeth / (2 * std::numbers::pi);
    circle.r =
        in.belt ? on * circle.pitches_per_radian : on / (2.0 * sin(std::numbers::pi / teeth));
  } else {
    circle.r = element.radius.si() - number<T>(element.wear.si(), varied(Varied::wear));
    circle.pitches_per_radian =
        in.belt ? circle.r / pitch : 1.0 / (2.0 * asin(pitch / (2.0 * circle.r)));
  }
  return circle;
}

}  // namespace tautmark
