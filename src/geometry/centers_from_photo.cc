// SPDX-License-Identifier: Apache-2.0
#include "geometry/centers_from_photo.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace tautmark {
namespace {

struct Scale {
  double per_pixel = 0;
  double relative = 0;  // standard uncertainty
  double worst = 0;     // relative disagreement
  std::size_t worst_length = 0;
};

bool finite(const Tap& tap) { return std::isfinite(tap.x) && std::isfinite(tap.y); }

double pixels(const KnownLength& known) {
  return std::hypot(known.to.x - known.from.x, known.to.y - known.from.y);
}

std::optional<std::string> wrong_photo(const PhotoInputs& in) {
  if (in.centers.size() < 2) return "at least two centers must be tapped";
  if (in.known.empty()) return "the photo has no scale: a known length must be tapped";
  if (!std::isfinite(in.tap_uncertainty) || !(in.tap_uncertainty > 0)) {
    return "how well a tap hits (in pixels) must be above 0";
  }
  if (!std::isfinite(in.turned.si())) return "the angle by which the photo is turned is none";
  for (const TappedCenter& center : in.centers) {
    if (!finite(center.at)) return fmt::format("the center of \"{}\" is not tapped", center.name);
  }
  for (const KnownLength& known : in.known) {
    if (!finite(known.from) || !finite(known.to) || !(pixels(known) > 0)) {
      return fmt::format("\"{}\" needs two taps in different places", known.name);
    }
    if (!std::isfinite(known.length.si()) || !(known.length.si() > 0) ||
        !std::isfinite(known.uncertainty.si()) || known.uncertainty.si() < 0) {
      return fmt::format("the true length of \"{}\" must be above 0", known.name);
    }
  }
  return std::nullopt;
}

Scale scale_of(const PhotoInputs& in) {
  double squares = 0;
  double products = 0;
  double known_square = 0;
  for (const KnownLength& known : in.known) {
    const double l = pixels(known);
    squares += l * l;
    products += l * known.length.si();
    known_square += l * known.uncertainty.si() * l * known.uncertainty.si();
  }
  Scale scale{.per_pixel = products / squares};
  double chi = 0;
  for (std::size_t i = 0; i < in.known.size(); ++i) {
    const KnownLength& known = in.known[i];
    const double off = known.length.si() - scale.per_pixel * pixels(known);
    const double tap = scale.per_pixel * in.tap_uncertainty;
    chi += off * off / (2 * tap * tap + known.uncertainty.si() * known.uncertainty.si());
    const double relative = std::abs(off) / known.length.si();
    if (relative > scale.worst) {
      scale.worst = relative;
      scale.worst_length = i;
    }
  }
  const double scatter =
      in.known.size() > 1 ? std::max(1.0, chi / static_cast<double>(in.known.size() - 1)) : 1;
  const double taps = 2 * in.tap_uncertainty * in.tap_uncertainty / squares;
  const double lengths = known_square / (products * products);
  scale.relative = std::sqrt(scatter * (taps + lengths));
  return scale;
}

PlacedCenter placed(const PhotoInputs& in, const Scale& scale, const TappedCenter& center) {
  const Tap& origin = in.centers.front().at;
  const double x = scale.per_pixel * (center.at.x - origin.x);
  const double y = -scale.per_pixel * (center.at.y - origin.y);
  const double c = std::cos(in.turned.si());
  const double s = std::sin(in.turned.si());
  const double upright = c * x - s * y;
  const double tap = scale.per_pixel * in.tap_uncertainty;
  const bool first = &center == &in.centers.front();
  const double u = first ? 0 : std::hypot(std::sqrt(2.0) * tap, std::hypot(x, y) * scale.relative);
  return {
      .name = center.name,
      .at = {Length::from_si(in.from_behind ? -upright : upright), Length::from_si(s * x + c * y)},
      .uncertainty = Length::from_si(u)};
}

}  // namespace

Result<PhotoCenters> centers_from_photo(const PhotoInputs& in) {
  if (const auto why = wrong_photo(in)) return tl::make_unexpected(Refusal{*why});
  const Scale scale = scale_of(in);
  if (scale.worst > kMostDisagreement) {
    return tl::make_unexpected(
        Refusal{fmt::format("the known lengths disagree: \"{}\" is {:.1f} % off the scale of all; "
                            "a tap is wrong or the "
                            "camera was not square to the drive",
                            in.known[scale.worst_length].name, scale.worst * 100)});
  }
  PhotoCenters result{.per_pixel = Length::from_si(scale.per_pixel),
                      .scale_uncertainty = Ratio::from_si(scale.relative),
                      .worst_disagreement = Ratio::from_si(scale.worst)};
  for (const TappedCenter& center : in.centers) {
    result.centers.push_back(placed(in, scale, center));
  }
  return result;
}

}  // namespace tautmark
