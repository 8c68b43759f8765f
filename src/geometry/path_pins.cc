// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "geometry/path_model.h"
#include "geometry/track.h"

namespace tautmark {

// The spare links hang in the strands and guides behind the driving sprocket, so that sprockets
// keep one pin per tooth and the driving side stays taut.
std::vector<TrackPiece> track_of(const PathInputs& in, const Path& path) {
  std::vector<TrackPiece> all;
  all.reserve(2 * path.contacts.size());
  double slack = 0;
  std::size_t slack_end = 0;
  for (std::size_t k = 0; k < path.contacts.size(); ++k) {
    const PathContact& contact = path.contacts[k];
    const PathStrand& strand = path.strands[k];
    const PathElement& element = in.elements[contact.element];
    const Point center = element.kind == ElementKind::arm ? path.arm_center : element.center;
    all.push_back({contact.element, true, contact.arrives, contact.leaves, center,
                   contact.wrap * side_of(in, element), contact.pitches});
    all.push_back({contact.element, false, strand.leaves, strand.arrives, {}, {}, strand.pitches});
    if (k > 0 && element.kind == ElementKind::sprocket && slack_end == 0) slack_end = 2 * k;
  }
  if (slack_end == 0) slack_end = all.size();
  for (std::size_t i = 1; i < slack_end; ++i) slack += all[i].pitches;
  const double stretched = slack > 0 ? (slack + path.spare) / slack : 1;
  for (std::size_t i = 1; i < slack_end; ++i) all[i].pitches *= std::max(stretched, 0.0);
  return all;
}

Point point_on(const TrackPiece& piece, double part) {
  if (!piece.is_arc)
    return {piece.from.x + (piece.to.x - piece.from.x) * part,
            piece.from.y + (piece.to.y - piece.from.y) * part};
  const double c = std::cos(piece.sweep.si() * part);
  const double s = std::sin(piece.sweep.si() * part);
  const Length x = piece.from.x - piece.center.x, y = piece.from.y - piece.center.y;
  return {piece.center.x + x * c - y * s, piece.center.y + x * s + y * c};
}

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
  for (const TrackPiece& piece : track_of(in, path)) {
    const double end = start + piece.pitches;
    for (; laid < links && first + static_cast<double>(laid) < end; ++laid) {
      pins[pin] = point_on(piece, (first + static_cast<double>(laid) - start) / piece.pitches);
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
