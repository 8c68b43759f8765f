// SPDX-License-Identifier: Apache-2.0
#include "geometry/returns.h"

#include <fmt/format.h>

#include <limits>
#include <numeric>
#include <optional>

namespace tautmark {
namespace {

constexpr long long kMost = 100'000;
constexpr std::size_t kMostParts = 16;

std::optional<long long> least_multiple(long long a, long long b) {
  const long long factor = a / std::gcd(a, b);
  if (factor > std::numeric_limits<long long>::max() / b) return std::nullopt;
  return factor * b;
}

bool is_counted(const Fraction& f) {
  return f.over >= 1 && f.over <= kMost * kMost && f.under >= 1 && f.under <= kMost * kMost;
}

}  // namespace

Fraction lowest_terms(Fraction f) {
  const long long common = std::gcd(f.over, f.under);
  return common == 0 ? f : Fraction{f.over / common, f.under / common};
}

Result<Returns> mark_returns(const ReturnInputs& in) {
  if (in.shafts.size() > kMostParts || in.chains.size() > kMostParts)
    return refuse(fmt::format("more than {} shafts or chains", kMostParts));
  constexpr std::string_view kTooLong = "the marks return after more turns than can be counted";
  Returns returns;
  returns.sprocket_marks = 1;
  for (const Fraction& shaft : in.shafts) {
    if (!is_counted(shaft)) return refuse("a shaft whose turns per crank turn are not counts");
    const auto turns = least_multiple(returns.sprocket_marks, lowest_terms(shaft).under);
    if (!turns) return refuse(std::string(kTooLong));
    returns.sprocket_marks = *turns;
  }
  returns.all = returns.sprocket_marks;
  for (const ChainTurns& chain : in.chains) {
    if (chain.links < 1 || chain.links > kMost || chain.driver_teeth < 1 ||
        chain.driver_teeth > kMost || !is_counted(chain.driver))
      return refuse(fmt::format("links and teeth must be 1 to {}", kMost));
    const Fraction driver = lowest_terms(chain.driver);
    // r a N / (b n) is whole.
    const Fraction circuits = lowest_terms({driver.over, driver.under * chain.links});
    const long long turns = circuits.under / std::gcd(circuits.under, 1LL * chain.driver_teeth);
    const auto with_marks = least_multiple(turns, returns.sprocket_marks);
    const auto all = with_marks ? least_multiple(returns.all, *with_marks) : std::nullopt;
    if (!all) return refuse(std::string(kTooLong));
    returns.links.push_back(turns);
    returns.links_marks.push_back(*with_marks);
    returns.all = *all;
  }
  return returns;
}

}  // namespace tautmark
