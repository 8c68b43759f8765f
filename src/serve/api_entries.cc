// SPDX-License-Identifier: Apache-2.0
// What is added to a case: entries, and what stands before them.
#include "casework/case_fields.h"
#include "serve/answer.h"
#include "serve/handlers.h"
#include "store/add_entry.h"
#include "store/readable_case.h"

namespace tautmark {
namespace {

// The entry as it was sent, read by the rules of its case.
Answered<AppendRequest> sent_entry(const Request& request, const Case& value) {
  const auto tree = body_tree(request);
  if (!tree) return answer_with(tree.error());
  AppendRequest sent;
  Diagnostics mistakes;
  ReadContext context;
  context.diagnostics = &mistakes;
  if (value.decimal_sign == DecimalSign::comma) context.rules.decimal_sign = ',';
  read_record(*tree, sent, context);
  if (has_errors(mistakes)) return answer_with(problem_of(mistakes));
  return sent;
}

Answered<Case> readable(Shop& shop, const std::string& name) {
  const auto records = shop.cases.records(name);
  if (!records) return answer_with(problem_of(records.error()));
  return readable_case(name, *records);
}

Response add_entry(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const auto there = readable(shop, name);
  if (!there) return there.error();
  auto sent = sent_entry(request, *there);
  if (!sent) return sent.error();
  auto added = add_checked_entry(shop.cases, name, shop.scratch.path(),
                                 {std::move(sent->entry.entry), sent->key, request.seat},
                                 shop.options.drives);
  if (!added) return problem_of(added.error());
  if (shop.changed) shop.changed();
  const Receipt& receipt = added->receipt;
  return answer(StoredEntry{receipt.seq, time_text(receipt.at), request.seat, receipt.hash,
                            std::move(added->entry)},
                receipt.was_there ? 200 : 201);
}

// Keys that were sent take the place of those that were there.
Answered<std::string> head_with(const Request& request, const Case& there) {
  const auto tree = body_tree(request);
  if (!tree) return answer_with(tree.error());
  CaseHead read;
  Diagnostics mistakes;
  ReadContext context;
  context.diagnostics = &mistakes;
  const Node* sign = tree->find("decimal_sign");
  if (sign != nullptr ? sign->text == "comma" : there.decimal_sign == DecimalSign::comma)
    context.rules.decimal_sign = ',';
  if (!read_record(*tree, read, context)) return answer_with(problem_of(mistakes));
  if (tree->members.empty())
    return answer_with(problem(422, "What was sent cannot be used",
                               "nothing was sent that stands before the entries"));
  Case bare = there;
  bare.entries.clear();
  Node head = write_record(bare);
  const Node sent = write_record(read.head);
  for (const Member& member : tree->members) {
    const Node* value = sent.find(member.key.text);
    if (value == nullptr || member.key.text == "tautmark" || member.key.text == "entries") continue;
    bool replaced_one = false;
    for (Member& old : head.members) {
      if (old.key.text != member.key.text) continue;
      old.value = *value;
      replaced_one = true;
    }
    if (!replaced_one) add_member(head, member.key.text, *value);
  }
  return yaml_text(head);
}

Response change_head(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const auto there = readable(shop, name);
  if (!there) return there.error();
  if (const auto head = head_with(request, *there); !head) return head.error();
  const auto receipt = change_checked_head(
      shop.cases, name, shop.scratch.path(),
      [&](const std::vector<CaseRecord>& records) {
        return *head_with(request, readable_case(name, records));
      },
      request.seat, shop.options.drives);
  if (!receipt) return problem_of(receipt.error(), shop.scratch.path().generic_string());
  if (shop.changed) shop.changed();
  return answer(ReceiptRow{receipt->seq, {}, receipt->hash, time_text(receipt->at), request.seat},
                201);
}

}  // namespace

std::span<const Handler> entry_handlers() {
  static constexpr Handler kHandlers[] = {
      {"addEntry", &add_entry},
      {"changeHead", &change_head},
  };
  return kHandlers;
}

}  // namespace tautmark
