// SPDX-License-Identifier: Apache-2.0
// From the samples of one channel to its edges, in one streaming pass. Source of the recipes and
// their constants: this project's notes on sensor signals, "from samples to edges".
//
//   logic      a change of state. Evenly sampled: half way between the two samples, since the edge
//              lies anywhere between them; one row per change: the time of the row.
//   hall       hysteresis 35 % / 65 % of the swing, time of the 50 % crossing by linear
//              interpolation; both levels follow slow drift.
//   inductive  baseline (0.5 Hz), peak tracker, arm at 35 % of the peak, fire at the zero crossing
//              of the flank that follows. Both flanks are recorded: -1 falling, +1 rising; which
//              one is the steep flank through the tooth is for the decoder to say.
//
// Times are seconds; edges of a channel never decrease in time.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "recording/samples.h"
#include "recording/survey.h"

namespace tautmark {

class EdgeFinder {
 public:
  // `step`: s between samples, or 0 when each row has the time of a change.
  EdgeFinder(const ChannelLevels& levels, double step);

  // Rows [from, to) of the block, of its channel `column`. Edges go to `train`.
  void feed(const SampleBlock& block, std::size_t column, std::size_t from, std::size_t to,
            const SampleSource& source, SignalTrain& train);
  // The next sample does not follow the last one: no edge is found between them.
  void restart();
  // A value was met that the survey did not foresee.
  [[nodiscard]] bool unforeseen() const { return unforeseen_; }
  // s, standard, of one edge so far: sampling or noise over slope. `clock`: s, of the recorder.
  [[nodiscard]] double time_uncertainty(double clock) const;

 private:
  class Samples;
  void logic(const Samples& samples, SignalTrain& train);
  void hall(const Samples& samples, SignalTrain& train);
  void inductive(const Samples& samples, SignalTrain& train);
  void dead(const Samples& samples, SignalTrain& train);
  void emit(SignalTrain& train, double time, int polarity, double slope);
  void follow_period(double time);

  struct Crossing {
    double time = 0, slope = 0;
  };

  ChannelLevels levels_;
  double step_;
  bool started_ = false, unforeseen_ = false;
  double last_value_ = 0, last_time_ = 0;
  Crossing up_, down_;    // the latest of each, hall and inductive
  bool is_high_ = false;  // state of hall
  double low_, high_;     // levels of hall
  double baseline_, peak_ = 0, decay_time_;
  bool armed_high_ = false, armed_low_ = false;
  std::array<double, 5> falls_{};  // times of the last falling edges: the local tooth period
  std::int64_t fall_count_ = 0;
  double slope_sum_ = 0;  // of 1/slope^2
  std::int64_t slope_count_ = 0;
};

// Drops the shortest pulse (two edges) while it is shorter than 3 % of the local interval (the
// lower third of eight on either side), again and again; of such pulses in a row the last, since a
// bouncing edge begins with the true one. 3 % is safe where the narrowest true pulse is above 5 %,
// as in the real recordings. Returns the number of pulses dropped.
std::int64_t drop_glitches(std::vector<SignalEdge>& edges);

}  // namespace tautmark
