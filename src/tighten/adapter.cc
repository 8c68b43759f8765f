// SPDX-License-Identifier: Apache-2.0
#include "tighten/adapter.h"

#include <cmath>

namespace tautmark::tighten {

Result<double> adapter_factor(const Adapter& adapter) {
  if (!(adapter.wrench.si() > 0)) return refuse("the length of the wrench is above zero");
  if (!(adapter.adapter.si() > 0)) return refuse("the length of the adapter is above zero");
  if (!(adapter.angle >= deg(0)) || !(adapter.angle <= deg(180))) {
    return refuse(
        "the angle between adapter and handle line is from 0 deg (straight on) to 180 deg (folded "
        "back)");
  }
  // Exactly square is exactly no correction; the cosine of pi/2 in doubles is not exactly zero.
  const double along = adapter.angle == deg(90) ? 0 : std::cos(adapter.angle.si());
  const Length arm = adapter.wrench + adapter.adapter * along;
  if (!(arm.si() > 0)) {
    return refuse("folded back, this adapter reaches as far as the grip: no torque arm is left");
  }
  return adapter.wrench / arm;
}

}  // namespace tautmark::tighten
