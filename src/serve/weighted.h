// SPDX-License-Identifier: Apache-2.0
// What a browser says that it takes, and how gladly: Accept-Encoding, Accept-Language (RFC 9110,
// section 12.4.2).
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace tautmark {

struct Weighted {
  std::string name;   // in small letters: "gzip", "de-at"
  double weight = 1;  // 0: not at all, also where it cannot be read
};

// "de-AT, en;q=0.7" in the order in which it was said.
std::vector<Weighted> weighted(std::string_view header);

}  // namespace tautmark
