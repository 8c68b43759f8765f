// SPDX-License-Identifier: Apache-2.0
// Recordings of a case: what they say, drawn, and their samples at any width.
#include <fmt/format.h>

#include "base/hash.h"
#include "base/quantity_text.h"
#include "casework/view.h"
#include "draw/plot_of_recording.h"
#include "recording/decode.h"
#include "recording/read.h"
#include "recording/signal_health.h"
#include "recording/wave.h"
#include "report/recording_report.h"
#include "serve/api_types_motion.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"
#include "serve/recording_waves.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

struct RecordingRead {
  FileInHand file;
  std::string name;
  SignalTrains trains;
  Decoded decoded{};
};
// Not decoded yet; with a permit that the caller has, or one of its own.
Answered<RecordingRead> read_signals(Shop& shop, Request& request,
                                     std::shared_ptr<const void> permit = nullptr) {
  const auto asked_for = file_asked(shop, request);
  if (!asked_for) return answer_with(asked_for.error());
  auto file = file_in_hand(shop, *asked_for, std::move(permit));
  if (!file) return answer_with(file.error());
  auto trains = read_recording(file->path.string());
  if (!trains)
    return answer_with(problem_of(trains.error(), file->path.parent_path().generic_string()));
  std::string name = file->path.filename().string();
  return RecordingRead{std::move(*file), std::move(name), std::move(*trains)};
}

std::optional<Response> decode_as_it_is(RecordingRead& read) {
  auto decoded = decode_recording(read.trains);
  if (!decoded) return problem(422, "Nothing to read in it", decoded.error().why);
  read.decoded = std::move(*decoded);
  return std::nullopt;
}

Answered<RecordingRead> read_it(Shop& shop, Request& request,
                                std::shared_ptr<const void> permit = nullptr) {
  auto read = read_signals(shop, request, std::move(permit));
  if (!read) return read;
  if (auto wrong = decode_as_it_is(*read)) return answer_with(std::move(*wrong));
  return read;
}

// The last entry in force that names this file: what its channels are, where the phasers were.
const SensorRecording* entered(const CaseRead& read, std::string_view file) {
  const SensorRecording* last = nullptr;
  for (const Entry* entry : entries_in_order_of_work(read.loaded.value))
    if (const auto* body = std::get_if<SensorRecording>(&entry->body))
      if (body->file && *body->file == file) last = body;
  return last;
}

// What a recording of a case is read by: its one drive, and what the entry says of the channels.
struct ReadBy {
  const LoadedDrive* drive = nullptr;  // none: as it is
  std::vector<ChannelHint> channels;
  PhasersAt phasers = PhasersAt::unknown;
  Nominals nominals{};
};
ReadBy read_by(const CaseRead& in_case, std::string_view file) {
  ReadBy by;
  if (in_case.loaded.drives.size() != 1) return by;
  by.drive = &in_case.loaded.drives.front();
  if (const SensorRecording* entry = entered(in_case, file)) {
    by.channels = entry->channels;
    by.phasers = entry->phasers.value_or(PhasersAt::unknown);
  }
  by.nominals = nominals_of(by.drive->drive, by.channels);
  return by;
}

// By the drive; where there is none, or it does not fit, as it is. True: by the drive.
Answered<bool> decode_by(const ReadBy& by, RecordingRead& read) {
  if (by.drive != nullptr)
    if (auto decoded = decode_by_drive(read.trains, by.nominals)) {
      read.decoded = std::move(*decoded);
      return true;
    }
  if (auto wrong = decode_as_it_is(read)) return answer_with(std::move(*wrong));
  return false;
}

Response recording(Shop& shop, Request& request) {
  auto read = read_signals(shop, request);
  if (!read) return read.error();
  const auto in_case = read_case(shop, request.parts["case"]);
  if (!in_case) return in_case.error();
  const ReadBy by = read_by(*in_case, asked(request, "name"));
  const auto is_by_drive = decode_by(by, *read);
  if (!is_by_drive) return is_by_drive.error();
  RecordingExtras extras;
  extras.with_cycles = true;
  extras.without_verdict = true;
  extras.health = signal_health(read->trains, read->decoded);
  std::optional<RecordingMeaning> meaning;
  if (*is_by_drive)
    meaning = meaning_of(*by.drive, read->decoded, by.nominals, by.phasers, extras.health);
  return json_response(recording_json(read->name, read->trains, read->decoded,
                                      meaning ? &*meaning : nullptr, &extras));
}

Response plot(Shop& shop, Request& request) {
  const auto read = read_it(shop, request);
  if (!read) return read.error();
  const RecordingToPlot shown{read->name, &read->trains, &read->decoded,
                              phases_to_plot(read->decoded)};
  return text_response("image/svg+xml", recording_svg(plot_of_recording(shown)));
}

