// SPDX-License-Identifier: Apache-2.0
#include "oil/tensioner.h"

#include <cmath>
#include <numbers>

namespace tautmark::oil {
namespace {

constexpr double kLongGap = 100;

Result<void> check(const Plunger& plunger, DynamicViscosity viscosity) {
  if (!is_positive(plunger.diameter.si()) || !is_positive(plunger.clearance.si()) ||
      !is_positive(plunger.guided.si()))
    return refuse("diameter, clearance and guided length of the plunger are above 0");
  if (!(plunger.eccentricity >= 0 && plunger.eccentricity <= 1))
    return refuse("the plunger is eccentric by 0 to 1 clearance");
  if (!is_not_negative(plunger.ball_leak)) return refuse("a leak of the check ball is not below 0");
  if (!(plunger.guided / plunger.clearance > kLongGap))
    return refuse(
        "the plunger is guided over less than 100 clearances: oil leaves it as through a "
        "hole, not as through a gap");
  if (!is_positive(viscosity.si())) return refuse("oil has a viscosity above 0");
  return {};
}

double eccentric_factor(double eccentricity) { return 1 + 1.5 * eccentricity * eccentricity; }

// m³, without viscosity.
double gap(const Plunger& plunger, double guided) {
  return std::numbers::pi * plunger.diameter.si() * std::pow(plunger.clearance.si(), 3) *
         eccentric_factor(plunger.eccentricity) / (12 * guided);
}

}  // namespace

double plunger_area(Length diameter) {
  return std::numbers::pi * diameter.si() * diameter.si() / 4;
}

Result<double> damping(const Plunger& plunger, DynamicViscosity viscosity) {
  if (const auto fine = check(plunger, viscosity); !fine) return tl::make_unexpected(fine.error());
  const double area = plunger_area(plunger.diameter);
  return viscosity.si() * area * area / (gap(plunger, plunger.guided.si()) + plunger.ball_leak);
}

Result<LeakDown> leak_down(const LeakDownInputs& in) {
  const auto damper = damping(in.plunger, in.viscosity);
  if (!damper) return tl::make_unexpected(damper.error());
  if (!is_positive(in.net.si()) || !is_positive(in.stroke.si()))
    return refuse("a leak-down needs a load on the oil and a stroke, both above 0");
  if (!(std::abs(in.guided_grows) <= 1))
    return refuse("the guided length changes by no more than the stroke");
  const Plunger& plunger = in.plunger;
  const double guided = plunger.guided.si(), stroke = in.stroke.si();
  if (!((guided + in.guided_grows * stroke) / plunger.clearance.si() > kLongGap))
    return refuse("the guide of the plunger ends before its stroke does");
  const double area = plunger_area(plunger.diameter);
  LeakDown out;
  out.chamber = Pressure::from_si(in.net.si() / area);
  if (in.vent && !(out.chamber < *in.vent))
    return refuse("the relief in the plunger opens under this load: that is no leak-down");
  // The film moves with half the plunger's speed, in with it, and takes room from what leaks out.
  const double slower =
      in.film_dragged ? 1 + plunger.clearance.si() / (plunger.diameter.si() / 2) : 1;
  const auto speed_at = [&](double length) {
    return in.net.si() * (gap(plunger, length) + plunger.ball_leak) /
           (in.viscosity.si() * area * area) / slower;
  };
  out.speed = speed_at(guided);
  // dt = ds / v(s); Simpson in pieces, exact where the ball seats (1/v is then straight in s).
  constexpr int kPieces = 64;
  double time = 0;
  for (int i = 0; i < kPieces; ++i) {
    const double width = stroke / kPieces;
    const auto slowness = [&](double s) { return 1 / speed_at(guided + in.guided_grows * s); };
    time += width / 6 *
            (slowness(i * width) + 4 * slowness((i + 0.5) * width) + slowness((i + 1) * width));
  }
  out.time = Time::from_si(time);
  return out;
}

Result<Estimated<Length>> clearance_of_leak_down(const Plunger& plunger,
                                                 const Estimated<DynamicViscosity>& viscosity,
                                                 const Estimated<Force>& net,
                                                 const Estimated<Length>& stroke,
                                                 const Estimated<Time>& time) {
  if (!is_stated(viscosity) || !is_stated(net) || !is_stated(stroke) || !is_stated(time))
    return refuse("viscosity, load, stroke and time each need a value and its uncertainty");
  if (!(viscosity.value.si() > 0) || !(net.value.si() > 0) || !(stroke.value.si() > 0) ||
      !(time.value.si() > 0))
    return refuse("viscosity, load, stroke and time are above 0");
  if (!is_positive(plunger.diameter.si()) || !is_positive(plunger.guided.si()))
    return refuse("diameter and guided length of the plunger are above 0");
  const double area = plunger_area(plunger.diameter);
  const double cube = 12 * viscosity.value.si() * plunger.guided.si() * area * area *
                      stroke.value.si() /
                      (std::numbers::pi * plunger.diameter.si() * net.value.si() * time.value.si());
  Plunger found = plunger;
  found.eccentricity = found.ball_leak = 0;
  found.clearance = Length::from_si(std::cbrt(cube));
  if (const auto fine = check(found, viscosity.value); !fine)
    return tl::make_unexpected(fine.error());
  return Estimated<Length>{found.clearance,
                           std::hypot(std::hypot(viscosity.U, net.U), stroke.U, time.U) / 3};
}

Result<OilSpring> oil_spring(const OilSpringInputs& in) {
  const auto damper = damping(in.plunger, in.viscosity);
  if (!damper) return tl::make_unexpected(damper.error());
  if (!is_positive(in.bulk.si()) || !is_positive(in.chamber.si()) || !is_positive(in.at.si()))
    return refuse("bulk modulus, chamber and frequency are above 0");
  if (!is_not_negative(in.alternating.si())) return refuse("an amplitude is not below 0");
  const double area = plunger_area(in.plunger.diameter);
  OilSpring out;
  out.damping = *damper;
  out.spring = in.bulk.si() * area * area / in.chamber.si();
  out.relaxes = Time::from_si(out.damping / out.spring);
  out.swing = Length::from_si(
      in.alternating.si() *
      std::hypot(1 / out.spring, 1 / (out.damping * 2 * std::numbers::pi * in.at.si())));
  return out;
}

Result<SealDivider> seal_divider(Pressure gallery, double feed, double tear, Density density) {
  if (!is_not_negative(gallery.si()) || !is_not_negative(feed) || !is_not_negative(tear))
    return refuse("gallery pressure, feed hole and tear are not below 0");
  if (!is_positive(density.si())) return refuse("oil has a density above 0");
  if (feed == 0 && tear == 0)
    return refuse("a blocked feed and a whole seal: nothing says what pressure is shut in");
  const double p = gallery.si() * feed * feed / (feed * feed + tear * tear);
  return SealDivider{Pressure::from_si(p), Flow::from_si(tear * std::sqrt(2 * p / density.si()))};
}

Result<TensionerState> tensioner_state(const Tensioner& tensioner, DynamicViscosity viscosity,
                                       Density density) {
  const auto damper = damping(tensioner.plunger, viscosity);
  if (!damper) return tl::make_unexpected(damper.error());
  if (!is_not_negative(tensioner.preload.si()) || !is_not_negative(tensioner.rate) ||
      !std::isfinite(tensioner.pushed_in.si()))
    return refuse("preload and rate of the tensioner spring are not below 0");
  if (!is_positive(tensioner.check)) return refuse("the check valve opens a hole above 0");
  TensionerState out;
  // Blocked: what is shut in leaks off past the plunger, and nothing comes after it.
  if (tensioner.feed != 0) {
    const auto divider = seal_divider(tensioner.gallery, tensioner.feed, tensioner.tear, density);
    if (!divider) return tl::make_unexpected(divider.error());
    out.at_tensioner = divider->at_tensioner;
    out.lost = divider->lost;
  } else if (!is_positive(density.si())) {
    return refuse("oil has a density above 0");
  }
  const double area = plunger_area(tensioner.plunger.diameter), p = out.at_tensioner.si();
  out.static_force =
      tensioner.preload + Force::from_si(tensioner.rate * tensioner.pushed_in.si() + p * area);
  out.damping = *damper;
  out.refill = tensioner.check * std::sqrt(2 * p / density.si()) / area;
  return out;
}

Result<Time> refill_time(Volume volume, double area, Pressure feed, Density density) {
  if (!is_positive(volume.si()) || !is_positive(area) || !is_positive(feed.si()) ||
      !is_positive(density.si()))
    return refuse("volume, hole, pressure and density are above 0");
  return Time::from_si(volume.si() / (area * std::sqrt(2 * feed.si() / density.si())));
}

Result<Time> refill_time_thick(Volume volume, Length hole, Length length, Pressure feed,
                               DynamicViscosity viscosity) {
  if (!is_positive(volume.si()) || !is_positive(hole.si()) || !is_positive(length.si()) ||
      !is_positive(feed.si()) || !is_positive(viscosity.si()))
    return refuse("volume, hole, its length, pressure and viscosity are above 0");
  const double flow =
      std::numbers::pi * std::pow(hole.si(), 4) * feed.si() / (128 * viscosity.si() * length.si());
  return Time::from_si(volume.si() / flow);
}

}  // namespace tautmark::oil
