// SPDX-License-Identifier: Apache-2.0
// Value change dumps, IEEE 1364-2005 clause 18 (four-state form). Wires and every bit of a vector
// are logic channels, x and z leave the state as it was; real variables are sampled at every time
// mark. The extended form (ports, strengths) is another dialect and refused.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>
#include <limits>
#include <optional>
#include <unordered_map>

#include "base/text.h"
#include "recording/column_words.h"
#include "recording/formats/formats.h"
#include "recording/logic_scan.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

struct Variable {
  std::string name;
  std::size_t width = 1;
  bool is_real = false;
  std::size_t first_channel = 0;  // among the bits, or among the reals
};

struct Dump {
  double tick = 0;  // s
  std::vector<Variable> variables;
  std::unordered_map<std::string_view, std::size_t> by_id;
  std::size_t bits = 0, reals = 0;
};

using OnBit = std::function<void(std::size_t bit, std::int64_t tick, char state)>;
using OnReal = std::function<void(std::size_t real, double value)>;
using OnTime = std::function<tl::expected<void, Diagnostics>(std::int64_t tick)>;

class VcdReader {
 public:
  VcdReader(const RecordingFile& file, Dump& dump)
      : file_(file.name), text_(file.bytes), dump_(dump) {
    if (text_.starts_with("\xEF\xBB\xBF")) at_ = 3;
  }

  tl::expected<void, Diagnostics> header() {
    for (;;) {
      const std::string_view word = next();
      if (word.empty()) return wrong("the file ends within its header");
      if (word == "$enddefinitions") break;
      if (word == "$timescale") {
        if (auto done = timescale(); !done) return done;
      } else if (word == "$var") {
        if (auto done = variable(); !done) return done;
      } else if (word.front() == '$') {
        if (!skip_to_end()) return wrong("no $end to " + shown(word));
      } else {
        return wrong("a declaration was expected, not " + shown(word));
      }
    }
    skip_to_end();
    if (dump_.tick == 0) return wrong("no $timescale");
    if (dump_.variables.empty()) return wrong("no variables");
    return {};
  }

  // Values after the header; `tick` starts at the first time mark.
  tl::expected<void, Diagnostics> changes(const OnBit& on_bit, const OnReal& on_real,
                                          const OnTime& on_time) {
    std::optional<std::int64_t> tick;
    for (;;) {
      const std::string_view word = next();
      if (word.empty()) return {};
      switch (word.front()) {
        case '#': {
          std::int64_t read = 0;
          const auto [end, error] =
              std::from_chars(word.data() + 1, word.data() + word.size(), read);
          if (error != std::errc() || end != word.data() + word.size() || read < 0)
            return wrong("a time was expected, not " + shown(word));
          if (tick && read < *tick)
            return wrong(fmt::format("time runs backwards, from {} to {}", *tick, read));
          tick = read;
          if (auto done = on_time(read); !done) return done;
          break;
        }
        case '0':
        case '1':
        case 'x':
        case 'X':
        case 'z':
        case 'Z': {
          const Variable* variable = find(word.substr(1));
          if (variable == nullptr || variable->is_real || variable->width != 1)
            return wrong("no wire is called " + shown(word.substr(1)));
          on_bit(variable->first_channel, tick.value_or(0), word.front());
          break;
        }
        case 'b':
        case 'B':
          if (auto done = vector(word.substr(1), tick.value_or(0), on_bit); !done) return done;
          break;
        case 'r':
        case 'R':
          if (auto done = real(word.substr(1), on_real); !done) return done;
          break;
        case '$':
          if (word == "$comment" && !skip_to_end()) return wrong("no $end to $comment");
          break;  // $dumpvars, $dumpall, $dumpon, $dumpoff and their $end
        default:
          return wrong("a change of value was expected, not " + shown(word));
      }
    }
  }

  [[nodiscard]] TextPlace place() const {
    const std::size_t begin = text_.rfind('\n', word_) + 1;  // npos + 1 is 0
    const auto lines =
        std::count(text_.begin(), text_.begin() + static_cast<std::ptrdiff_t>(word_), '\n');
    const std::string line(
        trimmed(text_.substr(begin, std::min<std::size_t>(text_.find('\n', word_) - begin, 200))));
    return {file_,
            static_cast<int>(std::min<std::ptrdiff_t>(lines + 1, std::numeric_limits<int>::max())),
            static_cast<int>(std::min<std::size_t>(word_ - std::min(begin, word_) + 1, 1U << 20U)),
            1, line};
  }
  // The last value or time of the file may be half written.
  [[nodiscard]] bool ends_within_line() const { return !text_.empty() && text_.back() != '\n'; }

 private:
  static bool is_space(char c) { return c == ' ' || (c >= '\t' && c <= '\r'); }

