// SPDX-License-Identifier: Apache-2.0
// own: oil.md 5.2, oil-checks.yaml lock-pin; pressures at the pin of oil.md 3.4.
#include "oil/lock_pin.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <string>

#include "oil/test_near.h"

namespace tautmark::oil {
namespace {

Estimated<Force> newtons(double v, double U = 0) { return {Force::from_si(v), U}; }
Estimated<Pressure> pascals(double v, double U = 0.02) { return {Pressure::from_si(v), U}; }

LockPin usual(double friction = 0, double U = 0) {
  return {.diameter = {mm(6), U},
          .spring_at_rest = newtons(2.0, U),
          .spring_compressed = newtons(2.8, U),
          .friction = newtons(friction, U),
          .side = newtons(0)};
}

TEST(LockPin, ReleasePressures) {
  const auto got = lock_pin_release(usual());
  ASSERT_TRUE(got) << got.error().why;
  expect_relative(got->start.value.si(), 70735.5302631);
  expect_relative(got->full.value.si(), 99029.7423683);
  expect_relative(lock_pin_release(usual(0.4))->full.value.si(), 113176.848421);
  LockPin pressed = usual();
  pressed.side = newtons(0.4);
  expect_relative(lock_pin_release(pressed)->full.value.si(), 113176.848421);
}

// By hand: 10 % of the only force, and twice 10 % of the diameter.
TEST(LockPin, CarriesItsUncertainty) {
  EXPECT_NEAR(lock_pin_release(usual(0, 0.1))->full.U, std::sqrt(0.01 + 0.04), 1e-12);
}

TEST(LockPin, Refuses) {
  LockPin bad = usual();
  bad.side = {};
  EXPECT_FALSE(lock_pin_release(bad));
  bad = usual();
  bad.spring_compressed = newtons(1);
  EXPECT_FALSE(lock_pin_release(bad));
  bad = usual(-1);
  EXPECT_FALSE(lock_pin_release(bad));
  bad = usual();
  bad.diameter = {mm(0), 0};
  EXPECT_FALSE(lock_pin_release(bad));
}

TEST(LockPin, States) {
  const auto release = *lock_pin_release(usual());
  EXPECT_EQ(pin_state(release, {}), PinState::not_known);
  EXPECT_EQ(pin_state(release, pascals(34279)), PinState::home);  // case W of oil.md 3.4
  EXPECT_EQ(pin_state(release, pascals(85e3)), PinState::half_way);
  EXPECT_EQ(pin_state(release, pascals(70e3)), PinState::not_free);
  EXPECT_EQ(pin_state(release, pascals(99e3)), PinState::not_known);
  EXPECT_EQ(pin_state(release, pascals(158461)), PinState::free);  // case H
}

StuckAtLock cause(const std::optional<Estimated<Pressure>>& hot,
                  const std::optional<Estimated<Pressure>>& cold,
                  PinPassage passage = PinPassage::advance) {
  const auto got = stuck_at_lock(
      {.release = *lock_pin_release(usual()), .passage = passage, .hot = hot, .cold = cold});
  EXPECT_TRUE(got);
  return got->cause;
}

// A worn journal is invisible cold and shows hot: 0.34 bar of case W, and about 4.4 bar at 20 °C.
TEST(StuckAtLock, FromPressureHotAndCold) {
  EXPECT_EQ(cause(pascals(34279), pascals(440e3)), StuckAtLock::pressure_short_hot);
  EXPECT_EQ(cause(pascals(34279), pascals(50e3)), StuckAtLock::pressure_short);
  EXPECT_EQ(cause(pascals(158e3), pascals(50e3)), StuckAtLock::pressure_short_cold);
  EXPECT_EQ(cause(pascals(158e3), pascals(440e3)), StuckAtLock::pressure_enough);
  EXPECT_EQ(cause(pascals(85e3), pascals(440e3)), StuckAtLock::pressure_short_hot);
  EXPECT_THAT(std::string(meaning(StuckAtLock::pressure_enough)), ::testing::HasSubstr("sideways"));
}

TEST(StuckAtLock, MissingDataIsOpen) {
  EXPECT_EQ(cause(pascals(34279), {}), StuckAtLock::cannot_tell);
  EXPECT_EQ(cause({}, pascals(440e3)), StuckAtLock::cannot_tell);
  EXPECT_EQ(cause(pascals(99e3), pascals(440e3)), StuckAtLock::cannot_tell);
  EXPECT_EQ(cause(pascals(158e3), pascals(440e3), PinPassage::not_known), StuckAtLock::cannot_tell);
  EXPECT_FALSE(stuck_at_lock({.release = *lock_pin_release(usual()),
                              .passage = PinPassage::supply,
                              .hot = Estimated<Pressure>{.value = kPa(34)}}));
}

RC_GTEST_PROP(LockPinProperty, MorePressureNeverShutsThePin, ()) {
  const auto release = *lock_pin_release(usual(*rc::gen::inRange(0, 10) * 0.1, 0.05));
  const double p = *rc::gen::inRange(1, 300) * 1e3;
  RC_ASSERT(release.start.value < release.full.value);
  if (pin_state(release, pascals(p)) == PinState::free)
    RC_ASSERT(pin_state(release, pascals(1.2 * p)) == PinState::free);
  if (pin_state(release, pascals(p)) == PinState::home)
    RC_ASSERT(pin_state(release, pascals(0.8 * p)) == PinState::home);
}

}  // namespace
}  // namespace tautmark::oil
