// SPDX-License-Identifier: Apache-2.0
#include "store/readable_case.h"

#include <algorithm>

#include "casework/case_fields.h"
#include "store/case_text.h"
#include "store/exchange.h"

namespace tautmark {
namespace {

template <class T>
bool read_with(const Node& node, char decimal_sign, T& out) {
  Diagnostics mistakes;
  ReadContext context;
  context.diagnostics = &mistakes;
  context.rules.decimal_sign = decimal_sign;
  read_record(node, out, context);
  return !has_errors(mistakes);
}

}  // namespace

Case readable_case(const std::string& name, const std::vector<CaseRecord>& records) {
  Case value;
  std::string head_text;
  for (const CaseRecord& record : records)
    if (record.kind == RecordKind::head) head_text = record.body;
  if (auto head = head_node(head_text)) {
    std::erase_if(head->members, [](const Member& member) { return member.key.text == "entries"; });
    const bool comma = head_value(*head, "decimal_sign") == "comma";
    (void)read_with(*head, comma ? ',' : '.', value);
  }
  value.tautmark = "case/1";
  value.entries.clear();
  if (value.name.empty()) value.name = name;
  const bool comma = value.decimal_sign == DecimalSign::comma;
  for (const CaseRecord& record : records) {
    if (record.kind != RecordKind::entry) continue;
    const auto node = entry_node(record.body);
    if (!node) continue;
    // Written under another head, it has that one's decimal sign.
    for (const char sign : {comma ? ',' : '.', comma ? '.' : ','}) {
      Entry entry;
      if (!read_with(*node, sign, entry)) continue;
      value.entries.push_back(std::move(entry));
      break;
    }
  }
  return value;
}

Diagnostics with_entries_named(const std::vector<CaseRecord>& records, Diagnostics mistakes) {
  std::vector<CaseRecord> begin;
  for (const CaseRecord& record : records)
    if (record.kind == RecordKind::head) begin.assign(1, record);
  const auto lines_of = [](const std::string& text) {
    return std::count(text.begin(), text.end(), '\n') +
           (text.empty() || text.ends_with('\n') ? 0 : 1);
  };
  std::vector<std::pair<std::ptrdiff_t, std::string>> ends;  // last line of each entry
  for (const CaseRecord& record : records) {
    if (record.kind != RecordKind::entry) continue;
    if (ends.empty()) {
      begin.push_back(record);
      ends.emplace_back(lines_of(joined_case(begin)), record.entry_id);
    } else {
      ends.emplace_back(ends.back().first + lines_of(record.body), record.entry_id);
    }
  }
  const auto first = ends.empty() ? 0 : ends.front().first - lines_of(begin.back().body);
  for (Diagnostic& mistake : mistakes) {
    if (!mistake.place.file.ends_with("case.yaml") || mistake.place.line <= first) continue;
    const auto entry = std::find_if(
        ends.begin(), ends.end(), [&](const auto& end) { return mistake.place.line <= end.first; });
    if (entry != ends.end())
      mistake.message = "entry \"" + entry->second + "\": " + mistake.message;
  }
  return mistakes;
}

}  // namespace tautmark
