// SPDX-License-Identifier: Apache-2.0
#include "recording/recording_write.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <iterator>
#include <limits>
#include <memory>

namespace tautmark {
namespace {

struct Change {
  double time = 0;
  std::size_t channel = 0;
  bool high = false;
};

std::vector<bool> first_state(const SignalTrains& trains) {
  std::vector<bool> state;
  for (const SignalTrain& train : trains.channels)
    state.push_back(!train.edges.empty() && train.edges.front().polarity < 0);
  return state;
}

std::vector<Change> changes_of(const SignalTrains& trains) {
  std::vector<Change> changes;
  for (std::size_t c = 0; c < trains.channels.size(); ++c)
    for (const SignalEdge& edge : trains.channels[c].edges)
      changes.push_back({edge.time, c, edge.polarity > 0});
  std::stable_sort(changes.begin(), changes.end(),
                   [](const Change& a, const Change& b) { return a.time < b.time; });
  return changes;
}

// One line, and nothing that ends a comment of a dump.
std::string comment(std::string title) {
  for (char& c : title)
    if (c == '\n' || c == '\r' || c == '$') c = ' ';
  return title.empty() ? std::string(kInventedStatement)
                       : fmt::format("{}: {}", kInventedStatement, title);
}

struct Memory {
  std::string bytes;
  std::size_t at = 0;
};

SF_VIRTUAL_IO memory_io() {
  SF_VIRTUAL_IO io{};
  io.get_filelen = [](void* memory) {
    return static_cast<sf_count_t>(static_cast<Memory*>(memory)->bytes.size());
  };
  io.seek = [](sf_count_t offset, int whence, void* memory) {
    auto& file = *static_cast<Memory*>(memory);
    const auto size = static_cast<sf_count_t>(file.bytes.size());
    const sf_count_t base = whence == SEEK_SET   ? 0
                            : whence == SEEK_CUR ? static_cast<sf_count_t>(file.at)
                                                 : size;
    file.at = static_cast<std::size_t>(std::clamp(base + offset, sf_count_t{0}, size));
    return static_cast<sf_count_t>(file.at);
  };
  io.read = [](void* into, sf_count_t count, void* memory) {
    auto& file = *static_cast<Memory*>(memory);
    const std::size_t read = std::min(static_cast<std::size_t>(count), file.bytes.size() - file.at);
    std::memcpy(into, file.bytes.data() + file.at, read);
    file.at += read;
    return static_cast<sf_count_t>(read);
  };
  io.write = [](const void* from, sf_count_t count, void* memory) {
    auto& file = *static_cast<Memory*>(memory);
    const auto size = static_cast<std::size_t>(count);
    file.bytes.resize(std::max(file.bytes.size(), file.at + size));
    std::memcpy(file.bytes.data() + file.at, from, size);
    file.at += size;
    return count;
  };
  io.tell = [](void* memory) { return static_cast<sf_count_t>(static_cast<Memory*>(memory)->at); };
  return io;
}

}  // namespace

std::string event_csv(const SignalTrains& trains, const std::string& title) {
  std::string out = fmt::format("# {}\ntime [s]", comment(title));
  for (const SignalTrain& train : trains.channels) out += "," + train.name;
  out += "\n";
  std::vector<bool> state = first_state(trains);
  const auto row = [&](double time) {
    fmt::format_to(std::back_inserter(out), "{:.9f}", time);
    for (const bool high : state) out += high ? ",1" : ",0";
    out += "\n";
  };
  const std::vector<Change> changes = changes_of(trains);
  row(0);
  for (std::size_t i = 0; i < changes.size(); ++i) {
    state[changes[i].channel] = changes[i].high;
    if (i + 1 == changes.size() || changes[i + 1].time > changes[i].time) row(changes[i].time);
  }
  row(std::max(trains.last_time, changes.empty() ? 0.0 : changes.back().time));
  return out;
}

std::string vcd_text(const SignalTrains& trains, const std::string& title) {
  std::string out = fmt::format("$comment {} $end\n$timescale 1 ns $end\n", comment(title));
  const auto id = [](std::size_t channel) { return static_cast<char>('!' + channel); };
  out += "$scope module engine $end\n";
  for (std::size_t c = 0; c < trains.channels.size(); ++c) {
    std::string name = trains.channels[c].name;
    std::replace(name.begin(), name.end(), ' ', '_');
    out += fmt::format("$var wire 1 {} {} $end\n", id(c), name);
  }
  out += "$upscope $end\n$enddefinitions $end\n#0\n$dumpvars\n";
  const std::vector<bool> state = first_state(trains);
  for (std::size_t c = 0; c < state.size(); ++c) out += fmt::format("{:d}{}\n", state[c], id(c));
  out += "$end\n";
  std::int64_t now = 0;
  const auto move_to = [&](double time) {
    const std::int64_t tick = std::llround(time * 1e9);
    if (tick > now) fmt::format_to(std::back_inserter(out), "#{}\n", tick);
    now = std::max(now, tick);
  };
  for (const Change& change : changes_of(trains)) {
    move_to(change.time);
    fmt::format_to(std::back_inserter(out), "{:d}{}\n", change.high, id(change.channel));
  }
  move_to(trains.last_time);
  return out;
}

std::string sampled_csv(const SampledChannels& samples, const std::string& title) {
  std::string out = fmt::format("# {}\ntime [s]", comment(title));
  for (const std::string& name : samples.names) out += fmt::format(",{} [V]", name);
  out += "\n";
  const std::size_t count = samples.volts.empty() ? 0 : samples.volts.front().size();
  for (std::size_t i = 0; i < count; ++i) {
    fmt::format_to(std::back_inserter(out), "{:.9f}", static_cast<double>(i) / samples.sample_rate);
    for (const auto& volts : samples.volts)
      fmt::format_to(std::back_inserter(out), ",{:.5f}", volts[i]);
    out += "\n";
  }
  return out;
}

Result<std::string> wav_bytes(const SampledChannels& samples, double full_scale,
                              const std::string& title) {
  const auto refused = [](std::string why) { return tl::unexpected<Refusal>({std::move(why)}); };
  if (samples.sample_rate != std::floor(samples.sample_rate) ||
      !(samples.sample_rate <= std::numeric_limits<int>::max()))
    return refused("a sound file has a whole number of samples in a second");
  std::vector<short> woven;
  const std::size_t count = samples.volts.empty() ? 0 : samples.volts.front().size();
  for (std::size_t i = 0; i < count; ++i) {
    for (const auto& volts : samples.volts) {
      const double part = volts[i] / full_scale;
      if (!(std::abs(part) <= 1))
        return refused(
            fmt::format("{:.2f} V is beyond the full scale of {:g} V", volts[i], full_scale));
      woven.push_back(static_cast<short>(std::lround(part * 32767)));
    }
  }
  Memory memory;
  SF_VIRTUAL_IO io = memory_io();
  SF_INFO info{};
  info.samplerate = static_cast<int>(samples.sample_rate);
  info.channels = static_cast<int>(samples.volts.size());
  info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
  SNDFILE* sound = sf_open_virtual(&io, SFM_WRITE, &info, &memory);
  if (sound == nullptr) return refused(sf_strerror(nullptr));
  sf_set_string(sound, SF_STR_COMMENT, comment(title).c_str());
  const auto frames = static_cast<sf_count_t>(count);
  const bool whole = sf_writef_short(sound, woven.data(), frames) == frames;
  sf_close(sound);
  if (!whole) return refused("the sound library did not take all samples");
  return std::move(memory.bytes);
}

}  // namespace tautmark
