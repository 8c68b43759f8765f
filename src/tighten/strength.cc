// SPDX-License-Identifier: Apache-2.0
#include "tighten/strength.h"

#include <fmt/format.h>

#include <limits>

#include "base/text.h"

namespace tautmark::tighten {
namespace {

constexpr double kEndless = std::numeric_limits<double>::infinity();
constexpr double kPsi = 6894.757293168361;  // Pa
constexpr double kMPa = 1e6;
constexpr double kInch = 25.4;  // mm

struct Row {
  std::string_view name;
  double above, to;  // nominal size, mm
  double unit;       // Pa
  double tensile, yield, proof, elongation;
};
constexpr Row kRows[] = {
    {"8.8", 0, 16, kMPa, 800, 640, 580, 0.12},
    {"8.8", 16, kEndless, kMPa, 830, 660, 600, 0.12},
    {"9.8", 0, 16, kMPa, 900, 720, 650, 0.10},
    {"10.9", 0, kEndless, kMPa, 1040, 940, 830, 0.09},
    {"12.9", 0, kEndless, kMPa, 1220, 1100, 970, 0.08},
    {"SAE 2", 6.3, 0.75 * kInch, kPsi, 74'000, 57'000, 55'000, 0},
    {"SAE 2", 0.75 * kInch, 1.5 * kInch, kPsi, 60'000, 36'000, 33'000, 0},
    {"SAE 5", 6.3, kInch, kPsi, 120'000, 92'000, 85'000, 0},
    {"SAE 5", kInch, 1.5 * kInch, kPsi, 105'000, 81'000, 74'000, 0},
    {"SAE 8", 6.3, 1.5 * kInch, kPsi, 150'000, 130'000, 120'000, 0},
};
constexpr std::string_view kNames[] = {"8.8", "9.8", "10.9", "12.9", "SAE 2", "SAE 5", "SAE 8"};

std::string plain_class(std::string_view written) {
  std::string plain = replaced(folded(written), ",", ".");
  for (const std::string_view word :
       {"strength class", "property class", "class", "grade", "sae", "j429"}) {
    plain = replaced(plain, word, "");
  }
  return std::string(trimmed(plain));
}

}  // namespace

std::span<const std::string_view> strength_names() { return kNames; }

Result<Strength> strength(std::string_view written, Length nominal) {
  const std::string plain = plain_class(written);
  bool known = false;
  for (const Row& row : kRows) {
    if (plain != (row.name.starts_with("SAE ") ? row.name.substr(4) : row.name)) continue;
    known = true;
    if (in_mm(nominal) <= row.above || in_mm(nominal) > row.to + 1e-9) continue;
    return Strength{.name = row.name,
                    .tensile = Pressure::from_si(row.tensile * row.unit),
                    .yield = Pressure::from_si(row.yield * row.unit),
                    .proof = Pressure::from_si(row.proof * row.unit),
                    .elongation = row.elongation};
  }
  if (known) {
    return refuse(fmt::format("class {} has no values for {:.4g} mm", written, in_mm(nominal)));
  }
  return refuse(fmt::format("\"{}\" is no strength class held here; known: {}", written,
                            fmt::join(kNames, ", ")));
}

}  // namespace tautmark::tighten
