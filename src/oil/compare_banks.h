// SPDX-License-Identifier: Apache-2.0
// One bank of cam journals against the healthy other one, without a network: the leakage ratio from
// clearances, and a first-order estimate of the pressure at the head for each way of repair.
//
//   s = Σc³ of the bank / Σc³ of the healthy bank
//   p_head = p_gallery / (1 + a ((1 - f) + f s)),   a = p_gallery/p_head(healthy) - 1
//
//   c  diametral clearance, cold; its factor of 2 to the radial one drops out of s
//   f  share of the head's leakage that goes through cam journals: 0.6, from 0.4 to 0.8 where no
//      one measured it (estimate)
//
// Assumes a laminar feed restriction, journals of one size and land in both banks, the same oil and
// temperature, the gallery unmoved. Good to compare options, never against a limit: hot clearances,
// tilt and eccentricity are left out. An uncertainty of c counts three times in c³: the U of a
// bank's clearances are added as if one gauge erred in all, the two banks as independent. The
// options share f and the healthy bank, so that ranges which overlap are the cautious sign of
// "cannot choose".
// Source: thin-film flow goes with c³ (oil.md 2.1); the estimate: trade.md 6.A, common practice.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/quantity.h"

namespace tautmark::oil {

struct JournalClearance {
  std::string name;
  Length clearance{};  // diametral
  Length expanded{};   // 95 %
  bool operator==(const JournalClearance&) const = default;
};

struct CubedClearances {
  double sum = 0;                // Σc³, m³
  double expanded = 0;           // 95 %, m³
  std::vector<double> of_sum{};  // each journal's share
};
// Refuses no journals, a clearance that is not above 0, an uncertainty that is negative or as large
// as its clearance.
Result<CubedClearances> cubed_clearances(const std::vector<JournalClearance>& journals);

struct LeakageRatio {
  double ratio = 0;
  double expanded = 0;         // 95 %
  double clearance_ratio = 0;  // that a bank of equal journals would need: cube root
};
Result<LeakageRatio> leakage_ratio(const std::vector<JournalClearance>& bank,
                                   const std::vector<JournalClearance>& healthy);

struct JournalShare {
  double least = 0.4, likely = 0.6, most = 0.8;
};

struct GaugePressures {
  Pressure gallery{};
  Pressure healthy_head{};
  Pressure expanded{};  // 95 %, of each
};

struct HeadPressure {
  Pressure likely{}, low{}, high{};  // the range: both ends of f, U of s and of the gauges
};
// Refuses a gallery that is not above the head, a pressure that is not above 0, shares out of order
// or outside 0 to 1.
Result<HeadPressure> head_pressure(const GaugePressures& read, const LeakageRatio& leakage,
                                   const JournalShare& share);

// f from the head pressure of the leaking bank as it is: replaces the assumed share. Refuses where
// the two banks leak alike within U, or no share between 0 and 1 gives that pressure.
Result<JournalShare> share_from_reading(const GaugePressures& read, const LeakageRatio& as_found,
                                        Pressure head);

struct RepairOption {
  std::string name;
  std::vector<JournalClearance> journals;
  std::string renews{};  // "bores": two ways to the same new bearing are one choice
  bool operator==(const RepairOption&) const = default;
};

struct BankComparison {
  std::string bank;  // "bank 2"
  GaugePressures read{};
  std::vector<JournalClearance> healthy{};
  std::vector<RepairOption> options{};  // the first: as found
  JournalShare share{};
  bool share_measured = false;              // from share_from_reading
  std::optional<Pressure> least_at_head{};  // limits of the drive
  std::optional<Length> most_clearance{};
};

enum class ForecastAgainst { no_limit, below, either, above };
ForecastAgainst against_least(const HeadPressure& head, const std::optional<Pressure>& least);

struct OptionForecast {
  std::string name;
  LeakageRatio leakage{};
  HeadPressure head{};
  ForecastAgainst pressure = ForecastAgainst::no_limit;
  std::vector<std::string> over{};         // journals over the clearance limit, U included
  std::vector<std::string> may_be_over{};  // U reaches over it
};

struct BankForecast {
  std::vector<OptionForecast> options{};  // in the order given
  std::vector<std::size_t> ranking{};     // index of options, highest pressure first
  // Set only where its whole range lies above every other one's.
  std::optional<std::size_t> best{};
  std::vector<std::size_t> rivals{};  // the highest, and what may be as high
  std::string said;
  std::vector<std::string> measure_next{};
  std::string marked;  // what kind of number this is; goes wherever one of them is shown
};
// A forecast is never a verdict: what comes of it is "open".
Result<BankForecast> compare_banks(const BankComparison& in);

}  // namespace tautmark::oil
