// SPDX-License-Identifier: Apache-2.0
// Cutting never trusts itself: the pieces are read one by one and put together again, with one
// entry more than there is, before they are taken. What does not hold is written anew.
#include <algorithm>

#include "base/text.h"
#include "store/case_text.h"
#include "store/exchange.h"

namespace tautmark {
namespace {

constexpr std::string_view kEntries = "entries:";

// The same members whatever their order, and the same entries.
bool same_case(const Node& a, const Node& b) {
  return a.members.size() == b.members.size() &&
         std::all_of(a.members.begin(), a.members.end(), [&](const Member& member) {
           const Node* other = b.find(member.key.text);
           return other != nullptr && same_value(member.value, *other);
         });
}

void add_piece(std::string& text, std::string_view piece) {
  if (!text.empty() && text.back() != '\n' && !piece.empty()) text += '\n';
  text += piece;
}

std::string_view last_line(std::string_view text) {
  if (text.ends_with('\n')) text.remove_suffix(1);
  return text.substr(text.rfind('\n') + 1);
}

std::string joined_bodies(std::string_view head, const std::vector<std::string_view>& entries,
                          std::string_view tail) {
  const std::string_view end = last_line(head);
  std::string text(head);
  // A case without entries has not that line, or it could not be read.
  if (entries.empty() && end.starts_with(kEntries))
    text.resize(static_cast<std::size_t>(end.data() - head.data()));
  if (!entries.empty() && !end.starts_with(kEntries)) add_piece(text, "entries:\n");
  for (const std::string_view entry : entries) add_piece(text, entry);
  add_piece(text, tail);
  return text;
}

template <class Records>
std::string joined_records(const Records& records) {
  std::string_view head, tail;
  std::vector<std::string_view> entries;
  for (const auto& record : records) {
    if (record.kind == RecordKind::head) head = record.body;
    if (record.kind == RecordKind::tail) tail = record.body;
    if (record.kind == RecordKind::entry) entries.push_back(record.body);
  }
  return joined_bodies(head, entries, tail);
}

NewRecord new_record(RecordKind kind, std::string body) {
  NewRecord record;
  record.kind = kind;
  record.body = std::move(body);
  return record;
}

class Cutter {
 public:
  Cutter(TextFileRef file, const Node& root) : file_(std::move(file)), root_(root) {}

  // `with_comments`: those above an entry belong to it, not to the one before.
  std::optional<std::vector<NewRecord>> cut(bool with_comments) const {
    std::vector<NewRecord> records;
    const Node* entries = root_.find("entries");
    if (entries == nullptr) {
      records.push_back(new_record(RecordKind::head, file_->text));
      return checked(std::move(records));
    }
    if (root_.members.back().key.text != "entries" || !entries->members.empty())
      return std::nullopt;
    const int key_line = root_.members.back().key.line;
    int start = key_line + 1;
    records.push_back(new_record(RecordKind::head, text_of(1, start)));
    std::vector<int> dashes;
    for (const Node& item : entries->items) {
      const int dash = dash_line(item.line, dashes.empty() ? key_line : dashes.back());
      if (dash == 0) return std::nullopt;
      dashes.push_back(dash);
    }
    for (std::size_t i = 0; i < dashes.size(); ++i) {
      const int next = i + 1 < dashes.size() ? dashes[i + 1] : line_count() + 1;
      const int end =
          with_comments || i + 1 == dashes.size() ? above_filler(next, dashes[i]) : next;
      NewRecord entry = new_record(RecordKind::entry, text_of(start, end));
      if (const Node* id = entries->items[i].find("id")) entry.entry_id = id->text;
      records.push_back(std::move(entry));
      start = end;
    }
    if (start <= line_count() && !text_of(start, line_count() + 1).empty())
      records.push_back(new_record(RecordKind::tail, text_of(start, line_count() + 1)));
    return checked(std::move(records));
  }

 private:
  [[nodiscard]] int line_count() const { return static_cast<int>(file_->line_starts.size()); }
  [[nodiscard]] std::size_t begin_of(int line) const {
    return line > line_count() ? file_->text.size()
                               : file_->line_starts[static_cast<std::size_t>(line - 1)];
  }
  [[nodiscard]] std::string text_of(int first, int end) const {
    return file_->text.substr(begin_of(first), begin_of(end) - begin_of(first));
  }
  // The line of the dash: that of the item, or one above it. 0: none.
  [[nodiscard]] int dash_line(int line, int above) const {
    for (; line > above; --line) {
      const std::string_view content = trimmed(file_->line(line));
      if (content == "-" || content.starts_with("- ")) return line;
    }
    return 0;
  }
  [[nodiscard]] int above_filler(int line, int dash) const {
    while (line - 1 > dash && is_tail_text(file_->line(line - 1))) --line;
    return line;
  }