Answered<Pyramid> pyramid_of(Shop& shop, const StoredFile& file, int channel) {
  const bool is_made = shop.files.has(file.sha256, fmt::format("wave-{}", channel));
  auto permit = shop.long_jobs.begin(is_made ? 0 : file.bytes);
  if (!permit) return answer_with(permit.error());
  const auto item = wave_file(shop, file, channel, *permit);
  if (!item) return answer_with(item.error());
  auto pyramid = Pyramid::open((*item)->path().string());
  if (!pyramid) return answer_with(problem(500, "The wave cannot be read", pyramid.error().why));
  return std::move(*pyramid);
}

// Of the file that is asked about; s.
struct Stretch {
  std::optional<double> from, to;
  StoredFile file;
};
Answered<Stretch> stretch_asked(Shop& shop, const Request& request) {
  const auto from = real_asked(request, "from");
  if (!from) return answer_with(from.error());
  const auto to = real_asked(request, "to");
  if (!to) return answer_with(to.error());
  auto file = file_asked(shop, request);
  if (!file) return answer_with(file.error());
  return Stretch{*from, *to, std::move(*file)};
}

Response wave(Shop& shop, Request& request) {
  const auto channel = number_asked(request, "channel", 1, 1, kMostChannels);
  if (!channel) return channel.error();
  const auto bins = number_asked(request, "bins", 1024, 1, kMostWaveBins);
  if (!bins) return bins.error();
  const auto asked_for = stretch_asked(shop, request);
  if (!asked_for) return asked_for.error();
  const auto pyramid = pyramid_of(shop, asked_for->file, static_cast<int>(*channel));
  if (!pyramid) return pyramid.error();
  const double first = pyramid->first_time(), last = pyramid->last_time();
  const double margin = std::max(last - first, 1.0);
  const double begin = asked_for->from.value_or(first), end = asked_for->to.value_or(last);
  if (begin < first - margin || end > last + margin)
    return problem(400, "Wrong question",
                   fmt::format("the recording lasts from {} s to {} s; from and to lie no further "
                               "outside than that is long",
                               number_text(first, 6), number_text(last, 6)));
  const auto shown = pyramid->wave(begin, end, static_cast<int>(*bins));
  if (!shown) return problem(400, "Wrong question", shown.error().why);
  return text_response("application/octet-stream", wave_bytes(*shown));
}

// Decoded once for each file and what it is read by, as the report is.
Answered<WorkingFiles::Item> marks_file(Shop& shop, Request& request, const StoredFile& file) {
  const auto in_case = read_case(shop, request.parts["case"]);
  if (!in_case) return answer_with(in_case.error());
  const ReadBy by = read_by(*in_case, asked(request, "name"));
  std::string read_by_what = by.drive != nullptr ? by.drive->sha256 : "";
  for (const ChannelHint& hint : by.channels)
    read_by_what += fmt::format("\n{} {}", hint.channel, hint.is);
  const std::string what = fmt::format("marks-{}", sha256_hex(read_by_what).substr(0, 16));
  auto permit = shop.long_jobs.begin(shop.files.has(file.sha256, what) ? 0 : file.bytes);
  if (!permit) return answer_with(permit.error());
  return shop.files.get(file.sha256, what, [&](const fs::path& path) -> std::optional<Response> {
    auto read = read_signals(shop, request, *permit);
    if (!read) return read.error();
    if (const auto is_by_drive = decode_by(by, *read); !is_by_drive) return is_by_drive.error();
    if (const auto wrong = write_marks(read->decoded, path.string()))
      return problem(500, "No place to work", *wrong);
    return std::nullopt;
  });
}

Response marks(Shop& shop, Request& request) {
  const auto most = number_asked(request, "most", 2000, 1, 20000);
  if (!most) return most.error();
  const auto asked_for = stretch_asked(shop, request);
  if (!asked_for) return asked_for.error();
  const auto item = marks_file(shop, request, asked_for->file);
  if (!item) return item.error();
  constexpr double kFar = 1e9;  // s
  const auto found = read_marks((*item)->path().string(), asked_for->from.value_or(-kFar),
                                asked_for->to.value_or(kFar), static_cast<int>(*most));
  if (!found) return problem(500, "The edges cannot be read", found.error().why);
  return answer(*found);
}

}  // namespace

std::span<const Handler> recording_handlers() {
  static constexpr Handler kHandlers[] = {
      {"recording", &recording},
      {"recordingPlot", &plot},
      {"recordingMarks", &marks},
      {"recordingWave", &wave},
  };
  return kHandlers;
}

}  // namespace tautmark
