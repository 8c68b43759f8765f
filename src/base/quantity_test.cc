// SPDX-License-Identifier: Apache-2.0
#include "base/quantity.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <type_traits>

namespace tautmark {
namespace {

// What must not compile. A crank angle taken for a cam angle is a factor of two, and no test at run
// time could find it.
template <class A, class B>
concept Adds = requires(A a, B b) {
  a + b;
};
template <class A, class B>
concept Subtracts = requires(A a, B b) {
  a - b;
};
template <class A, class B>
concept Compares = requires(A a, B b) {
  a < b;
};
template <class A, class B>
concept Divides = requires(A a, B b) {
  a / b;
};
template <class A, class B>
concept Multiplies = requires(A a, B b) {
  a* b;
};
template <class A>
concept ToCrank = requires(A a) {
  to_crank(a);
};
template <class A>
concept ToCam = requires(A a) {
  to_cam(a);
};

static_assert(Adds<Length, Length> && Subtracts<Length, Length> && Compares<Length, Length>);
static_assert(!Adds<Length, CrankAngle>);
static_assert(!Adds<Torque, Force>);
static_assert(!Adds<Length, double>);
static_assert(!Compares<CrankAngle, CamAngle>);
static_assert(!Compares<CrankAngle, Angle>);
static_assert(!Subtracts<CrankAngle, CamAngle>);
static_assert(!Divides<Length, Pressure>);
static_assert(!Multiplies<Length, Length>);

static_assert(!std::is_convertible_v<CamAngle, CrankAngle>);
static_assert(!std::is_constructible_v<CrankAngle, CamAngle>);
static_assert(!std::is_convertible_v<CrankAngle, CamAngle>);
static_assert(!std::is_assignable_v<CrankAngle&, CamAngle>);
static_assert(!std::is_assignable_v<CrankAngle&, Angle>);
static_assert(!std::is_convertible_v<double, Length>);
static_assert(!std::is_convertible_v<Length, double>);
static_assert(ToCrank<CamAngle> && !ToCrank<CrankAngle> && !ToCrank<Angle>);
static_assert(ToCam<CrankAngle> && !ToCam<CamAngle> && !ToCam<Angle>);

static_assert(!Adds<Temperature, Temperature>);
static_assert(!Multiplies<Temperature, double>);
static_assert(!Divides<Temperature, Temperature>);
static_assert(Adds<Temperature, TemperatureDifference>);
static_assert(std::is_same_v<decltype(degC(95) - degC(20)), TemperatureDifference>);
static_assert(!std::is_convertible_v<Temperature, TemperatureDifference>);

static_assert(sizeof(Length) == sizeof(double) && std::is_trivially_copyable_v<Length>);

// Source: a four-stroke camshaft turns once while the crankshaft turns twice.
TEST(Quantity, OneCamDegreeIsTwoCrankDegrees) {
  EXPECT_DOUBLE_EQ(in_crank_deg(to_crank(cam_deg(8.6))), 17.2);
  EXPECT_DOUBLE_EQ(in_cam_deg(to_cam(crank_deg(720))), 360);
}

// Source: SI Brochure, 9th edition, 2.3.1: 0 degC is 273.15 K; 180 deg is π rad; 1 min is 60 s.
TEST(Quantity, MakersUseSi) {
  EXPECT_DOUBLE_EQ(degC(0).si(), 273.15);
  EXPECT_DOUBLE_EQ(deg(180).si(), 3.14159265358979323846);
  EXPECT_DOUBLE_EQ(per_min(60).si(), 1);
  EXPECT_DOUBLE_EQ(mm(27.98).si(), 0.02798);
  EXPECT_DOUBLE_EQ(kPa(185).si(), 185000);
  EXPECT_DOUBLE_EQ(ppm_per_K(21.5).si(), 21.5e-6);
}

TEST(Quantity, PointsDifferByDifferences) {
  EXPECT_DOUBLE_EQ((degC(95) - degC(20)).si(), 75);
  EXPECT_DOUBLE_EQ(in_degC(degC(20) + kelvin(75)), 95);
}

RC_GTEST_PROP(QuantityProperty, ReadersUndoMakers, (int hundredths)) {
  const double v = hundredths / 100.0;
  const double near = 4e-16 * std::fabs(v);
  RC_ASSERT(std::fabs(in_mm(mm(v)) - v) <= near);
  RC_ASSERT(std::fabs(in_crank_deg(crank_deg(v)) - v) <= near);
  RC_ASSERT(std::fabs(in_kPa(kPa(v)) - v) <= near);
  RC_ASSERT(std::fabs(in_per_min(per_min(v)) - v) <= near);
  RC_ASSERT(std::fabs(in_degC(degC(v)) - v) <= 4e-16 * (std::fabs(v) + 273.15));
  RC_ASSERT(to_cam(to_crank(cam_deg(v))) == cam_deg(v));
}

}  // namespace
}  // namespace tautmark
