// SPDX-License-Identifier: Apache-2.0
// Gauge repeatability and reproducibility: parts p, appraisers o, trials r, all crossed.
//
// Range method
//   EV = R̄̄ K1;  AV = sqrt(max(0, (X_diff K2)² - EV² / (p r)));  GRR = sqrt(EV² + AV²)
//   PV = R_p K3;  TV = sqrt(GRR² + PV²);  ndc = floor(1.41 PV / GRR)
//   R̄̄  mean range of a cell     X_diff  range of the appraiser means     R_p  range of the part
//   means K1 = 1 / d2(trials); K2, K3 = 1 / sqrt(d2² + d3²) of the number of appraisers, of parts
// ANOVA method
//   SS_o = p r Σ(x̄_o - g)²   SS_p = o r Σ(x̄_p - g)²   SS_op = r Σ(cell - g)² - SS_o - SS_p
//   SS_e = the rest;  F = MS_op / MS_e.  With P(F) > alpha the interaction is pooled into the
//   error:
//     σ_e² = MS_pool   σ_o² = (MS_o - MS_pool) / (p r)   σ_p² = (MS_p - MS_pool) / (o r)
//   otherwise
//     σ_e² = MS_e   σ_op² = (MS_op - MS_e) / r   σ_o² = (MS_o - MS_op) / (p r)
//     σ_p² = (MS_p - MS_op) / (o r);  a negative variance counts as 0
//   GRR = sqrt(σ_e² + σ_o² + σ_op²)
//
// ndc, number of distinct categories: 5 or more is customary. % of tolerance = 6 GRR / (T_U - T_L):
// below 10 % good, above 30 % not usable. The two methods differ on the same data (5 and 4 for the
// published study): name the method beside the number.
// Validity: 2 to 10 parts, 2 or 3 appraisers and 2 or 3 trials for the range method (the table of
// factors); two or more of each for ANOVA.
// Refused ("no verdict"): readings missing or not finite; every repeat of every part equal, which
// says that the resolution hides the scatter, not that the gauge is perfect.
// Source: AIAG, Measurement Systems Analysis, 4th edition.
#pragma once

#include <optional>
#include <vector>

#include "base/diagnostic.h"

namespace tautmark {

struct GaugeStudy {
  int parts = 0;
  int appraisers = 0;
  int trials = 0;
  // Appraiser by appraiser, trial by trial, part by part: index = (appraiser·trials + trial)·parts
  // + part.
  std::vector<double> readings;
};

struct RangeGaugeRr {
  double mean_range = 0;       // R̄̄
  double appraiser_range = 0;  // X_diff
  double part_range = 0;       // R_p
  double equipment = 0;        // EV
  double appraiser = 0;        // AV
  double grr = 0;
  double part = 0;   // PV
  double total = 0;  // TV
  double categories_exact = 0;
  int categories = 0;      // ndc
  double range_limit = 0;  // a cell range above this asks for a new reading
};

Result<RangeGaugeRr> range_gauge_rr(const GaugeStudy& study);

struct VarianceLine {
  double sum_of_squares = 0;
  double degrees_of_freedom = 0;
  double mean_square = 0;
};

struct AnovaGaugeRr {
  VarianceLine appraisers, parts, interaction, error, total;
  // Not given where the mean square below the line is 0.
  std::optional<double> f_parts, f_appraisers, f_interaction;
  std::optional<double> p_interaction;
  bool interaction_pooled = false;
  double repeatability_variance = 0;
  double appraiser_variance = 0;
  double interaction_variance = 0;  // 0 when pooled
  double part_variance = 0;
  double grr_variance = 0;
  double total_variance = 0;
  double repeatability_sd_not_pooled = 0;  // sqrt(MS_e): pooling is part of the answer
  double categories_exact = 0;
  int categories = 0;
};

// alpha: the interaction is pooled when its P exceeds it; 0.25 is customary.
Result<AnovaGaugeRr> anova_gauge_rr(const GaugeStudy& study, double alpha = 0.25);

// 6 grr / width of the tolerance. Refused: a width not above 0, a grr not finite or negative.
Result<double> part_of_tolerance(double grr, double tolerance_width);

}  // namespace tautmark
