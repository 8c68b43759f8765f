// SPDX-License-Identifier: Apache-2.0
// How many slots or teeth of the crank wheel make one 720 degree cycle: after how many of them the
// edges of the other channels repeat (signals.md 4d).
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace tautmark {

// Places of one channel's edges of one polarity, counted in slots or teeth, piece by piece.
using PlacePieces = std::vector<std::vector<double>>;

struct Repetition {
  int edges = 0;         // K: edges after which the train repeats
  int length = 0;        // slots or teeth between them
  double agreement = 0;  // part of the edges that do
  std::size_t count = 0;
};
// The smallest K whose length is a multiple of `multiple_of`. None: the edges repeat nowhere.
std::optional<Repetition> repetition_of(const PlacePieces& places, int multiple_of);

// What most channels agree on, weighted by agreement and number of edges. A multiple (2 or 3 times)
// that another channel found counts instead: a channel may look the same after half a cycle.
// 0: no channel repeats.
int voted_length(std::span<const Repetition> repetitions);

}  // namespace tautmark
