// SPDX-License-Identifier: Apache-2.0
#include "judge/marks_standing.h"

namespace tautmark {

MarksStanding marks_standing(const CheckInput&) {
  return {.why = "marks and link counts are not entered",
          .next = "look at the sprocket marks and count the links, without turning"};
}

}  // namespace tautmark
