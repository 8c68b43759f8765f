// SPDX-License-Identifier: Apache-2.0
// Appending keeps every byte that is there: comments, order, spelling of numbers.
#include "casework/append.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <fstream>
#include <sstream>

#include "base/hash.h"
#include "base/text.h"
#include "casework/case_fields.h"
#include "casework/load.h"

namespace tautmark {
namespace {

namespace fs = std::filesystem;

tl::unexpected<Diagnostics> refuse(const std::string& name, std::string message,
                                   std::string hint = {}) {
  Diagnostic diagnostic;
  diagnostic.place.file = name;
  diagnostic.message = std::move(message);
  diagnostic.hint = std::move(hint);
  return tl::make_unexpected(Diagnostics{std::move(diagnostic)});
}

// Two seats that append at the same time take turns.
class FolderLock {
 public:
  explicit FolderLock(const fs::path& folder)
      : descriptor_(open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
    if (descriptor_ >= 0) flock(descriptor_, LOCK_EX);
  }
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;
  ~FolderLock() {
    if (descriptor_ >= 0) close(descriptor_);
  }
  [[nodiscard]] bool held() const { return descriptor_ >= 0; }

 private:
  int descriptor_;
};

// A new text beside a file, which takes the file's place in one step or goes away again: a kill or
// a full disk at any moment leaves either the old text or the new one.
class TextBeside {
 public:
  TextBeside(const fs::path& file, const std::string& text)
      : file_(file), beside_(file.string() + fmt::format(".{}.new", getpid())) {
    const int out = open(beside_.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (out < 0) return;
    there_ = true;
    std::size_t done = 0;
    while (done < text.size()) {
      const ssize_t n = write(out, text.data() + done, text.size() - done);
      if (n <= 0) break;
      done += static_cast<std::size_t>(n);
    }
    written_ = done == text.size() && fsync(out) == 0;
    close(out);
  }
  TextBeside(const TextBeside&) = delete;
  TextBeside& operator=(const TextBeside&) = delete;
  ~TextBeside() {
    std::error_code code;
    if (there_) fs::remove(beside_, code);
  }
  [[nodiscard]] bool written() const { return written_; }
  [[nodiscard]] const fs::path& path() const { return beside_; }
  [[nodiscard]] bool take_place() {
    std::error_code code;
    if (written_) fs::rename(beside_, file_, code);
    if (!written_ || code) return false;
    there_ = false;
    return true;
  }

 private:
  fs::path file_, beside_;
  bool there_ = false;
  bool written_ = false;
};

std::string free_id(const Node& entries) {
  int highest = 0;
  for (const Node& item : entries.items) {
    const Node* id = item.find("id");
    if (id == nullptr || id->text.size() < 2 || id->text[0] != 'e') continue;
    const auto number = read_integer(std::string_view(id->text).substr(1));
    if (number && *number > highest && *number < 1'000'000) highest = static_cast<int>(*number);
  }
  return fmt::format("e{}", highest + 1);
}

std::string appended_yaml(const TextFile& file, const Node& entries, const Node& item) {
  std::string text = file.text;
  if (!text.empty() && text.back() != '\n') text += '\n';
  std::string block = yaml_list_item_text(item);
  if (entries.items.empty())
    return text + (entries.shape == NodeShape::null && entries.line > 0 ? "" : "entries:\n") +
           block;
  // Match the indentation of the list that is there.
  const std::string_view first = file.line(entries.items.front().line);
  const auto dash = first.find('-');
  if (dash == 2 || dash == std::string_view::npos) return text + block;
  std::string shifted;
  for (const std::string& line : split(block, '\n')) {
    if (line.empty()) continue;
    shifted += std::string(dash, ' ') + line.substr(2) + "\n";
  }
  return text + shifted;
}

// So that a later change of the file is found. Larger files are left to the one who enters them.
void add_sum(Entry& entry, const fs::path& folder) {
  constexpr std::uintmax_t kLargest = std::uintmax_t{256} << 20;
  const auto [name, sum] = summed_file(entry.body);
  if (name == nullptr || *sum) return;
  std::error_code code;
  const fs::path path = folder / *name;
  if (!fs::is_regular_file(path, code) || fs::file_size(path, code) > kLargest) return;
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  if (file) *sum = sha256_hex(bytes.str());
}

// The entries of a case file, or nothing where it has none; refused where they are no list.
Parsed<const Node*> entries_of(const Node& root, const std::string& name) {
  const Node* format = root.find("tautmark");
  if (format == nullptr || format->text != "case/1") return refuse(name, "this is not a case file");
  const Node* entries = root.find("entries");
  if (entries != nullptr && entries->shape != NodeShape::list && entries->shape != NodeShape::null)
    return tl::make_unexpected(Diagnostics{error_at(*entries, "a list is wanted here")});
  return entries;
}

Parsed<std::string> append(const std::string& case_name, Entry entry, const DriveFolders* folders) {
  fs::path path = case_name;
  std::error_code code;
  if (fs::is_directory(path, code)) {
    path /= fs::exists(path / "case.yaml", code) || !fs::exists(path / "case.json", code)
                ? "case.yaml"
                : "case.json";
  }
  const fs::path folder = path.parent_path().empty() ? fs::path(".") : path.parent_path();
  const FolderLock lock(folder);
  if (!lock.held()) return refuse(case_name, "the folder of the case cannot be opened");
  const auto file = load_text_file(path, path.generic_string());
  if (!file) return tl::make_unexpected(file.error());
  add_sum(entry, folder);
  entry.id.clear();  // the next free one is given here
  const auto added = with_entry(*file, entry);
  if (!added) {
    Diagnostics mistakes = added.error();
    for (Diagnostic& mistake : mistakes)
      if (mistake.place.line <= 0) mistake.place.file = case_name;
    return tl::make_unexpected(std::move(mistakes));
  }
  TextBeside beside(path, added->text);
  if (beside.written() && folders != nullptr) {
    Diagnostics mistakes = mistakes_of_new(path, **file, beside.path(), *folders);
    if (!mistakes.empty()) return tl::make_unexpected(std::move(mistakes));
  }
  if (!beside.take_place()) return refuse(case_name, "cannot be written; nothing was changed");
  return added->id;
}

}  // namespace

SummedFile summed_file(EntryBody& body) {
  if (auto* recording = std::get_if<SensorRecording>(&body); recording && recording->file)
    return {&*recording->file, &recording->sha256};
  if (auto* trace = std::get_if<TorqueTrace>(&body)) return {&trace->file, &trace->sha256};
  return {};
}

Parsed<CaseText> with_entry(const TextFileRef& file, Entry entry) {
  auto root = parse_tree(file);
  if (!root) return tl::make_unexpected(root.error());
  const auto found = entries_of(*root, file->name);
  if (!found) return tl::make_unexpected(found.error());
  const Node none;
  const Node& entries = *found != nullptr ? **found : none;
  if (entry.id.empty()) entry.id = free_id(entries);
  const Node item = write_record(entry);
  std::string text;
  if (trimmed(file->text).starts_with('{')) {
    Node changed = *root;
    if (*found == nullptr) add_member(changed, "entries", Node{});
    for (Member& member : changed.members) {
      if (member.key.text != "entries") continue;
      member.value.shape = NodeShape::list;
      member.value.items.push_back(item);
    }
    text = json_text(changed);
  } else {
    // Only behind the last key can something be added without touching what is there.
    const bool is_empty_list = entries.shape == NodeShape::list && entries.items.empty();
    if (*found != nullptr && (root->members.back().key.text != "entries" || is_empty_list))
      return refuse(
          file->name,
          "entries can be added only where they are the last part of the file, one \"- \" each",
          "move entries to the end of the file, or remove an empty entries: []");
    text = appended_yaml(*file, entries, item);
  }
  // What is written must read back with one entry more; otherwise nothing is written.
  const auto again = parse_tree(make_text_file(file->name, text));
  const Node* after = again ? again->find("entries") : nullptr;
  if (after == nullptr || after->items.size() != entries.items.size() + 1)
    return refuse(file->name, "the entry cannot be added to this file",
                  "is the list of entries written in one line?");
  return CaseText{entry.id, std::move(text)};
}

Diagnostics mistakes_of_new(const fs::path& path, const TextFile& old_text, const fs::path& beside,
                            const DriveFolders& folders) {
  const auto loaded = load_case(beside.string(), folders);
  if (loaded) return {};
  // A JSON case is written anew: none of its lines is an old one.
  const std::string& old = old_text.text;
  const auto old_lines =
      trimmed(old).starts_with('{')
          ? 0
          : static_cast<int>(old_text.line_starts.size() - (old.ends_with('\n') ? 1 : 0));
  Diagnostics mistakes = loaded.error();
  const auto rename = [&](TextPlace& place) {
    if (place.file != beside.generic_string()) return;
    place.file = path.generic_string();
    if (place.line <= old_lines) return;
    place.file += ", new entry";
    place.line = 0;
  };
  for (Diagnostic& mistake : mistakes) {
    rename(mistake.place);
    if (mistake.second) rename(mistake.second->place);
  }
  return mistakes;
}

Parsed<std::string> append_entry(const std::string& case_name, Entry entry) {
  return append(case_name, std::move(entry), nullptr);
}

Parsed<std::string> append_checked_entry(const std::string& case_name, Entry entry,
                                         const DriveFolders& folders) {
  return append(case_name, std::move(entry), &folders);
}

}  // namespace tautmark
