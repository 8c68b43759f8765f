// SPDX-License-Identifier: Apache-2.0
#include "measure/distribution.h"

#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <stdexcept>

namespace tautmark {
namespace {

// Double in, double out: long double differs between machines, and findings must not.
using Policy = boost::math::policies::policy<boost::math::policies::promote_double<false>>;
using Normal = boost::math::normal_distribution<double, Policy>;
using StudentsT = boost::math::students_t_distribution<double, Policy>;
using FisherF = boost::math::fisher_f_distribution<double, Policy>;

void expect(bool holds, const char* what) {
  if (!holds) throw std::logic_error(what);
}

// Above this Student's t and the normal distribution agree to about 1e-13; the incomplete beta
// function would only lose digits.
constexpr double kAsGoodAsNormal = 1e13;

double upper_tail(double x, double nu) {
  if (std::isinf(x)) return x > 0 ? 0 : 1;
  if (nu > kAsGoodAsNormal) return boost::math::cdf(boost::math::complement(Normal(), x));
  return boost::math::cdf(boost::math::complement(StudentsT(nu), x));
}

}  // namespace

double student_cdf(double x, double nu) {
  expect(nu >= 1 && !std::isnan(x), "student_cdf: needs nu >= 1 and x not NaN");
  return upper_tail(-x, nu);
}

double student_probability_between(double lower, double upper, double nu) {
  expect(nu >= 1 && lower <= upper, "student_probability_between: needs nu >= 1, lower <= upper");
  // Taken from the tail that is small, so that two values near 1 are never subtracted.
  const double p = lower > 0 ? upper_tail(lower, nu) - upper_tail(upper, nu)
                             : upper_tail(-upper, nu) - upper_tail(-lower, nu);
  return p < 0 ? 0 : (p > 1 ? 1 : p);
}

double student_quantile(double p, double nu) {
  expect(nu >= 1 && p > 0 && p < 1, "student_quantile: needs nu >= 1 and 0 < p < 1");
  if (nu > kAsGoodAsNormal) return boost::math::quantile(Normal(), p);
  return boost::math::quantile(StudentsT(nu), p);
}

double f_upper_tail(double x, double nu_1, double nu_2) {
  expect(x >= 0 && nu_1 > 0 && nu_2 > 0, "f_upper_tail: needs x >= 0 and nu > 0");
  if (std::isinf(x)) return 0;
  return boost::math::cdf(boost::math::complement(FisherF(nu_1, nu_2), x));
}

}  // namespace tautmark
