// SPDX-License-Identifier: Apache-2.0
// M6.1 to M6.15: the reference study of AIAG, Measurement Systems Analysis, 4th edition.
#include "measure/gauge_rr.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace tautmark {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

GaugeStudy aiag_study() {
  return {.parts = 10,
          .appraisers = 3,
          .trials = 3,
          .readings = {0.29,  -0.56, 1.34, 0.47, -0.80, 0.02,  0.59, -0.31, 2.26, -1.36,
                       0.41,  -0.68, 1.17, 0.50, -0.92, -0.11, 0.75, -0.20, 1.99, -1.25,
                       0.64,  -0.58, 1.27, 0.64, -0.84, -0.21, 0.66, -0.17, 2.01, -1.31,
                       0.08,  -0.47, 1.19, 0.01, -0.56, -0.20, 0.47, -0.63, 1.80, -1.68,
                       0.25,  -1.22, 0.94, 1.03, -1.20, 0.22,  0.55, 0.08,  2.12, -1.62,
                       0.07,  -0.68, 1.34, 0.20, -1.28, 0.06,  0.83, -0.34, 2.19, -1.50,
                       0.04,  -1.38, 0.88, 0.14, -1.46, -0.29, 0.02, -0.46, 1.77, -1.49,
                       -0.11, -1.13, 1.09, 0.20, -1.07, -0.67, 0.01, -0.56, 1.45, -1.77,
                       -0.15, -0.96, 0.67, 0.11, -1.45, -0.49, 0.21, -0.49, 1.87, -2.16}};
}

// M6.1 to M6.5; published (rounded intermediates) 0.3417, 0.4446, 3.511; 0.20188, 0.22963, 0.30575;
// 1.10456, 1.14610; 17.62, 20.04, 26.68, 96.38 %; ndc 5.
TEST(RangeGaugeRr, HasTheValuesOfTheReferenceStudy) {
  const auto r = range_gauge_rr(aiag_study());
  ASSERT_TRUE(r) << r.error().why;
  EXPECT_NEAR(r->mean_range, 0.3416666666666667, 1e-12);
  EXPECT_NEAR(r->appraiser_range, 0.444666667, 1e-9);
  EXPECT_NEAR(r->part_range, 3.511111111, 1e-9);
  EXPECT_NEAR(r->equipment, 0.20185666666666666, 1e-9);
  EXPECT_NEAR(r->appraiser, 0.2296670291032038, 1e-9);
  EXPECT_NEAR(r->grr, 0.3057663456544386, 1e-9);
  EXPECT_NEAR(r->part, 1.1045955555555556, 1e-9);
  EXPECT_NEAR(r->total, 1.1461345468521382, 1e-9);
  EXPECT_NEAR(100 * r->equipment / r->total, 17.611952, 1e-6);
  EXPECT_NEAR(100 * r->appraiser / r->total, 20.038400, 1e-6);
  EXPECT_NEAR(100 * r->grr / r->total, 26.678050, 1e-6);
  EXPECT_NEAR(100 * r->part / r->total, 96.375732, 1e-6);
  EXPECT_NEAR(r->categories_exact, 5.093692, 1e-6);
  EXPECT_EQ(r->categories, 5);
  EXPECT_NEAR(r->range_limit, 2.58 * 0.3416666666666667, 1e-12);
}

// M6.6 to M6.9; published 3.1673, 88.3619, 0.3590, 2.7589, 94.6471; F 492.291, 79.406, 0.434;
// p 0.974.
TEST(AnovaGaugeRr, HasTheTableOfTheReferenceStudy) {
  const auto a = anova_gauge_rr(aiag_study());
  ASSERT_TRUE(a) << a.error().why;
  EXPECT_NEAR(a->appraisers.sum_of_squares, 3.167262222222223, 1e-9);
  EXPECT_NEAR(a->parts.sum_of_squares, 88.36193444444444, 1e-9);
  EXPECT_NEAR(a->interaction.sum_of_squares, 0.35898222222220966, 1e-9);
  EXPECT_NEAR(a->error.sum_of_squares, 2.7589333333333457, 1e-9);
  EXPECT_NEAR(a->total.sum_of_squares, 94.64711222222222, 1e-9);
  EXPECT_NEAR(a->appraisers.mean_square, 1.583631111, 1e-9);
  EXPECT_NEAR(a->parts.mean_square, 9.817992716, 1e-9);
  EXPECT_NEAR(a->interaction.mean_square, 0.019943457, 1e-9);
  EXPECT_NEAR(a->error.mean_square, 0.045982222, 1e-9);
  EXPECT_NEAR(a->f_interaction.value(), 0.433721030135086, 1e-9);
  EXPECT_NEAR(a->p_interaction.value(), 0.974106404, 1e-9);
  EXPECT_NEAR(a->f_parts.value(), 492.291423, 1e-6);
  EXPECT_NEAR(a->f_appraisers.value(), 79.406049, 1e-6);
}

