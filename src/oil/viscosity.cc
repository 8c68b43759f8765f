// SPDX-License-Identifier: Apache-2.0
#include "oil/viscosity.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace tautmark::oil {
namespace {

constexpr TemperatureDifference kClosest = kelvin(20);
constexpr Temperature kColdest = degC(0), kHottest = degC(150);
constexpr double kThickest = 1e9;  // mm²/s: pitch; the law says nothing there
constexpr double kMostRatio = 30;  // ν40 / ν100
constexpr double kLeastIndexPoint = 2;
constexpr double kLeastIndex = 80, kMostIndex = 250;

struct IndexRow {
  double from, a, b, c, d, e, f;  // L = a Y² + b Y + c, H = d Y² + e Y + f
};

// ASTM D2270 table X2.1. Rows 1, 2 and 16 read in a transcription, the others from memory and
// tested: neighbors meet within 0.18 %, three worked examples of the standard come out.
constexpr std::array<IndexRow, 16> kIndexRows{{
    {2.0, 1.14673, 1.7576, -0.109, 0.84155, 1.5521, -0.077},
    {3.8, 3.38095, -15.4952, 33.196, 0.78571, 1.7929, -0.183},
    {4.4, 2.5000, -7.2143, 13.812, 0.82143, 1.5679, 0.119},
    {5.0, 0.10100, 16.6350, -45.469, 0.04985, 9.1613, -18.557},
    {6.4, 3.35714, -23.5643, 78.466, 0.22619, 7.7369, -16.656},
    {7.0, 0.01191, 21.4750, -72.870, 0.79762, -0.7321, 14.610},
    {7.7, 0.41858, 16.1558, -56.040, 0.05794, 10.5156, -28.240},
    {9.0, 0.88779, 7.5527, -16.600, 0.26665, 6.7015, -10.810},
    {12, 0.76720, 10.7972, -38.180, 0.20073, 8.4658, -22.490},
    {15, 0.97305, 5.3135, -2.200, 0.28889, 5.9741, -4.930},
    {18, 0.97256, 5.2500, -0.980, 0.24504, 7.4160, -16.730},
    {22, 0.91413, 7.4759, -21.820, 0.20323, 9.1267, -34.230},
    {28, 0.87031, 9.7157, -50.770, 0.18411, 10.1015, -46.750},
    {40, 0.84703, 12.6752, -133.310, 0.17029, 11.4866, -80.620},
    {55, 0.85921, 11.1009, -83.190, 0.17130, 11.3680, -76.940},
    {70, 0.83531, 14.6731, -216.246, 0.16841, 11.8493, -96.947},
}};

const IndexRow& index_row(double y) {
  const IndexRow* row = kIndexRows.data();
  for (const IndexRow& next : kIndexRows)
    if (y >= next.from) row = &next;
  return *row;
}

double log_log(double z) { return std::log10(std::log10(z)); }

// The part of x = Z - 0.7 that is not ν, and its derivative by x.
double excess(double x) { return std::exp(-0.7487 + x * (-3.295 + x * (0.6119 - 0.3193 * x))); }
double excess_slope(double x) { return excess(x) * (-3.295 + x * (2 * 0.6119 - 3 * 0.3193 * x)); }

Result<void> check_point(const ViscosityPoint& point) {
  if (!(point.at.si() > 0) || !std::isfinite(point.at.si()))
    return refuse("a temperature is above -273.15 degC");
  if (!(point.viscosity > kThinnest) || !(in_mm2_per_s(point.viscosity) < kThickest))
    return refuse(fmt::format("no viscosity of an oil: {} mm²/s; it is more than 0.3 mm²/s",
                              in_mm2_per_s(point.viscosity)));
  return {};
}

Result<void> check_sheet(KinematicViscosity at_40, KinematicViscosity at_100) {
  for (const KinematicViscosity value : {at_40, at_100})
    if (const auto fine = check_point({degC(40), value}); !fine) return fine;
  if (at_40 < at_100)
    return refuse(
        fmt::format("{} mm²/s at 40 degC is thinner than {} mm²/s at 100 degC: are the "
                    "two swapped?",
                    in_mm2_per_s(at_40), in_mm2_per_s(at_100)));
  if (at_40 / at_100 > kMostRatio)
    return refuse(
        fmt::format("{} mm²/s at 40 degC is more than {} times {} mm²/s at 100 degC: one "
                    "of the two is mistyped",
                    in_mm2_per_s(at_40), kMostRatio, in_mm2_per_s(at_100)));
  return {};
}

}  // namespace

double double_log(double nu) {
  return log_log(nu + 0.7 + std::exp(-1.47 - nu * (1.84 + 0.51 * nu)));
}

