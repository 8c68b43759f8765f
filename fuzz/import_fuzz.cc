// SPDX-License-Identifier: Apache-2.0
// What comes into a store from outside. The first byte says what the rest is: a case file to be cut
// into records, the record.jsonl of a case out of another store, or an entry as JSON.
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "base/hash.h"
#include "base/text.h"
#include "casework/case_fields.h"
#include "fuzz_check.h"
#include "store/case_text.h"
#include "store/exchange.h"
#include "store/record_file.h"

using namespace tautmark;
namespace fs = std::filesystem;

namespace {

void check_refusal(const Diagnostics& diagnostics) {
  fuzz::require(has_errors(diagnostics), "refused without an error");
  const std::string text = diagnostics_text(diagnostics);
  fuzz::require(!first_invalid_utf8(text), "a message that is no text", text);
}

std::vector<CaseRecord> stored(const std::vector<NewRecord>& wanted) {
  std::vector<CaseRecord> records;
  for (const NewRecord& record : wanted) {
    CaseRecord& made = records.emplace_back();
    made.seq = static_cast<std::int64_t>(records.size());
    made.kind = record.kind;
    made.entry_id = record.entry_id;
    made.body = record.body;
  }
  return records;
}

// Cut as it stands, it comes together byte for byte; written anew, it is cut again as it stands.
void check_cut(const std::string& text) {
  const auto cut = cut_case("case.yaml", text);
  if (!cut) return check_refusal(cut.error());
  const std::string joined = joined_case(stored(cut->records));
  if (!cut->rewritten) {
    fuzz::require(joined == text, "other bytes than came in", joined);
    return;
  }
  const auto again = cut_case("case.yaml", joined);
  fuzz::require(again.has_value(), "what was written anew cannot be cut", joined);
  fuzz::require(joined_case(stored(again->records)) == joined, "never the same twice", joined);
}

const fs::path& file() {
  // Never destroyed: it is asked for at the very end.
  static const fs::path& file_path = *[] {
    std::string name = (fs::temp_directory_path() / "tautmark-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) fuzz::fail("no temporary folder");
    std::atexit([] { fs::remove_all(file().parent_path()); });
    return new fs::path(fs::path(name) / std::string(kRecordFile));
  }();
  return file_path;
}

void check_record_file(const std::string& text) {
  std::ofstream(file(), std::ios::binary) << text;
  const auto read = read_record_file(file());
  if (!read) {
    fuzz::require(!read.error().message.empty(), "refused without a word");
    fuzz::require(!first_invalid_utf8(read.error().message), "a message that is no text");
    return;
  }
  std::string before(64, '0');
  for (const CaseRecord& record : read->records) {
    before = record_hash(before, read->uid, record);
    fuzz::require(before == record.hash, "a chain that does not hold was taken", text);
  }
  std::ofstream(file(), std::ios::binary) << record_file_text(*read);
  const auto again = read_record_file(file());
  fuzz::require(again.has_value(), "what was written cannot be read", text);
  fuzz::require(again->records.size() == read->records.size(), "other records", text);
  (void)joined_case(read->records);
}

// An entry that is taken is written as one item and read back as the same.
void check_entry(const std::string& text) {
  const auto tree = parse_json(make_text_file("request", text));
  if (!tree) return check_refusal(tree.error());
  Entry entry;
  Diagnostics mistakes;
  ReadContext context;
  context.diagnostics = &mistakes;
  if (!read_record(*tree, entry, context)) return check_refusal(mistakes);
  const std::string item = yaml_list_item_text(write_record(entry));
  const auto node = entry_node(item);
  fuzz::require(node.has_value(), "an entry that is no item", item);
  fuzz::require(same_value(*node, write_record(entry)), "another entry", item);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::string text(reinterpret_cast<const char*>(data + 1), size - 1);
  switch (data[0] % 3) {
    case 0:
      check_cut(text);
      break;
    case 1:
      check_record_file(text);
      break;
    default:
      check_entry(text);
  }
  return 0;
}
