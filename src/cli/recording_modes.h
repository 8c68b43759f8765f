// SPDX-License-Identifier: Apache-2.0
// The ways of `tautmark recording` that make a recording instead of reading one.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace tautmark::cli {

struct SynthesiseArguments {
  std::string spec, to, truth;
  std::optional<std::uint64_t> seed;
  bool overwrite = false;
};
int run_synthesise(const SynthesiseArguments& arguments);

struct LiveArguments {
  bool live = false, list = false, overwrite = false;
  std::string driver, to;
  std::vector<std::string> channels;
  double sample_rate = 0, seconds = 0;  // seconds 0: until Ctrl-C
};
// Captures to the file; `decode` then reads it like any other and gives the exit status.
int run_live(const LiveArguments& arguments, const std::function<int(const std::string&)>& decode);

// Writes a recording or its truth: never over a file that is there unless that was said. "-" is
// standard output.
bool write_recording(const std::string& file, const std::string& bytes, bool overwrite);

}  // namespace tautmark::cli
