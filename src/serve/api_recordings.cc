// SPDX-License-Identifier: Apache-2.0
// Recordings of a case: what they say, drawn, and their samples at any width.
#include <fmt/format.h>

#include "base/quantity_text.h"
#include "draw/plot_of_recording.h"
#include "recording/decode.h"
#include "recording/read.h"
#include "recording/signal_health.h"
#include "recording/wave.h"
#include "report/recording_report.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

struct RecordingRead {
  FileInHand file;
  std::string name;
  SignalTrains trains;
  Decoded decoded;
};
Answered<RecordingRead> read_it(Shop& shop, Request& request) {
  const auto asked_for = file_asked(shop, request);
  if (!asked_for) return answer_with(asked_for.error());
  auto file = file_in_hand(shop, *asked_for);
  if (!file) return answer_with(file.error());
  auto trains = read_recording(file->path.string());
  if (!trains)
    return answer_with(problem_of(trains.error(), file->path.parent_path().generic_string()));
  auto decoded = decode_recording(*trains);
  if (!decoded) return answer_with(problem(422, "Nothing to read in it", decoded.error().why));
  std::string name = file->path.filename().string();
  return RecordingRead{std::move(*file), std::move(name), std::move(*trains), std::move(*decoded)};
}

Response recording(Shop& shop, Request& request) {
  const auto read = read_it(shop, request);
  if (!read) return read.error();
  RecordingExtras extras;
  extras.health = signal_health(read->trains, read->decoded);
  return json_response(recording_json(read->name, read->trains, read->decoded, nullptr, &extras));
}

Response plot(Shop& shop, Request& request) {
  const auto read = read_it(shop, request);
  if (!read) return read.error();
  const RecordingToPlot shown{read->name, &read->trains, &read->decoded,
                              phases_to_plot(read->decoded)};
  return text_response("image/svg+xml", recording_svg(plot_of_recording(shown)));
}

// Made once for each channel of each file; who asks for the same meanwhile waits for it.
Answered<Pyramid> pyramid_of(Shop& shop, const StoredFile& file, int channel) {
  const std::string what = fmt::format("wave-{}", channel);
  auto permit = shop.long_jobs.begin(shop.files.has(file.sha256, what) ? 0 : file.bytes);
  if (!permit) return answer_with(permit.error());
  const auto item =
      shop.files.get(file.sha256, what, [&](const fs::path& path) -> std::optional<Response> {
        const auto bytes = file_in_hand(shop, file, *permit);
        if (!bytes) return bytes.error();
        const auto made = write_pyramid(bytes->path.string(), channel, {}, path.string());
        if (made) return std::nullopt;
        return problem_of(made.error(), bytes->path.parent_path().generic_string());
      });
  if (!item) return answer_with(item.error());
  auto pyramid = Pyramid::open((*item)->path().string());
  if (!pyramid) return answer_with(problem(500, "The wave cannot be read", pyramid.error().why));
  return std::move(*pyramid);
}

Response wave(Shop& shop, Request& request) {
  const auto channel = number_asked(request, "channel", 1, 1, kMostChannels);
  if (!channel) return channel.error();
  const auto bins = number_asked(request, "bins", 1024, 1, kMostWaveBins);
  if (!bins) return bins.error();
  const auto from = real_asked(request, "from");
  if (!from) return from.error();
  const auto to = real_asked(request, "to");
  if (!to) return to.error();
  const auto file = file_asked(shop, request);
  if (!file) return file.error();
  const auto pyramid = pyramid_of(shop, *file, static_cast<int>(*channel));
  if (!pyramid) return pyramid.error();
  const double first = pyramid->first_time(), last = pyramid->last_time();
  const double margin = std::max(last - first, 1.0);
  const double begin = from->value_or(first), end = to->value_or(last);
  if (begin < first - margin || end > last + margin)
    return problem(400, "Wrong question",
                   fmt::format("the recording lasts from {} s to {} s; from and to lie no further "
                               "outside than that is long",
                               number_text(first, 6), number_text(last, 6)));
  const auto shown = pyramid->wave(begin, end, static_cast<int>(*bins));
  if (!shown) return problem(400, "Wrong question", shown.error().why);
  return text_response("application/octet-stream", wave_bytes(*shown));
}

}  // namespace

std::span<const Handler> recording_handlers() {
  static constexpr Handler kHandlers[] = {
      {"recording", &recording},
      {"recordingPlot", &plot},
      {"recordingWave", &wave},
  };
  return kHandlers;
}

}  // namespace tautmark
