// SPDX-License-Identifier: Apache-2.0
#include "recording/column_words.h"

#include <array>
#include <charconv>
#include <string>
#include <utility>

#include "base/diagnostic.h"
#include "base/text.h"

namespace tautmark {
namespace {

constexpr std::string_view kBrackets = "()[]{}<> \t\"'";

std::string_view without_brackets(std::string_view text) {
  const auto first = text.find_first_not_of(kBrackets);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(kBrackets) - first + 1);
}

template <std::size_t kCount>
bool is_one_of(std::string_view word, const std::array<std::string_view, kCount>& words) {
  for (const std::string_view one : words)
    if (one == word) return true;
  return false;
}

constexpr std::array<std::string_view, 10> kTime{"time",  "t",      "times",     "zeit", "temps",
                                                 "tempo", "tiempo", "timestamp", "x",    "seconds"};
constexpr std::array<std::string_view, 6> kIndex{"index", "sample", "samples", "n", "i", "#"};
constexpr std::array<std::string_view, 9> kRate{
    "fs",   "samplerate",    "sample_rate",   "sample rate",
    "rate", "sampling_rate", "sampling rate", "sampling_frequency",
    "srate"};
constexpr std::array<std::string_view, 7> kInterval{
    "dt", "interval", "tinterval", "sample_interval", "sampling_interval", "period", "ts"};
constexpr std::array<std::string_view, 4> kStart{"t0", "tstart", "start", "start_time"};

}  // namespace

ColumnRole column_role(std::string_view name) {
  const std::string whole = folded(without_brackets(name));
  std::string_view word = trimmed(std::string_view(whole).substr(0, whole.find_first_of("([{/,;")));
  if (word.empty()) return ColumnRole::signal;
  if (is_one_of(word, kIndex)) return ColumnRole::index;
  if (is_one_of(word, kRate)) return ColumnRole::rate;
  if (is_one_of(word, kInterval)) return ColumnRole::interval;
  if (is_one_of(word, kStart)) return ColumnRole::start;
  if (is_one_of(word, kTime)) return ColumnRole::time;
  // "time_us", "time ms"
  const auto parting = word.find_last_of("_ ");
  if (parting != std::string_view::npos && time_unit(word.substr(parting + 1)) &&
      is_one_of(word.substr(0, parting), kTime))
    return ColumnRole::time;
  return ColumnRole::signal;
}

std::optional<double> time_unit(std::string_view text) {
  static constexpr std::array<std::pair<std::string_view, double>, 16> kUnits{
      {{"s", 1},
       {"sec", 1},
       {"secs", 1},
       {"second", 1},
       {"seconds", 1},
       {"ms", 1e-3},
       {"msec", 1e-3},
       {"milliseconds", 1e-3},
       {"us", 1e-6},
       {"usec", 1e-6},
       {"µs", 1e-6},
       {"μs", 1e-6},
       {"microseconds", 1e-6},
       {"ns", 1e-9},
       {"nsec", 1e-9},
       {"ps", 1e-12}}};
  const std::string word = lower_ascii(without_brackets(text));
  for (const auto& [unit, seconds] : kUnits)
    if (word == unit) return seconds;
  return std::nullopt;
}

std::optional<double> time_unit_of_name(std::string_view name) {
  const std::string_view bare = without_brackets(name);
  const auto parting = bare.find_last_of("([{/_ ,");
  if (parting == std::string_view::npos)
    return lower_ascii(bare) == "seconds" ? std::optional<double>(1) : std::nullopt;
  return time_unit(bare.substr(parting + 1));
}

std::string printable(std::string_view text) {
  std::string shown(text.substr(0, 1000));
  while (const auto bad = first_invalid_utf8(shown)) shown[*bad] = '?';
  for (char& c : shown)
    if ((c >= 0 && c < ' ') || c == '\x7F') c = c == '\t' ? ' ' : '?';
  return clipped(std::move(shown));
}

std::optional<double> sample_rate_of(std::string_view text) {
  text = trimmed(text);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || !(value > 0) || value > 1e15) return std::nullopt;
  const std::string unit =
      lower_ascii(trimmed(text.substr(static_cast<std::size_t>(end - text.data()))));
  static constexpr std::array<std::pair<std::string_view, double>, 10> kUnits{{{"", 1},
                                                                               {"hz", 1},
                                                                               {"1/s", 1},
                                                                               {"s/s", 1},
                                                                               {"khz", 1e3},
                                                                               {"ks/s", 1e3},
                                                                               {"mhz", 1e6},
                                                                               {"ms/s", 1e6},
                                                                               {"ghz", 1e9},
                                                                               {"gs/s", 1e9}}};
  for (const auto& [name, factor] : kUnits)
    if (unit == name) return value * factor;
  return std::nullopt;
}

}  // namespace tautmark
