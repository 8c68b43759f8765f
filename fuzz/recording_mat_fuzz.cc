// SPDX-License-Identifier: Apache-2.0
// MATLAB files of level 5.
#include "recording_check.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return tautmark::fuzz::check_recording(data, size);
}
