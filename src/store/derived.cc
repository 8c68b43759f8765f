// SPDX-License-Identifier: Apache-2.0
#include "store/derived.h"

#include <algorithm>

#include "store/case_text.h"

namespace tautmark {

long long entry_number(const std::string& id) {
  if (id.size() < 2 || id.size() > 8 || id[0] != 'e' ||
      id.find_first_not_of("0123456789", 1) != std::string::npos)
    return 0;
  return std::stoll(id.substr(1));
}

void derive_head(Node head, const std::string& body, CaseRow& row, WordSet& words) {
  row.summary.title = head_value(head, "title");
  row.summary.drive = head_value(head, "drive");
  const std::string invented = head_value(head, "invented");
  row.summary.invented = invented == "true" || invented == "yes";
  // Every case has this line.
  std::erase_if(head.members, [](const Member& member) { return member.key.text == "tautmark"; });
  add_tree_words(head, words);
  add_comment_words(body, words);
}

void derive_entry(const Node& entry, const CaseRecord& record, CaseRow& row, WordSet& words) {
  if (row.indent < 0) row.indent = entry_indent(record.body);
  row.next_entry = std::max(row.next_entry, entry_number(record.entry_id) + 1);
  ++row.summary.entries;
  add_tree_words(entry, words);
  add_comment_words(record.body, words);
}

void derive(const CaseRecord& record, CaseRow& row, WordSet& words) {
  row.summary.changed = std::max(row.summary.changed, record.at);
  switch (record.kind) {
    case RecordKind::head:
      if (auto head = head_node(record.body))
        derive_head(std::move(*head), record.body, row, words);
      break;
    case RecordKind::entry:
      if (const auto entry = entry_node(record.body)) derive_entry(*entry, record, row, words);
      break;
    case RecordKind::file:
      if (const auto file = file_of_record(record.body)) add_text_words(file->name, words);
      break;
    case RecordKind::tail:
      add_comment_words(record.body, words);
      break;
  }
}

}  // namespace tautmark
