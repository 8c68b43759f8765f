// SPDX-License-Identifier: Apache-2.0
#include "serve/case_reading.h"

#include <set>

#include "judge/dimension.h"
#include "store/readable_case.h"

namespace tautmark {

namespace fs = std::filesystem;

namespace {

Answered<WorkingFiles::Item> bytes_of(Shop& shop, const StoredFile& file) {
  return shop.files.get(file.sha256, "bytes", [&](const fs::path& path) -> std::optional<Response> {
    const ScratchItem made(shop.scratch.fresh("-made"));
    const auto written = write_stored_file(shop.database(), file.sha256, made.path(), "bytes");
    if (!written) return problem_of(written.error());
    std::error_code code;
    fs::rename(made.path() / "bytes", path, code);
    if (code) return problem_of(StoreError{StoreTrouble::full, "no room for working files"});
    return std::nullopt;
  });
}

// A link, or a copy where the file system has no links.
std::optional<Response> put_beside(const fs::path& bytes, const fs::path& target) {
  std::error_code code;
  fs::create_directories(target.parent_path(), code);
  fs::create_hard_link(bytes, target, code);
  if (code) fs::copy_file(bytes, target, code);
  if (code) return problem_of(StoreError{StoreTrouble::full, "no room for working files"});
  return std::nullopt;
}

std::set<std::string> recordings_named(const Case& value) {
  std::set<std::string> names;
  for (const Entry& entry : value.entries) {
    if (const auto* trace = std::get_if<TorqueTrace>(&entry.body)) names.insert(trace->file);
    const auto* recording = std::get_if<SensorRecording>(&entry.body);
    if (recording == nullptr) continue;
    for (const auto* file : {&recording->file, &recording->command_log})
      if (*file) names.insert(**file);
  }
  return names;
}

}  // namespace

Answered<StoredFile> file_asked(Shop& shop, const Request& request) {
  const std::string name = asked(request, "name");
  const auto files = shop.cases.files(request.parts.at("case"));
  if (!files) return answer_with(problem_of(files.error()));
  for (const StoredFile& file : *files)
    if (file.name == name) return file;
  return answer_with(problem(404, "Not there", "the case has no file of this name"));
}

Answered<FileInHand> file_in_hand(Shop& shop, const StoredFile& file,
                                  std::shared_ptr<const void> permit) {
  FileInHand found;
  found.permit = std::move(permit);
  if (found.permit == nullptr) {
    auto own = shop.long_jobs.begin(file.bytes);
    if (!own) return answer_with(own.error());
    found.permit = std::move(*own);
  }
  auto bytes = bytes_of(shop, file);
  if (!bytes) return answer_with(bytes.error());
  found.bytes = std::move(*bytes);
  found.folder = std::make_shared<const ScratchItem>(shop.scratch.fresh("-file"));
  found.path = found.folder->path() / fs::path(file.name).filename();
  if (auto failed = put_beside(found.bytes->path(), found.path))
    return answer_with(std::move(*failed));
  return found;
}

Answered<CaseInHand> case_in_hand(Shop& shop, const CaseRead& read) {
  return case_in_hand(shop, read, recordings_named(read.loaded.value));
}

Answered<CaseInHand> case_in_hand(Shop& shop, const CaseRead& read,
                                  const std::set<std::string>& names) {
  std::vector<const StoredFile*> wanted;
  std::int64_t bytes = 0;
  for (const StoredFile& file : read.kept->files) {
    if (!names.contains(file.name)) continue;
    wanted.push_back(&file);
    bytes += file.bytes;
  }
  CaseInHand found;
  auto permit = shop.long_jobs.begin(bytes);
  if (!permit) return answer_with(permit.error());
  found.permit = std::move(*permit);
  found.loaded = read.loaded;
  if (wanted.empty()) return found;
  found.folder = std::make_shared<const ScratchItem>(shop.scratch.fresh("-judge"));
  found.loaded.file = found.folder->path() / read.loaded.file.filename();
  for (const StoredFile* file : wanted) {
    const auto item = bytes_of(shop, *file);
    if (!item) return answer_with(item.error());
    if (auto failed = put_beside((*item)->path(), found.folder->path() / file->name))
      return answer_with(std::move(*failed));
  }
  return found;
}

Answered<CaseRead> read_case(Shop& shop, const std::string& name) {
  CaseRead read;
  const auto summary = shop.cases.summary(name);
  if (!summary) return answer_with(problem_of(summary.error()));
  read.summary = *summary;
  const auto folder = shop.folders.get(shop.cases, shop.scratch, name);
  if (!folder) return answer_with(problem_of(folder.error()));
  read.kept = *folder;
  read.folder = read.kept->item.path();
  auto loaded = load_case(read.folder.string(), shop.options.drives, &unknown_instruments);
  if (!loaded) {
    const auto records = shop.cases.records(name);
    return answer_with(
        problem_of(records ? with_entries_named(*records, loaded.error()) : loaded.error(),
                   read.folder.generic_string()));
  }
  read.loaded = std::move(*loaded);
  return read;
}

std::string state_of(const LoadedCase& loaded) {
  std::string state = loaded.sha256;
  for (const LoadedDrive& drive : loaded.drives)
    state += (drive.differs_from_shop ? " differs " : " ") + drive.sha256;
  return state;
}

Answered<CaseJudged> judged_case(Shop& shop, const std::string& name) {
  auto read = read_case(shop, name);
  if (!read) return answer_with(read.error());
  CaseJudged judged{std::move(*read), nullptr};
  const std::string state = state_of(judged.read.loaded);
  judged.judgement = shop.judgements.find(judged.read.summary.uid, state);
  if (judged.judgement != nullptr) return judged;
  const auto with_files = case_in_hand(shop, judged.read);
  if (!with_files) return answer_with(with_files.error());
  auto judgement = judge(with_files->loaded);
  if (!judgement)
    return answer_with(problem_of(judgement.error(), judged.read.folder.generic_string()));
  judged.judgement = std::make_shared<const Judgement>(std::move(*judgement));
  shop.judgements.keep(judged.read.summary.uid, state, judged.judgement);
  return judged;
}

}  // namespace tautmark
