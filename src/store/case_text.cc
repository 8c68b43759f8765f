// SPDX-License-Identifier: Apache-2.0
#include "store/case_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace tautmark {
namespace {

bool is_blank_or_comment(std::string_view line) {
  const std::string_view content = trimmed(line);
  return content.empty() || content.front() == '#';
}

// Calls `take` with every line, its line end included.
template <class Take>
void each_line(std::string_view text, const Take& take) {
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size() - 1) + 1;
    take(text.substr(start, end - start));
    start = end;
  }
}

tl::expected<Node, std::string> parsed(const std::string& what, const std::string& body) {
  auto node = parse_yaml(make_text_file(what, body));
  if (!node) return tl::make_unexpected(node.error().front().message);
  return std::move(*node);
}

}  // namespace

bool same_value(const Node& a, const Node& b) {
  const auto same_member = [](const Member& x, const Member& y) {
    return x.key.text == y.key.text && same_value(x.value, y.value);
  };
  return a.shape == b.shape && a.text == b.text &&
         std::equal(a.items.begin(), a.items.end(), b.items.begin(), b.items.end(), same_value) &&
         std::equal(a.members.begin(), a.members.end(), b.members.begin(), b.members.end(),
                    same_member);
}

tl::expected<Node, std::string> entry_node(const std::string& body) {
  auto node = parsed("entry", body);
  if (!node) return node;
  if (node->shape != NodeShape::list || node->items.size() != 1 ||
      node->items.front().shape != NodeShape::map)
    return tl::make_unexpected(std::string("an entry is one list item with keys: \"- id: …\""));
  return std::move(node->items.front());
}

tl::expected<Node, std::string> head_node(const std::string& body) {
  auto node = parsed("head of the case", body);
  if (!node) return node;
  if (node->shape != NodeShape::map)
    return tl::make_unexpected(std::string("the head of a case is a list of keys and values"));
  if (const Node* entries = node->find("entries"))
    if (entries->shape != NodeShape::null || node->members.back().key.text != "entries")
      return tl::make_unexpected(
          std::string("the head of a case ends with the line \"entries:\" or has no entries"));
  return node;
}

bool is_tail_text(std::string_view body) {
  bool fits = true;
  each_line(body, [&](std::string_view line) { fits = fits && is_blank_or_comment(line); });
  return fits;
}

int entry_indent(std::string_view body) {
  int indent = -1;
  each_line(body, [&](std::string_view line) {
    if (indent < 0 && !is_blank_or_comment(line))
      indent = static_cast<int>(std::min(line.find_first_not_of(' '), line.size()));
  });
  return std::max(indent, 0);
}

std::string indented_entry(const std::string& body, int blanks) {
  const int more = blanks - entry_indent(body);
  if (more == 0) return body;
  std::string moved;
  each_line(body, [&](std::string_view line) {
    const bool empty = trimmed(line).empty();
    if (more > 0 && !empty) moved.append(static_cast<std::size_t>(more), ' ');
    if (more < 0)
      line.remove_prefix(
          std::min({static_cast<std::size_t>(-more), line.find_first_not_of(' '), line.size()}));
    moved += line;
  });
  return moved;
}

std::string head_value(const Node& head, std::string_view key) {
  const Node* node = head.find(key);
  return node != nullptr && node->shape == NodeShape::scalar ? node->text : std::string();
}

std::string file_record_body(const StoredFile& file) {
  return fmt::format("{}\n{}\n{}\n", file.name, file.sha256, file.bytes);
}

std::optional<StoredFile> file_of_record(std::string_view body) {
  const auto parts = split(body, '\n');
  if (parts.size() < 3) return std::nullopt;
  StoredFile file{parts[0], parts[1], 0};
  if (parts[2].empty() || parts[2].size() > 18 ||
      parts[2].find_first_not_of("0123456789") != std::string::npos)
    return std::nullopt;
  file.bytes = std::stoll(parts[2]);
  return file_record_body(file) == body ? std::optional(file) : std::nullopt;
}

}  // namespace tautmark
