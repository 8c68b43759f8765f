// SPDX-License-Identifier: Apache-2.0
#include "clearance/centerline.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/student.h"

namespace tautmark::clearance {
namespace {

constexpr CrankAngle kCycle = crank_deg(720);
constexpr double kSigmas = 3;

Result<void> check_pairs(const CenterlineInputs& in) {
  if (in.pairs.empty()) return refuse("a center line needs at least one pair of equal lift");
  if (!(in.reading_u.si() >= 0) || !(in.top_u.si() >= 0))
    return refuse("an uncertainty cannot be negative");
  for (std::size_t i = 0; i < in.pairs.size(); ++i) {
    const EqualLiftPair& pair = in.pairs[i];
    const CrankAngle open = pair.closing - pair.opening;
    if (!(open.si() > 0 && open < kCycle))
      return refuse(
          fmt::format("pair {}: {:.2f}° opening and {:.2f}° closing are not one after "
                      "the other within a cycle",
                      i + 1, in_crank_deg(pair.opening), in_crank_deg(pair.closing)));
    if (!(pair.lift.si() > 0) || !std::isfinite(pair.lift.si()))
      return refuse(fmt::format("pair {}: a lift of nothing has no angle", i + 1));
  }
  return {};
}

// One gauge standing at several lifts and the middles running one way: the lobe is not symmetric.
void warn_of_drift(const CenterlineInputs& in, const Centerline& out,
                   std::vector<std::string>& warnings) {
  const auto [low, high] =
      std::minmax_element(in.pairs.begin(), in.pairs.end(),
                          [](const auto& a, const auto& b) { return a.lift < b.lift; });
  const auto middle = [&](auto pair) {
    return out.of_pair[static_cast<std::size_t>(pair - in.pairs.begin())];
  };
  const double drift = std::abs((middle(high) - middle(low)).si());
  if (high->lift > low->lift && in.reading_u.si() > 0 && drift > kSigmas * in.reading_u.si())
    warnings.push_back(
        fmt::format("the middle moves by {:.1f}° between {:.2f} and {:.2f} mm of lift: the lobe is "
                    "not symmetric, or a reading is wrong; compare at the same lift only",
                    drift / kRadiansPerDegree, in_mm(low->lift), in_mm(high->lift)));
}

}  // namespace

Result<Centerline> centerline(const CenterlineInputs& in) {
  if (const auto fine = check_pairs(in); !fine) return tl::make_unexpected(fine.error());
  Centerline out;
  const auto n = static_cast<double>(in.pairs.size());
  double sum = 0, squares = 0;
  for (const EqualLiftPair& pair : in.pairs) {
    out.of_pair.push_back((pair.opening + pair.closing) / 2);
    sum += out.of_pair.back().si();
  }
  out.center = CrankAngle::from_si(sum / n);
  for (const CrankAngle middle : out.of_pair) squares += std::pow((middle - out.center).si(), 2);
  const double promised = in.reading_u.si() / std::sqrt(2 * n);
  const double seen = n > 1 ? std::sqrt(squares / (n - 1) / n) : 0;
  const double own = std::max(promised, seen);
  const double u = std::hypot(own, in.top_u.si());
  // Welch and Satterthwaite: only the scatter has few degrees of freedom.
  out.nu = seen > promised ? (n - 1) * std::pow(u / own, 4) : kManyReadings;
  out.u = CrankAngle::from_si(u);
  out.U = coverage_factor_95(out.nu) * out.u;
  if (in.pairs.size() == 1)
    out.warnings.push_back("one pair only: nothing shows whether it can be repeated");
  if (promised > 0 && seen > kSigmas * promised)
    out.warnings.push_back(
        "the pairs differ by more than the wheel can be read: was the engine "
        "turned back, or the wheel touched?");
  warn_of_drift(in, out, out.warnings);
  return out;
}

CrankAngle early_by(CrankAngle nominal_center, CrankAngle measured_center) {
  return CrankAngle::from_si(std::remainder((nominal_center - measured_center).si(), kCycle.si()));
}

}  // namespace tautmark::clearance