double from_double_log(double w) {
  const double x = std::pow(10, std::pow(10, w)) - 0.7;
  return x - excess(x);
}

Result<ViscosityLaw> viscosity_law(const ViscosityPoint& one, const ViscosityPoint& other) {
  for (const ViscosityPoint& point : {one, other})
    if (const auto fine = check_point(point); !fine) return tl::make_unexpected(fine.error());
  const bool in_order = one.at < other.at;
  const ViscosityPoint& cold = in_order ? one : other;
  const ViscosityPoint& hot = in_order ? other : one;
  if (hot.at - cold.at < kClosest)
    return refuse(
        fmt::format("{:.1f} K between the two points: at least {} K, or the errors of the "
                    "readings decide",
                    (hot.at - cold.at).si(), kClosest.si()));
  ViscosityLaw law;
  const double w = double_log(in_mm2_per_s(cold.viscosity));
  law.b = (w - double_log(in_mm2_per_s(hot.viscosity))) / std::log10(hot.at.si() / cold.at.si());
  law.a = w + law.b * std::log10(cold.at.si());
  if (!(law.b > 0))
    return refuse(
        fmt::format("an oil gets thinner when it gets hotter: {} mm²/s at {:.0f} degC and {} mm²/s "
                    "at {:.0f} degC; are the two swapped?",
                    in_mm2_per_s(cold.viscosity), in_degC(cold.at), in_mm2_per_s(hot.viscosity),
                    in_degC(hot.at)));
  return law;
}

Result<ViscosityAt> viscosity_at(const ViscosityLaw& law, Temperature at) {
  if (!(at.si() > 0) || !std::isfinite(at.si()))
    return refuse("a temperature is above -273.15 degC");
  const double w = law.a - law.b * std::log10(at.si());
  const double ln_z = std::pow(10, w) * std::numbers::ln10;
  const double z = std::exp(ln_z);
  const double nu = z < kThickest ? from_double_log(w) : z;
  if (!(nu > in_mm2_per_s(kThinnest)) || !(nu < kThickest))
    return refuse(
        fmt::format("the viscosity at {:.1f} degC is out of the range of the law", in_degC(at)));
  ViscosityAt out;
  out.viscosity = mm2_per_s(nu);
  out.slope = -law.b / at.si() * z * ln_z / nu * (1 - excess_slope(z - 0.7));
  if (at < kColdest)
    out.warnings.emplace_back(
        "below 0 degC a multigrade does not follow the law: wax and polymers make it thicker");
  if (at > kHottest)
    out.warnings.emplace_back("above 150 degC the law is carried on beyond its points");
  return out;
}

Result<ViscosityLaw> law_of_data_sheet(KinematicViscosity at_40, KinematicViscosity at_100) {
  if (const auto fine = check_sheet(at_40, at_100); !fine) return tl::make_unexpected(fine.error());
  auto law = viscosity_law({degC(40), at_40}, {degC(100), at_100});
  if (!law) return law;
  if (const auto index = viscosity_index(at_40, at_100)) {
    law->warnings.insert(law->warnings.end(), index->warnings.begin(), index->warnings.end());
  } else {
    law->warnings.push_back(index.error().why);
  }
  return law;
}

Result<ViscosityIndex> viscosity_index(KinematicViscosity at_40, KinematicViscosity at_100) {
  if (const auto fine = check_sheet(at_40, at_100); !fine) return tl::make_unexpected(fine.error());
  const double u = in_mm2_per_s(at_40), y = in_mm2_per_s(at_100);
  if (y < kLeastIndexPoint)
    return refuse("the viscosity index is not defined below 2 mm²/s at 100 degC");
  const IndexRow& row = index_row(y);
  ViscosityIndex out;
  out.L = row.a * y * y + row.b * y + row.c;
  out.H = row.d * y * y + row.e * y + row.f;
  out.above_100_method = u < out.H;
  if (out.above_100_method) {
    const double n = (std::log10(out.H) - std::log10(u)) / std::log10(y);
    out.value = (std::pow(10, n) - 1) / 0.00715 + 100;
  } else {
    out.value = 100 * (out.L - u) / (out.L - out.H);
  }
  out.reported = static_cast<int>(std::lround(out.value));
  if (out.value > kMostIndex)
    out.warnings.push_back(
        fmt::format("a viscosity index of {} is too good for an engine oil: "
                    "check both viscosities",
                    out.reported));
  if (out.value < kLeastIndex)
    out.warnings.push_back(
        fmt::format("a viscosity index of {} is too low for an engine oil: "
                    "check both viscosities",
                    out.reported));
  return out;
}

DynamicViscosity dynamic_viscosity(KinematicViscosity viscosity, Density density) {
  return DynamicViscosity::from_si(viscosity.si() * density.si());
}

}  // namespace tautmark::oil
