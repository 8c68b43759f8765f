// SPDX-License-Identifier: Apache-2.0
#include "tighten/joint.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace tautmark::tighten {
namespace {

constexpr double kPi = std::numbers::pi;

double area(Length diameter) { return kPi / 4 * diameter.si() * diameter.si(); }

// Cone of pressure in the clamped sleeve, or the sleeve alone where the cone does not fit.
double parts_compliance(const Joint& joint) {
  const double w = joint.counterpart == Counterpart::nut ? 1 : 2;
  const double outer = joint.face.outer.si();
  const double hole = joint.face.hole.si();
  const double sleeve = joint.sleeve_outer.si();
  const double length = joint.clamped.si();
  const double modulus = joint.clamped_modulus.si();
  if (sleeve <= outer) {
    return length / (modulus * kPi / 4 * (sleeve * sleeve - hole * hole));
  }
  const double beta = length / outer;
  const double y = sleeve / outer;
  const double tan_cone = joint.counterpart == Counterpart::nut
                              ? 0.362 + 0.032 * std::log(beta / 2) + 0.153 * std::log(y)
                              : 0.348 + 0.013 * std::log(beta) + 0.193 * std::log(y);
  const double limit = outer + w * length * tan_cone;
  if (sleeve >= limit) {
    return 2 * std::log((outer + hole) * (limit - hole) / ((outer - hole) * (limit + hole))) /
           (w * kPi * modulus * hole * tan_cone);
  }
  const double cone =
      2 / (w * hole * tan_cone) *
      std::log((outer + hole) * (sleeve - hole) / ((outer - hole) * (sleeve + hole)));
  const double rest =
      4 * (length - (sleeve - outer) / (w * tan_cone)) / (sleeve * sleeve - hole * hole);
  return (cone + rest) / (kPi * modulus);
}

Result<Joint> sound(const Joint& joint) {
  Length grip = joint.free_thread;
  for (const ShankPiece& piece : joint.shank) {
    if (!(piece.length.si() >= 0) || !(piece.diameter.si() > 0)) {
      return refuse("a piece of the shank needs a length and a diameter above zero");
    }
    grip = grip + piece.length;
  }
  if (!(joint.clamped.si() > 0) || !(joint.free_thread.si() >= 0)) {
    return refuse("the clamped length must be above zero");
  }
  if (std::abs(grip.si() - joint.clamped.si()) > 1e-6) {
    return refuse(
        fmt::format("shank and free thread are {:.3f} mm together, the clamped length is {:.3f} mm",
                    in_mm(grip), in_mm(joint.clamped)));
  }
  if (!(joint.face.hole.si() > 0) || !(joint.face.outer > joint.face.hole) ||
      !(joint.sleeve_outer > joint.face.hole)) {
    return refuse("the ring under the head and the clamped part must be wider than the hole");
  }
  if (!(joint.bolt_modulus.si() > 0) || !(joint.clamped_modulus.si() > 0) ||
      !(joint.counterpart_modulus.si() > 0) || !(joint.uniform_strain > 0)) {
    return refuse("elastic moduli and the uniform strain must be above zero");
  }
  return joint;
}

}  // namespace

Result<Compliance> compliance(const Joint& joint) {
  if (Result<Joint> checked = sound(joint); !checked) return tl::make_unexpected(checked.error());
  const double d = joint.thread.nominal.si();
  const double bolt = joint.bolt_modulus.si();
  const double nominal_area = area(joint.thread.nominal);
  const double root_area = area(thread_sizes(joint.thread).root_diameter);
  Compliance c;
  c.head = (joint.head == HeadForm::hexagon ? 0.5 : 0.4) * d / (bolt * nominal_area);
  for (const ShankPiece& piece : joint.shank) {
    c.shank += piece.length.si() / (bolt * area(piece.diameter));
  }
  c.free_thread = joint.free_thread.si() / (bolt * root_area);
  c.engaged = 0.5 * d / (bolt * root_area);
  c.counterpart = (joint.counterpart == Counterpart::nut ? 0.4 : 0.33) * d /
                  (joint.counterpart_modulus.si() * nominal_area);
  c.parts = parts_compliance(joint);
  return c;
}

Result<Tightened> tightened(const Joint& joint, const TightenedBy& step) {
  const Result<Compliance> soft = compliance(joint);
  if (!soft) return tl::make_unexpected(soft.error());
  if (!(step.snug.si() >= 0) || !std::isfinite(step.snug.si()) || !(step.angle.si() >= 0) ||
      !std::isfinite(step.angle.si())) {
    return refuse("a snug torque and an angle are zero or more");
  }
  const Length b = torque_per_force(joint.thread, joint.friction, ring_mean(joint.face)).all();
  const double mu = joint.friction.thread;
  const double turn = joint.thread.pitch.si() / (2 * kPi);  // m per radian
  const double elastic = soft->bolt() + soft->parts;

  Tightened t;
  t.at_snug = preload_of(step.snug, b);
  t.per_degree = Force::from_si(joint.thread.pitch.si() / 360 / elastic);
  t.torque_per_degree = Torque::from_si(b.si() * t.per_degree.si());
  t.yield = preload_at(joint.thread, mu, joint.strength.yield);
  t.ultimate = preload_at(joint.thread, mu, joint.strength.tensile);
  if (t.at_snug > t.ultimate) {
    return refuse("the snug torque alone goes beyond what the shank bears at this friction");
  }
  const double plastic_length = joint.free_thread.si() + 0.5 * joint.thread.nominal.si();
  const double hardening = (t.ultimate - t.yield).si() / (joint.uniform_strain * plastic_length);
  t.to_yield = Angle::from_si((t.yield - t.at_snug).si() * elastic / turn);
  t.yields = step.angle > t.to_yield;
  // A snug torque beyond yield starts on the plastic line already.
  const double elastic_part = std::max(0.0, std::min(step.angle.si(), t.to_yield.si()));
  const double plastic_part = step.angle.si() - elastic_part;
  t.preload = t.at_snug + Force::from_si(elastic_part * turn / elastic) +
              Force::from_si(plastic_part * turn / (elastic + 1 / hardening));
  t.plastic = Length::from_si(std::max(0.0, (t.preload - t.yield).si() / hardening));
  t.plastic_strain = t.plastic.si() / plastic_length;
  t.of_strain = t.plastic_strain / joint.uniform_strain;
  t.end_torque = Torque::from_si(b.si() * t.preload.si());
  return t;
}

}  // namespace tautmark::tighten
