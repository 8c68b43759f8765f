// SPDX-License-Identifier: Apache-2.0
// `tautmark procedure DRIVE --beside DRIVE…`: side by side in a terminal.
#pragma once

#include <string>
#include <vector>

namespace tautmark::cli {

struct BesideArguments {
  std::vector<std::string> names;  // the first is the one that the others are laid beside
  std::vector<std::string> drives;
  std::string json;
  bool all = false;
};
int run_beside(const BesideArguments& arguments);

}  // namespace tautmark::cli
