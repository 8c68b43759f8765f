// SPDX-License-Identifier: Apache-2.0
#include "base/student.h"

#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace tautmark {

double coverage_factor_95(double nu) {
  // Double in, double out: long double differs between machines, and findings must not.
  using Policy = boost::math::policies::policy<boost::math::policies::promote_double<false>>;
  constexpr double kNormal = 1.959963984540054;
  if (!std::isfinite(nu)) return kNormal;
  return boost::math::quantile(boost::math::students_t_distribution<double, Policy>(nu), 0.975);
}

}  // namespace tautmark
