// SPDX-License-Identifier: Apache-2.0
#include "clearance/phase_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>

#include "base/student.h"
#include "clearance/phase_fit_solve.h"

namespace tautmark::clearance {
namespace {

constexpr double kCycle = 4 * std::numbers::pi;
constexpr std::size_t kFewReadings = 10, kFewOnFlank = 5;
constexpr double kLeastSeen = 10;  // of the scatter
constexpr double kSigmas = 3;
constexpr double kWild = 4;  // standard deviations: one of 16 000 readings by chance
// Of the highest lift: a reading counts as on a flank between these.
constexpr double kFlankFrom = 0.02, kFlankTo = 0.98;
// No wheel shows less: without noise the flanks would differ by rounding alone.
constexpr double kSamePhase = 0.01 * kRadiansPerDegree;

using Readings = std::span<const LiftSample>;

double parameters(const PhaseFitOptions& options) { return options.fit_scale ? 3 : 2; }

// P(chi² > value) = 0.001, by Wilson and Hilferty: within 1 % for 3 degrees of freedom and more.
double chi_square_limit(double nu) {
  constexpr double kNormal999 = 3.0902323;
  return nu * std::pow(1 - 2 / (9 * nu) + kNormal999 * std::sqrt(2 / (9 * nu)), 3);
}

Result<void> check_readings(Readings readings, const PhaseFitOptions& options) {
  if (static_cast<double>(readings.size()) < parameters(options) + 3)
    return refuse(
        fmt::format("{} readings are too few for a phase: read every 5 or 10° crank over "
                    "the whole lobe",
                    readings.size()));
  for (std::size_t i = 0; i < readings.size(); ++i)
    if (!std::isfinite(readings[i].at.si()) || !std::isfinite(readings[i].lift.si()))
      return refuse(fmt::format("reading {} is not a number", i + 1));
  if (options.noise && (!(options.noise->lift.si() > 0) || !(options.noise->angle.si() >= 0)))
    return refuse("the noise of the gauge must be more than nothing, that of the wheel not less");
  return {};
}

Weighting weighting_of(const PhaseFitOptions& options) {
  if (!options.noise) return {};
  return {.lift_variance = std::pow(options.noise->lift.si(), 2),
          .angle_variance = std::pow(options.noise->angle.si(), 2)};
}

struct Uncertainty {
  double u = 0, nu = 1;
  bool worse_than_stated = false;
};

Uncertainty uncertainty_of(const Solution& solution, std::size_t readings,
                           const PhaseFitOptions& options) {
  const double nu = static_cast<double>(readings) - parameters(options);
  const bool worse = options.noise && solution.chi_square > chi_square_limit(nu);
  if (options.noise && !worse) return {std::sqrt(solution.eps_variance), kManyReadings, false};
  return {std::sqrt(solution.eps_variance * solution.chi_square / nu), nu, worse};
}

// Seen from the nose at the phase found: readings before it (opening) or after it, the base circle
// going half and half, their lifts by the scale found; and those on the flank itself counted.
struct Sides {
  std::vector<LiftSample> opening, closing;
  std::size_t on_opening = 0, on_closing = 0;
  double most_seen = 0;  // m: from the least to the most lift
};

Sides sides_of(const LiftCurve& reference, Readings readings, double eps, double scale) {
  Sides out;
  double least = reference.highest.si(), most = 0;
  for (const LiftSample& reading : readings) {
    const CrankAngle theta = reading.at + CrankAngle::from_si(eps);
    const bool before = std::remainder((theta - reference.nose).si(), kCycle) < 0;
    (before ? out.opening : out.closing).push_back({reading.at, reading.lift / scale});
    const Length height = lift(reference, theta);
    least = std::min(least, height.si());
    most = std::max(most, height.si());
    const double share = height / reference.highest;
    if (share > kFlankFrom && share < kFlankTo) ++(before ? out.on_opening : out.on_closing);
  }
  out.most_seen = most - least;
  return out;
}

std::optional<FlankFits> flank_fits(const LiftCurve& reference, const Sides& sides, double eps,
                                    const PhaseFitOptions& options) {
  if (std::min(sides.on_opening, sides.on_closing) < kFewOnFlank) return std::nullopt;
  PhaseFitOptions own = options;
  own.fit_scale = false;  // one flank shows phase and zero, no more
  const Weighting weighting = weighting_of(own);
  const auto opening = gauss_newton(reference, sides.opening, eps, weighting, false);
  const auto closing = gauss_newton(reference, sides.closing, eps, weighting, false);
  if (!opening || !closing) return std::nullopt;
  const double u_opening = uncertainty_of(*opening, sides.opening.size(), own).u;
  const double u_closing = uncertainty_of(*closing, sides.closing.size(), own).u;
  return FlankFits{.opening = CrankAngle::from_si(std::remainder(opening->eps, kCycle)),
                   .opening_u = CrankAngle::from_si(u_opening),
                   .closing = CrankAngle::from_si(std::remainder(closing->eps, kCycle)),
                   .closing_u = CrankAngle::from_si(u_closing),
                   .agree = std::abs(opening->eps - closing->eps) <=
                            kSigmas * std::hypot(u_opening, u_closing) + kSamePhase};
}

// Of one reading, as the fit has it: the noise stated, else that of the residuals.
double expected_scatter(const LiftCurve& reference, const LiftSample& reading, const PhaseFit& fit,
                        const PhaseFitOptions& options) {
  if (!options.noise) return fit.scatter.si();
  const double slope = fit.scale * lift_slope(reference, reading.at + fit.early);
  return std::hypot(options.noise->lift.si(), slope * options.noise->angle.si());
}

// Scatter and the reading that stands out most; its place counts from 1.
std::size_t describe_residuals(const LiftCurve& reference, Readings readings,
                               const PhaseFitOptions& options, PhaseFit& fit) {
  std::vector<double> residuals;
  double squares = 0;
  for (const LiftSample& reading : readings) {
    const double model = fit.scale * lift(reference, reading.at + fit.early).si();
    residuals.push_back(reading.lift.si() - model - fit.gauge_zero.si());
    squares += residuals.back() * residuals.back();
  }
  const double nu = static_cast<double>(readings.size()) - parameters(options);
  fit.scatter = Length::from_si(std::sqrt(squares / nu));
  std::size_t place = 1;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double expected = expected_scatter(reference, readings[i], fit, options);
    const double size = expected > 0 ? std::abs(residuals[i]) / expected : 0;
    if (size > fit.worst) {
      fit.worst = size;
      place = i + 1;
    }
  }
  return place;
}

void warn_of_turning_back(Readings readings, std::vector<std::string>& warnings) {
  for (std::size_t i = 1; i < readings.size(); ++i) {
    if (std::remainder((readings[i].at - readings[i - 1].at).si(), kCycle) >= 0) continue;
    warnings.push_back(
        fmt::format("reading {} was taken after turning back: play in the drive then stands on the "
                    "other side. Take all readings turning forward",
                    i + 1));
    return;
  }
}

void add_warnings(Readings readings, const Sides& sides, std::size_t worst_place, bool worse,
                  PhaseFit& fit) {
  auto& out = fit.warnings;
  if (readings.size() < kFewReadings)
    out.push_back(fmt::format("{} readings are few: {} or more show what the eye does not",
                              readings.size(), kFewReadings));
  if (std::min(sides.on_opening, sides.on_closing) < kFewOnFlank)
    out.push_back(fmt::format(
        "too few readings on the {} flank: lash and the zero of the gauge do not cancel, 0.15 mm "
        "of lash look like 2° crank",
        sides.on_opening < sides.on_closing ? "opening" : "closing"));
  warn_of_turning_back(readings, out);
  if (fit.flanks && !fit.flanks->agree)
    out.push_back(
        fmt::format("the two flanks differ by {:.1f}° crank, more than the readings scatter: lash, "
                    "a follower that bleeds down, or another lobe than the one of the table",
                    std::abs(in_crank_deg(fit.flanks->opening - fit.flanks->closing))));
  if (worse)
    out.push_back("the readings scatter more than was stated; the uncertainty is taken from them");
  if (fit.worst > kWild)
    out.push_back(fmt::format("reading {} is off by {:.1f} standard deviations: look at it again",
                              worst_place, fit.worst));
}

// Readings that stay on the base circle or the nose fit anything; the normal matrix does not know.
bool shows_phase(const Sides& sides, const PhaseFit& fit) {
  return fit.scale > 0 && sides.most_seen >= kLeastSeen * fit.scatter.si();
}

tl::unexpected<Refusal> not_seen() {
  return refuse(
      "these readings do not show the phase: the lift must rise or fall over several of them, as "
      "it does in the table of the lobe");
}

}  // namespace

