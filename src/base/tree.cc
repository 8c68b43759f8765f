// SPDX-License-Identifier: Apache-2.0
#include "base/tree.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fstream>

#include "base/text.h"

namespace tautmark {

TextFileRef make_text_file(std::string name, std::string text) {
  auto file = std::make_shared<TextFile>();
  file->name = std::move(name);
  while (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
  file->text = std::move(text);
  file->line_starts.push_back(0);
  for (std::size_t i = 0; i < file->text.size(); ++i)
    if (file->text[i] == '\n') file->line_starts.push_back(i + 1);
  return file;
}

std::string_view TextFile::line(int number) const {
  if (number < 1 || static_cast<std::size_t>(number) > line_starts.size()) return {};
  const auto index = static_cast<std::size_t>(number) - 1;
  const std::size_t begin = line_starts[index];
  std::size_t end = index + 1 < line_starts.size() ? line_starts[index + 1] - 1 : text.size();
  if (end > begin && text[end - 1] == '\r') --end;
  return std::string_view(text).substr(begin, end - begin);
}

std::string TextFile::shown_line(int number) const {
  constexpr std::size_t kMostBytes = 4096;  // many messages may keep their line
  const std::string_view text_of_line = line(number);
  return text_of_line.size() > kMostBytes ? std::string() : std::string(text_of_line);
}

const Node* Node::find(std::string_view key) const {
  for (const Member& member : members)
    if (member.key.text == key) return &member.value;
  return nullptr;
}

Node scalar_node(std::string text, bool quoted) {
  Node node;
  node.shape = NodeShape::scalar;
  node.text = std::move(text);
  node.quoted = quoted;
  return node;
}

void add_member(Node& map, std::string key, Node value) {
  map.shape = NodeShape::map;
  map.members.push_back({scalar_node(std::move(key)), std::move(value)});
}

TextPlace place_of(const Node& node) {
  TextPlace place;
  place.line = node.line;
  place.column = node.column;
  place.length = node.length;
  if (node.file) {
    place.file = node.file->name;
    place.line_text = node.file->shown_line(node.line);
  }
  return place;
}

TextPlace place_of(const Node& node, std::size_t byte_offset, std::size_t byte_length) {
  TextPlace place = place_of(node);
  // Inside an escaped or folded scalar the offset says nothing about the file: keep the start.
  const std::string_view shown = std::string_view(node.text);
  if (shown.empty() || place.line_text.find(node.text) == std::string::npos ||
      byte_offset > shown.size())
    return place;
  const auto before = character_count(shown.substr(0, byte_offset));
  const auto inside = character_count(shown.substr(byte_offset, byte_length));
  place.column += static_cast<int>(before) + (node.quoted ? 1 : 0);
  place.length = std::max(1, static_cast<int>(inside));
  return place;
}

Diagnostic error_at(const Node& node, std::string message, std::string hint) {
  return {Severity::error, place_of(node), clipped(std::move(message)), clipped(std::move(hint)),
          std::nullopt};
}

Parsed<TextFileRef> load_text_file(const std::filesystem::path& path, std::string shown_name) {
  const auto refuse = [&](std::string message, std::string hint = {}) {
    Diagnostic diagnostic;
    diagnostic.place.file = shown_name;
    diagnostic.message = std::move(message);
    diagnostic.hint = std::move(hint);
    return tl::make_unexpected(Diagnostics{diagnostic});
  };
  std::error_code code;
  const auto status = std::filesystem::status(path, code);
  if (status.type() == std::filesystem::file_type::not_found) return refuse("no such file");
  if (code) return refuse("cannot be read: " + code.message());
  if (std::filesystem::is_directory(status)) return refuse("this is a folder, not a file");
  if (!std::filesystem::is_regular_file(status)) return refuse("not a regular file");
  const auto size = std::filesystem::file_size(path, code);
  if (code) return refuse("cannot be read: " + code.message());
  if (size > kMaxTextBytes)
    return refuse(
        fmt::format("{} bytes; a file of this kind has at most {} MB", size, kMaxTextBytes >> 20U),
        "recordings and photos are attachments, not part of this file");
  std::ifstream in(path, std::ios::binary);
  std::string text(static_cast<std::size_t>(size), '\0');
  if (!in) return refuse(fmt::format("cannot be read: {}", std::strerror(errno)));
  if (!in.read(text.data(), static_cast<std::streamsize>(size))) return refuse("cannot be read");
  return make_text_file(std::move(shown_name), std::move(text));
}

Parsed<Node> parse_tree(const TextFileRef& file) {
  const auto first = trimmed(file->text);
  if (first.starts_with('{') || first.starts_with('[')) return parse_json(file);
  return parse_yaml(file);
}

}  // namespace tautmark
