// SPDX-License-Identifier: Apache-2.0
// What a mark that was seen proves, on its way to a finding of marks-seen.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/finding.h"
#include "judge/chain_marks.h"

namespace tautmark::checks {

inline constexpr std::string_view kCountAndPaint =
    "count pitches from marked tooth to marked tooth, strand by strand; paint one link and the "
    "tooth under it on each sprocket before the chain is moved";
struct MarkAnswer {
  Verdict verdict = Verdict::open;
  std::optional<OpenBecause> because = OpenBecause::not_measured;
  std::string why{};
  std::vector<std::string> next{};
};

// "1 tooth late (9.474° cam, 18.947° crank)", all that a reading leaves possible.
std::string amount_text(const ChainMarks& marks, std::size_t j, const MarkReading& reading);

// The driving mark off its place, and what that proves.
bool driving_stands_off(const ChainSprocket& driving);
MarkAnswer driving_answer(const ChainMarks& marks, const MarkStand& stand);

}  // namespace tautmark::checks