  std::string_view next() {
    while (at_ < text_.size() && is_space(text_[at_])) ++at_;
    word_ = at_;
    while (at_ < text_.size() && !is_space(text_[at_]) && at_ - word_ <= kLongestRecordingLine)
      ++at_;
    return text_.substr(word_, at_ - word_);
  }
  bool skip_to_end() {
    for (;;) {
      const std::string_view word = next();
      if (word == "$end") return true;
      if (word.empty()) return false;
    }
  }
  tl::unexpected<Diagnostics> wrong(std::string message) const {
    return tl::unexpected(recording_error(place(), std::move(message)));
  }
  static std::string shown(std::string_view word) {
    return fmt::format("\"{}\"", word.substr(0, 40));
  }

  const Variable* find(std::string_view id) const {
    const auto found = dump_.by_id.find(id);
    return found == dump_.by_id.end() ? nullptr : &dump_.variables[found->second];
  }

  tl::expected<void, Diagnostics> timescale() {
    std::string text;
    for (std::string_view word = next(); word != "$end"; word = next()) {
      if (word.empty() || text.size() > 32) return wrong("a time scale such as 1 ns was expected");
      text += word;
    }
    static constexpr std::array<std::pair<std::string_view, double>, 6> kUnits{
        {{"s", 1}, {"ms", 1e-3}, {"us", 1e-6}, {"ns", 1e-9}, {"ps", 1e-12}, {"fs", 1e-15}}};
    int count = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), count);
    const std::string_view rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
    for (const auto& [unit, seconds] : kUnits)
      if (error == std::errc() && rest == unit && (count == 1 || count == 10 || count == 100))
        dump_.tick = count * seconds;
    if (dump_.tick == 0) return wrong("a time scale such as 1 ns was expected");
    return {};
  }

  tl::expected<void, Diagnostics> variable() {
    const std::string_view type = next(), size = next(), id = next();
    std::string name;
    for (std::string_view word = next(); word != "$end"; word = next()) {
      if (word.empty() || name.size() > 1000) return wrong("no $end to $var");
      name += word;
    }
    if (type == "port") return wrong("an extended dump (ports): only the four-state form is read");
    Variable variable;
    variable.is_real = type == "real" || type == "realtime";
    const auto [end, error] =
        std::from_chars(size.data(), size.data() + size.size(), variable.width);
    if (error != std::errc() || end != size.data() + size.size() || variable.width == 0 ||
        id.empty())
      return wrong("a variable needs a type, a width and an identifier");
    variable.name = printable(name);
    std::size_t& count = variable.is_real ? dump_.reals : dump_.bits;
    const std::size_t wanted = variable.is_real ? 1 : variable.width;
    if (wanted > kMostChannels || dump_.bits + dump_.reals + wanted > kMostChannels)
      return wrong(fmt::format("more than {} channels", kMostChannels));
    if (!dump_.by_id.emplace(id, dump_.variables.size()).second) return {};  // a second name
    variable.first_channel = count;
    count += wanted;
    dump_.variables.push_back(std::move(variable));
    return {};
  }

  tl::expected<void, Diagnostics> vector(std::string_view digits, std::int64_t tick,
                                         const OnBit& on_bit) {
    const std::size_t written = word_;
    const Variable* variable = find(next());
    word_ = written;
    if (variable == nullptr || variable->is_real || digits.empty() ||
        digits.size() > variable->width || digits.find_first_not_of("01xXzZ") != digits.npos)
      return wrong("a vector and its identifier were expected");
    // Shorter vectors are extended on the left: by 0, or by x or z when that comes first (18.2.2).
    const char fill = digits.front() == '1' ? '0' : digits.front();
    for (std::size_t i = 0; i < variable->width; ++i) {
      const std::size_t missing = variable->width - digits.size();
      on_bit(variable->first_channel + i, tick, i < missing ? fill : digits[i - missing]);
    }
    return {};
  }

  tl::expected<void, Diagnostics> real(std::string_view number, const OnReal& on_real) {
    double value = 0;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
    const bool is_number = error == std::errc() && end == number.data() + number.size();
    const std::size_t written = word_;
    const Variable* variable = find(next());
    word_ = written;
    if (!is_number || variable == nullptr || !variable->is_real)
      return wrong("a number and the identifier of a real variable were expected");
    on_real(variable->first_channel, value);
    return {};
  }

  std::string file_;
  std::string_view text_;
  std::size_t at_ = 0, word_ = 0;
  Dump& dump_;
};

constexpr std::size_t kBlockRows = 4096;

