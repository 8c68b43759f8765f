// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "recording/edges.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

constexpr std::size_t kMostSteps = std::size_t{1} << 16;  // time steps kept for their median
constexpr double kEvenStep = 0.02;                        // of the median step
constexpr double kEvenShare = 0.9;                        // of the steps
constexpr double kChangeShare = 0.5;  // of the rows: one row per change of any channel
constexpr double kGap = 1.5;          // steps

struct Survey {
  std::vector<ChannelSurvey> channels;
  std::vector<double> steps;
  std::int64_t rows = 0, pairs = 0, changes = 0;
  std::int64_t clock = 0;  // ns: greatest common divisor of the times, the recorder's clock
};

constexpr double kClock = 1e-9;         // s: finer clocks are not told apart
constexpr double kLargestTime = 9.0e9;  // s: nanoseconds still fit an integer

void add_block(Survey& survey, const SampleBlock& block) {
  survey.rows += static_cast<std::int64_t>(block.rows);
  for (std::size_t c = 0; c < survey.channels.size(); ++c) {
    survey.channels[c].begin_block();
    survey.channels[c].add(block.channels[c], block.rows);
  }
  for (std::size_t i = 1; i < block.rows; ++i) {
    if (block.times != nullptr && survey.steps.size() < kMostSteps) {
      const double step = block.times[i] - block.times[i - 1];
      survey.steps.push_back(step);
      if (std::abs(step) < kLargestTime)
        survey.clock = std::gcd(survey.clock, std::llround(step / kClock));
    }
    ++survey.pairs;
    for (const double* channel : block.channels) {
      if (channel[i] == channel[i - 1]) continue;
      ++survey.changes;
      break;
    }
  }
}

tl::expected<Survey, Diagnostics> survey_of(const SampleSource& source, Extent extent) {
  Survey survey;
  survey.channels.resize(source.names.size());
  const auto done = source.scan(extent, [&](const SampleBlock& block) {
    add_block(survey, block);
    return tl::expected<void, Diagnostics>();
  });
  if (!done) return tl::unexpected(done.error());
  return survey;
}

// The time between samples; 0: one row per change, or rows at uneven times.
double step_of(const SampleSource& source, const Survey& survey, double clock, bool all_logic) {
  if (source.step > 0) return source.step;
  const bool each_row_changes =
      static_cast<double>(survey.changes) > kChangeShare * static_cast<double>(survey.pairs);
  if (survey.steps.empty() || (all_logic && each_row_changes)) return 0;
  std::vector<double> steps = survey.steps;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  const double step = *middle;
  if (!(step > 0)) return 0;
  const double allowed = std::max(kEvenStep * step, 2.5 * clock);
  const auto even = std::count_if(steps.begin(), steps.end(),
                                  [&](double one) { return std::abs(one - step) <= allowed; });
  const bool is_even = static_cast<double>(even) >= kEvenShare * static_cast<double>(steps.size());
  return is_even || !all_logic ? step : 0;
}

// One pass over the whole recording.
class Pass {
 public:
  Pass(SampleSource& source, const std::vector<ChannelLevels>& levels, double step, double clock)
      : source_(source),
        step_(step),
        clock_(clock),
        gaps_matter_(step > 0 && !source.rows_only_at_changes) {
    for (std::size_t c = 0; c < levels.size(); ++c) {
      SignalTrain train;
      train.channel = static_cast<int>(c) + 1;
      train.name = source.names[c];
      train.kind = levels[c].kind;
      trains_.channels.push_back(std::move(train));
      finders_.emplace_back(levels[c], step);
    }
  }

  tl::expected<void, Diagnostics> feed(const SampleBlock& block) {
    if (block.rows == 0) return {};
    std::size_t from = 0;
    const bool first = trains_.samples == 0;
    if (first) trains_.first_time = time_of(block, 0);
    for (std::size_t i = 0; block.times != nullptr && i < block.rows; ++i) {
      const double now = block.times[i];
      const double since = now - (i > 0 ? block.times[i - 1] : trains_.last_time);
      if (since >= 0 && (!gaps_matter_ || since <= kGap * step_)) continue;
      if (first && i == 0) continue;
      const std::int64_t row = block.first_row + static_cast<std::int64_t>(i);
      if (since < 0) {
        if (-since > step_ * (1 + kEvenStep) + kClock)
          return tl::unexpected(recording_error(
              source_.place(row),
              fmt::format("time runs backwards by {:.6g} s, to {:.9g} s", -since, now)));
        ++backwards_;
        continue;
      }
      if (gaps_++ == 0) {
        first_gap_row_ = row;
        first_gap_end_ = now;
      }
      longest_gap_ = std::max(longest_gap_, since);
      feed_rows(block, from, i);
      from = i;
      for (EdgeFinder& finder : finders_) finder.restart();
    }
    feed_rows(block, from, block.rows);
    trains_.samples += static_cast<std::int64_t>(block.rows);
    if (trains_.samples > kMostSamples)
      return tl::unexpected(recording_error(source_.place(0), "more than 2^40 samples"));
    trains_.last_time = time_of(block, block.rows - 1);
    std::size_t edges = 0;
    for (const SignalTrain& train : trains_.channels) edges += train.edges.size();
    if (edges > kMostEdges)
      return tl::unexpected(recording_error(
          source_.place(0), fmt::format("more than {} edges: noise, not a sensor", kMostEdges)));
    return {};
  }

