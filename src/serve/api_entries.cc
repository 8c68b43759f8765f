// SPDX-License-Identifier: Apache-2.0
// What is added to a case: entries, and what stands before them.
#include <fmt/format.h>

#include <fstream>
#include <set>

#include "base/text.h"
#include "casework/append.h"
#include "casework/case_fields.h"
#include "serve/case_reading.h"
#include "serve/handlers.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

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

// What nobody should have to type: who, when, and the sum of a file that is stored.
void fill_in(Shop& shop, const std::string& name, const Request& request, Entry& entry) {
  if (!entry.by) entry.by = request.seat;
  if (!entry.at) entry.at = Date{time_text(now_microseconds()).substr(0, 19) + "Z"};
  auto* recording = std::get_if<SensorRecording>(&entry.body);
  if (recording == nullptr || !recording->file || recording->sha256) return;
  const auto files = shop.cases.files(name);
  if (!files) return;
  for (const StoredFile& file : *files)
    if (file.name == *recording->file) recording->sha256 = file.sha256;
}

// The case must be readable with the new text in it; otherwise every mistake, at its place.
std::optional<Response> mistakes_with(Shop& shop, const CaseRead& read, const TextFile& old_text,
                                      const std::string& text) {
  const ScratchItem beside(read.folder / (shop.scratch.fresh(".new").filename()));
  {
    std::ofstream out(beside.path(), std::ios::binary);
    out << text;
    out.close();
    if (!out) return problem(507, "The disk is full", "nothing was written");
  }
  const auto mistakes =
      mistakes_of_new(read.loaded.file, old_text, beside.path(), shop.options.drives);
  if (!has_errors(mistakes)) return std::nullopt;
  return problem_of(mistakes, read.folder.generic_string());
}

Response add_entry(Shop& shop, Request& request) {
  const std::string& name = request.parts["case"];
  const auto read = read_case(shop, name);
  if (!read) return read.error();
  auto sent = sent_entry(request, read->loaded.value);
  if (!sent) return sent.error();
  Entry entry = std::move(sent->entry.entry);
  fill_in(shop, name, request, entry);
  const bool wants_id = entry.id.empty();
  const auto old_text = load_text_file(read->loaded.file, name);
  if (!old_text) return problem_of(old_text.error(), read->folder.generic_string());
  const auto with = with_entry(*old_text, entry);
  if (!with) return problem_of(with.error(), read->folder.generic_string());
  if (const auto wrong = mistakes_with(shop, *read, **old_text, with->text)) return *wrong;

  NewRecord record;
  record.kind = RecordKind::entry;
  record.entry_id = entry.id;
  record.wants_id = wants_id;
  record.client_key = sent->key;
  const auto body = [entry](const std::string& id) {
    Entry named = entry;
    named.id = id;
    return yaml_list_item_text(write_record(named));
  };
  if (wants_id)
    record.body_with_id = body;
  else
    record.body = body(entry.id);
  const auto receipts = shop.cases.append(name, {std::move(record)}, request.seat);
  if (!receipts) return problem_of(receipts.error());
  if (shop.changed) shop.changed();
  const Receipt& receipt = receipts->front();
  entry.id = receipt.entry_id;
  return answer(
      StoredEntry{receipt.seq, time_text(receipt.at), request.seat, receipt.hash, std::move(entry)},
      receipt.was_there ? 200 : 201);
}

// Keys that were sent take the place of those that were there.
Answered<std::string> head_with(const Request& request, const Case& there) {
  const auto tree = body_tree(request);
  if (!tree) return answer_with(tree.error());
  const auto read = body_as<CaseHead>(request);
  if (!read) return answer_with(read.error());
  Case bare = there;
  bare.entries.clear();
  Node head = write_record(bare);
  const Node sent = write_record(read->head);
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
  const auto read = read_case(shop, name);
  if (!read) return read.error();
  const auto head = head_with(request, read->loaded.value);
  if (!head) return head.error();
  const auto records = shop.cases.records(name);
  if (!records) return problem_of(records.error());
  std::vector<CaseRecord> all = *records;
  CaseRecord changed;
  changed.seq = all.empty() ? 1 : all.back().seq + 1;
  changed.kind = RecordKind::head;
  changed.body = *head;
  all.push_back(changed);
  const auto old_text = make_text_file(name, "");
  if (const auto wrong = mistakes_with(shop, *read, *old_text, joined_case(all))) return *wrong;
  NewRecord record;
  record.kind = RecordKind::head;
  record.body = *head;
  const auto receipts = shop.cases.append(name, {std::move(record)}, request.seat);
  if (!receipts) return problem_of(receipts.error());
  if (shop.changed) shop.changed();
  const Receipt& receipt = receipts->front();
  return answer(ReceiptRow{receipt.seq, {}, receipt.hash, time_text(receipt.at), receipt.was_there},
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
