// SPDX-License-Identifier: Apache-2.0
// Another program run as a child: no shell, a time limit, bounded memory here and there. The child
// never outlives the call.
#pragma once

#include <functional>
#include <string>
#include <vector>

namespace tautmark::cli {

struct ChildRun {
  std::vector<std::string> words;            // the program, found by PATH, and its arguments
  double limit = 20;                         // s; then it is ended
  bool ends_by_key = false;                  // a line on its standard input ends it in order
  std::function<void(double seconds)> tick;  // some ten times a second
};

struct ChildResult {
  int not_started = 0;  // errno: it could not be started
  int status = -1;      // exit status; -1: ended by a signal
  bool timed_out = false;
  bool stopped = false;          // by Ctrl-C or another request to end
  std::string output, messages;  // standard output and error, the first 64 KiB of each
};
ChildResult run_child(const ChildRun& run);

}  // namespace tautmark::cli
