// SPDX-License-Identifier: Apache-2.0
// Synthesis files, and the recordings that short ones make: what is written can be read.
#include <cstdint>
#include <string>

#include "fuzz_check.h"
#include "recording/synthesis_file.h"
#include "recording/synthesis_verdict.h"

using namespace tautmark;

namespace {

// Longer ones would only take longer.
bool is_short(const Synthesis& in, double sample_rate) {
  double turns = 0, seconds = 0;
  for (const SpeedPiece& piece : in.speed) {
    turns += piece.duration * (piece.from + piece.to) / 60;
    seconds += piece.duration;
  }
  return turns < 200 && seconds < 20 && sample_rate * seconds < 1e5;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto file =
      make_text_file("a.yaml", std::string(reinterpret_cast<const char*>(data), size));
  const auto plan = read_synthesis(file, "a.csv");
  if (!plan) {
    fuzz::check_rejection(plan.error());
    return 0;
  }
  fuzz::require(!expected_verdict(*plan).says.empty(), "a verdict without words");
  if (!is_short(plan->engine, plan->sample_rate)) return 0;
  const auto made = make_recording(*plan);
  fuzz::require(made ? !made->bytes.empty() : !made.error().why.empty(),
                "neither made nor refused");
  return 0;
}