// M6.10 to M6.15; published variances 0.03997, 0.05146, 0.09143, 1.08645; 7.76 %, 27.86 %; ndc 4.
TEST(AnovaGaugeRr, HasTheVariancesOfTheReferenceStudy) {
  const auto a = anova_gauge_rr(aiag_study());
  ASSERT_TRUE(a);
  EXPECT_TRUE(a->interaction_pooled);
  EXPECT_NEAR(a->repeatability_variance, 0.03997327635327635, 1e-10);
  EXPECT_NEAR(a->appraiser_variance, 0.05145526115859451, 1e-10);
  EXPECT_NEAR(a->grr_variance, 0.091428538, 1e-9);
  EXPECT_NEAR(a->part_variance, 1.0864466044106784, 1e-9);
  EXPECT_EQ(a->interaction_variance, 0);
  EXPECT_NEAR(std::sqrt(a->grr_variance), 0.3023715223229047, 1e-9);
  EXPECT_NEAR(std::sqrt(a->part_variance), 1.042327494, 1e-9);
  EXPECT_NEAR(std::sqrt(a->total_variance), 1.085299563, 1e-9);
  EXPECT_NEAR(100 * a->grr_variance / a->total_variance, 7.762159, 1e-6);
  EXPECT_NEAR(100 * std::sqrt(a->grr_variance / a->total_variance), 27.860651, 1e-6);
  EXPECT_NEAR(a->categories_exact, 4.860516, 1e-6);
  EXPECT_EQ(a->categories, 4);
  EXPECT_NEAR(a->repeatability_sd_not_pooled, 0.2144346572320399, 1e-9);
}

// M6.15: alpha 1 never pools.
TEST(AnovaGaugeRr, KeepsTheInteractionWhereItIsAskedTo) {
  const auto a = anova_gauge_rr(aiag_study(), 1);
  ASSERT_TRUE(a);
  EXPECT_FALSE(a->interaction_pooled);
  EXPECT_NEAR(std::sqrt(a->repeatability_variance), 0.2144346572320399, 1e-9);
  EXPECT_EQ(a->interaction_variance, 0);  // its mean square is below that of the error
}

TEST(GaugeRr, DoesNotDependOnTheZeroOfTheReadings) {
  GaugeStudy shifted = aiag_study();
  for (double& reading : shifted.readings) reading += 1000;
  const auto a = anova_gauge_rr(shifted);
  ASSERT_TRUE(a);
  EXPECT_NEAR(a->interaction.sum_of_squares, 0.35898222222220966, 1e-7);
  EXPECT_NEAR(range_gauge_rr(shifted)->grr, 0.3057663456544386, 1e-9);
}

TEST(GaugeRr, GivesNoVerdictOnAStudyWithoutScatter) {
  GaugeStudy flat{
      .parts = 3, .appraisers = 2, .trials = 2, .readings = std::vector<double>(12, 25)};
  EXPECT_FALSE(range_gauge_rr(flat));
  ASSERT_FALSE(anova_gauge_rr(flat));
  EXPECT_EQ(anova_gauge_rr(flat).error().why.rfind("no verdict", 0), 0u);
  // Parts differ, repeats do not: the resolution hides the gauge.
  GaugeStudy coarse{.parts = 2, .appraisers = 2, .trials = 2, .readings = {1, 2, 1, 2, 1, 2, 1, 2}};
  EXPECT_FALSE(range_gauge_rr(coarse));
  EXPECT_FALSE(anova_gauge_rr(coarse));
}

TEST(GaugeRr, RefusesAnIncompleteStudy) {
  GaugeStudy study = aiag_study();
  study.readings.pop_back();
  EXPECT_FALSE(range_gauge_rr(study));
  EXPECT_FALSE(anova_gauge_rr(study));
  study = aiag_study();
  study.readings[3] = kNan;
  EXPECT_FALSE(anova_gauge_rr(study));
  EXPECT_FALSE(anova_gauge_rr({}));
  EXPECT_FALSE(anova_gauge_rr(aiag_study(), -1));
  EXPECT_FALSE(range_gauge_rr({.parts = 1, .appraisers = 3, .trials = 3, .readings = {}}));
  EXPECT_FALSE(range_gauge_rr({.parts = 2,
                               .appraisers = 2,
                               .trials = 4,
                               .readings = {1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 6, 7, 9}}));
}

TEST(PartOfTolerance, IsSixSigmaOverTheWidth) {
  EXPECT_DOUBLE_EQ(part_of_tolerance(1e-6, 21e-6).value(), 6.0 / 21);
  EXPECT_FALSE(part_of_tolerance(1e-6, 0));
  EXPECT_FALSE(part_of_tolerance(-1, 1));
  EXPECT_FALSE(part_of_tolerance(kNan, 1));
}

}  // namespace
}  // namespace tautmark
