// SPDX-License-Identifier: Apache-2.0
// The mark of the driving sprocket where it does not stand right: by itself the crank is only not
// at its mark; beside counts or camshafts that stand right it contradicts them.
#include <fmt/format.h>

#include "judge/checks/mark_answer.h"
#include "judge/drive_paths.h"

namespace tautmark::checks {
namespace {

bool is_sure(const MarkStand& stand) {
  return !stand.words.doubt && stand.words.unheard.empty() && !stand.against_link &&
         stand.mark->against == MarkAgainst::casting;
}

// A camshaft's mark that stands right beside the driving one, with all that a proof asks for.
const ChainSprocket* right_beside(const ChainMarks& marks, const MarkStand& driving) {
  for (std::size_t j = 1; j < marks.sprockets.size(); ++j) {
    const ChainSprocket& sprocket = marks.sprockets[j];
    if (!sprocket.stand || sprocket.stand->entry != driving.entry || sprocket.camshaft == nullptr ||
        sprocket.mark == nullptr || sprocket.stand->words.seen != MarkSeen::right ||
        !is_sure(*sprocket.stand) || !returns_in_two_turns(sprocket))
      continue;
    if (!sprocket.camshaft->phaser || driving.seen->phaser == Locked::locked) return &sprocket;
  }
  return nullptr;
}

}  // namespace

bool driving_stands_off(const ChainSprocket& driving) {
  if (!driving.stand || driving.stand->against_link) return false;
  const MarkSeen seen = driving.stand->words.seen;
  return seen == MarkSeen::off || seen == MarkSeen::half_turn_away || seen == MarkSeen::at_clock;
}

// The driving mark off its place: the crank does not stand at its mark, unless others that do show
// that it sits wrong in the chain or on its shaft.
MarkAnswer driving_answer(const ChainMarks& marks, const MarkStand& stand) {
  const std::string& name = marks.sprockets[0].name;
  MarkAnswer answer{.why = half_a_turn(stand) ? "half a turn away"
                           : stand.words.seen == MarkSeen::at_clock
                               ? "at a clock position"
                               : amount_text(marks, 0, stand.reading)};
  const std::string look = fmt::format(
      "look again where the mark of {} stands, square on, without turning; and at its key", name);
  answer.next = {look, std::string(kCountAndPaint)};
  const bool is_whole = is_sure(stand) && stand.words.half_teeth &&
                        *stand.words.half_teeth % 2 == 0 && stand.reading.possible.size() == 1 &&
                        !half_a_turn(stand) && !stand.whole_turn;
  const ChainSprocket* beside = right_beside(marks, stand);
  if (beside != nullptr && marks.found) {
    const auto j = static_cast<std::size_t>(beside - marks.sprockets.data());
    const auto& counted = marks.found->sprockets[j].half_teeth;
    // Right while the driving one is h late is as much as h early against it.
    if (counted && (!is_whole || *counted != -stand.reading.possible.front())) {
      answer.because = OpenBecause::implausible;
      answer.why += fmt::format(", {} right, and {} by the link counts", beside->name,
                                error_text(marks, j, *counted));
      return answer;
    }
  }
  if (beside != nullptr && is_whole && stand.seen->settled.value_or(false) &&
      marks.sprockets[0].mark != nullptr && same_place(name, kCrank)) {
    answer.verdict = Verdict::fail;
    answer.because.reset();
    answer.why += fmt::format(" while {} stands right against the casting", beside->name);
    return answer;
  }
  if (marks.found && marks.found->right) {
    answer.because = OpenBecause::implausible;
    answer.why += fmt::format(
        ", yet every strand is counted right: {} does not stand at its mark, or its sprocket sits "
        "wrong on its shaft",
        name);
    return answer;
  }
  answer.why += fmt::format(": while {} does not stand at its mark the others say nothing", name);
  return answer;
}

std::string amount_text(const ChainMarks& marks, std::size_t j, const MarkReading& reading) {
  std::string text;
  for (const int possible : reading.possible)
    text += (text.empty() ? "" : " or ") + error_text(marks, j, possible);
  return text.empty() ? "off, nobody said by how much" : text;
}

}  // namespace tautmark::checks