// Real variables at every time mark; before them, where a channel is tapped, the bits.
tl::expected<void, Diagnostics> scan_rows(const VcdReader& after_header, const Dump& dump,
                                          std::size_t bits, const SampleVisit& visit) {
  constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  VcdReader reader = after_header;
  std::vector<double> times, now(bits + dump.reals, kUnknown);
  std::vector<std::vector<double>> columns(now.size());
  std::int64_t first_row = 0;
  std::optional<std::int64_t> tick;
  const auto give = [&](bool all) -> tl::expected<void, Diagnostics> {
    if (tick) {
      times.push_back(static_cast<double>(*tick) * dump.tick);
      for (std::size_t c = 0; c < now.size(); ++c) columns[c].push_back(now[c]);
    }
    if (times.empty() || (!all && times.size() < kBlockRows)) return {};
    SampleBlock block{first_row, times.size(), times.data(), {}};
    for (const auto& column : columns) block.channels.push_back(column.data());
    first_row += static_cast<std::int64_t>(times.size());
    auto done = visit(block);
    times.clear();
    for (auto& column : columns) column.clear();
    return done;
  };
  const auto note_bit = [&](std::size_t bit, std::int64_t, char state) {
    if (bit < bits) now[bit] = state == '0' ? 0 : state == '1' ? 1 : kUnknown;
  };
  const auto done = reader.changes(
      note_bit, [&](std::size_t c, double value) { now[bits + c] = value; },
      [&](std::int64_t next) -> tl::expected<void, Diagnostics> {
        if (tick && next == *tick) return {};
        auto given = give(false);
        tick = next;
        return given;
      });
  if (!done) return done;
  return give(true);
}

Parsed<SignalTrains> row_trains(const RecordingFile& file, const VcdReader& after_header,
                                const Dump& dump) {
  const std::size_t bits = file.tap != nullptr ? dump.bits : 0;
  SampleSource source;
  source.format = "value change dump";
  source.rows_only_at_changes = true;
  source.names.resize(bits + dump.reals);
  for (const Variable& variable : dump.variables)
    if (variable.is_real) source.names[bits + variable.first_channel] = variable.name;
  source.scan = [&](Extent, const SampleVisit& visit) {
    return scan_rows(after_header, dump, bits, visit);
  };
  source.place = [&](std::int64_t) { return TextPlace{file.name, 0, 0, 1, {}}; };
  return trains_or_tap(file, source);
}

std::vector<SignalTrain> empty_bit_trains(const Dump& dump) {
  std::vector<SignalTrain> trains = logic_trains(dump.bits, dump.tick);
  for (const Variable& variable : dump.variables) {
    if (variable.is_real) continue;
    for (std::size_t i = 0; i < variable.width; ++i) {
      SignalTrain& train = trains[variable.first_channel + i];
      train.name = variable.name;
      if (variable.width > 1) train.name += fmt::format(" bit {}", variable.width - 1 - i);
    }
  }
  return trains;
}

}  // namespace

Parsed<SignalTrains> read_vcd(const RecordingFile& file) {
  Dump dump;
  VcdReader reader(file, dump);
  if (const auto done = reader.header(); !done) return tl::unexpected(done.error());
  const VcdReader after_header = reader;
  if (file.tap != nullptr) return row_trains(file, after_header, dump);
  std::vector<SignalTrain> bits = empty_bit_trains(dump);
  std::vector<char> states(dump.bits, 'x');
  std::optional<std::int64_t> first, last;
  std::size_t edges = 0;
  SignalTrains trains;
  const auto done = reader.changes(
      [&](std::size_t bit, std::int64_t tick, char state) {
        SignalTrain& train = bits[bit];
        if (state != '0' && state != '1') {
          ++train.unknown_samples;
        } else if (state != states[bit]) {
          const auto polarity = static_cast<std::int8_t>(state == '1' ? 1 : -1);
          if (states[bit] != 'x' && edges++ < kMostEdges)
            train.edges.push_back({static_cast<double>(tick) * dump.tick, polarity});
          states[bit] = state;
        }
      },
      [](std::size_t, double) {},
      [&](std::int64_t tick) -> tl::expected<void, Diagnostics> {
        if (!first) first = tick;
        if (last != tick) ++trains.samples;
        last = tick;
        if (edges > kMostEdges)
          return tl::unexpected(recording_error(
              reader.place(), fmt::format("more than {} edges: noise, not a sensor", kMostEdges)));
        return {};
      });
  if (!done) return tl::unexpected(done.error());
  if (!first) return tl::unexpected(recording_error(file.name, "no time marks, so no samples"));
  trains.format = "value change dump";
  trains.first_time = static_cast<double>(*first) * dump.tick;
  trains.last_time = static_cast<double>(*last) * dump.tick;
  if (reader.ends_within_line())
    trains.notes.emplace_back("the last line is not ended: the file may be truncated");
  finish_logic_trains(bits);
  trains.channels = std::move(bits);
  if (dump.reals > 0) {
    auto reals = row_trains(file, after_header, dump);
    if (!reals) return reals;
    std::move(reals->channels.begin(), reals->channels.end(), std::back_inserter(trains.channels));
    std::move(reals->notes.begin(), reals->notes.end(), std::back_inserter(trains.notes));
  }
  for (std::size_t c = 0; c < trains.channels.size(); ++c)
    trains.channels[c].channel = static_cast<int>(c) + 1;
  return trains;
}

}  // namespace tautmark
