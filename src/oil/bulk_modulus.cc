// SPDX-License-Identifier: Apache-2.0
#include "oil/bulk_modulus.h"

#include <cmath>

#include "oil/estimated.h"

namespace tautmark::oil {

Result<Pressure> bulk_modulus(Pressure oil, Ratio air, Pressure absolute) {
  constexpr double kKappa = 1.4;
  const double x0 = air.si(), p = absolute.si();
  if (!(x0 >= 0 && x0 < 1)) return refuse("free air is a share of the volume from 0 to below 1");
  if (!is_positive(oil.si()) || !is_positive(p))
    return refuse("oil with air needs a bulk modulus of the oil and an absolute pressure above 0");
  const double x = x0 * std::pow(kAtmosphere.si() / p, 1 / kKappa);
  return Pressure::from_si((x + 1 - x0) / (x / (kKappa * p) + (1 - x0) / oil.si()));
}

}  // namespace tautmark::oil