Result<PhaseFit> phase_fit(const LiftCurve& reference, const std::vector<LiftSample>& readings,
                           const PhaseFitOptions& options) {
  if (const auto fine = check_readings(readings, options); !fine)
    return tl::make_unexpected(fine.error());
  const double start = best_start(reference, readings, options.search_within.si());
  const auto fitted =
      gauss_newton(reference, readings, start, weighting_of(options), options.fit_scale);
  if (!fitted) return not_seen();
  const Solution& solution = *fitted;
  const Uncertainty own = uncertainty_of(solution, readings.size(), options);
  PhaseFit out{.early = CrankAngle::from_si(std::remainder(solution.eps, kCycle)),
               .u = CrankAngle::from_si(own.u),
               .nu = own.nu,
               .U = CrankAngle::from_si(coverage_factor_95(own.nu) * own.u),
               .gauge_zero = Length::from_si(solution.zero),
               .scale = solution.scale};
  const std::size_t worst_place = describe_residuals(reference, readings, options, out);
  const Sides sides = sides_of(reference, readings, solution.eps, solution.scale);
  if (!shows_phase(sides, out)) return not_seen();
  out.flanks = flank_fits(reference, sides, solution.eps, options);
  add_warnings(readings, sides, worst_place, own.worse_than_stated, out);
  return out;
}

std::optional<CrankAngle> predicted_u(const LiftCurve& reference,
                                      const std::vector<CrankAngle>& angles,
                                      const ReadingNoise& noise) {
  std::vector<LiftSample> readings;
  for (const CrankAngle at : angles) readings.push_back({at, {}});
  const auto variance = eps_variance(reference, readings, weighting_of({.noise = noise}));
  if (!variance) return std::nullopt;
  return CrankAngle::from_si(std::sqrt(*variance));
}

}  // namespace tautmark::clearance
