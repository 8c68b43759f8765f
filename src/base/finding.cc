// SPDX-License-Identifier: Apache-2.0
#include "base/finding.h"

namespace tautmark {

// The switches have no default so that the compiler names a forgotten enumerator; the return after
// them is for a number that is no enumerator at all.

std::string_view verdict_word(Verdict verdict) {
  switch (verdict) {
    case Verdict::pass:
      return "pass";
    case Verdict::fail:
      return "fail";
    case Verdict::open:
      return "open";
  }
  return "open";
}

std::string_view open_because_text(OpenBecause why) {
  switch (why) {
    case OpenBecause::not_in_drive:
      return "not in the drive";
    case OpenBecause::not_measured:
      return "not measured";
    case OpenBecause::too_close:
      return "too close to call";
    case OpenBecause::outside_model:
      return "outside the model";
    case OpenBecause::limit_origin:
      return "limit without authority";
    case OpenBecause::unconfirmed:
      return "not confirmed for this variant";
    case OpenBecause::variants_differ:
      return "variants differ";
    case OpenBecause::implausible:
      return "implausible readings";
    case OpenBecause::forecast:
      return "forecast";
  }
  return "outside the model";
}

std::string_view origin_text(Origin origin) {
  switch (origin) {
    case Origin::maker:
      return "maker";
    case Origin::shop:
      return "shop";
    case Origin::common_practice:
      return "common practice";
    case Origin::program_default:
      return "program default";
    case Origin::unknown:
      return "unknown";
  }
  return "unknown";
}

bool can_carry_pass(Origin origin) { return origin == Origin::maker || origin == Origin::shop; }

}  // namespace tautmark
