// SPDX-License-Identifier: Apache-2.0
// Values: signals.md section 11, C3 and C7, and section 8; trade.md 6.A, 6.B and section 7,
// questions 4 to 6.
#include "recording/hypotheses.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <utility>

namespace tautmark {
namespace {

constexpr MeaningPriors kFour = {0.70, 0.15, 0.10, 0.05, 0, 0, 0};
constexpr MeaningPriors kFive = {0.68, 0.15, 0.10, 0.05, 0.02, 0, 0};

std::vector<PhaseEvidence> two_banks(double first, double second) {
  return {{"bank 1", first, 0.5, 1.5, 36, 1, 1, {}, {}},
          {"bank 2", second, 0.5, 1.5, 36, 1, 1, {}, {}}};
}

double value_of(const MeaningReport& report, Meaning meaning, bool posterior) {
  for (const MeaningAnswer& a : report.answers)
    if (a.meaning == meaning) return posterior ? a.posterior : a.log_evidence;
  return NAN;
}

TEST(Hypotheses, OneToothInCrankDegrees) {
  EXPECT_DOUBLE_EQ(tooth_in_crank_degrees(36), 20);
  EXPECT_NEAR(tooth_in_crank_degrees(42), 17.142857, 1e-6);
  EXPECT_NEAR(tooth_in_crank_degrees(46), 15.652174, 1e-6);
  EXPECT_DOUBLE_EQ(tooth_in_crank_degrees(48), 15);
}

TEST(Hypotheses, LogEvidencesAndPosteriorsOfTheSpecification) {
  struct Row {
    double d1, d2;
    double log[5];        // right, elongation, jump, slipped, jump and elongation
    double posterior[4];  // of the first four alone
    Meaning winner;       // of five
    double winner_posterior;
  };
  const Row rows[] = {
      {0.4,
       -0.6,
       {-2.8582, -4.1004, -80.7643, -5.0620, -18.1838},
       {0.935, 0.058, 0, 0.007},
       Meaning::right,
       0.933},
      {-5.1,
       -5.8,
       {-14.6842, -4.2833, -51.1708, -10.7789, -32.8961},
       {0, 0.999, 0, 0.001},
       Meaning::elongation,
       0.999},
      {-19.2,
       0.3,
       {-76.5002, -43.9868, -5.7905, -6.5309, -7.4437},
       {0, 0, 0.807, 0.193},
       Meaning::jump,
       0.783},
      {-20.6,
       -19.7,
       {-165.2442, -15.3417, -5.7345, -84.2526, -6.9407},
       {0, 0, 1, 0},
       Meaning::jump,
       0.943},
      {-11.0,
       0.2,
       {-26.9622, -16.7626, -21.8525, -5.9767, -20.8627},
       {0, 0, 0, 1},
       Meaning::slipped,
       1},
      {-26.0,
       -5.5,
       {-144.0042, -52.5886, -18.8945, -13.2385, -7.2471},
       {0, 0, 0.007, 0.993},
       Meaning::jump_and_elongation,
       0.994},
  };
  for (const Row& row : rows) {
    const auto cams = two_banks(row.d1, row.d2);
    const auto five = weigh_meanings(cams, kFive), four = weigh_meanings(cams, kFour);
    ASSERT_TRUE(five && four);
    for (std::size_t m = 0; m < 5; ++m) {
      const auto meaning = static_cast<Meaning>(m);
      EXPECT_NEAR(value_of(*five, meaning, false), row.log[m], 1e-4) << row.d1 << " " << m;
      if (m < 4) {
        EXPECT_NEAR(value_of(*four, meaning, true), row.posterior[m], 6e-4) << row.d1 << " " << m;
      }
    }
    EXPECT_EQ(five->answers[0].meaning, row.winner) << row.d1;
    EXPECT_NEAR(five->answers[0].posterior, row.winner_posterior, 6e-4) << row.d1;
  }
}

// Without the fifth hypothesis the answer is confident and wrong: the fit must say so.
TEST(Hypotheses, NoneFitsWhenTheRightOneIsMissing) {
  const auto four = weigh_meanings(two_banks(-26.0, -5.5), kFour);
  ASSERT_TRUE(four);
  EXPECT_TRUE(four->none_fits);
  const auto five = weigh_meanings(two_banks(-26.0, -5.5), kFive);
  ASSERT_TRUE(five);
  EXPECT_FALSE(five->none_fits);
}

TEST(Hypotheses, OneToothPlusWearNeedsTheUncertaintyOfTheReferenceNotTheWindow) {
  const auto at = [](double tolerance) {
    const std::vector<PhaseEvidence> cams = {
        {"intake", -21.4, 0.1, tolerance, 38, 1, 1.338, {}, {}},
        {"exhaust", -1.8, 0.1, tolerance, 38, 1, 1, {}, {}}};
    return weigh_meanings(cams, kFive).value();
  };
  const MeaningReport sharp = at(0.5);
  EXPECT_EQ(sharp.answers[0].meaning, Meaning::jump_and_elongation);
  EXPECT_NEAR(sharp.answers[0].posterior, 0.996, 6e-4);
  EXPECT_EQ(sharp.answers[0].jump, (std::vector<int>{-1, 0}));
  EXPECT_NEAR(sharp.answers[0].elongation[1], 1.8, 0.1);
  EXPECT_TRUE(sharp.separated);
  EXPECT_FALSE(sharp.none_fits);
  EXPECT_TRUE(sharp.sentence.starts_with("intake 1 tooth late and elongation: intake 2."))
      << sharp.sentence;
  EXPECT_NEAR(value_of(at(1.0), Meaning::jump_and_elongation, true), 0.625, 6e-4);
  EXPECT_NEAR(value_of(at(1.5), Meaning::jump_and_elongation, true), 0.271, 6e-4);
  EXPECT_NEAR(value_of(at(1.5), Meaning::jump, true), 0.450, 6e-4);
}

TEST(Hypotheses, EachChainHasItsOwnElongation) {
  const std::vector<PhaseEvidence> bank_2 = {{"bank 2", -2.2, 0.1, 0.5, 42, 2, 1, {}, {}}};
  const auto alone = weigh_meanings(bank_2, kFive);
  ASSERT_TRUE(alone);
  EXPECT_EQ(alone->answers[0].meaning, Meaning::elongation);
  EXPECT_NEAR(alone->answers[0].posterior, 0.949, 2e-3);
  const auto both = [](int second_chain) {
    const std::vector<PhaseEvidence> cams = {
        {"bank 1", -0.5, 0.1, 0.5, 42, 1, 1, {}, {}},
        {"bank 2", -2.2, 0.1, 0.5, 42, second_chain, 1, {}, {}}};
    return weigh_meanings(cams, kFive).value();
  };
  EXPECT_NEAR(value_of(both(1), Meaning::elongation, true), 0.739, 2e-3);
  EXPECT_GT(value_of(both(2), Meaning::elongation, true), 0.739);
  EXPECT_NEAR(both(2).answers[0].elongation[1], 2.2, 0.1);
}

TEST(Hypotheses, TradeQuestion5BothCamsSixDegreesLateIsWear) {
  const std::vector<PhaseEvidence> cams = {{"intake", -6, 0.1, 0.5, 38, 1, 1, {}, {}},
                                           {"exhaust", -6, 0.1, 0.5, 38, 1, 1, {}, {}}};
  const auto one_chain = weigh_meanings(cams);
  ASSERT_TRUE(one_chain);
  EXPECT_EQ(one_chain->answers[0].meaning, Meaning::elongation);
  EXPECT_LT(value_of(*one_chain, Meaning::jump, true), 1e-6);
  // On two chains an equal error is the crank side's, or both chains': it must be named.
  std::vector<PhaseEvidence> banks = cams;
  banks[1].chain = 2;
  const auto two_chains = weigh_meanings(banks);
  ASSERT_TRUE(two_chains);
  EXPECT_TRUE(two_chains->answers[0].meaning == Meaning::crank_reference ||
              two_chains->answers[1].meaning == Meaning::crank_reference);
  EXPECT_FALSE(two_chains->separated);
  EXPECT_NE(two_chains->sentence.find("cannot be separated from"), std::string::npos);
  // Early on both: a chain does not shrink.
  for (PhaseEvidence& bank : banks) bank.phase = 6;
  EXPECT_EQ(weigh_meanings(banks)->answers[0].meaning, Meaning::crank_reference);
}

TEST(Hypotheses, TradeQuestion6ElevenDegreesOnOneCamIsNoTooth) {
  std::vector<PhaseEvidence> cams = {{"intake", -11, 0.1, 0.5, 38, 1, 1, {}, {}},
                                     {"exhaust", 0.1, 0.1, 0.5, 38, 1, 1, {}, {}}};
  const auto slipped = weigh_meanings(cams);
  ASSERT_TRUE(slipped);
  EXPECT_EQ(slipped->answers[0].meaning, Meaning::slipped);
  EXPECT_EQ(slipped->answers[0].cam, 0);
  EXPECT_LT(value_of(*slipped, Meaning::jump, true), 1e-6);
  cams[0].travel_from = -45;
  cams[0].travel_to = 0;
  const auto phaser = weigh_meanings(cams);
  ASSERT_TRUE(phaser);
  EXPECT_EQ(phaser->answers[0].meaning, Meaning::phaser);
  EXPECT_FALSE(phaser->separated);  // from a slipped wheel
}

// 24 even teeth and a sprocket of 48: one tooth of all cams is one of the wheel's steps, so nothing
// is told from it; a tooth of one cam could be one of the other, the other way.
TEST(Hypotheses, EqualZerosHideAJumpOfAllCams) {
  const std::vector<double> zeros = {15, -15, 30, -30, 45, -45, 60, -60, 75, -75};
  const auto at = [](double first, double second, int teeth) {
    return std::vector<PhaseEvidence>{{"intake", first, 0.1, 0.5, teeth, 1, 1, {}, {}},
                                      {"exhaust", second, 0.1, 0.5, teeth, 1, 1, {}, {}}};
  };
  const auto right = weigh_meanings(at(0.1, 0.2, 48), kDefaultPriors, zeros);
  ASSERT_TRUE(right);
  EXPECT_EQ(right->answers[0].meaning, Meaning::right);
  EXPECT_FALSE(right->separated);
  EXPECT_EQ(right->hidden, "all cams 1 tooth early or late");
  const auto one = weigh_meanings(at(-15, 0, 48), kDefaultPriors, zeros);
  ASSERT_TRUE(one);
  EXPECT_EQ(one->answers[0].meaning, Meaning::jump);
  EXPECT_NEAR(one->answers[0].share, one->answers[0].rival_share, 1e-9);
  EXPECT_FALSE(one->separated);
  // Three zeros, 120 degrees apart, hide nothing; all is as without them.
  const auto plain = weigh_meanings(at(-15, 0, 48));
  ASSERT_TRUE(plain);
  EXPECT_TRUE(plain->hidden.empty());
  EXPECT_EQ(plain->answers[0].jump, (std::vector<int>{-1, 0}));
  EXPECT_GT(plain->answers[0].share, 0.999);
  // 38 teeth: 18.9 degrees is no step of the wheel, and is seen from the nearest.
  const auto seen = weigh_meanings(at(-720.0 / 38, 0, 38), kDefaultPriors, zeros);
  ASSERT_TRUE(seen);
  EXPECT_EQ(seen->answers[0].jump, (std::vector<int>{-1, 0}));
}

// Two banks with a chain each, 42 teeth, as Vessgarth's.
std::vector<PhaseEvidence> chain_each(double first, double second, bool phaser = false) {
  std::vector<PhaseEvidence> cams = {{"bank 1", first, 0.05, 0.5, 42, 0, 1, {}, {}},
                                     {"bank 2", second, 0.05, 0.5, 42, 1, 1, {}, {}}};
  if (phaser)
    for (PhaseEvidence& cam : cams) cam.travel_from = -50, cam.travel_to = 0;
  return cams;
}

constexpr double kTooth = 720.0 / 42;

TEST(Hypotheses, ChainsJumpByThemselves) {
  for (int first = -3; first <= 3; ++first) {
    for (int second = -3; second <= 3; ++second) {
      if (first == second) continue;
      const auto report = weigh_meanings(chain_each(first * kTooth, second * kTooth));
      ASSERT_TRUE(report);
      const MeaningAnswer& answer = report->answers[0];
      EXPECT_EQ(answer.meaning, Meaning::jump) << report->sentence;
      EXPECT_EQ(answer.jump, (std::vector<int>{first, second})) << report->sentence;
      EXPECT_FALSE(report->none_fits);
    }
  }
  // One bank worn as well, and both.
  for (const auto& [wear_1, wear_2] : {std::pair{0.0, 3.0}, {3.0, 0.0}, {3.0, 4.0}}) {
    const auto report = weigh_meanings(chain_each(-3 * kTooth - wear_1, kTooth - wear_2));
    ASSERT_TRUE(report);
    EXPECT_EQ(report->answers[0].meaning, Meaning::jump_and_elongation);
    EXPECT_EQ(report->answers[0].jump, (std::vector<int>{-3, 1})) << report->sentence;
    EXPECT_NEAR(report->answers[0].elongation[0], wear_1, 0.1);
    EXPECT_NEAR(report->answers[0].elongation[1], wear_2, 0.1);
  }
}

// Sums by hand: the four states of two chains, one jumped, k and wear fixed by the phases.
TEST(Hypotheses, EvidenceOfOneJumpOnTwoChains) {
  const auto report = weigh_meanings(chain_each(-kTooth, 0));
  ASSERT_TRUE(report);
  const double sigma = std::hypot(0.05, 0.5), peak = 1 / (sigma * std::sqrt(2 * std::numbers::pi));
  const double shares = 2 + 0.01;  // one chain or the other, or both
  EXPECT_NEAR(value_of(*report, Meaning::jump, false), std::log(0.35 * peak * peak / shares), 1e-6);
  // Wear that fits 0: half normal of scale 4 through N(0, sigma) is 1/(sqrt(2 pi) total).
  const double worn = 1 / (std::sqrt(2 * std::numbers::pi) * std::hypot(4, sigma));
  const double both = 0.75 * 0.25 * worn * worn, first = 0.75 * 0.75 * worn * peak;
  const double second = 0.25 * 0.25 * worn * peak;
  EXPECT_NEAR(value_of(*report, Meaning::jump_and_elongation, false),
              std::log(0.35 * (both + first + second) / (1 - 0.25 * 0.75) / shares), 1e-4);
}

// Wear of over 12 degrees beside a jump is no wear: different teeth on the cams of one chain.
TEST(Hypotheses, WearDoesNotStandInForATooth) {
  std::vector<PhaseEvidence> cams = chain_each(-2 * kTooth, -kTooth);
  cams[1].chain = 0;
  const auto report = weigh_meanings(cams);
  ASSERT_TRUE(report);
  EXPECT_EQ(report->answers[0].meaning, Meaning::jump_and_elongation);
  EXPECT_TRUE(report->none_fits) << report->sentence;
  EXPECT_TRUE(report->sentence.starts_with("none of these fits")) << report->sentence;
}

// trade.md section 7, question 5: equal on both banks is the crank side.
TEST(Hypotheses, TheSameToothOnBothBanksIsTheCrankSide) {
  for (const double apart : {0.0, 0.3, -0.3}) {
    for (const int teeth : {-2, -1, 1, 2}) {
      const auto report = weigh_meanings(chain_each(teeth * kTooth, teeth * kTooth + apart));
      ASSERT_TRUE(report);
      EXPECT_EQ(report->answers[0].meaning, Meaning::crank_reference) << report->sentence;
      EXPECT_GT(value_of(*report, Meaning::jump, true), 0.05) << report->sentence;
    }
  }
  // One chain: nothing tells the crank side from a jump of the chain.
  std::vector<PhaseEvidence> cams = chain_each(-kTooth, -kTooth);
  cams[1].chain = 0;
  const auto one = weigh_meanings(cams);
  ASSERT_TRUE(one);
  EXPECT_EQ(one->answers[0].jump, (std::vector<int>{-1, -1}));
}

TEST(Hypotheses, AToothAndPlausibleWearComeBeforeASlippedWheel) {
  for (const int teeth : {-3, -2, -1}) {
    for (double wear = 0; wear < 6; wear += 0.25) {
      for (const double other : {-0.6, -0.3, 0.0, 0.3}) {
        auto cams = chain_each(teeth * kTooth - wear, other, true);
        for (PhaseEvidence& cam : cams) cam.phaser_at_base = true;
        const auto report = weigh_meanings(cams);
        ASSERT_TRUE(report);
        EXPECT_EQ(report->answers[0].jump, (std::vector<int>{teeth, 0}))
            << wear << " " << other << " " << report->sentence;
        EXPECT_FALSE(report->none_fits);
      }
    }
  }
}

TEST(Hypotheses, APhaserAtItsBaseHasATenthOfItsPrior) {
  auto cams = chain_each(-11, 0, true);
  const auto unknown = weigh_meanings(cams);
  for (PhaseEvidence& cam : cams) cam.phaser_at_base = true;
  const auto at_base = weigh_meanings(cams);
  ASSERT_TRUE(unknown && at_base);
  EXPECT_NEAR(
      value_of(*unknown, Meaning::phaser, false) - value_of(*at_base, Meaning::phaser, false),
      std::log(10), 1e-9);
  EXPECT_EQ(at_base->answers[0].meaning, Meaning::slipped);
}

TEST(Hypotheses, WearWordsLeaveOutWhatIsOnTime) {
  const auto report = weigh_meanings(chain_each(1, -3));
  ASSERT_TRUE(report);
  for (const MeaningAnswer& a : report->answers) {
    EXPECT_EQ(a.words.find("on time"), std::string::npos) << a.words;
    if (a.meaning == Meaning::elongation) {
      EXPECT_TRUE(a.words.starts_with("elongation: bank 2 ")) << a.words;
    }
  }
  const auto none = weigh_meanings(chain_each(1, 1));
  ASSERT_TRUE(none);
  for (const MeaningAnswer& a : none->answers)
    if (a.meaning == Meaning::elongation) {
      EXPECT_EQ(a.words, "elongation too small to be seen");
    }
}

TEST(Hypotheses, JumpInsideARecording) {
  EXPECT_EQ(jump_of_step(-20.1, 0.1, 0.1, 36), -1);
  EXPECT_EQ(jump_of_step(40.0, 0.1, 0.1, 36), 2);
  EXPECT_EQ(jump_of_step(-20.5, 0.1, 0.1, 36), 0);  // no whole tooth
  EXPECT_EQ(jump_of_step(-20.0, 5.0, 1, 36), 0);    // inside the jitter
  EXPECT_EQ(jump_of_step(4.6, 0.1, 10, 36), 0);     // a phaser can do that
}

TEST(Hypotheses, Refusals) {
  EXPECT_FALSE(weigh_meanings({}));
  auto cams = two_banks(0, 0);
  cams[0].phase = NAN;
  EXPECT_FALSE(weigh_meanings(cams));
  cams = two_banks(0, 0);
  cams[1].teeth = 0;
  EXPECT_FALSE(weigh_meanings(cams));
  cams = two_banks(0, 0);
  cams[1].tolerance = cams[1].statistical = 0;
  EXPECT_FALSE(weigh_meanings(cams));
}

TEST(Hypotheses, PhaseIsWrittenWithItsWord) {
  EXPECT_EQ(phase_words(-2.41), "2.4° late (crank), 1.2° cam");
  EXPECT_EQ(phase_words(3), "3.0° early (crank), 1.5° cam");
  EXPECT_EQ(phase_words(0.01), "on time");
}

}  // namespace
}  // namespace tautmark
