// SPDX-License-Identifier: Apache-2.0
// Zipped logic sessions, version 2 (media type application/vnd.sigrok.session, registered with
// IANA). Members: `version`, `metadata` (INI), `logic-1-K` of packed samples, `analog-1-C-K` of
// little-endian float. Only the first device is read. Members are unpacked piece by piece into
// memory, never to disk.
#include <fmt/format.h>
#include <zip.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cstring>
#include <map>
#include <memory>

#include "base/text.h"
#include "recording/column_words.h"
#include "recording/formats/formats.h"
#include "recording/logic_scan.h"
#include "recording/samples.h"

namespace tautmark {
namespace {

static_assert(std::endian::native == std::endian::little, "analog members are little endian");

constexpr std::size_t kMostMetadata = 1 << 20;  // bytes
constexpr std::size_t kPiece = 256 * 1024;      // bytes unpacked at a time
constexpr std::uint64_t kHarmless = 64 << 20;   // bytes: unpacked whatever the ratio
constexpr std::size_t kMostMembers = 1 << 20;

struct CloseZip {
  void operator()(zip_t* zip) const { zip_discard(zip); }
};
struct CloseMember {
  void operator()(zip_file_t* member) const { zip_fclose(member); }
};
using Zip = std::unique_ptr<zip_t, CloseZip>;

struct Session {
  double sample_rate = 0;  // 1/s
  std::size_t unit_size = 0, logic_channels = 0;
  std::string capture_file = "logic-1";
  std::map<int, std::string> probe_names, analog_names;  // by number of the channel
  // Members by number of the piece.
  std::map<int, zip_uint64_t> logic;
  std::map<int, std::map<int, zip_uint64_t>> analog;
};

std::optional<int> number_of(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value < 1) return std::nullopt;
  return value;
}

tl::expected<void, Diagnostics> read_member(zip_t* zip, zip_uint64_t index, const std::string& file,
                                            const std::function<bool(std::string_view)>& use) {
  const std::unique_ptr<zip_file_t, CloseMember> member(zip_fopen_index(zip, index, 0));
  if (!member) return tl::unexpected(recording_error(file, "a member cannot be unpacked"));
  std::vector<char> room(kPiece);
  for (;;) {
    const zip_int64_t count = zip_fread(member.get(), room.data(), room.size());
    if (count < 0)
      return tl::unexpected(
          recording_error(file, fmt::format("member {} is damaged or cut off",
                                            std::string(zip_get_name(zip, index, 0)))));
    if (count == 0 || !use({room.data(), static_cast<std::size_t>(count)})) return {};
  }
}

Parsed<std::string> small_member(zip_t* zip, const char* name, const std::string& file) {
  const zip_int64_t index = zip_name_locate(zip, name, 0);
  if (index < 0)
    return tl::unexpected(
        recording_error(file, fmt::format("a zip file without \"{}\": no logic session", name)));
  std::string text;
  const auto done =
      read_member(zip, static_cast<zip_uint64_t>(index), file, [&](std::string_view piece) {
        text += piece;
        return text.size() <= kMostMetadata;
      });
  if (!done) return tl::unexpected(done.error());
  if (text.size() > kMostMetadata)
    return tl::unexpected(recording_error(file, fmt::format("\"{}\" is above 1 MiB", name)));
  return text;
}

tl::expected<void, std::string> read_metadata(Session& session, std::string_view text) {
  std::string section;
  for (const std::string& line : split(text, '\n')) {
    const std::string_view entry = trimmed(line);
    if (entry.starts_with('[')) section = entry;
    const std::size_t parting = entry.find('=');
    if (section != "[device 1]" || parting == std::string_view::npos) continue;
    const std::string_view key = trimmed(entry.substr(0, parting));
    const std::string_view value = trimmed(entry.substr(parting + 1));
    const std::string name = printable(value);
    if (key == "capturefile")
      session.capture_file = value;
    else if (key == "samplerate")
      session.sample_rate = sample_rate_of(value).value_or(0);
    else if (key == "unitsize")
      session.unit_size = static_cast<std::size_t>(number_of(value).value_or(0));
    else if (key == "total probes")
      session.logic_channels = static_cast<std::size_t>(number_of(value).value_or(0));
    else if (key.starts_with("probe") && number_of(key.substr(5)))
      session.probe_names[*number_of(key.substr(5))] = name;
    else if (key.starts_with("analog") && number_of(key.substr(6)))
      session.analog_names[*number_of(key.substr(6))] = name;
  }
  if (session.sample_rate == 0)
    return tl::unexpected(std::string("the session states no sample rate"));
  if (session.logic_channels + session.analog_names.size() > kMostChannels)
    return tl::unexpected(fmt::format("{} channels; at most {}",
                                      session.logic_channels + session.analog_names.size(),
                                      kMostChannels));
  if (session.logic_channels > 0 &&
      (session.unit_size > 8 || session.unit_size * 8 < session.logic_channels))
    return tl::unexpected(fmt::format("{} logic channels do not fit {} bytes a sample",
                                      session.logic_channels, session.unit_size));
  return {};
}

// "logic-1-K" or "logic-1", "analog-1-C-K"
void read_member_name(Session& session, std::string_view name, zip_uint64_t index) {
  if (name == session.capture_file) {
    session.logic[1] = index;
  } else if (name.starts_with(session.capture_file + "-")) {
    const auto piece = number_of(name.substr(session.capture_file.size() + 1));
    if (piece) session.logic[*piece] = index;
  } else if (name.starts_with("analog-1-")) {
    name.remove_prefix(9);
    const std::size_t parting = std::min(name.find('-'), name.size());
    const auto channel = number_of(name.substr(0, parting));
    const auto piece = number_of(name.substr(std::min(parting + 1, name.size())));
    if (channel && piece && session.analog_names.contains(*channel))
      session.analog[*channel][*piece] = index;
  }
}

tl::expected<void, std::string> read_members(Session& session, zip_t* zip, std::size_t packed) {
  const zip_int64_t count = zip_get_num_entries(zip, 0);
  if (count > static_cast<zip_int64_t>(kMostMembers))
    return tl::unexpected(std::string("too many members"));
  std::uint64_t unpacked = 0;
  for (zip_uint64_t i = 0; i < static_cast<zip_uint64_t>(count); ++i) {
    zip_stat_t facts;
    if (zip_stat_index(zip, i, 0, &facts) != 0 || (facts.valid & ZIP_STAT_NAME) == 0 ||
        (facts.valid & ZIP_STAT_SIZE) == 0)
      return tl::unexpected(std::string("the list of members is damaged"));
    if (facts.size > (std::uint64_t{1} << 50U) - unpacked)
      return tl::unexpected(std::string("members of an impossible size"));
    unpacked += facts.size;
    read_member_name(session, facts.name, i);
  }
  if (unpacked > kHarmless && unpacked / kMostZipRatio > packed)
    return tl::unexpected(
        fmt::format("unpacked it would be more than {} times as large", kMostZipRatio));
  return {};
}

// The logic pieces one after another.
tl::expected<void, Diagnostics> read_logic_pieces(
    zip_t* zip, const Session& session, const std::string& file,
    const std::function<bool(std::string_view)>& use) {
  int expected = 1;
  for (const auto& [piece, index] : session.logic) {
    if (piece != expected++)
      return tl::unexpected(recording_error(
          file, fmt::format("piece {} of the logic samples is missing", expected - 1)));
    bool goes_on = true;
    const auto done = read_member(zip, index, file, [&](std::string_view bytes) {
      goes_on = use(bytes);
      return goes_on;
    });
    if (!done || !goes_on) return done;
  }
  return {};
}

tl::expected<void, Diagnostics> read_logic(zip_t* zip, const Session& session,
                                           const std::string& file, SignalTrains& trains) {
  std::vector<SignalTrain> channels = logic_trains(session.logic_channels, 1 / session.sample_rate);
  for (SignalTrain& train : channels) {
    const auto name = session.probe_names.find(train.channel);
    if (name != session.probe_names.end()) train.name = name->second;
  }
  LogicScan scan(session.unit_size, 1 / session.sample_rate, channels);
  const auto done = read_logic_pieces(zip, session, file, [&](std::string_view bytes) {
    scan.feed(bytes);
    return scan.edges() <= kMostEdges;
  });
  if (!done) return done;
  if (scan.edges() > kMostEdges)
    return tl::unexpected(
        recording_error(file, fmt::format("more than {} edges: noise, not a sensor", kMostEdges)));
  if (scan.ends_within_sample())
    trains.notes.emplace_back("the logic samples end within a sample: the file is truncated");
  trains.samples = scan.samples();
  finish_logic_trains(channels);
  for (SignalTrain& train : channels)
    if (!train.name.empty() || session.probe_names.empty())  // the others were not captured
      trains.channels.push_back(std::move(train));
  return {};
}

// Bits of the channels that were captured, in the order of the recording's channels.
std::vector<std::size_t> captured_bits(const Session& session) {
  std::vector<std::size_t> bits;
  if (session.unit_size == 0) return bits;
  for (std::size_t bit = 0; bit < session.logic_channels; ++bit) {
    const auto name = session.probe_names.find(static_cast<int>(bit) + 1);
    const bool has_name = name != session.probe_names.end() && !name->second.empty();
    if (has_name || session.probe_names.empty()) bits.push_back(bit);
  }
  return bits;
}

tl::expected<void, Diagnostics> scan_bit(zip_t* zip, const Session& session, std::size_t bit,
                                         const std::string& file, const SampleVisit& visit) {
  BitRows rows(session.unit_size, bit, 1 / session.sample_rate);
  tl::expected<void, Diagnostics> fed;
  auto done = read_logic_pieces(zip, session, file, [&](std::string_view bytes) {
    fed = rows.feed(bytes, visit);
    return fed.has_value();
  });
  if (!done || !fed) return done ? fed : done;
  return rows.finish(visit);
}

tl::expected<void, Diagnostics> scan_analog(zip_t* zip, const std::map<int, zip_uint64_t>& pieces,
                                            const std::string& file, const SampleVisit& visit) {
  std::vector<double> values;
  std::string rest;
  std::int64_t first_row = 0;
  tl::expected<void, Diagnostics> visited;
  for (const auto& [piece, index] : pieces) {
    const auto done = read_member(zip, index, file, [&](std::string_view bytes) {
      rest += bytes;
      const std::size_t count = rest.size() / sizeof(float);
      values.resize(count);
      for (std::size_t i = 0; i < count; ++i) {
        float value = 0;
        std::memcpy(&value, rest.data() + i * sizeof value, sizeof value);
        values[i] = static_cast<double>(value);
      }
      rest.erase(0, count * sizeof(float));
      if (count > 0) visited = visit({first_row, count, nullptr, {values.data()}});
      first_row += static_cast<std::int64_t>(count);
      return visited.has_value();
    });
    if (!done) return done;
    if (!visited) return visited;
  }
  return {};
}

tl::expected<void, Diagnostics> read_analog(zip_t* zip, const Session& session,
                                            const RecordingFile& file, SignalTrains& trains) {
  int number = static_cast<int>(captured_bits(session).size());
  for (const auto& [channel, pieces] : session.analog) {
    ++number;
    SampleSource source;
    source.names = {session.analog_names.at(channel)};
    source.step = 1 / session.sample_rate;
    source.scan = [&, &members = pieces](Extent, const SampleVisit& visit) {
      return scan_analog(zip, members, file.name, visit);
    };
    source.place = [&](std::int64_t) { return TextPlace{file.name, 0, 0, 1, {}}; };
    auto read = trains_or_tap(file, source, number);
    if (!read) return tl::unexpected(read.error());
    if (file.tap != nullptr) continue;
    trains.samples = std::max(trains.samples, read->samples);
    trains.channels.push_back(std::move(read->channels.front()));
  }
  return {};
}

Parsed<SignalTrains> tap_session(zip_t* zip, const Session& session, const RecordingFile& file) {
  const std::vector<std::size_t> bits = captured_bits(session);
  const int channel = file.tap->channel;
  SignalTrains none;
  if (channel < 1 || channel > static_cast<int>(bits.size())) {
    if (auto done = read_analog(zip, session, file, none); !done)
      return tl::unexpected(std::move(done.error()));
    return none;
  }
  const std::size_t bit = bits[static_cast<std::size_t>(channel) - 1];
  SampleSource source = bit_source("logic session", session.logic_channels);
  source.scan = [&](Extent, const SampleVisit& visit) {
    return scan_bit(zip, session, bit, file.name, visit);
  };
  return trains_or_tap(file, source, channel - static_cast<int>(bit));
}

}  // namespace

