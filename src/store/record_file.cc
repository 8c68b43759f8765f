// SPDX-License-Identifier: Apache-2.0
#include "store/record_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "base/tree.h"

namespace tautmark {
namespace {

using nlohmann::ordered_json;

constexpr std::size_t kMostLineBytes = 6 * kMaxTextBytes + 4096;  // every byte as \u00xx

// False at the end of the file.
bool read_line(std::istream& in, std::string& line) {
  line.clear();
  char c = 0;
  std::streambuf& bytes = *in.rdbuf();
  for (int got = bytes.sbumpc(); got != EOF; got = bytes.sbumpc()) {
    c = static_cast<char>(got);
    if (c == '\n') return true;
    line += c;
    if (line.size() > kMostLineBytes)
      abandon(StoreTrouble::refused, "record.jsonl has a line longer than any record");
  }
  return !line.empty();
}

[[noreturn]] void unreadable(int number) {
  abandon(StoreTrouble::refused,
          fmt::format("line {} of record.jsonl is no record of a case", number));
}

std::string text_of(const ordered_json& line, const char* key, int number) {
  const auto found = line.find(key);
  if (found == line.end() || !found->is_string()) unreadable(number);
  return found->get<std::string>();
}

std::int64_t whole_of(const ordered_json& line, const char* key, int number) {
  const auto found = line.find(key);
  if (found == line.end() || !found->is_number_integer()) unreadable(number);
  return found->get<std::int64_t>();
}

bool is_uid(const std::string& text) {
  return text.size() == 32 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

RecordFile read_all(std::istream& in) {
  RecordFile file;
  std::string text;
  std::string hash(64, '0');
  for (int number = 1; read_line(in, text); ++number) {
    const auto line = ordered_json::parse(text, nullptr, false);
    if (!line.is_object()) unreadable(number);
    if (number == 1) {
      if (text_of(line, "tautmark", number) != "record/1") unreadable(number);
      file.uid = text_of(line, "uid", number);
      file.name = text_of(line, "name", number);
      if (!is_uid(file.uid)) unreadable(number);
      continue;
    }
    CaseRecord record;
    const auto kind = record_kind(text_of(line, "kind", number));
    if (!kind) unreadable(number);
    record.kind = *kind;
    record.seq = whole_of(line, "seq", number);
    record.at = whole_of(line, "at", number);
    record.entry_id = text_of(line, "entry_id", number);
    record.client_key = text_of(line, "client_key", number);
    record.seat = text_of(line, "seat", number);
    record.body = text_of(line, "body", number);
    record.hash = text_of(line, "hash", number);
    if (record.seq != number - 1)
      abandon(StoreTrouble::differs, fmt::format("record.jsonl: record {} is missing", number - 1));
    if (record_hash(hash, file.uid, record) != record.hash)
      abandon(StoreTrouble::differs,
              fmt::format("record.jsonl: record {} was changed after it was stored", record.seq));
    hash = record.hash;
    file.records.push_back(std::move(record));
  }
  if (file.records.empty()) abandon(StoreTrouble::refused, "record.jsonl holds no record");
  return file;
}

}  // namespace

std::string record_file_text(const RecordFile& file) {
  std::string text =
      ordered_json{{"tautmark", "record/1"}, {"uid", file.uid}, {"name", file.name}}.dump() + "\n";
  for (const CaseRecord& record : file.records)
    text += ordered_json{{"seq", record.seq},
                         {"kind", record_kind_name(record.kind)},
                         {"entry_id", record.entry_id},
                         {"client_key", record.client_key},
                         {"at", record.at},
                         {"seat", record.seat},
                         {"body", record.body},
                         {"hash", record.hash}}
                .dump() +
            "\n";
  return text;
}

Stored<RecordFile> read_record_file(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return store_error(StoreTrouble::not_found, "record.jsonl cannot be read");
  try {
    return read_all(in);
  } catch (const Abandon& abandoned) {
    return tl::make_unexpected(abandoned.error);
  }
}

}  // namespace tautmark
