// SPDX-License-Identifier: Apache-2.0
// `tautmark drive learn --recordings`: nominal sensor edges from engines known to be good.
#pragma once

#include <string>
#include <vector>

#include "drive/load.h"

namespace CLI {
class App;
}  // namespace CLI

namespace tautmark::cli {

struct LearnEdgesArguments {
  std::vector<std::string> recordings, channels;
  std::string phasers, vouched_by, variant, window, window_by;
};
void add_learn_edges_options(CLI::App& learn, LearnEdgesArguments& arguments);
int run_learn_edges(const LearnEdgesArguments& arguments, const Drive& drive);

}  // namespace tautmark::cli
