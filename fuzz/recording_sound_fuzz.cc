// SPDX-License-Identifier: Apache-2.0
// Sound files; the library has its own fuzzing, this is our use of it.
#include "recording_check.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return tautmark::fuzz::check_recording(data, size);
}
