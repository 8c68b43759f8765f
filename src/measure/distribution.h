// SPDX-License-Identifier: Apache-2.0
// Normal, Student and F distributions. Everything else in this module goes through here, so the
// heavy headers of Boost.Math are compiled once.
//
// Preconditions: p strictly between 0 and 1, nu >= 1 (infinity: normal), x not NaN. They are the
// caller's to check; a violation is a mistake in the program and throws std::logic_error.
// Accuracy: 1e-12 relative or better over the range used (measure_scipy_test.cc).
#pragma once

namespace tautmark {

// P(T <= x), Student's t with nu degrees of freedom, normal for infinite nu.
double student_cdf(double x, double nu);

// P(lower < T <= upper) without the cancellation of two values near 1. The ends may be infinite.
double student_probability_between(double lower, double upper, double nu);

// x with P(T <= x) = p.
double student_quantile(double p, double nu);

// P(F > x) for x >= 0 and nu_1, nu_2 > 0.
double f_upper_tail(double x, double nu_1, double nu_2);

}  // namespace tautmark
