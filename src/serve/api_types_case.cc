// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "casework/case_fields.h"
#include "serve/api_options.h"
#include "serve/api_types.h"

namespace tautmark {
namespace {

// NewCase, CaseHead and NewEntry are read as the struct that is their first member.
static_assert(std::is_standard_layout_v<NewCase> && std::is_standard_layout_v<CaseHead> &&
              std::is_standard_layout_v<NewEntry>);

std::vector<FieldInfo> case_fields(std::initializer_list<std::string_view> keys) {
  std::vector<FieldInfo> chosen;
  for (const FieldInfo& info : Description<Case>::fields())
    if (std::find(keys.begin(), keys.end(), info.key) != keys.end()) chosen.push_back(info);
  return chosen;
}

}  // namespace

std::span<const FieldInfo> Description<CaseInShort>::fields() {
  static const FieldInfo kFields[] = {
      field<&CaseInShort::uid>("uid", "Never changes.", "1b4e28ba-2fa1-4d2b-883f-0016d3cca427"),
      field<&CaseInShort::name>("name", "Unique in the store.", "vessgarth-bay3"),
      field<&CaseInShort::title>("title", "Title.", "Vessgarth, bay 3", kMayLack),
      field<&CaseInShort::drive>("drive", "The drive.", "vessgarth-v6-12", kMayLack),
      field<&CaseInShort::invented>("invented", "An invented case, not for real work.", "true"),
      field<&CaseInShort::created>("created", "When it came into the store.", kTime),
      field<&CaseInShort::changed>("changed", "When its last record came.", kTime),
      field<&CaseInShort::keep_until>("keep_until", "Not to be deleted before.", kTime, kMayLack),
      field<&CaseInShort::entries>("entries", "How many entries.", "24", kCount),
      field<&CaseInShort::head_seq>("head_seq", "Number of the last record.", "26", kCount),
      field<&CaseInShort::head_hash>("head_hash", "Hash of the last record.", kHash),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CaseList>::fields() {
  static const FieldInfo kFields[] = {
      field<&CaseList::cases>("cases", "One page of them.", "", kAlways),
      field<&CaseList::found>("found", "How many there are.", "3", kCount),
      field<&CaseList::more>("more", "There are more than that: counting stopped.", "false"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<NewCase>::fields() {
  static const std::vector<FieldInfo> kFields =
      case_fields({"name", "title", "invented", "drive", "candidates", "decimal_sign", "engine",
                   "instruments"});
  return kFields;
}

std::span<const FieldInfo> Description<CaseHead>::fields() {
  static const std::vector<FieldInfo> kFields = case_fields(
      {"title", "invented", "drive", "candidates", "decimal_sign", "engine", "instruments"});
  return kFields;
}

const TagInfo& Description<NewEntry>::tag() { return Description<Entry>::tag(); }

std::span<const FieldInfo> Description<NewEntry>::fields() {
  static const std::vector<FieldInfo> kFields = [] {
    const auto all = Description<Entry>::fields();
    std::vector<FieldInfo> fields(all.begin(), all.end());
    for (FieldInfo& info : fields)
      if (info.key == "id") info.options.required = false;
    return fields;
  }();
  return kFields;
}

std::span<const FieldInfo> Description<ImportResult>::fields() {
  static const FieldInfo kFields[] = {
      field<&ImportResult::summary>("summary", "The case.", ""),
      field<&ImportResult::records_added>("records_added", "0: it was there already.", "26",
                                          kCount),
      field<&ImportResult::rewritten>("rewritten", "Not kept byte for byte, the values are.",
                                      "false"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<ReceiptRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&ReceiptRow::seq>("seq", "Number of the record.", "26", kCount),
      field<&ReceiptRow::id>("id", "Id of the entry.", "e17", kMayLack),
      field<&ReceiptRow::hash>("hash", "Of this record and all before it.", kHash),
      field<&ReceiptRow::at>("at", "When it was stored.", kTime),
      field<&ReceiptRow::seat>("seat", "Who stored it, whatever its `by` says.", "bay 3"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<AppendRequest>::fields() {
  static const FieldInfo kFields[] = {
      field<&AppendRequest::entry>("entry", "Without an id it gets the next free one.", ""),
      field<&AppendRequest::key>("key", "The sender's own; sent twice, it is stored once.",
                                 "tablet-3-0017", kMayLack),
  };
  return kFields;
}

std::span<const FieldInfo> Description<StoredEntry>::fields() {
  static const FieldInfo kFields[] = {
      field<&StoredEntry::seq>("seq", "Number of its record.", "26", kCount),
      field<&StoredEntry::at>("at", "When it was stored.", kTime),
      field<&StoredEntry::seat>("seat", "Who stored it.", "bay 3"),
      field<&StoredEntry::hash>("hash", "Of its record and all before it.", kHash),
      field<&StoredEntry::entry>("entry", "The entry.", ""),
  };
  return kFields;
}

std::span<const FieldInfo> Description<CaseView>::fields() {
  static const FieldInfo kFields[] = {
      field<&CaseView::summary>("summary", "In short.", ""),
      field<&CaseView::value>("case", "The case, case/1.", ""),
      field<&CaseView::receipts>("receipts", "One for each entry, in their order.", "", kAlways),
      field<&CaseView::mistakes>(
          "mistakes", "Not empty: the case does not load; it is shown as far as it reads.", "",
          kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<RecordRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&RecordRow::seq>("seq", "From 1, without gaps.", "26", kCount),
      field<&RecordRow::kind>("kind", "head, entry, file or tail.", "entry"),
      field<&RecordRow::entry_id>("entry_id", "Of an entry.", "e17", kMayLack),
      field<&RecordRow::client_key>("client_key", "The sender's own.", "tablet-3-0017", kMayLack),
      field<&RecordRow::at>("at", "When it was stored.", kTime),
      field<&RecordRow::seat>("seat", "Who stored it.", "bay 3", kMayLack),
      field<&RecordRow::body>("body", "Its text.", "  - id: e17"),
      field<&RecordRow::hash>("hash", "Of this record and all before it.", kHash),
  };
  return kFields;
}

std::span<const FieldInfo> Description<RecordList>::fields() {
  static const FieldInfo kFields[] = {
      field<&RecordList::uid>("uid", "Of the case.", "1b4e28ba-2fa1-4d2b-883f-0016d3cca427"),
      field<&RecordList::records>("records", "In their order.", "", kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<VerifyResult>::fields() {
  static const FieldInfo kFields[] = {
      field<&VerifyResult::holds>("holds", "Nothing was changed or lost.", "true"),
      field<&VerifyResult::head_hash>("head_hash", "Hash of the last record.", kHash, kMayLack),
      field<&VerifyResult::problems>("problems", "What does not hold.", "", kAlways),
      field<&VerifyResult::notes>("notes", "What came in by import; where time runs backwards.", "",
                                  kAlways),
  };
  return kFields;
}

std::span<const FieldInfo> Description<DeleteRequest>::fields() {
  static const FieldInfo kFields[] = {
      field<&DeleteRequest::reason>("reason", "Why.", "the same case twice")};
  return kFields;
}

std::span<const FieldInfo> Description<KeepRequest>::fields() {
  static const FieldInfo kFields[] = {
      field<&KeepRequest::until>("until", "Not to be deleted before; absent: no date.",
                                 "2036-12-31T00:00:00Z", kMayLack),
      field<&KeepRequest::reason>("reason", "Why.", "warranty"),
  };
  return kFields;
}

std::span<const FieldInfo> Description<FileRow>::fields() {
  static const FieldInfo kFields[] = {
      field<&FileRow::name>("name", "Beside the case.", "recordings/idle.csv"),
      field<&FileRow::bytes>("bytes", "Its size.", "1140013", kCount),
      field<&FileRow::sha256>("sha256", "Of its bytes, in hexadecimal.", kHash),
  };
  return kFields;
}

std::span<const FieldInfo> Description<FileList>::fields() {
  static const FieldInfo kFields[] = {field<&FileList::files>("files", "By name.", "", kAlways)};
  return kFields;
}

}  // namespace tautmark
