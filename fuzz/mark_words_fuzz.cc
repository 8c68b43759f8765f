// SPDX-License-Identifier: Apache-2.0
// How a mark stands, in words. The first byte chooses what is known of viewer, wheel and place.
#include <cstdint>

#include "casework/mark_words.h"
#include "fuzz_check.h"

using namespace tautmark;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const unsigned known = data[0];
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  const auto words = read_mark_words(text);
  if (!words) {
    const TextError& error = words.error();
    fuzz::require(!error.problem.empty(), "rejected without a problem");
    fuzz::require(error.offset <= text.size() && error.length <= text.size() - error.offset,
                  "a place outside the text");
    if (!first_invalid_utf8(text))
      fuzz::require(!first_invalid_utf8(error.problem), "a problem that is no text", error.problem);
    return 0;
  }
  fuzz::require(words->half_teeth.value_or(0) >= 0, "an amount with a sign");
  MarkView view;
  if ((known & 1U) != 0)
    view.seen_from = (known & 2U) != 0 ? ViewedFrom::front : ViewedFrom::flywheel_end;
  if ((known & 4U) != 0)
    view.rotation = (known & 8U) != 0 ? Rotation::clockwise : Rotation::counterclockwise;
  if ((known & 16U) != 0) view.place = deg(known);
  const MarkReading reading = mark_reading(*words, view);
  fuzz::require(reading.possible.size() <= 2, "more than early and late");
  fuzz::require(!reading.read_back.empty(), "nothing read back");
  if (words->seen == MarkSeen::off && reading.possible.size() != 1)
    fuzz::require(!reading.ask.empty(), "left open without a question");
  return 0;
}
