// SPDX-License-Identifier: Apache-2.0
#include "geometry/centers_from_photo.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/chain_length.h"
#include "geometry/test_drives.h"

namespace tautmark {
namespace {

using ::testing::HasSubstr;

constexpr double kPerPixel = 0.2;  // mm

// A camera that looks square on: mm from the crank to pixels, the photo turned by `turned` degrees.
Tap tapped(double x, double y, double turned_by = 0, bool from_behind = false) {
  if (from_behind) x = -x;
  const Point p = turned(point_mm(x, y), -turned_by);
  return {1000 + in_mm(p.x) / kPerPixel, 2000 - in_mm(p.y) / kPerPixel};
}

PhotoInputs photo(double turned_by = 0, bool from_behind = false) {
  const auto tap = [&](double x, double y) { return tapped(x, y, turned_by, from_behind); };
  PhotoInputs in;
  in.tap_uncertainty = 2;
  in.turned = deg(turned_by);
  in.from_behind = from_behind;
  in.centers = {{"crank", tap(0, 0)}, {"intake", tap(-62, 362)}, {"exhaust", tap(62, 362)}};
  const Length diameter = pitch_diameter(mm(8), 38).value();
  const double r = in_mm(diameter) / 2;
  in.known = {{"intake sprocket", tap(-62 - r, 362), tap(-62 + r, 362), diameter, {}},
              {"twenty links", tap(86.5, 100), tap(86.5, 260), mm(160), {}}};
  return in;
}

// The trade's own coordinates come back through a made-up camera: upright, turned, from behind.
TEST(CentersFromPhoto, ReturnsWhatWasPhotographed) {
  for (const double turned_by : {0.0, 30.0, -115.0}) {
    for (const bool from_behind : {false, true}) {
      const auto result = centers_from_photo(photo(turned_by, from_behind));
      ASSERT_TRUE(result) << result.error().why;
      EXPECT_NEAR(in_mm(result->per_pixel), kPerPixel, 1e-12);
      EXPECT_NEAR(in_mm(result->centers[1].at.x), -62, 1e-9);
      EXPECT_NEAR(in_mm(result->centers[1].at.y), 362, 1e-9);
      EXPECT_NEAR(in_mm(result->centers[2].at.x), 62, 1e-9);
      EXPECT_EQ(result->centers[0].uncertainty.si(), 0);
    }
  }
}

// The stated uncertainty against 20 000 photos with taps that miss (direct simulation, error 1 %).
TEST(CentersFromPhoto, UncertaintyIsThatOfManyPhotos) {
  std::mt19937_64 engine(11);
  std::normal_distribution<double> miss(0, 2);
  const PhotoInputs exact = photo();
  const auto stated = centers_from_photo(exact);
  ASSERT_TRUE(stated);
  constexpr int kPhotos = 20'000;
  double along = 0;
  double scale = 0;
  for (int i = 0; i < kPhotos; ++i) {
    PhotoInputs in = exact;
    const auto off = [&](Tap& tap) {
      tap.x += miss(engine);
      tap.y += miss(engine);
    };
    for (TappedCenter& center : in.centers) off(center.at);
    for (KnownLength& known : in.known) {
      off(known.from);
      off(known.to);
    }
    const auto one = centers_from_photo(in);
    if (!one) continue;  // taps that disagree by chance
    along += std::pow(in_mm(one->centers[1].at.y) - 362, 2);
    scale += std::pow(one->per_pixel / stated->per_pixel - 1, 2);
  }
  EXPECT_NEAR(std::sqrt(scale / kPhotos) / stated->scale_uncertainty.si(), 1, 0.05);
  // `uncertainty` covers both coordinates with the whole distance, 367.3 mm against 362 along y.
  EXPECT_NEAR(std::sqrt(along / kPhotos) / in_mm(stated->centers[1].uncertainty), 1, 0.05);
}

TEST(CentersFromPhoto, Refusals) {
  PhotoInputs in = photo();
  in.known.clear();
  EXPECT_FALSE(centers_from_photo(in));
  in = photo();
  in.centers.resize(1);
  EXPECT_FALSE(centers_from_photo(in));
  in = photo();
  in.tap_uncertainty = 0;
  EXPECT_FALSE(centers_from_photo(in));
  in = photo();
  in.known[0].to = in.known[0].from;
  EXPECT_FALSE(centers_from_photo(in));
  in = photo();
  in.centers[1].at.x = std::nan("");
  EXPECT_FALSE(centers_from_photo(in));
  in = photo();
  in.known[1].length = mm(176);  // 22 links taken for 20
  const auto off = centers_from_photo(in);
  ASSERT_FALSE(off);
  EXPECT_THAT(off.error().why, HasSubstr("disagree"));
}

}  // namespace
}  // namespace tautmark
