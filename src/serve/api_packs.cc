// SPDX-License-Identifier: Apache-2.0
// Packed cases in and out.
#include <fmt/format.h>

#include <fstream>

#include "base/text.h"
#include "casework/pack.h"
#include "report/version.h"
#include "serve/answer.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

constexpr std::int64_t kMostBytes = std::int64_t{64} << 30;

// A file of the scratch as a body; the file goes with it.
Response file_response(std::shared_ptr<ScratchItem> item, std::string_view type) {
  std::error_code code;
  BodySource source;
  source.length = static_cast<std::int64_t>(std::filesystem::file_size(item->path(), code));
  auto in = std::make_shared<std::ifstream>(item->path(), std::ios::binary);
  source.next = [item, in]() -> std::optional<std::string> {
    std::string bytes(kMostPieceBytes, '\0');
    in->read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (in->bad()) return std::nullopt;
    bytes.resize(static_cast<std::size_t>(in->gcount()));
    return bytes;
  };
  Response response;
  response.content_type = type;
  response.body = std::move(source);
  return response;
}

Response pack_of(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const auto summary = shop.cases.summary(name);
  if (!summary) return problem_of(summary.error());
  const auto files = shop.cases.files(name);
  if (!files) return problem_of(files.error());
  std::int64_t bytes = 0;
  for (const StoredFile& file : *files) bytes += file.bytes;
  const auto permit = shop.long_jobs.begin(bytes);
  if (!permit) return permit.error();
  const ScratchItem folder(shop.scratch.fresh("-pack"));
  const auto out = export_case(shop.cases, name, folder.path(), shop.options.drives, request.seat);
  if (!out) return problem_of(out.error());
  auto zip = std::make_shared<ScratchItem>(shop.scratch.fresh(".zip"));
  PackOptions options;
  options.drives = shop.options.drives;
  options.program = program_version();
  options.uid = summary->uid;
  options.head_hash = summary->head_hash;
  options.name_if_damaged = name;
  const auto packed = pack_case(folder.path().string(), zip->path(), options);
  if (!packed) return problem_of(packed.error(), folder.path().generic_string());
  Response response = file_response(std::move(zip), "application/zip");
  response.headers.emplace_back("Content-Disposition", "attachment");
  return response;
}

Response take_pack(Shop& shop, const ScratchItem& zip, const std::string& name,
                   const std::string& seat) {
  const ScratchItem folder(shop.scratch.fresh("-import"));
  UnpackOptions unpacking;
  unpacking.durable = false;
  const auto manifest = unpack_case(zip.path(), folder.path(), unpacking);
  if (!manifest) {
    Diagnostics mistakes = manifest.error();
    for (Diagnostic& mistake : mistakes)
      mistake.place.file =
          replaced(mistake.place.file, zip.path().generic_string(), "the packed case");
    return problem_of(mistakes, shop.scratch.path().generic_string());
  }
  ImportOptions options;
  if (!name.empty()) options.name = name;
  options.seat = seat;
  options.drives = shop.options.drives;
  const auto imported = import_case(shop.cases, folder.path(), options);
  if (!imported) return problem_of(imported.error(), folder.path().generic_string());
  if (shop.changed) shop.changed();
  return answer(
      ImportResult{row_of(imported->summary), imported->records_added, imported->rewritten},
      imported->records_added > 0 ? 201 : 200);
}

std::variant<BodySink, Response> import_pack(Shop& shop, Request& request) {
  struct Taken {
    ScratchItem zip;
    std::ofstream out;
  };
  const auto path = shop.scratch.fresh("-in.zip");
  auto taken =
      std::shared_ptr<Taken>(new Taken{ScratchItem(path), std::ofstream(path, std::ios::binary)});
  BodySink sink;
  sink.add = [taken](std::string_view bytes) {
    taken->out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    return taken->out.good();
  };
  sink.finish = [&shop, taken, name = asked(request, "name"), seat = request.seat]() -> Response {
    taken->out.close();
    if (!taken->out) return problem(507, "The disk is full", "the packed case was not taken");
    return take_pack(shop, taken->zip, name, seat);
  };
  return sink;
}

}  // namespace

std::span<const Handler> pack_handlers() {
  static constexpr Handler kHandlers[] = {
      {"packCase", &pack_of},
      {"importCase", nullptr, &import_pack, kMostBytes},
  };
  return kHandlers;
}

}  // namespace tautmark
