// SPDX-License-Identifier: Apache-2.0
#include "tighten/reuse.h"

#include <fmt/format.h>

namespace tautmark::tighten {
namespace {

std::string beyond(std::string_view what, const Measured& measured, std::string_view than,
                   Length limit) {
  return fmt::format("{} {:.3f} ± {:.3f} mm is {} {:.3f} mm", what, in_mm(measured.value),
                     in_mm(measured.expanded), than, in_mm(limit));
}

}  // namespace

ReuseAnswer reuse(const UsedBolt& bolt) {
  if (!bolt.single_use) {
    return {Reuse::replace, "the definition does not say whether it is used once only: treated so"};
  }
  if (*bolt.single_use) return {Reuse::replace, "used once only"};
  if (bolt.to_yield && !bolt.longest && !bolt.thinnest) {
    return {Reuse::replace, "drawn past yield, and the definition gives no size to go in again"};
  }
  if (!bolt.longest && !bolt.thinnest) {
    return {Reuse::may_go_in_again, "the definition lets it go in again and gives no limit"};
  }
  if (bolt.longest && bolt.length && bolt.length->value - bolt.length->expanded > *bolt.longest) {
    return {Reuse::replace, beyond("length", *bolt.length, "longer than", *bolt.longest)};
  }
  if (bolt.thinnest && bolt.diameter &&
      bolt.diameter->value + bolt.diameter->expanded < *bolt.thinnest) {
    return {Reuse::replace, beyond("diameter", *bolt.diameter, "thinner than", *bolt.thinnest)};
  }
  if (bolt.longest && !bolt.length) return {Reuse::not_decided, "its length is not measured"};
  if (bolt.thinnest && !bolt.diameter) {
    return {Reuse::not_decided, "its smallest diameter is not measured"};
  }
  if (bolt.longest && bolt.length->value + bolt.length->expanded > *bolt.longest) {
    return {Reuse::not_decided, beyond("length", *bolt.length, "too close to", *bolt.longest)};
  }
  if (bolt.thinnest && bolt.diameter->value - bolt.diameter->expanded < *bolt.thinnest) {
    return {Reuse::not_decided, beyond("diameter", *bolt.diameter, "too close to", *bolt.thinnest)};
  }
  return {Reuse::may_go_in_again, "inside every limit the definition gives"};
}

}  // namespace tautmark::tighten