  [[nodiscard]] std::optional<std::vector<NewRecord>> checked(
      std::vector<NewRecord> records) const {
    if (joined_records(records) != file_->text || !head_node(records.front().body)) return {};
    const Node* entries = root_.find("entries");
    std::size_t count = 0;
    for (const NewRecord& record : records) {
      if (record.kind == RecordKind::tail && !is_tail_text(record.body)) return {};
      if (record.kind != RecordKind::entry) continue;
      const auto node = entry_node(record.body);
      if (!node || !same_value(*node, entries->items[count++])) return {};
    }
    if (entries != nullptr && count != entries->items.size()) return {};
    return can_grow(records) ? std::optional(std::move(records)) : std::nullopt;
  }

  // With one entry more it still is the same case.
  [[nodiscard]] bool can_grow(std::vector<NewRecord> records) const {
    const auto first = std::find_if(records.begin(), records.end(), [](const NewRecord& record) {
      return record.kind == RecordKind::entry;
    });
    const int indent = first == records.end() ? 2 : entry_indent(first->body);
    records.push_back(new_record(RecordKind::entry, indented_entry("- id: one more\n", indent)));
    auto grown = parse_tree(make_text_file(file_->name, joined_records(records)));
    if (!grown) return false;
    const Node* entries = root_.find("entries");
    Member& last = grown->members.back();
    if (last.key.text != "entries" || last.value.items.empty()) return false;
    last.value.items.pop_back();
    if (entries == nullptr) {
      if (!last.value.items.empty()) return false;
      grown->members.pop_back();
    } else if (entries->shape == NodeShape::null && last.value.items.empty()) {
      last.value = *entries;
    }
    return same_value(root_, *grown);
  }

  TextFileRef file_;
  const Node& root_;
};

std::optional<std::vector<NewRecord>> cut_text(const TextFileRef& file, const Node& root) {
  if (trimmed(file->text).starts_with('{')) return std::nullopt;
  const Cutter cutter(file, root);
  auto records = cutter.cut(true);
  return records ? records : cutter.cut(false);
}

// The lines of the entries moved to the end, comments and all.
std::optional<std::vector<NewRecord>> cut_moved(const TextFileRef& file, const Node& root) {
  const auto at = std::find_if(root.members.begin(), root.members.end(),
                               [](const Member& member) { return member.key.text == "entries"; });
  if (at == root.members.end() || at + 1 == root.members.end()) return std::nullopt;
  const auto begin = file->line_starts[static_cast<std::size_t>(at->key.line - 1)];
  const auto end = file->line_starts[static_cast<std::size_t>((at + 1)->key.line - 1)];
  if (end <= begin) return std::nullopt;
  std::string text = file->text.substr(0, begin);
  text += file->text.substr(end);
  add_piece(text, std::string_view(file->text).substr(begin, end - begin));
  const TextFileRef moved = make_text_file(file->name, text);
  const auto moved_root = parse_tree(moved);
  if (!moved_root || !same_case(root, *moved_root)) return std::nullopt;
  return cut_text(moved, *moved_root);
}

std::optional<std::vector<NewRecord>> cut_anew(const TextFileRef& file, const Node& root) {
  Node anew = root;
  std::stable_partition(anew.members.begin(), anew.members.end(),
                        [](const Member& member) { return member.key.text != "entries"; });
  if (anew.members.back().key.text == "entries" && anew.members.back().value.items.empty())
    anew.members.pop_back();
  const TextFileRef written = make_text_file(file->name, yaml_text(anew));
  const auto written_root = parse_tree(written);
  if (!written_root) return std::nullopt;
  return cut_text(written, *written_root);
}

}  // namespace

Parsed<CutCase> cut_case(const std::string& shown_name, const std::string& text) {
  const TextFileRef file = make_text_file(shown_name, text);
  const auto root = parse_tree(file);
  if (!root) return tl::make_unexpected(root.error());
  const auto refused = [](const Node& node, std::string message) {
    return tl::make_unexpected(Diagnostics{error_at(node, std::move(message))});
  };
  if (root->shape != NodeShape::map || root->members.empty())
    return refused(*root, "this is not a case file");
  if (const Node* entries = root->find("entries")) {
    if (entries->shape != NodeShape::list && entries->shape != NodeShape::null)
      return refused(*entries, "a list is wanted here");
    for (const Node& item : entries->items)
      if (item.find("id") == nullptr || item.find("id")->text.empty())
        return refused(item, "an entry without an id");
  }
  // A mark of the byte order at the beginning is not kept.
  const bool shortened = file->text != text;
  if (auto records = cut_text(file, *root)) return CutCase{std::move(*records), shortened};
  if (auto records = cut_moved(file, *root)) return CutCase{std::move(*records), true};
  if (auto records = cut_anew(file, *root)) return CutCase{std::move(*records), true};
  return refused(*root, "this case cannot be cut into its entries");
}

std::string joined_case(const std::vector<CaseRecord>& records) { return joined_records(records); }

}  // namespace tautmark