  [[nodiscard]] bool unforeseen() const {
    return std::any_of(finders_.begin(), finders_.end(),
                       [](const EdgeFinder& finder) { return finder.unforeseen(); });
  }

  SignalTrains result() {
    for (std::size_t c = 0; c < finders_.size(); ++c) {
      trains_.channels[c].time_uncertainty = finders_[c].time_uncertainty(clock_);
      trains_.channels[c].glitches = drop_glitches(trains_.channels[c].edges);
    }
    trains_.format = source_.format;
    trains_.notes = source_.notes;
    if (trains_.samples == 1) trains_.notes.push_back("one sample only");
    if (gaps_ > 0) {
      const int line = source_.place(first_gap_row_).line;
      trains_.notes.push_back(
          fmt::format("{} in time, the longest of {:.4g} s, the first before {:.6g} s{}: no edge "
                      "is taken there",
                      gaps_ == 1 ? "a gap" : fmt::format("{} gaps", gaps_), longest_gap_,
                      first_gap_end_, line > 0 ? fmt::format(" (line {})", line) : ""));
    }
    if (backwards_ > 0)
      trains_.notes.push_back(
          fmt::format("time runs backwards by up to one step, {} times", backwards_));
    return std::move(trains_);
  }

 private:
  [[nodiscard]] double time_of(const SampleBlock& block, std::size_t i) const {
    if (block.times != nullptr) return block.times[i];
    return source_.start +
           static_cast<double>(block.first_row + static_cast<std::int64_t>(i)) * source_.step;
  }
  void feed_rows(const SampleBlock& block, std::size_t from, std::size_t to) {
    for (std::size_t c = 0; c < finders_.size(); ++c)
      finders_[c].feed(block, c, from, to, source_, trains_.channels[c]);
  }

  SampleSource& source_;
  double step_, clock_;
  bool gaps_matter_;
  SignalTrains trains_;
  std::vector<EdgeFinder> finders_;
  std::int64_t gaps_ = 0, backwards_ = 0, first_gap_row_ = 0;
  double longest_gap_ = 0, first_gap_end_ = 0;
};

}  // namespace

Parsed<SignalTrains> trains_of(SampleSource& source) {
  const std::vector<std::string> notes = source.notes;
  for (const Extent extent : {Extent::look, Extent::whole}) {
    // What a look did not foresee (an engine that starts late, say) is looked for everywhere.
    source.notes = notes;
    const auto survey = survey_of(source, extent);
    if (!survey) return tl::unexpected(survey.error());
    if (survey->rows == 0) return tl::unexpected(recording_error(source.place(0), "no samples"));
    std::vector<ChannelLevels> levels;
    levels.reserve(survey->channels.size());
    for (const ChannelSurvey& channel : survey->channels)
      levels.push_back(channel.levels(extent == Extent::whole));
    const bool all_logic = std::all_of(levels.begin(), levels.end(),
                                       [](const ChannelLevels& one) { return one.two_values; });
    const double clock = std::max(1.0, static_cast<double>(survey->clock)) * kClock;
    const double step = step_of(source, *survey, clock, all_logic);
    source.notes = notes;
    Pass pass(source, levels, step, clock);
    const auto done =
        source.scan(Extent::whole, [&](const SampleBlock& block) { return pass.feed(block); });
    if (!done) return tl::unexpected(done.error());
    if (extent == Extent::whole || !pass.unforeseen()) {
      SignalTrains trains = pass.result();
      if (source.step == 0 && trains.format.starts_with("CSV"))
        trains.format = step > 0 ? "CSV, sampled" : "CSV, one row per change";
      return trains;
    }
  }
  return {};  // not reached
}

}  // namespace tautmark