Parsed<SignalTrains> read_logic_session(const RecordingFile& file) {
  const auto refuse = [&](std::string why) {
    return tl::unexpected(recording_error(file.name, std::move(why)));
  };
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* bytes = zip_source_buffer_create(file.bytes.data(), file.bytes.size(), 0, &error);
  const Zip zip(bytes == nullptr ? nullptr : zip_open_from_source(bytes, ZIP_RDONLY, &error));
  const std::string why = zip ? "" : zip_error_strerror(&error);
  if (!zip && bytes != nullptr) zip_source_free(bytes);
  zip_error_fini(&error);
  if (!zip) return refuse("a zip file that cannot be opened: " + why);
  const auto version = small_member(zip.get(), "version", file.name);
  if (!version) return tl::unexpected(version.error());
  if (trimmed(*version) != "2" && trimmed(*version) != "1")
    return refuse("a session of another version than 2");
  const auto metadata = small_member(zip.get(), "metadata", file.name);
  if (!metadata) return tl::unexpected(metadata.error());
  Session session;
  if (const auto done = read_metadata(session, *metadata); !done) return refuse(done.error());
  if (const auto done = read_members(session, zip.get(), file.bytes.size()); !done)
    return refuse(done.error());
  SignalTrains trains;
  trains.format = "logic session";
  if (file.tap != nullptr) return tap_session(zip.get(), session, file);
  if (session.logic_channels > 0 && session.unit_size > 0)
    if (const auto done = read_logic(zip.get(), session, file.name, trains); !done)
      return tl::unexpected(done.error());
  if (const auto done = read_analog(zip.get(), session, file, trains); !done)
    return tl::unexpected(done.error());
  if (trains.samples == 0) return refuse("no samples");
  trains.last_time = static_cast<double>(trains.samples - 1) / session.sample_rate;
  for (std::size_t c = 0; c < trains.channels.size(); ++c)
    trains.channels[c].channel = static_cast<int>(c) + 1;
  return trains;
}

}  // namespace tautmark
