// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "geometry/path.h"
#include "geometry/path_model.h"

namespace tautmark {
namespace {

// One stretch of the loop, an arc or a strand, with what it counts and how many pins it gets.
struct Stretch {
  std::size_t contact = 0;
  bool arc = true;
  double pitches = 0;  // with its share of the spare links
};

// Arc, strand, arc, strand …; the spare links hang in the strands and guides behind the driving
// sprocket, so that sprockets keep one pin per tooth and the driving side stays taut.
std::vector<Stretch> stretches_of(const PathInputs& in, const Path& path) {
  std::vector<Stretch> all;
  all.reserve(2 * path.contacts.size());
  double slack = 0;
  std::size_t slack_end = 0;
  for (std::size_t k = 0; k < path.contacts.size(); ++k) {
    all.push_back({k, true, path.contacts[k].pitches});
    all.push_back({k, false, path.strands[k].pitches});
    const bool sprocket = in.elements[path.contacts[k].element].kind == ElementKind::sprocket;
    if (k > 0 && sprocket && slack_end == 0) slack_end = 2 * k;
  }
  if (slack_end == 0) slack_end = all.size();
  for (std::size_t i = 1; i < slack_end; ++i) slack += all[i].pitches;
  const double stretched = slack > 0 ? (slack + path.spare) / slack : 1;
  for (std::size_t i = 1; i < slack_end; ++i) all[i].pitches *= std::max(stretched, 0.0);
  return all;
}

Point along_strand(const PathStrand& strand, double part) {
  return {strand.leaves.x + (strand.arrives.x - strand.leaves.x) * part,
          strand.leaves.y + (strand.arrives.y - strand.leaves.y) * part};
}

struct Arc {
  Offset<double> center, start;  // start as seen from the center
  double turn = 0;               // counterclockwise, whole arc
};

Arc arc_of(const PathInputs& in, const Path& path, const PathContact& contact) {
  const PathElement& element = in.elements[contact.element];
  const Point center = element.kind == ElementKind::arm ? path.arm_center : element.center;
  return {{center.x.si(), center.y.si()},
          {(contact.arrives.x - center.x).si(), (contact.arrives.y - center.y).si()},
          side_of(in, element) * contact.wrap.si()};
}

Point along_arc(const Arc& arc, double part) {
  const double c = std::cos(arc.turn * part);
  const double s = std::sin(arc.turn * part);
  return {Length::from_si(arc.center.x + c * arc.start.x - s * arc.start.y),
          Length::from_si(arc.center.y + s * arc.start.x + c * arc.start.y)};
}

}  // namespace

std::vector<Point> pin_points(const PathInputs& in, const Path& path, double travel) {
  if (!std::isfinite(travel)) return {};
  const std::size_t links = static_cast<std::size_t>(in.links);
  std::vector<Point> pins(links);
  const double first = travel - std::floor(travel);  // of the pin nearest to the start
  // Pin i stands at i + travel: the one at `first` is pin -floor(travel), in the ring of links.
  const double behind = std::fmod(-std::floor(travel), static_cast<double>(links));
  std::size_t pin = static_cast<std::size_t>(behind < 0 ? behind + in.links : behind);
  std::size_t laid = 0;
  double start = 0;
  for (const Stretch& stretch : stretches_of(in, path)) {
    const double end = start + stretch.pitches;
    const PathContact& contact = path.contacts[stretch.contact];
    const Arc arc = arc_of(in, path, contact);
    for (; laid < links && first + static_cast<double>(laid) < end; ++laid) {
      const double part = (first + static_cast<double>(laid) - start) / stretch.pitches;
      pins[pin] =
          stretch.arc ? along_arc(arc, part) : along_strand(path.strands[stretch.contact], part);
      pin = pin + 1 == links ? 0 : pin + 1;
    }
    start = end;
  }
  // Rounding can leave the last pin just past the end, which is the start.
  for (; laid < links; ++laid) {
    pins[pin] = path.contacts.front().arrives;
    pin = pin + 1 == links ? 0 : pin + 1;
  }
  return pins;
}

}  // namespace tautmark
