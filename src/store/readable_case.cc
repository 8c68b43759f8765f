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
    std::erase_if(head->members,
                  [](const Member& member) { return member.key.text == "entries"; });
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

std::string entry_at_line(const std::vector<CaseRecord>& records, int line) {
  std::vector<CaseRecord> so_far;
  const auto lines = [&] {
    const std::string text = joined_case(so_far);
    return std::count(text.begin(), text.end(), '\n');
  };
  for (const CaseRecord& record : records)
    if (record.kind == RecordKind::head) so_far.assign(1, record);
  auto last = lines();
  for (const CaseRecord& record : records) {
    if (record.kind != RecordKind::entry) continue;
    so_far.push_back(record);
    last = so_far.size() == 2 ? lines() : last + std::count(record.body.begin(), record.body.end(), '\n') +
                                              (record.body.ends_with('\n') ? 0 : 1);
    if (line <= last) return line > 0 ? record.entry_id : std::string();
  }
  return {};
}

}  // namespace tautmark
