// SPDX-License-Identifier: Apache-2.0
// From a plan to the bytes of its recording.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "recording/random.h"
#include "recording/recording_write.h"
#include "recording/synthesis_file.h"

namespace tautmark {
namespace {

constexpr double kMostWrittenSamples = 2e7;  // of all channels
constexpr HallSignal kLogicLevels{0, 5, 0, 0};
constexpr std::uint32_t kStreamsPerChannel = 16, kNoiseStream = 15;

// Straight flanks about each edge; where flanks meet they add.
std::vector<double> hall_volts(const SignalTrain& train, const HallSignal& hall, double rate,
                               std::size_t samples, const recording::CounterRandom& random) {
  std::vector<double> volts(samples);
  const std::uint32_t stream =
      static_cast<std::uint32_t>(train.channel - 1) * kStreamsPerChannel + kNoiseStream;
  const double half = hall.rise_time / 2;
  double settled = !train.edges.empty() && train.edges.front().polarity < 0 ? 1 : 0;
  std::size_t done = 0;
  for (std::size_t i = 0; i < samples; ++i) {
    const double time = static_cast<double>(i) / rate;
    while (done < train.edges.size() && train.edges[done].time + half <= time)
      settled += train.edges[done++].polarity;
    double level = settled;
    for (std::size_t e = done; e < train.edges.size() && train.edges[e].time - half < time; ++e)
      level += train.edges[e].polarity * (time - train.edges[e].time + half) / hall.rise_time;
    volts[i] = hall.low + (hall.high - hall.low) * std::clamp(level, 0.0, 1.0);
    if (hall.noise > 0) volts[i] += hall.noise * random.normal(stream, i);
  }
  return volts;
}

Result<SampledChannels> sampled(const SynthesisPlan& plan, const Synthesised& made) {
  const double rate = plan.sample_rate;
  const double count = std::floor(made.trains.last_time * rate);
  if (!(count * static_cast<double>(plan.signals.size()) <= kMostWrittenSamples))
    return tl::unexpected<Refusal>({fmt::format(
        "over {:g} samples: write a shorter time or a lower rate", kMostWrittenSamples)});
  SampledChannels samples{rate, plan.names, {}};
  const recording::CounterRandom random(plan.engine.seed);
  for (std::size_t c = 0; c < plan.signals.size(); ++c) {
    if (plan.signals[c].kind == SensorSignal::inductive) {
      auto volts = inductive_crank(plan.engine, plan.inductive);
      if (!volts) return tl::unexpected(volts.error());
      if (plan.engine.faults.inverted)
        for (double& v : *volts) v = -v;
      samples.volts.push_back(std::move(*volts));
    } else {
      const bool logic = plan.signals[c].kind == SensorSignal::logic;
      samples.volts.push_back(hall_volts(made.trains.channels[c],
                                         logic ? kLogicLevels : plan.signals[c].hall, rate,
                                         static_cast<std::size_t>(count), random));
    }
  }
  return samples;
}

}  // namespace

Result<MadeRecording> make_recording(const SynthesisPlan& plan) {
  auto made = synthesise(plan.engine);
  if (!made) return tl::unexpected(made.error());
  for (SignalTrain& train : made->trains.channels)
    train.name = plan.names[static_cast<std::size_t>(train.channel - 1)];
  const std::string title = plan.spec.title.value_or("");
  MadeRecording out;
  if (plan.format == WrittenFormat::event_csv) {
    out.bytes = event_csv(made->trains, title);
  } else if (plan.format == WrittenFormat::vcd) {
    out.bytes = vcd_text(made->trains, title);
  } else {
    const auto samples = sampled(plan, *made);
    if (!samples) return tl::unexpected(samples.error());
    if (plan.format == WrittenFormat::wav) {
      auto bytes = wav_bytes(*samples, plan.full_scale, title);
      if (!bytes) return tl::unexpected(bytes.error());
      out.bytes = std::move(*bytes);
    } else {
      out.bytes = sampled_csv(*samples, title);
    }
  }
  out.made = std::move(*made);
  return out;
}

}  // namespace tautmark
