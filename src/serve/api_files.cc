// SPDX-License-Identifier: Apache-2.0
// Files beside a case, in and out piece by piece: a recording may have several gigabytes.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "base/quantity_text.h"
#include "base/text.h"
#include "casework/pack_names.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"
#include "serve/recording_waves.h"
#include "serve/stored_traces.h"
#include "store/add_entry.h"

namespace tautmark {
namespace {

constexpr std::int64_t kMostBytes = std::int64_t{64} << 30;

Response list_files(Shop& shop, Request& request) {
  const auto files = shop.cases.files(request.parts["case"]);
  if (!files) return problem_of(files.error());
  FileList list;
  for (const StoredFile& file : *files) list.files.push_back({file.name, file.bytes, file.sha256});
  return answer(list);
}

struct Range {
  std::int64_t from = 0, to = 0;  // both inside
};
// "bytes=0-99", "bytes=100-", "bytes=-20" (RFC 9110, 14.1.2); one range only. Anything else is
// answered with the whole file, as the standard allows.
std::optional<Range> range_asked(const Request& request, std::int64_t bytes) {
  std::string_view said = request.header("range");
  if (!said.starts_with("bytes=") || said.find(',') != std::string_view::npos) return std::nullopt;
  said.remove_prefix(std::string_view("bytes=").size());
  const auto dash = said.find('-');
  if (dash == std::string_view::npos) return std::nullopt;
  const auto first = read_integer(said.substr(0, dash));
  const auto last = read_integer(said.substr(dash + 1));
  if (dash == 0)
    return last && *last > 0
               ? std::optional<Range>({std::max<std::int64_t>(bytes - *last, 0), bytes - 1})
               : std::nullopt;
  if (!first || (!last && dash + 1 != said.size())) return std::nullopt;
  const std::int64_t to = last ? std::min<std::int64_t>(*last, bytes - 1) : bytes - 1;
  if (*first < 0 || (last && *last < *first)) return std::nullopt;
  return Range{*first, to};
}

// One piece after the other; every read is a transaction of its own, so that a slow reader holds
// nothing.
BodySource source_of(Shop& shop, const StoredFile& file, std::int64_t from, std::int64_t length) {
  struct Place {
    std::int64_t at, end;
  };
  auto place = std::make_shared<Place>(Place{from, from + length});
  BodySource source;
  source.length = length;
  source.next = [&shop, sha256 = file.sha256, place]() -> std::optional<std::string> {
    if (place->at >= place->end) return std::string();
    const auto wanted =
        std::min<std::int64_t>(place->end - place->at, static_cast<std::int64_t>(kMostPieceBytes));
    std::string bytes;
    const auto done =
        read_blob(shop.database(), sha256, place->at, wanted, [&](std::string_view piece) {
          bytes += piece;
          return true;
        });
    if (!done || static_cast<std::int64_t>(bytes.size()) != wanted) return std::nullopt;
    place->at += wanted;
    return bytes;
  };
  return source;
}

// If-None-Match: "…", W/"…", *, several (RFC 9110, 13.1.2).
bool is_known(std::string_view said, const std::string& etag) {
  for (const std::string& one : split(said, ',')) {
    std::string_view tag = trimmed(one);
    if (tag.starts_with("W/")) tag.remove_prefix(2);
    if (tag == "*" || tag == etag) return true;
  }
  return false;
}

Response get_file(Shop& shop, Request& request) {
  const auto file = file_asked(shop, request);
  if (!file) return file.error();
  Response response;
  // Never shown by a browser as a page of ours, whatever is in it.
  response.content_type = "application/octet-stream";
  response.headers.emplace_back("Content-Disposition", "attachment");
  response.headers.emplace_back("Accept-Ranges", "bytes");
  const std::string etag = fmt::format("\"{}\"", file->sha256);
  response.headers.emplace_back("ETag", etag);
  if (is_known(request.header("if-none-match"), etag)) {
    response.status = 304;
    return response;
  }
  const auto range = range_asked(request, file->bytes);
  if (!range) {
    response.body = source_of(shop, *file, 0, file->bytes);
    return response;
  }
  if (range->from >= file->bytes) {
    Response beyond = problem(416, "Outside the file", "the file ends before");
    beyond.headers.emplace_back("Content-Range", fmt::format("bytes */{}", file->bytes));
    return beyond;
  }
  response.status = 206;
  response.headers.emplace_back("Content-Range",
                                fmt::format("bytes {}-{}/{}", range->from, range->to, file->bytes));
  response.body = source_of(shop, *file, range->from, range->to - range->from + 1);
  return response;
}

// What cannot be read never becomes a record, which could not be taken out again; its bytes are
// swept away.
Response not_kept(Response why) {
  if (why.status != 422) return why;  // nothing was said of the file
  auto json = nlohmann::ordered_json::parse(std::get<std::string>(why.body), nullptr, false);
  if (json.is_discarded()) return why;
  json["title"] = "No recording";
  json["detail"] = fmt::format("it cannot be read as a recording and was not kept: {}",
                               json.value("detail", std::string()));
  why.body = json.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
  return why;
}

std::variant<BodySink, Response> add_file(Shop& shop, Request& request) {
  const std::string case_name = request.parts["case"];
  const std::string name = asked(request, "name");
  const std::string as = asked(request, "as");
  const bool is_recording = as == "recording";
  const bool is_trace = as == "trace";
  if (!as.empty() && !is_recording && !is_trace)
    return problem(400, "Wrong question",
                   "a file is sent as a recording, as a trace, or as nothing at all");
  // A definition beside a case decides what it is judged by.
  const bool is_drive = is_drive_file_name(name);
  if (is_drive && request.role < static_cast<int>(Role::manage))
    return problem(403, "Not allowed",
                   "a definition beside a case takes the place of the shop's own; this needs "
                   "somebody who may manage, logged in with a password");
  const auto files = shop.cases.files(case_name);
  if (!files) return problem_of(files.error());
  // The same file once more is no mistake: its bytes decide, at the end.
  const bool is_there = std::any_of(files->begin(), files->end(),
                                    [&](const StoredFile& file) { return file.name == name; });
  if (!is_there)
    if (const auto wrong = new_file_problem(name, *files)) return problem(422, "Refused", *wrong);
  struct Taken {
    explicit Taken(std::shared_ptr<Database> database) : writer(std::move(database)) {}
    BlobWriter writer;
    std::optional<StoreError> error;
  };
  auto taken = std::make_shared<Taken>(shop.cases.shared_database());
  BodySink sink;
  sink.add = [taken](std::string_view bytes) {
    const auto done = taken->writer.add(bytes);
    if (!done) taken->error = done.error();
    return done.has_value();
  };
  sink.finish = [&shop, taken, case_name, name, is_drive, is_recording, is_trace,
                 seat = request.seat]() -> Response {
    if (taken->error) return problem_of(*taken->error);
    auto kept = taken->writer.finish();
    if (!kept) return problem_of(kept.error());
    kept->name = name;
    if (is_recording)
      if (auto wrong = unreadable_recording(shop, *kept)) return not_kept(std::move(*wrong));
    if (is_trace)
      if (auto wrong = unreadable_trace(shop, *kept)) return std::move(*wrong);
    const auto receipt = attach_checked(shop.cases, case_name, shop.scratch.path(), *kept, seat,
                                        shop.options.drives);
    if (!receipt) return problem_of(receipt.error(), shop.scratch.path().generic_string());
    if (is_drive && !receipt->was_there) {
      const auto noted = note_audit(shop.database(), seat, "drive attached", case_name,
                                    fmt::format("{}, SHA-256 {}", kept->name, kept->sha256));
      if (!noted) return problem_of(noted.error());
    }
    if (shop.changed) shop.changed();
    if (is_recording && shop.recorded) shop.recorded(*kept);
    return answer(FileRow{kept->name, kept->bytes, kept->sha256}, 201);
  };
  return sink;
}

}  // namespace

std::span<const Handler> file_handlers() {
  static constexpr Handler kHandlers[] = {
      {"listFiles", &list_files},
      {"getFile", &get_file},
      {"addFile", nullptr, &add_file, kMostBytes},
  };
  return kHandlers;
}

}  // namespace tautmark
