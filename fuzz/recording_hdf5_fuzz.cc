// SPDX-License-Identifier: Apache-2.0
// HDF5.
#include <pthread.h>
#include <sanitizer/common_interface_defs.h>

#include "recording_check.h"

extern "C" const char* __asan_default_options() { return "allocator_may_return_null=1"; }

// On damaged files the library of Debian 12 leaks some hundred bytes, which are not ours to mend.
extern "C" const char* __lsan_default_suppressions() { return "leak:libhdf5"; }

extern "C" int LLVMFuzzerInitialize(int* count, char*** arguments) {
  tautmark::fuzz::allow_greedy_requests(count, arguments);
  // The reader lets a child process fall over such files first: that is no finding.
  pthread_atfork(nullptr, nullptr, [] { __sanitizer_set_death_callback(nullptr); });
  return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return tautmark::fuzz::check_recording(data, size);
}
