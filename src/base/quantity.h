// SPDX-License-Identifier: Apache-2.0
// Strong quantity types. Inside the program every quantity is one double in SI.
//
// Kinds are finer than dimensions: crank degrees and cam degrees are two kinds (one cam degree is
// two crank degrees in a four-stroke engine, and half of all misunderstandings are that factor);
// a temperature point and a temperature difference are two kinds; torque is not energy.
//
//   kind                    SI inside     what people write
//   length                  m             27.98 mm, 1.102 in, 0.4 thou
//   crank_angle             rad (crank)   17.1 deg crank
//   cam_angle               rad (cam)     8.6 deg cam
//   angle                   rad           90 deg (tightening, bank, valve: neither crank nor cam)
//   temperature             K             95 degC, 203 degF
//   temperature_difference  K             4 K
//   pressure                Pa            185 kPa, 20 psi, 1.2 bar
//   torque                  N·m           12 N·m, 106 lbf·in, 9 lbf·ft
//   force                   N             60 N, 13 lbf
//   rotational_speed        1/s (turns)   650 1/min, 650 rpm
//   time                    s             8 s, 4 min, 2 h
//   volume                  m³            6.0 L
//   ratio                   1             0.35 %
//   expansion               1/K           21.5 ppm/K
//   frequency               Hz            1 MHz (of samples, of an oscillation; not of turns)
//   voltage                 V             4.8 V
//   kinematic_viscosity     m²/s          10.8 mm²/s, 10.8 cSt
//   dynamic_viscosity       Pa·s          3.5 mPa·s, 3.5 cP
//   density                 kg/m³         853 kg/m³
//   flow                    m³/s          14.3 L/min
//
// A new kind is one enumerator, one tag and its rows in unit.cc.
#pragma once

#include <compare>
#include <cstdint>
#include <numbers>

namespace tautmark {

enum class Kind : std::uint8_t {
  length,
  crank_angle,
  cam_angle,
  angle,
  temperature,
  temperature_difference,
  pressure,
  torque,
  force,
  rotational_speed,
  time,
  volume,
  ratio,
  expansion,
  frequency,
  voltage,
  kinematic_viscosity,
  dynamic_viscosity,
  density,
  flow,
};
inline constexpr int kKindCount = 20;

template <Kind kKind>
class Quantity {
 public:
  static constexpr Kind kind = kKind;

  constexpr Quantity() = default;
  static constexpr Quantity from_si(double si) {
    Quantity q;
    q.si_ = si;
    return q;
  }
  [[nodiscard]] constexpr double si() const { return si_; }

  friend constexpr auto operator<=>(Quantity, Quantity) = default;
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return from_si(a.si_ + b.si_); }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return from_si(a.si_ - b.si_); }
  friend constexpr Quantity operator-(Quantity a) { return from_si(-a.si_); }
  friend constexpr Quantity operator*(Quantity a, double f) { return from_si(a.si_ * f); }
  friend constexpr Quantity operator*(double f, Quantity a) { return from_si(a.si_ * f); }
  friend constexpr Quantity operator/(Quantity a, double f) { return from_si(a.si_ / f); }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.si_ / b.si_; }

 private:
  double si_ = 0;
};

using Length = Quantity<Kind::length>;
using CrankAngle = Quantity<Kind::crank_angle>;
using CamAngle = Quantity<Kind::cam_angle>;
using Angle = Quantity<Kind::angle>;
using TemperatureDifference = Quantity<Kind::temperature_difference>;
using Pressure = Quantity<Kind::pressure>;
using Torque = Quantity<Kind::torque>;
using Force = Quantity<Kind::force>;
using RotationalSpeed = Quantity<Kind::rotational_speed>;
using Time = Quantity<Kind::time>;
using Volume = Quantity<Kind::volume>;
using Ratio = Quantity<Kind::ratio>;
using Expansion = Quantity<Kind::expansion>;
using Frequency = Quantity<Kind::frequency>;
using Voltage = Quantity<Kind::voltage>;
using KinematicViscosity = Quantity<Kind::kinematic_viscosity>;
using DynamicViscosity = Quantity<Kind::dynamic_viscosity>;
using Density = Quantity<Kind::density>;
using Flow = Quantity<Kind::flow>;

