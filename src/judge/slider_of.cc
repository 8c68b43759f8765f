// SPDX-License-Identifier: Apache-2.0
#include "judge/slider_of.h"

namespace tautmark {

Result<clearance::Slider> slider_of(const Drive& drive) {
  if (!drive.cylinders || !drive.cylinders->stroke || !drive.cylinders->rod)
    return refuse("cylinders: stroke and rod");
  const Cylinders& cylinders = *drive.cylinders;
  const Length offset = cylinders.pin_offset ? cylinders.pin_offset->value : Length{};
  auto slider =
      clearance::slider_from_stroke(cylinders.stroke->value, cylinders.rod->value, offset);
  if (!slider) return refuse("cylinders: " + slider.error().why);
  return slider;
}

}  // namespace tautmark
