// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <rapidcheck.h>

#include <vector>

namespace tautmark::test {

// A loop of paper: a row of links, and for each sprocket the link in which its marked tooth sits.
// Counting is walking link by link; turning is passing one link at a time.

struct PaperLoop {
  int links = 0;
  std::vector<int> teeth, under_mark;

  [[nodiscard]] int walked(std::size_t from) const {
    const int end = under_mark[(from + 1) % under_mark.size()];
    int steps = 0;
    for (int at = under_mark[from]; at != end || steps == 0; at = (at + 1) % links) ++steps;
    return steps;
  }
};

inline PaperLoop random_loop() {
  PaperLoop loop;
  const int sprockets = *rc::gen::inRange(2, 6);
  int at = 0;
  for (int j = 0; j < sprockets; ++j) {
    loop.teeth.push_back(*rc::gen::inRange(5, 30));
    loop.under_mark.push_back(at);
    at += *rc::gen::inRange(9, 40);
  }
  loop.links = at;
  return loop;
}

}  // namespace tautmark::test
