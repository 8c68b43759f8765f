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
  std::size_t channel = 0;  // index, and polarity: where it was found
  int polarity = 0;
};
// The smallest K whose length is a multiple of `multiple_of`. None: the edges repeat nowhere. With
// lost edges fewer agree: once the cycle is known (`length_wanted`, or a whole part of it), half of
// them are enough.
inline constexpr double kMostAgree = 0.8, kManyAgree = 0.7, kHalfAgree = 0.5;
std::optional<Repetition> repetition_of(const PlacePieces& places, int multiple_of,
                                        double least_agreement = kMostAgree, int length_wanted = 0);
// Of a train that is known to repeat after `length`, however much it wanders: K by the number of
// edges; half of them within a sixteenth of the cycle, 45 degrees, are enough.
std::optional<Repetition> loose_repetition(const PlacePieces& places, int length);

// What most channels agree on, weighted by agreement and number of edges. A multiple (2, 3, 4, 6
// or 8 times) that another channel found counts instead: a channel may look the same after half a
// cycle. 0: no channel repeats.
int voted_length(std::span<const Repetition> repetitions);

}  // namespace tautmark
