// SPDX-License-Identifier: Apache-2.0
// Nominal edges from synthesised good engines with known truth.
#include "recording/learn.h"

#include <gtest/gtest.h>

#include <cmath>

#include "recording/synthesise.h"

namespace tautmark {
namespace {

struct Off {
  double bank_1 = 0, bank_2 = 0;  // advance positive
};

Synthesis engine_with(const Off& off, int seed) {
  Synthesis in;
  in.seed = static_cast<std::uint64_t>(seed);
  in.crank_teeth = slotted_teeth(36, {35});
  in.speed = {{4, 640.0 + 5 * seed, 650, 0.02, 3, 0.3}};
  in.sample_rate = 1e6;
  in.crank_jitter = 0.01;
  in.cams.resize(2);
  in.cams[0].targets = {52, 97, 232, 412, 592};
  in.cams[1].targets = {52, 232, 412, 457, 592};
  in.cams[0].offset = off.bank_1;
  in.cams[1].offset = off.bank_2;
  for (SynthCam& cam : in.cams) cam.jitter = 0.03;
  return in;
}

GoodEngine engine(const Synthesis& in) {
  DecodeOptions options;
  options.crank_polarity = 1;
  return {"e" + std::to_string(in.seed),
          decode_recording(synthesise(in).value().trains, options).value()};
}

std::vector<GoodEngine> engines(const std::vector<Off>& offs) {
  std::vector<GoodEngine> out;
  for (std::size_t i = 0; i < offs.size(); ++i)
    out.push_back(engine(engine_with(offs[i], static_cast<int>(i) + 1)));
  return out;
}

Nominals asked(bool with_edges = false) {
  Nominals out;
  out.crank_wheel = "36-1";
  out.crank_polarity = 1;
  out.cams = {{"bank 1", 2, {}}, {"bank 2", 3, {}}};
  if (with_edges) {
    out.cams[0].edges = {{52, 1}, {97, 1}};
    out.cams[1].edges = {{52, 1}, {457, 1}};
  }
  return out;
}

TEST(learn, mean_and_spread_are_those_put_in) {
  // Phases of bank 1: mean 0.4, squares about it 1.64; by hand.
  const auto learned = learn_nominals(
      engines({{1.2, 0}, {-0.5, 0.2}, {0.5, -0.2}, {0.1, 0.1}, {0.7, -0.1}}), asked(true));
  ASSERT_TRUE(learned) << learned.error().why;
  EXPECT_EQ(learned->used.size(), 5u);
  EXPECT_EQ(learned->crank_wheel, "36-1");
  ASSERT_EQ(learned->cams.size(), 2u);
  const LearnedCam& first = learned->cams[0];
  const double targets[] = {52, 97, 232, 412, 592};
  ASSERT_EQ(first.edges.size(), 5u);
  for (std::size_t e = 0; e < 5; ++e) EXPECT_NEAR(first.edges[e].angle, targets[e] - 0.4, 0.05);
  EXPECT_NEAR(first.seen, std::sqrt(1.64 / 4), 0.03);
  EXPECT_NEAR(first.spread.value(), first.seen, 1e-12);
  EXPECT_NEAR(first.phases[0], 0.8, 0.05);
  EXPECT_NEAR(learned->cams[1].spread.value(), 0.158, 0.03);
}

TEST(learn, few_engines_do_not_make_a_small_spread) {
  const auto two = learn_nominals(engines({{0, 0}, {0.1, 0.1}}), asked());
  ASSERT_TRUE(two) << two.error().why;
  EXPECT_EQ(two->cams[0].spread.value(), 0.5);
  const auto one = learn_nominals(engines({{0, 0}}), asked());
  ASSERT_TRUE(one);
  EXPECT_FALSE(one->cams[0].spread);
  EXPECT_NE(one->notes[1].find("cannot be known"), std::string::npos);
}

TEST(learn, one_of_three_that_jumped_is_named_and_left_out) {
  const auto learned = learn_nominals(engines({{-17.143, 0}, {0.3, 0}, {0, 0.2}}), asked(true));
  ASSERT_TRUE(learned) << learned.error().why;
  EXPECT_EQ(learned->used, (std::vector<std::string>{"e2", "e3"}));
  ASSERT_EQ(learned->left_out.size(), 1u);
  EXPECT_NE(learned->left_out[0].find("e1: bank 1 17.3° late (crank), 8.6° cam"), std::string::npos)
      << learned->left_out[0];
  EXPECT_NEAR(learned->cams[0].edges[0].angle, 51.85, 0.1);
}

TEST(learn, two_that_disagree_teach_nothing) {
  const auto learned = learn_nominals(engines({{-17.143, 0}, {0, 0}}), asked());
  ASSERT_FALSE(learned);
  EXPECT_NE(learned.error().why.find("e1"), std::string::npos);
  EXPECT_NE(learned.error().why.find("e2"), std::string::npos);
  EXPECT_FALSE(learn_nominals(engines({{-17, 0}, {0, 0}, {0, -17}}), asked(true)));
}

TEST(learn, what_cannot_be_learned_from) {
  std::vector<GoodEngine> good = engines({{0, 0}});
  Nominals other = asked();
  other.crank_wheel = "60-2";
  EXPECT_NE(learn_nominals(good, other).error().why.find("60-2"), std::string::npos);
  other = asked();
  other.cams[0].channel = 0;
  EXPECT_FALSE(learn_nominals(good, other));
  other.cams[0].channel = 7;
  EXPECT_NE(learn_nominals(good, other).error().why.find("e1: channel 7"), std::string::npos);
  EXPECT_FALSE(learn_nominals({}, asked()));

  Synthesis brief = engine_with({}, 2);
  brief.speed[0].duration = 1.1;  // 6 cycles at 650 1/min
  good.push_back(engine(brief));
  EXPECT_NE(learn_nominals(good, asked()).error().why.find("too few cycles"), std::string::npos);

  Synthesis hunting = engine_with({}, 3);
  hunting.cams[1].hunting = 3;
  const GoodEngine unsteady = engine(hunting);
  EXPECT_NE(
      learn_nominals(std::vector<GoodEngine>{unsteady}, asked()).error().why.find("hold still"),
      std::string::npos);

  Synthesis wheel = engine_with({}, 4);
  wheel.crank_teeth = slotted_teeth(60, {58, 59});
  good.back() = engine(wheel);
  Nominals any = asked();
  any.crank_wheel.clear();
  EXPECT_NE(learn_nominals(good, any).error().why.find("in e1 it is 36-1"), std::string::npos);
}

TEST(learn, few_crank_teeth_are_said) {
  Synthesis in = engine_with({}, 1);
  in.crank_teeth = {0, 70, 180, 250};
  in.speed = {{6, 640, 640, 0, 2, 0}};
  DecodeOptions options;
  options.crank_channel = 1;
  const auto decoded = decode_recording(synthesise(in).value().trains, options);
  ASSERT_TRUE(decoded) << decoded.error().why;
  Nominals any = asked();
  any.crank_wheel.clear();
  const auto learned = learn_nominals(std::vector<GoodEngine>{{"few", *decoded}}, any);
  ASSERT_TRUE(learned) << learned.error().why;
  std::string notes;
  for (const std::string& note : learned->notes) notes += note + "\n";
  EXPECT_NE(notes.find("few crank teeth"), std::string::npos) << notes;
  EXPECT_NE(notes.find("2 equal zeros"), std::string::npos) << notes;
}

}  // namespace
}  // namespace tautmark