// A temperature point (has an origin). Points do not add; two points differ by a
// TemperatureDifference.
template <>
class Quantity<Kind::temperature> {
 public:
  static constexpr Kind kind = Kind::temperature;

  constexpr Quantity() = default;
  static constexpr Quantity from_si(double kelvin) {
    Quantity q;
    q.kelvin_ = kelvin;
    return q;
  }
  [[nodiscard]] constexpr double si() const { return kelvin_; }

  friend constexpr auto operator<=>(Quantity, Quantity) = default;
  friend constexpr TemperatureDifference operator-(Quantity a, Quantity b) {
    return TemperatureDifference::from_si(a.kelvin_ - b.kelvin_);
  }
  friend constexpr Quantity operator+(Quantity a, TemperatureDifference d) {
    return from_si(a.kelvin_ + d.si());
  }

 private:
  double kelvin_ = 0;
};
using Temperature = Quantity<Kind::temperature>;

// One way to make a value and one way to read it.
inline constexpr double kRadiansPerDegree = std::numbers::pi / 180;

constexpr Length mm(double v) { return Length::from_si(v * 1e-3); }
constexpr double in_mm(Length v) { return v.si() * 1e3; }
constexpr CrankAngle crank_deg(double v) { return CrankAngle::from_si(v * kRadiansPerDegree); }
constexpr double in_crank_deg(CrankAngle v) { return v.si() / kRadiansPerDegree; }
constexpr CamAngle cam_deg(double v) { return CamAngle::from_si(v * kRadiansPerDegree); }
constexpr double in_cam_deg(CamAngle v) { return v.si() / kRadiansPerDegree; }
constexpr Angle deg(double v) { return Angle::from_si(v * kRadiansPerDegree); }
constexpr double in_deg(Angle v) { return v.si() / kRadiansPerDegree; }
constexpr Temperature degC(double v) { return Temperature::from_si(v + 273.15); }
constexpr double in_degC(Temperature v) { return v.si() - 273.15; }
constexpr TemperatureDifference kelvin(double v) { return TemperatureDifference::from_si(v); }
constexpr Pressure kPa(double v) { return Pressure::from_si(v * 1e3); }
constexpr double in_kPa(Pressure v) { return v.si() / 1e3; }
constexpr Torque newton_metre(double v) { return Torque::from_si(v); }
constexpr RotationalSpeed per_min(double v) { return RotationalSpeed::from_si(v / 60); }
constexpr double in_per_min(RotationalSpeed v) { return v.si() * 60; }
constexpr KinematicViscosity mm2_per_s(double v) { return KinematicViscosity::from_si(v * 1e-6); }
constexpr double in_mm2_per_s(KinematicViscosity v) { return v.si() * 1e6; }
constexpr DynamicViscosity mPa_s(double v) { return DynamicViscosity::from_si(v * 1e-3); }
constexpr double in_mPa_s(DynamicViscosity v) { return v.si() * 1e3; }
constexpr Density kg_per_m3(double v) { return Density::from_si(v); }
constexpr Flow liters_per_min(double v) { return Flow::from_si(v * 1e-3 / 60); }
constexpr double in_liters_per_min(Flow v) { return v.si() * 60e3; }
constexpr Expansion ppm_per_K(double v) { return Expansion::from_si(v * 1e-6); }

// Four-stroke engines only: the camshaft turns at half crank speed.
constexpr CrankAngle to_crank(CamAngle v) { return CrankAngle::from_si(2 * v.si()); }
constexpr CamAngle to_cam(CrankAngle v) { return CamAngle::from_si(v.si() / 2); }

}  // namespace tautmark
